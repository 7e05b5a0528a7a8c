/* SPDX-License-Identifier: MIT */
/* One arena a command: what is decoded, gathered or rendered lives in it and
 * dies with it. Memory comes zeroed and aligned for any type; nothing is
 * released singly. A ceiling turns a runaway input into a refusal. */
#ifndef CORETALLY_BASE_ARENA_H
#define CORETALLY_BASE_ARENA_H

#include <stddef.h>

#include "coretally/base/err.h"

struct arena_block;

struct arena {
    struct arena_block *newest;
    size_t used;  /* bytes handed out */
    size_t limit; /* ceiling, bytes */
};

void arena_init(struct arena *arena, size_t limit);
void arena_clear(struct arena *arena);

/* *out points to count zeroed items of size bytes; STATUS_SYSTEM past the ceiling or when
 * memory is short. count may be 0. */
MUST_CHECK enum status arena_take(struct arena *arena, size_t count, size_t size, void *out, struct err *err);

/* A NUL-terminated copy of len bytes. */
MUST_CHECK enum status arena_copy(struct arena *arena, const char *data, size_t len, const char **out, struct err *err);

/* A growing array: make room for one more item after count; *items and *room are updated. */
MUST_CHECK enum status arena_grow(struct arena *arena, void *items, size_t count, size_t *room, size_t size,
                                  struct err *err);

#endif
