/* SPDX-License-Identifier: MIT */
/* A table of results, once gathered, rendered for people, for programs (JSON)
 * or for spreadsheets (CSV). Shapes:
 *
 *     people   header line, columns aligned, numbers to the right, "-" where nothing is known
 *     CSV      header of keys, RFC 4180, LF line ends, empty where nothing is known
 *     JSON     array of objects with the same keys in the same order, null where nothing is known
 */
#ifndef CORETALLY_VIEW_SHEET_H
#define CORETALLY_VIEW_SHEET_H

#include "coretally/base/text.h"

enum sheet_format { SHEET_PEOPLE, SHEET_JSON, SHEET_CSV };

struct column {
    const char *name; /* word of the trade */
    const char *unit; /* NULL for none; the key is name_unit */
    bool number;      /* numbers stand unquoted in JSON, and to the right for people */
};

struct sheet {
    struct arena *arena;
    const struct column *columns;
    size_t column_count;
    const char **cells; /* row by row; NULL or "" where nothing is known */
    size_t row_count;
    size_t room;
};

void sheet_init(struct sheet *sheet, struct arena *arena, const struct column *columns, size_t column_count);

/* One more row; cells (column_count of them) are copied. */
MUST_CHECK enum status sheet_add(struct sheet *sheet, const char *const *cells, struct err *err);

void sheet_render(const struct sheet *sheet, enum sheet_format format, struct text *out);

#endif
