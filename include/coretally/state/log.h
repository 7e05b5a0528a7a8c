/* SPDX-License-Identifier: MIT */
/* Stored days of a pump log. */
#ifndef CORETALLY_STATE_LOG_H
#define CORETALLY_STATE_LOG_H

#include "coretally/record/log_day.h"
#include "coretally/state/state.h"

/* The day since 1970-01-01, UTC, of an instant. */
int64_t log_day_of(int64_t utc_us);

/* A stored day decoded; STATUS_DAMAGED with its path, also where it tells of another hole or day. */
MUST_CHECK enum status log_day_open(struct bytes bytes, const char *hole, int64_t day, struct arena *arena,
                                    struct log_day *out, struct err *err);

/* A day with rows that are not recorded yet. */
struct log_day_text {
    int64_t day;
    char before[HASH_TEXT_MAX]; /* id of what is recorded; "": nothing */
    struct bytes after;
};

/* A recorded day; NULL where there is none. It is good until another day is asked for. The days that were asked for
 * last stay at hand, as many as DAYS_SHELVED_BYTES hold, so that a log which fits is read once. */
MUST_CHECK enum status state_log_day(struct state *state, const char *hole, int64_t day, const struct log_day **out,
                                     struct err *err);
/* The same as it is stored, for who keeps rows of several days; data NULL where there is none. */
MUST_CHECK enum status state_log_bytes(struct state *state, const char *hole, int64_t day, struct bytes *out,
                                       struct err *err);
void day_shelf_clear(struct state_shared *shared);

#endif
