/* SPDX-License-Identifier: MIT */
/* What the files that read the mapping of a pump log share: its lines (log_map.c), columns by their names
 * (log_named.c), units (log_unit.c), and numbers as they stand in cells (log_cells.c). */
#ifndef CORETALLY_INTAKE_LOG_MAPPER_H
#define CORETALLY_INTAKE_LOG_MAPPER_H

#include "coretally/intake/log_mapping.h"

/* --- log_map.c --- */

/* What the lines of a mapping are read with, and the steps of reading them. */
struct log_mapper {
    struct arena *arena;
    const struct logged_hole *hole;
    const struct log_columns *columns;
    struct log_mapping *mapping; /* filled */
};
/* mapping_line; the context is a struct log_mapper. */
MUST_CHECK enum status log_map_line(void *context, char *line, struct err *err);
/* "rate 2" to a channel; the text is cut up. */
MUST_CHECK enum status log_map_channel(const struct log_mapper *mapper, char *field, struct log_channel *out,
                                       struct err *err);
MUST_CHECK enum status log_map_add(const struct log_mapper *mapper, const struct log_source *source, struct err *err);
MUST_CHECK enum status log_map_clock(const struct log_mapper *mapper, const char *column, const char *unit,
                                     const char *from, struct err *err);
MUST_CHECK enum status log_map_empty(struct log_mapping *mapping, const char *text, struct err *err);
/* The pump of this name among those recorded for the hole; NULL when there is none. */
const char *log_map_pump(const struct pump_set *pumps, const char *name);

/* --- log_unit.c --- */

/* Units of a column by kind, any case; false when it has no such unit. "" is taken where one goes without saying. */
bool log_unit_find(enum log_kind kind, const char *unit, bool las, struct log_source *out);
bool log_time_unit_find(const char *unit, int64_t *unit_us);
const char *log_units(enum log_kind kind); /* for hints */

/* No pump and no line does more; a greater number is a slip. Common practice, no source. */
#define LOG_RATE_MOST 10000.0   /* strokes a minute */
#define LOG_FLOW_MOST 1000.0    /* m3 a minute */
#define LOG_STROKES_MOST 1.0e12 /* on a counter */

/* A constant, number and unit, as a cell of the kind. */
MUST_CHECK enum status log_constant(const char *typed, struct log_source *source, struct err *err);

/* --- log_cells.c --- */

/* A plain or exponential decimal number, at most 18 digits that count: digits / 10^places. */
struct decimal {
    int64_t digits;
    int places;
};
bool decimal_take(const char *text, struct decimal *out);
double decimal_value(const struct decimal *decimal);

#endif
