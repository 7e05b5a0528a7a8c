/* SPDX-License-Identifier: MIT */
/* Tables of corrections from CSV files: tide, composite, growth, splice, wireline, survey. A row is a struct of the
 * list that a correction of the kind holds; rows may belong to several holes. */
#ifndef CORETALLY_INTAKE_CORRECTION_FILE_H
#define CORETALLY_INTAKE_CORRECTION_FILE_H

#include "coretally/intake/csv.h"
#include "coretally/state/resolve.h"

enum { CORRECTION_HOLES_MAX = 40 }; /* holes of one table */

struct correction_file {
    const char *path;
    enum correction_kind kind;
    bool has_holes;           /* rows may belong to several holes, told by a column */
    const struct field *list; /* of a correction: which of its lists the rows are */
    char *rows;               /* structs of list->of, in the order of the file */
    size_t count;
    const size_t *lines; /* of the file, a row each */
    size_t *owners;      /* the hole of each row */
    struct target *holes;
    size_t hole_count;
};

/* Does a kind of this name come as a table? */
bool correction_is_table(const char *word);
/* The header line of such a table; false for a kind without one. */
bool correction_template(const char *word, struct text *out);

/* The rows of a file that was read. first: the hole of rows that name none; their times are in its zone, and
 * their holes of its site. A refusal names the line. */
MUST_CHECK enum status correction_file_read(struct state *state, enum correction_kind kind,
                                            const struct table_text *text, const struct target *first,
                                            struct correction_file *out, struct err *err);

/* The rows of one hole into its correction, whole and in order. */
MUST_CHECK enum status correction_file_take(const struct correction_file *table, size_t hole, struct arena *arena,
                                            struct correction *correction, struct err *err);

#endif
