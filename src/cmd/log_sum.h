/* SPDX-License-Identifier: MIT */
/* From the stored days of a pump log to the amounts that the lag compares. */
#ifndef CORETALLY_CMD_LOG_SUM_H
#define CORETALLY_CMD_LOG_SUM_H

#include "lag_hole.h"

/* Days first to last - 1 of the hole, walked and added up into hole->log (in hole->arena). STATUS_RULE where the log
 * counts a pump that is not recorded for its time. */
MUST_CHECK enum status log_sum(struct run *run, struct lag_hole *hole, size_t first, size_t last, struct err *err);

/* Times of the first and last row of a day; either may be NULL. */
MUST_CHECK enum status log_day_span(struct run *run, const struct lag_hole *hole, size_t day, int64_t *first_us,
                                    int64_t *last_us, struct err *err);

/* The same for rows that are not in the registry yet: add them behind what hole->log holds. room: rows that the arrays
 * have place for. */
struct log_gap {
    int64_t before_us; /* the last row before it */
    int64_t after_us;
};

struct log_sum {
    struct lag_hole *hole;
    size_t last_day; /* days before this one are to come */
    struct log_walk walk;
    struct log_channel channels[LOG_CHANNELS_MAX];
    size_t channel_count;
    const struct pump *pumps[LOG_CHANNELS_MAX]; /* in force; NULL for flows and depths */
    int64_t pumps_until_us;                     /* when one of them changes */
    const struct geometry *state;
    int64_t state_until_us;
    bool counts_strokes;
    struct log_gap *gaps_us;
    size_t gap_count;
    size_t gap_room;
};

void log_sum_block(struct log_sum *sum, const struct log_block *block);
MUST_CHECK enum status log_sum_row(struct log_sum *sum, const int64_t *cells, struct err *err);

/* Arrays for so many rows, what is there already kept. */
MUST_CHECK enum status log_sum_room(struct lag_hole *hole, size_t rows, struct err *err);

#endif
