/* SPDX-License-Identifier: MIT */
/* Lag checks: add, amend, withdraw, show, list. */
#include <math.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/kind/kind.h"
#include "coretally/state/namesake.h"
#include "coretally/say/check_rows.h"
#include "numbered.h"
#include "coretally/say/reach_say.h"
#include "run_commit.h"

static enum status run_check_add(struct run *run, struct err *err);
static enum status run_check_amend(struct run *run, struct err *err);
static enum status run_check_withdraw(struct run *run, struct err *err);
static enum status run_check_show(struct run *run, struct err *err);
static enum status run_check_reach(struct run *run, struct err *err);
static enum status run_check_list(struct run *run, struct err *err);

static const char *const check_options[] = {"tracer", "evidence", "remark", NULL};

const struct command check_add_command = {
    .words = "check add",
    .arguments = "HOLE IN SEEN",
    .purpose = "record a lag check: tracer into the string, tracer seen at the shaker; recalibrates the cuttings",
    .example = "check add U0013A '2026-03-09 12:00' '2026-03-09 14:41' --tracer carbide --dry-run",
    .detail =
        "Measured against the well as recorded it gives the effective diameter of the open hole. That holds for what\n"
        "left the bit from then on, until the next check or until the bores change. With --dry-run it shows what it\n"
        "measures and which bags it moves, and records nothing.",
    .use = USE_MOVING,
    .on = ON_HOLE,
    .table = &lag_check_table,
    .fields = check_options,
    .least = 3,
    .most = 3,
    .run = run_check_add,
};

const struct command check_amend_command = {
    .words = "check amend",
    .arguments = "HOLE NUMBER",
    .purpose = "amend a lag check; the earlier version stays in history",
    .example = "check amend U0013A 1 --seen '2026-03-09 14:43' --reason \"the shaker's clock was 2 min slow\"",
    .use = USE_MOVING,
    .on = ON_HOLE,
    .needs_reason = true,
    .table = &lag_check_table,
    .fields = check_fields_amended,
    .options = restore_options,
    .least = 2,
    .most = 2,
    .run = run_check_amend,
};

const struct command check_withdraw_command = {
    .words = "check withdraw",
    .arguments = "HOLE NUMBER",
    .purpose = "withdraw a lag check; it stays in the registry, marked",
    .example = "check withdraw U0013A 1 --reason \"another tracer was still in the well\"",
    .use = USE_MOVING,
    .on = ON_HOLE,
    .needs_reason = true,
    .least = 2,
    .most = 2,
    .run = run_check_withdraw,
};

const struct command check_show_command = {
    .words = "check show",
    .arguments = "HOLE NUMBER",
    .purpose = "everything recorded about a lag check",
    .example = "check show U0013A 1",
    .use = USE_READING,
    .on = ON_HOLE,
    .options = history_options,
    .least = 2,
    .most = 2,
    .run = run_check_show,
};

const struct command check_reach_command = {
    .words = "check reach",
    .arguments = "HOLE NUMBER",
    .purpose = "what a recorded lag check moves: the bags with it against those without it",
    .example = "check reach U0013A 1",
    .detail =
        "Depths of bags as the driller reports the bottom of the hole; other corrections are the same on both sides.",
    .use = USE_READING,
    .on = ON_HOLE,
    .least = 2,
    .most = 2,
    .run = run_check_reach,
};

const struct command check_list_command = {
    .words = "check list",
    .arguments = "HOLE",
    .purpose = "the lag checks of a hole: measured, due, effective diameter of the open hole",
    .example = "check list U0013A",
    .use = USE_READING,
    .on = ON_HOLE,
    .least = 1,
    .most = 1,
    .run = run_check_list,
};

static enum status prepare(struct run *run, const struct target *target, struct numbered_items *items, struct err *err)
{
    TRY(run_set(run->state, &lag_check_table, "in", run->args[1], target->hole.zone_min, items->first, err));
    return run_set(run->state, &lag_check_table, "seen", run->args[2], target->hole.zone_min, items->first, err);
}

/* What the tracer measured against the well as recorded. */
static void say_result(struct run *run, const struct draft *draft)
{
    const struct lag_check *check = draft->changed.after;
    const struct lag_check_result *result = draft->measured;
    const double measured_min = (double)(check->seen.utc_us - result->at_bit_us) / 6e7;
    (void)fprintf(run->out, "tracer left the bit at %s m, hole %s m; up in %.2f min, ",
                  length_text(result->bit_um, UNIT_M, 2).text, length_text(result->hole_um, UNIT_M, 2).text,
                  measured_min);
    if (result->theory_us == INT64_MIN)
        (void)fprintf(run->out, "not due before the log ends\n");
    else
        (void)fprintf(run->out, "due in %.2f min\n", (double)(result->theory_us - result->at_bit_us) / 6e7);
    if (isnan(result->effective_m))
        (void)fprintf(run->out, "no open hole: nothing to recalibrate; look at pump output and casing\n");
    else
        (void)fprintf(
            run->out,
            "annulus %.3f m3 measured, %.3f m3 as recorded; open hole %.1f mm effective, %.1f mm as recorded\n",
            result->measured_m3, result->theory_m3, result->effective_m * 1000, result->nominal_m * 1000);
}

/* Bags named one by one, at most. */
enum { MOVES_TOLD_MAX = 20 };

struct said {
    struct run *run;
    size_t count;
};

static enum status say_bag(void *context, const struct reach_bag *bag, struct err *err)
{
    struct said *said = context;
    struct run *run = said->run;
    (void)err;
    if (said->count++ < MOVES_TOLD_MAX && run->format == SHEET_PEOPLE)
        (void)fprintf(run->out, "  %s %d: %s %s -> %s %s\n", bag_words[bag->kind], (int)bag->number,
                      run_length(run, bag->before_um, 2).text, run_unit(run), run_length(run, bag->after_um, 2).text,
                      run_unit(run));
    return STATUS_OK;
}

/* What the bags do between two readings of the hole. */
static enum status say_moves(struct run *run, struct lag_hole *without, struct lag_hole *with, struct err *err)
{
    struct said said = {.run = run};
    const struct reach_lag_asked asked = {say_bag, &said};
    struct reach reach;
    TRY(reach_find_lag(run->state, without, with, &asked, &reach, err));
    return reach_say(run, with->target->hole_name, &reach, err);
}

static const struct numbered_command check_numbered = {
    .act = &lag_check_act,
    .prepare = prepare,
    .say = say_result,
};

static enum status run_check_add(struct run *run, struct err *err)
{
    return run_numbered_add(run, &check_numbered, err);
}

static enum status run_check_amend(struct run *run, struct err *err)
{
    return run_numbered_amend(run, &check_numbered, err);
}

static enum status run_check_withdraw(struct run *run, struct err *err)
{
    return run_numbered_withdraw(run, &check_numbered, err);
}

static enum status run_check_show(struct run *run, struct err *err)
{
    return run_numbered_show(run, &check_numbered, err);
}

static enum status run_check_reach(struct run *run, struct err *err)
{
    struct target target = run->target;
    struct numbered_set set;
    struct lag_check wanted;
    struct lag_hole with;
    struct lag_hole without;
    TRY(numbered_set_read(run->state, &lag_check_form, target.hole_name, &set, err));
    record_init(&lag_check_table, &wanted);
    TRY(run_set(run->state, &lag_check_table, "number", run->args[1], INT_NONE, &wanted, err));
    const struct minted_group group = {.hole = target.hole_name, .form = &lag_check_form};
    TRY(namesake_carry_number(run->state, &group, lag_check_form.noun, &wanted.number, err));
    if (!numbered_find(&lag_check_form, &set, wanted.number)) {
        err_set(err, STATUS_UNKNOWN, run->args[1], "hole %s has no lag check of this number", target.hole_name);
        return err_hint(err, "they are listed by: coretally check list %s", target.hole_name);
    }
    TRY(lag_hole_open(run->state, &target, 0, NULL, &with, err));
    enum status status = lag_hole_open(run->state, &target, wanted.number, NULL, &without, err);
    if (status == STATUS_OK) {
        status = say_moves(run, &without, &with, err);
        lag_hole_close(&without);
    }
    lag_hole_close(&with);
    return status;
}

static enum status run_check_list(struct run *run, struct err *err)
{
    struct target target = run->target;
    struct sheet sheet;
    struct numbered_set set;
    struct lag_checks checks;
    struct column columns[CHECK_COLUMNS];
    check_columns(run, columns);
    sheet_init(&sheet, run->state->arena, columns, CHECK_COLUMNS);
    TRY(lag_checks_find(run->state, &target, &checks, err));
    TRY(check_rows_add(run, &checks, &sheet, err));
    TRY(numbered_set_read(run->state, &lag_check_form, target.hole_name, &set, err));
    numbered_tell_former(run, &lag_check_form, &set);
    if (!sheet.row_count)
        (void)fprintf(run->talk, "no lag check is recorded yet: coretally check add %s IN SEEN\n", target.hole_name);
    return run_print_sheet(run, &sheet, err);
}
