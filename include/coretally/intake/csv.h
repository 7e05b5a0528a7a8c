/* SPDX-License-Identifier: MIT */
/* CSV files (RFC 4180): the rows one at a time, or all of them as a table in memory. */
#ifndef CORETALLY_INTAKE_CSV_H
#define CORETALLY_INTAKE_CSV_H

#include "coretally/base/arena.h"
#include "coretally/intake/lines.h"

/* The rows of a file, the header first, every row as wide as it; cells are good during the call. */
typedef enum status csv_row(void *context, const char *const *cells, size_t count, size_t line, struct err *err);
MUST_CHECK enum status csv_each(struct lines *lines, csv_row *on_row, void *context, struct err *err);

struct table_text {
    const char *path;
    const char **cells; /* row by row; the header is row 0 */
    size_t columns;
    size_t rows;
    const size_t *lines; /* the line on which each row begins */
};

/* All of a file ("-": in), which has a header and at least one row; or all that is left of one that was opened. */
MUST_CHECK enum status csv_read(struct arena *arena, FILE *in, const char *path, struct table_text *out,
                                struct err *err);
MUST_CHECK enum status csv_gather(struct arena *arena, struct lines *lines, struct table_text *out, struct err *err);

#endif
