/* SPDX-License-Identifier: MIT */
/* The expedition of a registry: started with it, and amended. */
#ifndef CORETALLY_ACT_EXPEDITION_H
#define CORETALLY_ACT_EXPEDITION_H

#include "coretally/act/draft.h"

/* The first act of a registry that is to be made; the state has no store yet. */
MUST_CHECK enum status expedition_start(struct state *state, const struct expedition *expedition, struct draft *out,
                                        struct err *err);
/* changed: state->expedition with other values. */
MUST_CHECK enum status expedition_amend(struct state *state, const struct expedition *changed, struct draft *out,
                                        struct err *err);

#endif
