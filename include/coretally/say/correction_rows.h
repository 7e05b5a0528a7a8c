/* SPDX-License-Identifier: MIT */
/* The corrections of a hole, a row each. */
#ifndef CORETALLY_SAY_CORRECTION_ROWS_H
#define CORETALLY_SAY_CORRECTION_ROWS_H

#include "coretally/ask/correction_facts.h"
#include "coretally/run/command.h"

/* The hole that the first argument names, and its correction that the second one numbers. */
MUST_CHECK enum status correction_find(struct run *run, struct correction_roll *roll, struct correction **out,
                                       struct err *err);

enum { CORRECTION_COLUMNS_MAX = 26 };
size_t correction_columns(const struct run *run, const struct corrections_asked *asked,
                          struct column out[CORRECTION_COLUMNS_MAX]);

/* A row a correction, by number; with reach a further one for each sidetrack that it moves, for another scale, and
 * against none where it took the place of one. */
MUST_CHECK enum status correction_rows_add(struct run *run, const struct corrections *all, struct sheet *sheet,
                                           struct err *err);

#endif
