/* SPDX-License-Identifier: MIT */
/* Import of whole tables: what its files share. A file is read (import_csv.c) and mapped (mapping_lines.c,
 * import_map.c), its rows are held against the registry and one another (import_rows.c), and one commit takes all or
 * nothing (cmd_import.c).
 */
#ifndef CORETALLY_CMD_IMPORT_H
#define CORETALLY_CMD_IMPORT_H

#include "coretally/domain/depth.h"
#include "command.h"

enum import_kind { IMPORT_CORES, IMPORT_SECTIONS, IMPORT_SAMPLES, IMPORT_BAGS };

/* Where one field of the rows comes from. */
struct source {
    const char *field;      /* field of the record, or expedition, site, hole, core, type, catcher */
    const struct field *as; /* NULL for those that only name */
    size_t column;          /* SIZE_MAX: constant */
    const char *constant;
    enum length_unit unit;
    enum datum datum; /* of top and bottom of cores; NONE where it was not said */
};

/* A figure in the file that is compared with ours. */
enum compared { COMPARE_RECOVERY, COMPARE_DSF, COMPARE_CSF_A, COMPARE_CSF_B, COMPARE_CCSF, COMPARE_COUNT };
struct comparison {
    enum compared what;
    bool at_bottom;
    size_t column;
    enum length_unit unit;
};

struct table_text {
    const char **cells; /* row by row; the header is row 0 */
    size_t columns;
    size_t rows;
    const size_t *lines; /* the line on which each row begins */
};

enum { SOURCES_MAX = 40, COMPARISONS_MAX = 8 };

struct mapping {
    struct source sources[SOURCES_MAX];
    size_t source_count;
    struct comparison comparisons[COMPARISONS_MAX];
    size_t comparison_count;
    bool keep_doubtful;
};

/* A text file, or standard input, line by line in bounded memory. */
struct lines {
    FILE *file;
    const char *path;
    bool is_own;
    bool is_growing; /* a last line without its end is left for later */
    bool is_ended;   /* nothing more comes from the file */
    char *data;
    size_t start; /* what is held and was not given out yet */
    size_t end;
    size_t room;
    size_t number; /* of the line given out last */
};

/* As many columns as there may be, each as long as a cell may be, every byte of it a doubled quote. */
enum { LINE_BYTES_MAX = 32 << 20 };

/* "-" is the input of the run. Standard input stays open when it is closed here. */
MUST_CHECK enum status lines_open(struct run *run, const char *path, struct lines *out, struct err *err);
void lines_close(struct lines *lines);
/* What comes next, some hundred thousand bytes at most, and still comes. */
MUST_CHECK enum status lines_peek(struct lines *lines, struct bytes *out, struct err *err);
/* The next line with its line end, good until the next call and free to be written over; NULL at the end of the file.
 * The byte behind the last line may be written, too. */
MUST_CHECK enum status lines_next(struct lines *lines, char **line, size_t *len, struct err *err);

/* The rows of a CSV file (RFC 4180), the header first, every row as wide as it; cells are good during the call. */
typedef enum status csv_row(void *context, const char *const *cells, size_t count, size_t line, struct err *err);
MUST_CHECK enum status csv_each(struct lines *lines, csv_row *on_row, void *context, struct err *err);

/* All of a CSV file; or all that is left of one that was opened. */
MUST_CHECK enum status csv_read(struct run *run, const char *path, struct table_text *out, struct err *err);
MUST_CHECK enum status csv_gather(struct state *state, struct lines *lines, struct table_text *out, struct err *err);

/* The lines of --map FILE, then those of --set, without remarks and blanks around, none empty. A line is the callee's
 * to cut up and good as long as the run; what is wrong with it is told with its number. */
typedef enum status mapping_line(void *context, char *line, struct err *err);
MUST_CHECK enum status mapping_each_line(struct run *run, mapping_line *on_line, void *context, struct err *err);

/* The mapping from --map FILE, --set LINES and, for what they leave out, columns named like ours. */
MUST_CHECK enum status mapping_read(struct run *run, enum import_kind kind, const struct table_text *table,
                                    struct mapping *out, struct err *err);

const struct table *import_table(enum import_kind kind);
MUST_CHECK enum status import_kind_find(const char *word, enum import_kind *out, struct err *err);
MUST_CHECK enum status import_template(const char *word, struct text *out, struct err *err);

/* Rows named by a note without --each; with it all of them. */
enum { NOTE_ROWS_MAX = 10 };

/* What a rule found in rows: how many, and the first of them by name. */
struct rule_rows {
    size_t count; /* of rows */
    size_t last;  /* the row counted last: one may have several findings of a rule */
    const char **texts;
    size_t text_count;
    size_t text_room;
};

/* What became of the rows. */
struct tally_of_rows {
    size_t added;
    size_t present;
    size_t refused;
    size_t doubtful;
    struct rule_rows told[RULE_COUNT];
    struct rule_rows kept[RULE_COUNT];
};

/* A core of the file: what the registry has of it, what it will be. */
struct import_core {
    struct target target;
    struct core before; /* of a table of sections: as the registry has it */
    bool there;
    bool changed;
    bool judged;
    const char *refused; /* why none of its rows can be taken; NULL */
    bool samples_changed;
    struct sample_set set; /* grows */
    size_t set_room;
    size_t old_samples; /* how many of the set the registry had */
    bool *matched;      /* of those, which a row of the file has claimed */
};

struct import {
    struct run *run;
    enum import_kind kind;
    struct table_text table;
    struct mapping mapping;
    struct import_core **cores;
    size_t core_count;
    size_t core_room;
    struct import_core **row_cores; /* the core of each row, NULL for a refused row */
    void **row_records;             /* the struct core, section or sample that each row became */
    struct tally_of_rows tally;
    FILE *rejects; /* where bad rows are told */
};

/* import_bags.c: all rows; the sets that they change. */
MUST_CHECK enum status import_bags(struct import *import, struct writing **out, size_t *count, struct err *err);

/* The text of a naming field (hole, core, type, ...) in a row; "" when it is not mapped. */
const char *row_named_cell(const struct import *import, size_t row, const char *field);
/* import_rows.c: tell a bad row with its line; from then on it has no core. */
void row_refuse(struct import *import, size_t row, const char *format, ...) PRINTF_LIKE(3, 4);
/* The same, for a record that the registry has with other values. */
void row_refuse_other(struct import *import, size_t row, const struct table *table, const void *present,
                      const void *typed);
/* Refuse the row unless its findings may be kept; the words of kept ones into *kept, NULL for none. */
MUST_CHECK enum status row_judge(struct import *import, size_t row, const struct findings *findings, const char **kept,
                                 bool *fine, struct err *err);
/* The mapped fields of a row into a record; *fine false (and the row refused) when one is not well formed. */
MUST_CHECK enum status row_take_fields(struct import *import, size_t row, const struct import_core *core, void *record,
                                       bool *fine, struct err *err);
/* Has it what a record cannot be without? Otherwise the row is refused. */
bool row_is_complete(struct import *import, size_t row, const void *record);
/* Does the row's catcher column say yes? */
bool row_is_catcher(const struct import *import, size_t row);
/* import_samples.c */
MUST_CHECK enum status row_to_sample(struct import *import, size_t row, struct import_core *core, struct err *err);

MUST_CHECK enum status import_rows(struct import *import, struct err *err);
MUST_CHECK enum status import_compare(struct import *import, struct err *err);

#endif
