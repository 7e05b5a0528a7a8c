/* SPDX-License-Identifier: MIT */
/* Import of whole tables: what its files share. A file is read (intake/csv.h) and mapped (intake/mapping.h), its rows
 * are held against the registry and one another (import_rows.c), and one commit takes all or nothing (cmd_import.c).
 */
#ifndef CORETALLY_CMD_IMPORT_H
#define CORETALLY_CMD_IMPORT_H

#include "coretally/domain/depth.h"
#include "coretally/intake/mapping.h"
#include "command.h"

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
