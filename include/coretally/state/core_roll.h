/* SPDX-License-Identifier: MIT */
/* What stands around a core by number, for the rules that compare it with its neighbours. */
#ifndef CORETALLY_STATE_CORE_ROLL_H
#define CORETALLY_STATE_CORE_ROLL_H

#include "coretally/domain/rule.h"
#include "coretally/state/state.h"

/* The cores of a hole in the order of their numbers, each read once, when it is first asked for. */
struct core_roll {
    struct state *state;
    const char *hole;
    int32_t *numbers;
    size_t count;
    const struct core **cores; /* NULL: not read yet */
    struct drilled_set drilled;
};
/* hole is kept as it is; it must last as long as the roll. */
MUST_CHECK enum status core_roll_open(struct state *state, const char *hole, struct core_roll *out, struct err *err);
MUST_CHECK enum status core_roll_at(struct core_roll *roll, size_t at, const struct core **out, struct err *err);
/* The nearest standing cores by number, and the drilled intervals; without the core that has the number itself, and
 * without that of the number left_out (0: none). */
MUST_CHECK enum status core_roll_around(struct core_roll *roll, int32_t number, int32_t left_out,
                                        struct core_neighbours *out, struct err *err);
/* The nearest standing cores that have their time on deck, put beside the neighbours; left_out as above. */
MUST_CHECK enum status core_roll_timed(struct core_roll *roll, int32_t number, int32_t left_out,
                                       struct core_neighbours *out, struct err *err);
/* The nearest recorded number below this one, withdrawn ones included; 0: none. */
int32_t core_roll_below(const struct core_roll *roll, int32_t number);

/* The neighbours alone, for who asks once. */
MUST_CHECK enum status resolve_neighbours(struct state *state, const char *hole, int32_t number,
                                          struct core_neighbours *out, struct err *err);

#endif
