/* SPDX-License-Identifier: MIT */
/* The columns of a pump log to channels, and a row of text to cells. */
#ifndef CORETALLY_INTAKE_LOG_MAPPING_H
#define CORETALLY_INTAKE_LOG_MAPPING_H

#include "coretally/domain/log.h"
#include "coretally/intake/log_rows.h"
#include "coretally/intake/mapping.h"

/* A column, and what a number in it means: number * numerator / denominator, in the unit of the channel's cells. */
struct log_source {
    struct log_channel channel;
    const char *name; /* of the column */
    size_t column;    /* SIZE_MAX: constant */
    int64_t constant;
    int64_t numerator;
    int64_t denominator;
};

/* Which column is the time; the text of a day that was read last is kept, as the next row has it, too. */
struct log_clock {
    const char *name;
    size_t column; /* SIZE_MAX: not mapped yet */
    bool is_number;
    int64_t unit_us; /* number: of this many microseconds ... */
    int64_t from_us; /* ... since this instant */
    int32_t zone_min;
    char day_text[12];
    char zone_text[12];
    int64_t midnight_us; /* 00:00 of that day in that zone */
};

/* What an empty cell may hold instead of nothing: a text, and all that is the same number. */
enum { LOG_EMPTY_MAX = 32, LOG_EMPTIES_MAX = 4 };
struct log_empty {
    char text[LOG_EMPTY_MAX];
    bool is_number;
    double value;
};

struct log_mapping {
    struct log_clock clock;
    struct log_source sources[LOG_CHANNELS_MAX]; /* in the order of kinds, then of pumps */
    size_t count;
    struct log_empty empties[LOG_EMPTIES_MAX];
    size_t empty_count;
    struct log_channel left_out[LOG_CHANNELS_MAX]; /* not taken by name */
    size_t left_out_count;
};

/* The hole whose log it is, as far as reading needs it. */
struct logged_hole {
    const char *name;
    int32_t zone_min;    /* ship's time; INT_NONE: not known */
    int64_t seafloor_um; /* below rig floor; LENGTH_NONE */
    struct pump_set pumps;
};

/* The mapping as asked and, for what it leaves out, columns named like ours. The names of columns are copied. */
MUST_CHECK enum status log_mapping_read(struct arena *arena, const struct mapping_asked *asked,
                                        const struct logged_hole *hole, const struct log_columns *columns,
                                        struct log_mapping *out, struct err *err);
bool log_map_has(const struct log_mapping *mapping, const struct log_channel *channel);

/* cells: the time and a cell a channel (domain/log.h). */
MUST_CHECK enum status log_cells(struct log_mapping *mapping, const char *const *row, size_t line, int64_t *cells,
                                 struct err *err);

#endif
