/* SPDX-License-Identifier: MIT */
/* The corrections of a hole, a row each: as listed, and in the audit. */
#ifndef CORETALLY_CMD_CORRECTION_ROWS_H
#define CORETALLY_CMD_CORRECTION_ROWS_H

#include "coretally/state/correction_roll.h"
#include "command.h"

/* The hole that the first argument names, and its correction that the second one numbers. */
MUST_CHECK enum status correction_find(struct run *run, struct correction_roll *roll, struct correction **out,
                                       struct err *err);

/* What is asked of the list. */
struct correction_asked {
    bool with_reach; /* what each moves, and its evidence in columns of its own */
    bool unsigned_only;
};

enum { CORRECTION_COLUMNS_MAX = 20 };
size_t correction_columns(const struct run *run, const struct correction_asked *asked,
                          struct column out[CORRECTION_COLUMNS_MAX]);

/* A row a correction, by number; with reach a further one for each sidetrack that it moves. *waiting: how many in force
 * are signed by nobody as they are. */
MUST_CHECK enum status correction_rows_add(struct run *run, const struct correction_roll *roll,
                                           const struct correction_asked *asked, struct sheet *sheet, size_t *waiting,
                                           struct err *err);

#endif
