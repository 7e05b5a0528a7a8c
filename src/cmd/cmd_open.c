/* SPDX-License-Identifier: MIT */
/* What waits for a decision: fields that two sides set to different values, what the rules say of what came together,
 * labels with a number that another thing has. */
#include "open_gather.h"

static enum status run_list_open(struct run *run, struct err *err);

const struct command open_command = {
    .words = "open",
    .arguments = "[HOLE]",
    .purpose = "what waits for a decision after two registries became one, with the command that decides",
    .example = "open U0012A",
    .detail =
        "A field that two sides set to different values: all values with who, when and why; that of the later act\n"
        "stands until somebody decides. Then what a rule refuses or doubts in what came together, and labels that "
        "show\n"
        "a number that another thing has now. Work goes on meanwhile: nothing of this stops an act.",
    .use = USE_READING,
    .on = ON_STATE,
    .least = 0,
    .most = 1,
    .run = run_list_open,
};

static enum status run_list_open(struct run *run, struct err *err)
{
    struct target target = {0};
    struct open_say say;
    struct names holes = {0};
    run->state->open = NULL; /* all of it is listed */
    open_say_begin(run, &say);
    if (run->arg_count) {
        TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, &target, err));
        TRY(open_gather_hole(run, &target, &say, err));
        return open_say_end(&say, err);
    }
    TRY(state_holes(run->state, &holes, err));
    TRY(open_gather(run, &holes, &say, err));
    return open_say_end(&say, err);
}
