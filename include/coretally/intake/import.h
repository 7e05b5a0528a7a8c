/* SPDX-License-Identifier: MIT */
/* Import of whole tables. A file is read (csv.h) and mapped (mapping.h); each row becomes a record, which is held
 * against the registry and the other rows; figures that the file carries beside are held against ours. Nothing is
 * written: what the rows change comes back as one draft.
 */
#ifndef CORETALLY_INTAKE_IMPORT_H
#define CORETALLY_INTAKE_IMPORT_H

#include "coretally/act/draft.h"
#include "coretally/intake/mapping.h"
#include "coretally/state/resolve.h"

struct import_asked {
    enum import_kind kind;
    struct mapping_asked mapping;
    bool each; /* name every row and every figure, not just the first ones; judge recorded rows, too */
};

/* Rows that are named of a rule, differences of a column, unless each is asked for. */
enum { NOTE_ROWS_MAX = 10, DIFFERENCES_MAX = 20 };

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

/* A core of the file: what the registry has of it, what it will be. Of a table of bags: a hole. */
struct import_core {
    struct target target;
    struct core before; /* of a table of sections: as the registry has it */
    struct core former; /* of a new core: another one that had its name before; hole NULL: none had */
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
    struct state *state;
    struct import_asked asked;
    struct table_text table;
    struct mapping mapping;
    struct import_core **cores;
    size_t core_count;
    size_t core_room;
    struct import_core **row_cores; /* the core of each row, NULL for a refused row */
    void **row_records;             /* the struct core, section or sample that each row became */
    struct tally_of_rows tally;
    struct draft draft; /* what the rows change */
};

/* The file ("-": in) and its mapping; needs no registry. */
MUST_CHECK enum status import_read(struct arena *arena, const struct import_asked *asked, FILE *in, const char *path,
                                   struct import *out, struct err *err);

/* All rows against the registry; what they change is drafted unless one is refused, which is told with its line and
 * counted. */
MUST_CHECK enum status import_rows(struct import *import, struct state *state, struct err *err);

/* --- figures of the file against ours --- */

struct import_difference {
    size_t line;
    const char *theirs;
    const char *ours; /* "": we have none */
};

struct import_compared {
    const char *header;
    const char *unit;
    int decimals; /* the most that the file has: to which figures are compared */
    size_t compared;
    size_t equal;
    int64_t farthest_micro; /* millionths of the unit */
    struct import_difference *differences;
    size_t difference_count; /* told of, DIFFERENCES_MAX at most unless each is asked for */
    size_t difference_room;
};

/* The column of one comparison of the mapping; of rows that the registry has, or is to have. */
MUST_CHECK enum status import_compare(const struct import *import, size_t which, struct import_compared *out,
                                      struct err *err);

#endif
