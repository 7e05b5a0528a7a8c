/* SPDX-License-Identifier: MIT */
/* The kinds of act, and what each may do: which records, which of their fields, how many, with or without a reason. One
 * table (src/kind/kind.c). An act's draft is held against it before it is written (act/draft.h), and so is each commit
 * of a history by verify; commands take the fields that they offer from the same lists.
 *
 * What an act did is found from the records before and after: deed.h.
 */
#ifndef CORETALLY_KIND_KIND_H
#define CORETALLY_KIND_KIND_H

#include "coretally/record/field.h"

/* What became of a record, or of an item of a file. */
enum done {
    DONE_ADDED = 1,
    DONE_APPENDED = 2, /* behind those of a list that only grows, or rows behind those of a day of the log */
    DONE_AMENDED = 4,
    DONE_KEPT = 8,      /* nothing but the count of its versions: kept against a doubt */
    DONE_FOLLOWED = 16, /* a sub-sample, where its parent went */
    DONE_WITHDRAWN = 32,
    DONE_RESTORED = 64,
    DONE_REMOVED = 128 /* the file is gone */
};

/* Parts without a table of their own. */
extern const struct table log_day_part;
extern const struct table evidence_part;

/* One line of what a kind may do. */
struct allowed {
    const struct table *part;  /* of the record */
    unsigned done;             /* those of enum done */
    const char *const *fields; /* those that it may amend, NULL at the end; NULL: none */
    bool is_many;              /* more than one */
};

enum { ALLOWED_MAX = 7 };

struct kind {
    const char *word;  /* of the trailer "Act:": "core amend" */
    bool needs_reason; /* a trailer "Reason:" is demanded */
    bool is_bulk;      /* it may be as large as a file that was read: what it did is counted, and not kept */
    struct allowed what[ALLOWED_MAX]; /* the first one is what it is about, and never missing; ends with NULL part */
};

/* Those of a word: more than one row where the kind has several forms, told apart by what the first line is about. The
 * row after the last has a NULL word. */
extern const struct kind kinds[];
/* The first row of the word; NULL: no act is of this kind. */
const struct kind *kind_find(const char *word);

/* --- the fields that acts may amend, which commands offer as options; each ends with NULL --- */
extern const char *const expedition_fields_amended[];
extern const char *const hole_fields_amended[];
extern const char *const core_fields_amended[];
extern const char *const section_fields_amended[];
extern const char *const sample_fields_amended[];
extern const char *const drilled_fields_amended[];
extern const char *const well_fields_amended[];
extern const char *const pump_fields_amended[];
extern const char *const check_fields_amended[];
extern const char *const bag_fields_amended[];
/* Those in which a sub-sample follows its parent, without an amendment of its own. */
extern const char *const sample_fields_following[];

/* names: ends with NULL; may be NULL itself. */
bool names_have(const char *const *names, const char *name);

#endif
