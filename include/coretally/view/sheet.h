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

#include "coretally/view/cell.h"

enum sheet_format { SHEET_PEOPLE, SHEET_JSON, SHEET_CSV };

struct column {
    const char *name; /* word of the trade */
    const char *unit; /* NULL for none; the key is name_unit; lengths are printed in it */
    bool number;      /* holds numbers alone: unquoted in JSON, and to the right for people */
};

struct sheet {
    struct arena *arena;
    const struct column *columns;
    size_t column_count;
    struct cell *cells; /* row by row; texts are the sheet's own */
    size_t row_count;
    size_t room;
};

void sheet_init(struct sheet *sheet, struct arena *arena, const struct column *columns, size_t column_count);

/* One more row; cells (column_count of them) are copied with their texts. A column of numbers takes numbers and
 * nothing; a column of texts takes every kind, and shows it as a text. */
MUST_CHECK enum status sheet_add_row(struct sheet *sheet, const struct cell *cells, struct err *err);

/* The cell as people read it, but for flaws (base/shown.h); nothing is "". Lasts as long as scratch is left alone. */
const char *sheet_people(const struct sheet *sheet, size_t row, size_t column, struct text *scratch);

void sheet_render(const struct sheet *sheet, enum sheet_format format, struct text *out);

#endif
