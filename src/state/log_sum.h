/* SPDX-License-Identifier: MIT */
/* From the stored days of a pump log to the amounts that the lag compares. */
#ifndef CORETALLY_STATE_LOG_SUM_H
#define CORETALLY_STATE_LOG_SUM_H

#include "coretally/state/lag_hole.h"

/* Days first to last - 1 of the hole, walked and added up into hole->log (in hole->arena). STATUS_RULE where the log
 * counts a pump that is not recorded for its time. */
MUST_CHECK enum status log_sum(struct state *state, struct lag_hole *hole, size_t first, size_t last, struct err *err);

/* Times of the first and last row of a day; either may be NULL. */
MUST_CHECK enum status log_day_span(struct state *state, const struct lag_hole *hole, size_t day, int64_t *first_us,
                                    int64_t *last_us, struct err *err);

#endif
