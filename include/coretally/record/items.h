/* SPDX-License-Identifier: MIT */
/* Records inside a record: the items of a list, by the tables. What tells them apart is their number, or that of their
 * section; samples have keys (domain/sample.h). */
#ifndef CORETALLY_RECORD_ITEMS_H
#define CORETALLY_RECORD_ITEMS_H

#include "coretally/record/field.h"

struct items {
    const struct table *table; /* of one of them */
    const char *first;
    size_t count;
};
struct items items_of(const struct field *list, const void *record);
const void *items_at(const struct items *items, size_t at);
/* The item of a number, looked for from hint on; NULL: none. */
const void *items_find(const struct items *items, int32_t number, size_t hint);
/* The record has these from now on. */
void items_put(const struct field *list, void *record, void *items, size_t count);

int32_t item_number(const struct table *table, const void *item);
void item_set_number(const struct table *table, void *item, int32_t number);

/* Is only ever appended to: labels, signatures, renamings. */
bool list_is_appended(const struct field *field);
/* A list whose items are records of their own: appended, or with versions that count what was amended. */
bool list_has_items(const struct field *field);
/* The list of a file whose items are amended one by one; NULL: the file is one record. */
const struct field *table_items(const struct table *file);

#endif
