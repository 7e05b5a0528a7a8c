/* SPDX-License-Identifier: MIT */
/* One day (UTC) of a hole's pump log as stored: rows as read, never cleaned.
 * Months of one-second rows must stay small, so this is the one kind of file
 * that is not JSON: lines of text, differences from row to row, in git as
 * readable as numbers can be.
 *
 *     coretally log 1
 *     hole U0013A
 *     day 2026-03-09
 *     columns bit hole strokes:1 rate:B          what each cell holds (domain/log.h), after the time
 *     gap 60                                     seconds; rows further apart are a gap
 *     bridge gap reset                           what the importer said to bridge; left out for nothing
 *     rows 86400
 *     1773014400000000 2310500000 2310500000 10234000 0      the first row in full, time in microseconds
 *     ...
 *
 * Every further row holds, a space between, the difference of its time from the step of the row before (so 0 for even
 * rows) and of each cell from the cell before; zeros at the end of a line are left out, "-" is an empty cell (the next
 * difference counts from the last value there was). A day may hold several blocks from "columns" on: each further one
 * begins where the columns, the gap or the bridges changed.
 */
#ifndef CORETALLY_RECORD_LOG_DAY_H
#define CORETALLY_RECORD_LOG_DAY_H

#include "coretally/base/text.h"
#include "coretally/domain/log.h"

struct log_block {
    struct log_channel channels[LOG_CHANNELS_MAX];
    size_t channel_count;
    int64_t gap_us;
    unsigned bridge;
    int64_t *cells; /* row_count rows of 1 + channel_count cells */
    size_t row_count;
};

struct log_day {
    const char *hole;
    int64_t day; /* days since 1970-01-01 */
    struct log_block *blocks;
    size_t block_count;
};

/* Rows and blocks of a whole day; cells lie within -LOG_CELL_MAX to LOG_CELL_MAX, so that no difference overflows. */
enum { LOG_DAY_ROWS_MAX = 2000000, LOG_DAY_BLOCKS_MAX = 200 };
#define LOG_CELL_MAX INT64_C(1000000000000000000)

/* "2026-03-09"; DAY_TEXT_MAX bytes. */
enum { DAY_TEXT_MAX = 16 };
void day_format(int64_t day, char out[DAY_TEXT_MAX]);
MUST_CHECK bool day_parse(const char *string, int64_t *out);

/* Same columns, gap and bridges: rows of both stand in one block. */
bool log_head_is_same(const struct log_block *a, const struct log_block *b);

/* Equal days give equal bytes. */
MUST_CHECK enum status log_day_encode(const struct log_day *day, struct arena *arena, struct bytes *out,
                                      struct err *err);

/* How many rows a day says that it has, told without decoding it; 0 of no day. */
size_t log_day_rows(struct bytes bytes);

/* Strict: STATUS_DAMAGED with the line otherwise. */
MUST_CHECK enum status log_day_decode(struct bytes bytes, struct arena *arena, struct log_day *out, struct err *err);

#endif
