/* SPDX-License-Identifier: MIT */
/* A recorded day of a pump log, looked through row by row. */
#ifndef CORETALLY_STATE_LOG_STORED_H
#define CORETALLY_STATE_LOG_STORED_H

#include "coretally/domain/log.h"
#include "coretally/record/log_day.h"
#include "coretally/state/state.h"

/* One recorded day, decoded; rows by time. */
struct log_stored {
    struct arena arena;
    struct log_day day;
    bool is_there;
    struct log_stored_row *rows; /* in the order in which they stand */
    size_t *by_time;
    size_t row_count;
    size_t next; /* the row after the one that was found last */
};

/* A day of the log; its rows are good until stored is cleared or read again. */
MUST_CHECK enum status log_stored_read(struct state *state, const char *hole, int64_t day, struct log_stored *stored,
                                       struct err *err);
void log_stored_clear(struct log_stored *stored);

enum log_found { LOG_FOUND, LOG_FOUND_OTHER, LOG_FOUND_NOTHING };

/* Is this row recorded? OTHER: another one stands at its time, *other says which. */
enum log_found log_stored_find(struct log_stored *stored, const struct log_channel *channels, size_t count,
                               const int64_t *cells, const struct log_block **block, const int64_t **other);

/* The walk as the recorded rows leave it, for the channels of out. */
void log_stored_walk(const struct log_stored *stored, struct log_walk *out);
bool log_stored_at_end(const struct log_stored *stored); /* the last row was found last */
int64_t log_stored_first_us(const struct log_stored *stored);
int64_t log_stored_last_us(const struct log_stored *stored);

#endif
