/* SPDX-License-Identifier: MIT */
/* Days of a pump log withdrawn. Rows that a file adds are drafted where it is read (intake/log_take.h). */
#ifndef CORETALLY_ACT_LOG_H
#define CORETALLY_ACT_LOG_H

#include "coretally/act/draft.h"
#include "coretally/state/resolve.h"

/* All days from one on, a day since 1970-01-01, UTC; history keeps them. STATUS_UNKNOWN where there is none. */
MUST_CHECK enum status log_withdraw(struct state *state, const struct target *target, int64_t from_day,
                                    struct draft *out, struct err *err);

#endif
