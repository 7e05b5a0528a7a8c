/* SPDX-License-Identifier: MIT */
/* What the commands on corrections share: the corrections of a hole, new ones made from what was typed. */
#ifndef CORETALLY_CMD_CORRECTION_ACT_H
#define CORETALLY_CMD_CORRECTION_ACT_H

#include "coretally/domain/correction.h"
#include "command.h"

/* A hole, what it has, and what is to be added to it. */
struct draft {
    struct target target;
    struct correction *all; /* as recorded, with room for one more */
    size_t count;
    struct correction added;
    bool is_present; /* the registry has it already: added is that one */
};

enum { DRAFTS_MAX = 40 }; /* holes of one table */

struct drafts {
    struct draft *items;
    size_t count;
};

/* Read the hole of a typed name, and its corrections. */
MUST_CHECK enum status draft_open(struct run *run, const char *typed, struct draft *out, struct err *err);

/* correction_table.c: the rows of a CSV file into the drafts, one a hole, the first one there already. kind is that of
 * the first; offsets that were left out are worked out. */
MUST_CHECK enum status correction_table_read(struct run *run, const char *path, struct drafts *drafts, struct err *err);

/* correction_tie.c: offsets from features and from the core above, in the order of the file. */
struct tie_row {
    size_t draft;
    size_t line;
    struct core_offset offset; /* offset_um LENGTH_NONE: to be found */
};
MUST_CHECK enum status ties_find(struct run *run, const char *path, struct drafts *drafts, struct tie_row *rows,
                                 size_t count, struct err *err);
/* Gaps and overlaps between the intervals of a splice, over all holes. */
MUST_CHECK enum status splice_check(struct run *run, const struct drafts *drafts, struct findings *findings,
                                    struct err *err);

/* The header line of a table: "tide", "composite", ...; false for a kind without one. */
bool correction_template(const char *word, struct text *out);

#endif
