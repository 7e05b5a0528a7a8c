/* SPDX-License-Identifier: MIT */
/* What the files that make records of the rows of an import share: cells of a row, refusing it, finding what it is of
 * (import_find.c), judging it (import_judge.c), and what each kind of row does (import_cores.c, import_samples.c,
 * import_bags.c). */
#ifndef CORETALLY_INTAKE_IMPORT_ROW_H
#define CORETALLY_INTAKE_IMPORT_ROW_H

#include "coretally/intake/import.h"

/* --- import_row.c --- */

/* The text of a naming field (hole, core, type, ...) in a row; "" when it is not mapped. */
const char *row_named_cell(const struct import *import, size_t row, const char *field);
/* Does the row's catcher column say yes? */
bool row_is_catcher(const struct import *import, size_t row);
/* Tell a bad row with its line; from then on it has no core. */
void row_refuse(struct import *import, size_t row, const char *format, ...) PRINTF_LIKE(3, 4);
/* The same, for a record that the registry has with other values. */
void row_refuse_other(struct import *import, size_t row, const struct table *table, const void *present,
                      const void *typed);
/* The mapped fields of a row into a record; *fine false (and the row refused) when one is not well formed. */
MUST_CHECK enum status row_take_fields(struct import *import, size_t row, const struct import_core *core, void *record,
                                       bool *fine, struct err *err);
/* Has it what a record cannot be without? Otherwise the row is refused. */
bool row_is_complete(struct import *import, size_t row, const void *record);

/* --- import_find.c --- */

/* The core, or of a table of bags the hole, that a row names, as the import knows it; NULL (and the row refused) when
 * there is none. */
MUST_CHECK enum status row_find_core(struct import *import, size_t row, struct import_core **out, struct err *err);
MUST_CHECK enum status row_find_hole(struct import *import, size_t row, struct import_core **out, struct err *err);

/* --- import_judge.c --- */

/* Refuse the row unless its findings may be kept; the words of kept ones into *kept, NULL for none. */
MUST_CHECK enum status row_judge(struct import *import, size_t row, const struct findings *findings, const char **kept,
                                 bool *fine, struct err *err);

/* --- what a row becomes --- */

MUST_CHECK enum status row_to_core(struct import *import, size_t row, struct import_core *core, struct err *err);
MUST_CHECK enum status row_to_section(struct import *import, size_t row, struct import_core *core, struct err *err);
MUST_CHECK enum status row_to_sample(struct import *import, size_t row, struct import_core *core, struct err *err);
/* Cores are judged when all rows are in: against their neighbours, and with all their sections. */
MUST_CHECK enum status import_judge_cores(struct import *import, struct err *err);
/* All rows of a table of bags, and the sets that they change. */
MUST_CHECK enum status import_bags(struct import *import, struct err *err);

#endif
