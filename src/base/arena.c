/* SPDX-License-Identifier: MIT */
/* The arena: blocks that double up to a ceiling, released together. */
#include "coretally/base/arena.h"

#include <assert.h>
#include <stdalign.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

struct arena_block {
    struct arena_block *older;
    size_t size;
    size_t used;
    alignas(max_align_t) unsigned char bytes[];
};

enum { BLOCK_FIRST = 16 << 10, BLOCK_LARGEST = 4 << 20 };

void arena_init(struct arena *arena, size_t limit)
{
    *arena = (struct arena){.limit = limit};
}

void arena_clear(struct arena *arena)
{
    struct arena_block *block = arena->newest;
    while (block) {
        struct arena_block *older = block->older;
        free(block);
        block = older;
    }
    arena_init(arena, arena->limit);
}

static enum status out_of_memory(const struct arena *arena, size_t wanted, struct err *err)
{
    return err_set(err, STATUS_SYSTEM, "memory", "could not get %zu more bytes after %zu (ceiling %zu)", wanted,
                   arena->used, arena->limit);
}

enum status arena_take(struct arena *arena, size_t count, size_t size, void *out, struct err *err)
{
    const size_t align = alignof(max_align_t);
    if (size && count > (SIZE_MAX / 2) / size)
        return out_of_memory(arena, SIZE_MAX, err);
    const size_t wanted = (count * size + align - 1) / align * align;
    if (wanted > arena->limit - arena->used)
        return out_of_memory(arena, wanted, err);
    struct arena_block *block = arena->newest;
    if (!block || wanted > block->size - block->used) {
        size_t room = block ? block->size * 2 : BLOCK_FIRST;
        if (room > BLOCK_LARGEST)
            room = BLOCK_LARGEST;
        if (room < wanted)
            room = wanted;
        block = calloc(1, sizeof *block + room);
        if (!block)
            return out_of_memory(arena, wanted, err);
        block->size = room;
        block->older = arena->newest;
        arena->newest = block;
    }
    void *const taken = block->bytes + block->used;
    memcpy(out, &taken, sizeof taken); /* out is a pointer to some pointer type */
    block->used += wanted;
    arena->used += wanted;
    return STATUS_OK;
}

enum status arena_copy(struct arena *arena, const char *data, size_t len, const char **out, struct err *err)
{
    char *copy = NULL;
    TRY(arena_take(arena, len + 1, 1, &copy, err));
    assert(copy);
    if (len)
        memcpy(copy, data, len);
    *out = copy;
    return STATUS_OK;
}

enum status arena_grow(struct arena *arena, void *items, size_t count, size_t *room, size_t size, struct err *err)
{
    if (count < *room)
        return STATUS_OK;
    const size_t wanted = *room ? *room * 2 : 16;
    void *grown = NULL;
    TRY(arena_take(arena, wanted, size, &grown, err));
    assert(grown);
    if (count) {
        const void *old = NULL;
        memcpy(&old, items, sizeof old);
        memcpy(grown, old, count * size);
    }
    memcpy(items, &grown, sizeof grown);
    *room = wanted;
    return STATUS_OK;
}
