/* SPDX-License-Identifier: MIT */
/* Taking a pump log in: what its files share. A file is read as rows of text (log_csv.c, log_las.c); a mapping says
 * which column is what (log_map.c, log_named.c, log_unit.c); a row becomes cells (log_cells.c); the pumps are held
 * against the columns (log_pumps.c); rows are held against what is recorded, walked, and gathered day by day
 * (log_take.c, log_days.c); what is wrong is told (log_told.c); one commit takes all or nothing (cmd_log.c).
 */
#ifndef CORETALLY_CMD_LOG_SOURCE_H
#define CORETALLY_CMD_LOG_SOURCE_H

#include "coretally/state/log.h"
#include "import.h"

/* --- rows of text --- */

struct log_columns {
    const char *const *names;
    const char *const *units; /* LAS: of the curves, "" for none; CSV: NULL */
    size_t count;
    const char *empty; /* LAS: what stands in an empty cell; CSV: NULL */
};

/* What a reader calls: the columns once, then each row; what they are given ends with the call. */
struct log_taker {
    enum status (*columns)(void *context, const struct log_columns *columns, struct err *err);
    enum status (*row)(void *context, const char *const *cells, size_t line, struct err *err);
    void *context;
};

MUST_CHECK enum status log_csv_each(struct lines *lines, const struct log_taker *taker, struct err *err);

/* LAS 2.0, wrapped or not. */
MUST_CHECK enum status log_las_each(struct lines *lines, const struct log_taker *taker, struct err *err);

/* By --format, or by what the file begins with: LAS if its first line that is no remark opens section ~V. */
MUST_CHECK enum status log_each(struct lines *lines, const char *format, const struct log_taker *taker,
                                struct err *err);

/* --- columns to channels --- */

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

/* What else than nothing stands in an empty cell: a text, and all that is the same number. */
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

/* From --map FILE, --set LINES and, for what they leave out, columns named like ours. pumps: those of the hole. The
 * names of columns are copied. */
MUST_CHECK enum status log_mapping_read(struct run *run, const char *hole, int32_t zone_min,
                                        const struct pump_set *pumps, const struct log_columns *columns,
                                        struct log_mapping *out, struct err *err);

/* log_map.c: what the lines of a mapping are read with, and the steps of reading them. */
struct log_mapper {
    struct run *run;
    const char *hole;
    const struct pump_set *pumps;
    const struct log_columns *columns;
    struct log_mapping *mapping; /* filled */
};
/* mapping_line; the context is a struct log_mapper. */
MUST_CHECK enum status log_map_line(void *context, char *line, struct err *err);
/* "rate 2" to a channel; the text is cut up. */
MUST_CHECK enum status log_map_channel(const struct log_mapper *mapper, char *field, struct log_channel *out,
                                       struct err *err);
bool log_map_has(const struct log_mapping *mapping, const struct log_channel *channel);
MUST_CHECK enum status log_map_add(const struct log_mapper *mapper, const struct log_source *source, struct err *err);
MUST_CHECK enum status log_map_clock(const struct log_mapper *mapper, const char *column, const char *unit,
                                     const char *from, struct err *err);
MUST_CHECK enum status log_map_empty(struct log_mapping *mapping, const char *text, struct err *err);
/* The pump of this name among those recorded for the hole; NULL when there is none. */
const char *log_map_pump(const struct pump_set *pumps, const char *name);

/* "bit", "rate 2": a channel as the mapping names it. */
enum { LOG_FIELD_MAX = 32 };
void log_field(const struct log_channel *channel, char out[LOG_FIELD_MAX]);

/* log_unit.c: units of a column by kind, any case; false when it has no such unit. "" is taken where one goes without
 * saying. */
bool log_unit_find(enum log_kind kind, const char *unit, bool las, struct log_source *out);
bool log_time_unit_find(const char *unit, int64_t *unit_us);
const char *log_units(enum log_kind kind); /* for hints */

/* No pump and no line does more; a greater number is a slip. Common practice, no source. */
#define LOG_RATE_MOST 10000.0   /* strokes a minute */
#define LOG_FLOW_MOST 1000.0    /* m3 a minute */
#define LOG_STROKES_MOST 1.0e12 /* on a counter */

/* A constant, number and unit, as a cell of the kind. */
MUST_CHECK enum status log_constant(const char *typed, struct log_source *source, struct err *err);

/* --- a row to cells --- */

/* cells: the time and a cell a channel (domain/log.h). */
MUST_CHECK enum status log_cells(struct log_mapping *mapping, const char *const *row, size_t line, int64_t *cells,
                                 struct err *err);

/* A plain or exponential decimal number, at most 18 digits that count: digits / 10^places. */
struct decimal {
    int64_t digits;
    int places;
};
bool decimal_take(const char *text, struct decimal *out);
double decimal_value(const struct decimal *decimal);

/* --- pumps against columns --- */

/* At an instant of the log: every pump recorded by then, no mud counted twice, none left out unless --sure says so; the
 * words of what was doubted into *sure. */
MUST_CHECK enum status log_pumps_check(struct run *run, const char *hole, const struct pump_set *pumps,
                                       const struct log_mapping *mapping, int64_t utc_us, const char **sure,
                                       struct err *err);

/* One more word of what was doubted and kept. */
MUST_CHECK enum status log_add_sure(struct state *state, const char *word, const char **sure, struct err *err);

/* --- what is wrong, told --- */

enum { LOG_TOLD_MAX = 5 };

/* One row that has the fault. */
struct log_case {
    size_t line;
    int64_t time_us;
    char text[240];
};

struct log_tally {
    size_t counts[LOG_FAULT_COUNT];
    struct log_case cases[LOG_FAULT_COUNT][LOG_TOLD_MAX];
    struct log_case last[LOG_FAULT_COUNT];
};

/* What the walk found in a row, its step, and the walk as it was before the row. */
void log_tally_add(struct log_tally *tally, unsigned faults, const struct log_step *step, const struct log_walk *before,
                   const int64_t *cells, size_t line);
/* All kinds met, bridged ones as notes. */
void log_tally_tell(const struct log_tally *tally, unsigned bridge, FILE *talk);
/* "gap,reset" to a mask, and back with a separator. */
MUST_CHECK enum status log_bridge_parse(const char *words, unsigned *out, struct err *err);
void log_bridge_add(struct text *out, unsigned mask, const char *separator);

/* "2026-03-09T04:12:00Z"; "90 s", "2 h" */
struct log_words {
    char text[INSTANT_TEXT_MAX];
};
struct log_words log_time_words(int64_t utc_us);
struct log_words log_span_words(int64_t us);

/* A cell with its unit: "2310.500 m", "10234 strokes", "2.5 m3/min", "empty". */
struct log_cell_words {
    char text[LENGTH_TEXT_MAX + 16];
};
struct length_text log_cell_number(enum log_kind kind, int64_t cell); /* without its unit; depths in m */
struct log_cell_words log_cell_words(const struct log_channel *channel, int64_t cell);

/* --- days --- */

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

/* New rows, in the order of the file; the text of a day is made when the next one begins. */
struct log_days {
    struct run *run;
    const char *hole;
    struct log_block block; /* of the day under way: channels, gap, bridge and its rows */
    int64_t day;
    size_t row_room;
    struct arena arena; /* of the day under way */
    struct log_day_text *texts;
    size_t text_count;
    size_t text_room;
    size_t turns; /* how often another day began */
};

MUST_CHECK enum status log_days_add(struct log_days *days, const int64_t *cells, size_t line, struct err *err);
MUST_CHECK enum status log_days_end(struct log_days *days, struct err *err);

/* A file whose rows jump between days this often is in no order of time; each jump costs a day's work. */
enum { TURNS_MORE_THAN_DAYS = 100 };

/* --- the whole file --- */

struct log_take {
    struct run *run;
    const char *hole;
    int32_t zone_min;
    int64_t seafloor_um; /* below rig floor; LENGTH_NONE */
    const struct pump_set *pumps;
    const char *file;
    bool is_growing; /* a last line without a line end is still being written */
    int64_t gap_us;
    unsigned bridge;
    struct log_mapping mapping;
    struct log_channel channels[LOG_CHANNELS_MAX];
    int64_t *recorded; /* days */
    size_t recorded_count;
    struct log_stored last;   /* the last recorded day */
    struct log_stored looked; /* an earlier one, looked at */
    size_t turns;             /* how often */
    bool is_new;              /* the file has come to the end of what is recorded */
    struct log_walk walk;
    struct log_tally tally;
    struct log_days days;
    size_t row_count;
    size_t present;
    size_t added;
    bool is_doomed;   /* a fault that is not bridged */
    int64_t first_us; /* of the file */
    int64_t last_us;
    int64_t first_added_us;
    int64_t last_added_us;
    int64_t longest_us; /* step, and the line after it */
    size_t longest_line;
    const char *sure; /* words of what was doubted and kept; NULL */
    bool has_depth;   /* the first depth of the hole was looked at */
    int64_t next_ms;
};

/* Open the registry for reading; the hole of the first argument and its pumps; the options --bridge and --gap. target
 * and pumps live as long as take (cmd_log.c). */
MUST_CHECK enum status log_take_open(struct run *run, const char *file, struct target *target, struct pump_set *pumps,
                                     struct log_take *take, struct err *err);
/* Reads the file to its end; refuses, or leaves the new rows as texts of days. */
MUST_CHECK enum status log_take_file(struct log_take *take, struct err *err);
void log_take_clear(struct log_take *take);
const char *log_file_words(const struct log_take *take);

#endif
