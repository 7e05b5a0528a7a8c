/* SPDX-License-Identifier: MIT */
/* Which item of one version of a file is which of another one. */
#ifndef CORETALLY_KIND_PAIR_H
#define CORETALLY_KIND_PAIR_H

#include "coretally/record/items.h"

/* The item of the other version that is wanted: by its number or, of samples, by its key or a key that it had. hint:
 * where it is looked for first. NULL: there is none. */
const void *pair_find(const struct items *items, const void *wanted, size_t hint);

/* "3W,45-47", "section CC", "pump 2". */
enum { ITEM_TEXT_MAX = SAMPLE_KEY_MAX };
void item_text(const struct table *table, const void *item, char out[ITEM_TEXT_MAX]);

/* The number of versions that a record counts: 1 where it counts none. */
int32_t item_version(const struct table *table, const void *record);
/* Does it have the field "withdrawn", and a reason in it? */
bool item_is_withdrawn(const struct table *table, const void *record);

#endif
