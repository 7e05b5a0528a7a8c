/* SPDX-License-Identifier: MIT */
/* The lag checks of a hole, a row each: as listed, and in the audit. */
#ifndef CORETALLY_CMD_CHECK_ROWS_H
#define CORETALLY_CMD_CHECK_ROWS_H

#include "coretally/state/lag_hole.h"
#include "command.h"

/* What a check of this number measures; NULL: it is not in the well. */
const struct lag_check_result *check_result(const struct lag_hole *hole, int32_t number);

enum { CHECK_COLUMNS = 12 };
void check_columns(const struct run *run, struct column out[CHECK_COLUMNS]);

/* By time of the tracer; what they measure is left open, with a note, where the lag cannot be worked out. */
MUST_CHECK enum status check_rows_add(struct run *run, const struct target *target, struct sheet *sheet,
                                      struct err *err);

#endif
