/* SPDX-License-Identifier: MIT */
/* Holes added, amended and withdrawn. */
#ifndef CORETALLY_ACT_HOLE_H
#define CORETALLY_ACT_HOLE_H

#include "coretally/act/draft.h"
#include "coretally/state/resolve.h"

/* A new hole. The draft is refused with STATUS_EXISTS where one of its name stands with other values, and where the
 * hole that it leaves does not stand. */
MUST_CHECK enum status hole_add(struct state *state, const struct hole *typed, struct draft *out, struct err *err);
/* changed: target->hole with other values. */
MUST_CHECK enum status hole_amend(struct state *state, const struct target *target, const struct hole *changed,
                                  struct draft *out, struct err *err);
/* STATUS_RULE while a core of it stands, or a hole that leaves it. */
MUST_CHECK enum status hole_withdraw(struct state *state, const struct target *target, const char *reason,
                                     struct draft *out, struct err *err);

#endif
