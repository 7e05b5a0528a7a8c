/* SPDX-License-Identifier: MIT */
/* A day of the pump log as a set of rows. Inside the join room only. */
#ifndef CORETALLY_JOIN_LOG_ROWS_H
#define CORETALLY_JOIN_LOG_ROWS_H

#include "coretally/base/arena.h"
#include "coretally/record/log_day.h"

struct day_row {
    const struct log_block *block; /* its columns, gap and bridges belong to it */
    const int64_t *cells;
};

struct day_rows {
    struct day_row *items;
    size_t count;
    bool is_ordered; /* the clock never runs back in it */
};

MUST_CHECK enum status day_rows_of(const struct log_day *day, struct arena *arena, struct day_rows *out,
                                   struct err *err);

/* Has whole all rows of part? */
bool day_rows_hold(const struct day_rows *whole, const struct day_rows *part);

/* Are there rows in both that the other has not, in hours that are not apart? */
bool day_rows_clash(const struct day_rows *a, const struct day_rows *b);

/* The rows of both, which do not clash, in the order of time. */
MUST_CHECK enum status day_rows_join(const struct day_rows *a, const struct day_rows *b, struct arena *arena,
                                     struct day_rows *out, struct err *err);

/* Do they go into one day? */
bool day_rows_fit(const struct day_rows *rows);

/* A day of these rows: blocks are left to the caller's arena. */
MUST_CHECK enum status day_of_rows(const struct day_rows *rows, struct arena *arena, struct log_day *out,
                                   struct err *err);

#endif
