/* SPDX-License-Identifier: MIT */
/* Days of a pump log that were taken in wrongly are taken out again; history keeps them. */
#include "coretally/act/log.h"
#include "coretally/state/log.h"
#include "coretally/run/command.h"
#include "run_commit.h"

static enum status run_log_withdraw(struct run *run, struct err *err);

const struct command log_withdraw_command = {
    .words = "log withdraw",
    .arguments = "HOLE DAY",
    .purpose = "withdraw a pump log from a day on, to take it in anew; history keeps it",
    .example = "log withdraw U0013A 2026-03-09 --reason \"columns of pumps 1 and 2 were swapped\"",
    .detail = "DAY is in UTC, as log list shows it. Depths of bags from then on are not known until the log is back.",
    .use = USE_MOVING,
    .needs_reason = true,
    .least = 2,
    .most = 2,
    .run = run_log_withdraw,
};

static enum status run_log_withdraw(struct run *run, struct err *err)
{
    struct target target;
    struct draft draft;
    int64_t from = 0;
    if (!day_parse(run->args[1], &from)) {
        err_set(err, STATUS_INPUT, run->args[1], "this is not a day");
        return err_hint(err, "type the first day to take out, in UTC: 2026-03-09");
    }
    TRY(run_open(run, STORE_WRITE, err));
    TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, &target, err));
    TRY(log_withdraw(run->state, &target, from, &draft, err));
    TRY(run_draft(run, &draft, err));
    if (!run_option(run, "dry-run"))
        (void)fprintf(run->out, "  history keeps them; now take the right ones in: coretally log add %s FILE\n",
                      target.hole_name);
    return STATUS_OK;
}
