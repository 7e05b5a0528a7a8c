/* SPDX-License-Identifier: MIT */
/* Fields that two sides set to different values, decided about (state/open.h). Every act that gives such a field
 * another value decides, and so does one that withdraws its record; settle decides by name, and may confirm what
 * stands. The decision takes the file of the contradiction away, in the same commit.
 */
#ifndef CORETALLY_ACT_SETTLE_H
#define CORETALLY_ACT_SETTLE_H

#include "coretally/act/draft.h"
#include "coretally/state/open.h"

struct settling {
    const struct open_point *point; /* of open_points_read */
    const char *value;  /* as it is typed for the amending command; "" takes the field out; NULL: what stands */
    const char *reason; /* of will */
};

/* The field set, by the act that amends a record of its kind, or confirmed. STATUS_RULE where such a record is not
 * amended. */
MUST_CHECK enum status settle(struct state *state, const struct settling *asked, struct draft *out, struct err *err);

/* What a draft decides beside what it is about: the open fields that it changes, those of what it withdraws; those of a
 * record that gets another name go along. Told in its notes. One look at the folder of each hole that it writes to. */
MUST_CHECK enum status draft_close_open(struct state *state, struct draft *draft, struct err *err);

#endif
