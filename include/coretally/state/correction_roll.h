/* SPDX-License-Identifier: MIT */
/* The corrections of a hole: which there are, which are in force, who signed them, and the hole with others in force.
 */
#ifndef CORETALLY_STATE_CORRECTION_ROLL_H
#define CORETALLY_STATE_CORRECTION_ROLL_H

#include "coretally/domain/correction.h"
#include "coretally/domain/signature.h"
#include "coretally/state/resolve.h"

struct correction_roll {
    struct target target;   /* the hole, with those in force */
    struct correction *all; /* by number, withdrawn ones included; a copy of the roll's own */
    size_t count;
};

/* Read the hole of a typed name, and its corrections. */
MUST_CHECK enum status correction_roll_open(struct state *state, const char *typed, struct correction_roll *out,
                                            struct err *err);

/* The one of a number; NULL: not there. */
struct correction *correction_roll_find(const struct correction_roll *roll, int32_t number);

/* Has the hole one of this number in force? */
bool correction_in_force(const struct hole *hole, int32_t number);

/* The one that took its place; where that is withdrawn, the one that took its own. NULL: it is in force, or withdrawn.
 */
const struct correction *correction_successor(const struct correction_roll *roll, const struct correction *it);

/* The hole of the roll as it would be without one of its corrections. */
MUST_CHECK enum status hole_without(struct state *state, const struct correction_roll *roll,
                                    const struct correction *it, struct hole *out, struct err *err);

/* The same without those whose place it took, too, and they took. */
MUST_CHECK enum status hole_without_line(struct state *state, const struct correction_roll *roll,
                                         const struct correction *it, struct hole *out, struct err *err);

/* The signatures under a correction; an empty set where nobody signed. */
MUST_CHECK enum status state_signatures(struct state *state, const char *hole, int32_t number,
                                        struct signature_set *out, struct err *err);

#endif
