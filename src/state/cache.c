/* SPDX-License-Identifier: MIT */
/* A table of what was read, open addressing; ids are hashes already. */
#include "cache.h"

#include <stdlib.h>
#include <string.h>

enum { ROOM_FIRST = 64, HASH_DIGITS = 8 };

static size_t place_of(const char *id)
{
    char digits[HASH_DIGITS + 1] = "";
    memcpy(digits, id, HASH_DIGITS);
    return (size_t)strtoul(digits, NULL, 16);
}

/* The slot that has the id, or the free one where it belongs. */
static struct cached **find_slot(struct cached **slots, size_t room, const char *id)
{
    size_t at = place_of(id) & (room - 1);
    while (slots[at] && strcmp(slots[at]->id, id) != 0)
        at = (at + 1) & (room - 1);
    return &slots[at];
}

struct cached *cache_find(const struct cache *cache, const char *id)
{
    for (; cache; cache = cache->below) {
        struct cached *found = cache->room ? *find_slot(cache->slots, cache->room, id) : NULL;
        if (found)
            return found;
    }
    return NULL;
}

static enum status grow(struct cache *cache, struct err *err)
{
    struct cached **slots = NULL;
    const size_t room = cache->room ? 2 * cache->room : ROOM_FIRST;
    TRY(arena_take(cache->arena, room, sizeof(void *), &slots, err));
    for (size_t at = 0; at < cache->room; at++)
        if (cache->slots[at])
            *find_slot(slots, room, cache->slots[at]->id) = cache->slots[at];
    cache->slots = slots;
    cache->room = room;
    return STATUS_OK;
}

enum status cache_add(struct cache *cache, const char *id, struct cached **out, struct err *err)
{
    struct cached *added = NULL;
    if (2 * (cache->count + 1) > cache->room)
        TRY(grow(cache, err));
    TRY(arena_take(cache->arena, 1, sizeof *added, &added, err));
    (void)snprintf(added->id, sizeof added->id, "%s", id);
    added->arena = cache->arena;
    *find_slot(cache->slots, cache->room, id) = added;
    cache->count++;
    *out = added;
    return STATUS_OK;
}
