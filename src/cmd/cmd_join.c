/* SPDX-License-Identifier: MIT */
/* Another registry's acts taken in: two histories become one. */
#include "exchange.h"

static enum status run_join(struct run *run, struct err *err);

static const struct option join_options[] = {
    {"each", NULL, "list every act that comes, not only the last ones"},
    {0},
};

const struct command join_command = {
    .words = "join",
    .arguments = "[OTHER]",
    .purpose = "take in what another registry of the expedition has recorded: one history of both",
    .example = "join /media/stick/901.git",
    .detail =
        "OTHER is a path (a registry, a clone, a stick), an address (https://host/901.git, ssh://host/901.git,\n"
        "host:901.git), a file made by 'coretally send --file', the name of a git remote, or a branch that is here\n"
        "(origin/main). Left out it is the remote called origin. Nothing of either side is lost: what one side "
        "recorded\n"
        "or changed is taken; a number that both gave out stays with the earlier act, and the other thing gets the "
        "next\n"
        "one; a field that both set to different values has the later act's until somebody decides ('coretally open'\n"
        "lists such fields, 'coretally settle' decides). Which side joins makes no difference: the result is the same\n"
        "commit. The other side is not changed; 'coretally send' takes the join there.\n"
        "While a network is waited for, others may record here. If the line is cut or the program killed, nothing is\n"
        "half: the registry stands where it stood, and the same command typed again finishes it.",
    .use = USE_EXCHANGING,
    .options = join_options,
    .least = 0,
    .most = 1,
    .run = run_join,
};

static enum status run_join(struct run *run, struct err *err)
{
    struct other other;
    TRY(exchange_open(run, run->arg_count ? run->args[0] : NULL, &other, err));
    return exchange_join(run, &other, err);
}
