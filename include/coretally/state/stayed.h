/* SPDX-License-Identifier: MIT */
/* Samples and labels under a number that no core has. One side gave the core another number, the other side wrote under
 * the old one, and git joined the two without a conflict: what was written stayed behind. No list can show it, and a
 * further core of that number would have it as its own. */
#ifndef CORETALLY_STATE_STAYED_H
#define CORETALLY_STATE_STAYED_H

#include "coretally/state/read.h"

struct stayed {
    size_t samples;
    size_t labels;
};

/* "2 samples, 1 label". */
enum { STAYED_TEXT_MAX = 80 };
void stayed_things(const struct stayed *stayed, char out[STAYED_TEXT_MAX]);

/* What stands under a number that no core has. */
MUST_CHECK enum status stayed_find(struct state *state, const char *hole, int32_t number, struct stayed *out,
                                   struct err *err);

/* For a core that is to have this number: STATUS_RULE, and how to bring the samples back to their core. */
MUST_CHECK enum status stayed_refuse(struct state *state, const char *hole, int32_t number, const char *name,
                                     const struct stayed *stayed, struct err *err);

/* A note for each number of the hole, with lists of its cores and samples. */
MUST_CHECK enum status stayed_say(struct state *state, const char *hole, struct err *err);

#endif
