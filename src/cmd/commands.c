/* SPDX-License-Identifier: MIT */
/* The list of commands, in the order in which a day needs them. */
#include "command.h"

#define COMMAND_LIST(X)                                                                                                \
    X(start)                                                                                                           \
    X(expedition_show)                                                                                                 \
    X(expedition_amend)                                                                                                \
    X(hole_add)                                                                                                        \
    X(hole_amend)                                                                                                      \
    X(hole_withdraw)                                                                                                   \
    X(hole_show)                                                                                                       \
    X(hole_list)                                                                                                       \
    X(core_add)                                                                                                        \
    X(core_amend)                                                                                                      \
    X(core_withdraw)                                                                                                   \
    X(core_show)                                                                                                       \
    X(core_list)                                                                                                       \
    X(section_add)                                                                                                     \
    X(section_amend)                                                                                                   \
    X(section_withdraw)                                                                                                \
    X(section_show)                                                                                                    \
    X(section_list)                                                                                                    \
    X(sample_add)                                                                                                      \
    X(sample_amend)                                                                                                    \
    X(sample_withdraw)                                                                                                 \
    X(sample_show)                                                                                                     \
    X(sample_list)                                                                                                     \
    X(drilled_add)                                                                                                     \
    X(drilled_amend)                                                                                                   \
    X(drilled_withdraw)                                                                                                \
    X(drilled_show)                                                                                                    \
    X(drilled_list)                                                                                                    \
    X(depth)                                                                                                           \
    X(explain)                                                                                                         \
    X(recovery)                                                                                                        \
    X(import)                                                                                                          \
    X(template)                                                                                                        \
    X(name)                                                                                                            \
    X(schema)                                                                                                          \
    X(manual)                                                                                                          \
    X(completion)

#define COMMAND_DECLARE(name) extern const struct command name##_command;
COMMAND_LIST(COMMAND_DECLARE)
#undef COMMAND_DECLARE

const struct command *const commands[] = {
#define COMMAND_ROW(name) &name##_command,
    COMMAND_LIST(COMMAND_ROW)
#undef COMMAND_ROW
        NULL};
