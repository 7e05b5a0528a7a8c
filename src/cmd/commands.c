/* SPDX-License-Identifier: MIT */
/* The list of commands, in the order in which a day needs them. */
#include "dispatch.h"
#include "dispatch.h"

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
    X(open)                                                                                                            \
    X(settle)                                                                                                          \
    X(kept)                                                                                                            \
    X(drilled_add)                                                                                                     \
    X(drilled_amend)                                                                                                   \
    X(drilled_withdraw)                                                                                                \
    X(drilled_show)                                                                                                    \
    X(drilled_list)                                                                                                    \
    X(pump_add)                                                                                                        \
    X(pump_amend)                                                                                                      \
    X(pump_withdraw)                                                                                                   \
    X(pump_show)                                                                                                       \
    X(pump_list)                                                                                                       \
    X(well_add)                                                                                                        \
    X(well_amend)                                                                                                      \
    X(well_withdraw)                                                                                                   \
    X(well_show)                                                                                                       \
    X(well_list)                                                                                                       \
    X(log_add)                                                                                                         \
    X(log_list)                                                                                                        \
    X(log_withdraw)                                                                                                    \
    X(log_show)                                                                                                        \
    X(lag)                                                                                                             \
    X(lag_at)                                                                                                          \
    X(lag_of)                                                                                                          \
    X(lag_schedule)                                                                                                    \
    X(check_add)                                                                                                       \
    X(check_amend)                                                                                                     \
    X(check_withdraw)                                                                                                  \
    X(check_show)                                                                                                      \
    X(check_list)                                                                                                      \
    X(check_reach)                                                                                                     \
    X(bag_add)                                                                                                         \
    X(bag_amend)                                                                                                       \
    X(bag_withdraw)                                                                                                    \
    X(bag_show)                                                                                                        \
    X(bag_list)                                                                                                        \
    X(correction_add)                                                                                                  \
    X(correction_list)                                                                                                 \
    X(correction_show)                                                                                                 \
    X(correction_reach)                                                                                                \
    X(correction_sign)                                                                                                 \
    X(correction_withdraw)                                                                                             \
    X(correction_evidence)                                                                                             \
    X(depth)                                                                                                           \
    X(label_print)                                                                                                     \
    X(label_list)                                                                                                      \
    X(label_layout)                                                                                                    \
    X(trace)                                                                                                           \
    X(history)                                                                                                         \
    X(sign)                                                                                                            \
    X(acts)                                                                                                            \
    X(compare)                                                                                                         \
    X(audit)                                                                                                           \
    X(convert)                                                                                                         \
    X(explain)                                                                                                         \
    X(recovery)                                                                                                        \
    X(join)                                                                                                            \
    X(send)                                                                                                            \
    X(verify)                                                                                                          \
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
