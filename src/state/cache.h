/* SPDX-License-Identifier: MIT */
/* Bytes and records that were read, by the id of the bytes. */
#ifndef CORETALLY_STATE_CACHE_H
#define CORETALLY_STATE_CACHE_H

#include "coretally/state/state.h"

struct cached {
    char id[COMMIT_ID_MAX];
    struct arena *arena; /* where it lives, with its record */
    struct bytes bytes;
    const struct table *table; /* of record; NULL: not decoded yet */
    const void *record;
    const char *checked; /* the path under which it was found to be sound; NULL */
};

/* What stands under the id, here or in an outer state; NULL. */
struct cached *cache_find(const struct cache *cache, const char *id);

/* Room for the bytes of an id that was not found. */
MUST_CHECK enum status cache_add(struct cache *cache, const char *id, struct cached **out, struct err *err);

#endif
