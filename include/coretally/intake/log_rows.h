/* SPDX-License-Identifier: MIT */
/* Pump logs as rows of text, whatever the form of the file: CSV (log_csv.c), LAS 2.0 (log_las.c). */
#ifndef CORETALLY_INTAKE_LOG_ROWS_H
#define CORETALLY_INTAKE_LOG_ROWS_H

#include "coretally/intake/lines.h"

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

/* format: "csv", "las"; NULL: by what the file begins with, LAS if its first line that is no remark opens section ~V.
 */
MUST_CHECK enum status log_each(struct lines *lines, const char *format, const struct log_taker *taker,
                                struct err *err);

#endif
