/* SPDX-License-Identifier: MIT */
/* Bags of cuttings, gas and mud added, amended and withdrawn. A target has the hole, the set of the hundred and, where
 * it is recorded, the bag. */
#ifndef CORETALLY_ACT_BAG_H
#define CORETALLY_ACT_BAG_H

#include "coretally/act/draft.h"
#include "coretally/state/bag.h"

/* A draft with the depth that the bag would have; depth.why: none is known yet. */
struct bag_draft {
    struct draft draft;
    struct lag_depth depth;
};

/* STATUS_EXISTS where one of its number has other values; STATUS_RULE in a hole without returns on board. */
MUST_CHECK enum status bag_add(struct state *state, const struct bag_target *at, const struct bag *typed,
                               struct bag_draft *out, struct err *err);
/* changed: at->bag with other readings. */
MUST_CHECK enum status bag_amend(struct state *state, const struct bag_target *at, const struct bag *changed,
                                 struct bag_draft *out, struct err *err);
/* The same by somebody who is sure: also what is doubted since registries were joined is kept, and marked, although
 * nothing else may change. */
MUST_CHECK enum status bag_keep(struct state *state, const struct bag_target *at, const struct bag *changed,
                                struct bag_draft *out, struct err *err);
MUST_CHECK enum status bag_withdraw(struct state *state, const struct bag_target *at, const char *reason,
                                    struct draft *out, struct err *err);

/* --- parts of these --- */

/* Do they say the same, whatever was doubted of the second one and whichever version it is? */
bool bag_is_same(const struct bag *a, const struct bag *b);
/* Put it into the set by its number. *room: of set->bags; as many as there are where they were read. */
MUST_CHECK enum status bag_insert(struct state *state, struct bag_set *set, size_t *room, const struct bag *bag,
                                  struct err *err);

#endif
