/* SPDX-License-Identifier: MIT */
/* Taking a pump log in. A file is read as rows of text (log_rows.h); a mapping says which column is what and makes
 * cells of a row (log_mapping.h); the pumps are checked against the columns (log_pumps.c); rows are compared with what
 * is recorded, walked, and gathered day by day (log_take.c, log_days.c); what is wrong is counted and listed
 * (log_told.c).
 */
#ifndef CORETALLY_INTAKE_LOG_TAKE_H
#define CORETALLY_INTAKE_LOG_TAKE_H

#include "coretally/act/draft.h"
#include "coretally/intake/log_mapping.h"
#include "coretally/intake/log_words.h"
#include "coretally/state/log.h"
#include "coretally/state/log_stored.h"
#include "coretally/state/resolve.h"

/* What was asked of a log. */
struct log_asked {
    const char *file;   /* "-": standard input */
    const char *format; /* log_each */
    struct mapping_asked mapping;
    int64_t gap_us;  /* rows further apart than this are a gap */
    unsigned bridge; /* log_bridge_parse */
    bool is_sure;
    bool is_growing; /* a last line without a line end is still being written */
};

/* --- pumps against columns --- */

/* What was doubted and kept. */
struct log_kept {
    bool is_sure;      /* doubted things are kept without being said in the mapping */
    const char *words; /* each once, separated by a space; NULL: nothing */
};
/* One more word. */
MUST_CHECK enum status log_kept_add(struct state *state, const char *word, struct log_kept *kept, struct err *err);

/* At an instant of the log: every pump recorded by then, no mud counted twice, none left out unless it was said so. */
MUST_CHECK enum status log_pumps_check(struct state *state, const struct logged_hole *hole,
                                       const struct log_mapping *mapping, int64_t utc_us, struct log_kept *kept,
                                       struct err *err);

/* --- what is wrong --- */

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
/* All kinds met, in lines; bridged ones as notes. */
void log_tally_text(const struct log_tally *tally, unsigned bridge, struct text *out);

/* --- days --- */

/* New rows, in the order of the file; the text of a day is made when the next one begins. */
struct log_days {
    struct state *state;
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
    struct state *state;
    struct log_asked asked;
    struct logged_hole hole;
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
    struct log_kept kept;
    bool has_depth; /* the first depth of the hole was looked at */
    int64_t next_ms;
};

/* The hole of a log, its pumps and the days that are recorded; target lives as long as take. */
MUST_CHECK enum status log_take_open(struct state *state, const struct target *target, const struct log_asked *asked,
                                     struct log_take *take, struct err *err);
/* Reads the file ("-": in) to its end; refuses, or leaves the new rows as texts of days. What it finds is told. */
MUST_CHECK enum status log_take_file(struct log_take *take, FILE *in, struct err *err);
void log_take_clear(struct log_take *take);
const char *log_file_words(const struct log_take *take);

/* --- what it changes --- */

/* What a file is checked against, as it is read: reading takes its time, and another act may come in between. */
struct log_basis { /* ids */
    char hole[HASH_TEXT_MAX];
    char pumps[HASH_TEXT_MAX];
    char last_day[HASH_TEXT_MAX];
};
MUST_CHECK enum status log_basis_read(struct state *state, const struct log_take *take, struct log_basis *out,
                                      struct err *err);
/* STATUS_CONFLICT unless it stands, with every day that the file adds to, in this state, too. */
MUST_CHECK enum status log_basis_check(struct state *state, const struct log_take *take, const struct log_basis *basis,
                                       struct err *err);

/* The days, as they are with the new rows. */
MUST_CHECK enum status log_draft(const struct log_take *take, struct draft *out, struct err *err);

#endif
