/* SPDX-License-Identifier: MIT */
/* The form of a stored day of a pump log, for its writer and its reader: what may stand in it, and what a row is told
 * apart from. */
#ifndef CORETALLY_RECORD_LOG_DAY_FORM_H
#define CORETALLY_RECORD_LOG_DAY_FORM_H

#include "coretally/base/clock.h"
#include "coretally/record/log_day.h"

enum { LOG_FORMAT = 1 };

/* Refusals say these in words. */
_Static_assert(LOG_CHANNELS_MAX == 16 && PUMP_NAME_MAX == 16, "as in the refusals");
_Static_assert(LOG_DAY_ROWS_MAX == 2000000 && LOG_DAY_BLOCKS_MAX == 200, "as in the refusals");

/* The last time and its step, and the last value that each channel had. */
struct past {
    int64_t time_us;
    int64_t step_us;
    int64_t values[LOG_CHANNELS_MAX];
};

static inline bool is_time_of(int64_t day, int64_t time_us)
{
    return time_us >= day * DAY_US && time_us < (day + 1) * DAY_US;
}

static inline bool is_cell(int64_t cell)
{
    return cell >= -LOG_CELL_MAX && cell <= LOG_CELL_MAX;
}

/* NULL, or what is wrong: with the name of a hole; with the columns of a block; with the rest of its head, columns of
 * both already in order (before: the block before it, NULL for the first). */
const char *log_hole_wrong(const char *hole);
const char *log_columns_wrong(const struct log_block *block);
const char *log_head_wrong(const struct log_block *block, const struct log_block *before);

#endif
