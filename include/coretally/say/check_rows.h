/* SPDX-License-Identifier: MIT */
/* The lag checks of a hole, a row each: as listed, and in the audit. */
#ifndef CORETALLY_SAY_CHECK_ROWS_H
#define CORETALLY_SAY_CHECK_ROWS_H

#include "coretally/ask/lag_checks.h"
#include "coretally/run/command.h"

enum { CHECK_COLUMNS = 12 };
void check_columns(const struct run *run, struct column out[CHECK_COLUMNS]);

/* What they measure is left open, with a note, where the lag cannot be worked out. */
MUST_CHECK enum status check_rows_add(struct run *run, const struct lag_checks *checks, struct sheet *sheet,
                                      struct err *err);

#endif
