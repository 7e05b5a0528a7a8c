/* SPDX-License-Identifier: MIT */
/* Records of any table with random values that its fields allow; driven by the table, so that a new field is covered
 * without a change here. */
#ifndef CORETALLY_TESTS_RANDOM_RECORD_H
#define CORETALLY_TESTS_RANDOM_RECORD_H

#include "unit.h"

#include "coretally/record/field.h"

enum random_texts { TEXTS_ANY, TEXTS_LISTABLE /* without the separators of typed lists */ };

void random_record(const struct table *table, uint64_t *seed, enum random_texts texts, struct arena *arena,
                   void *record);

/* A record of this table in the arena. */
void *random_new(const struct table *table, uint64_t *seed, enum random_texts texts, struct arena *arena);

#endif
