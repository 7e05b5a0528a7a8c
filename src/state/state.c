/* SPDX-License-Identifier: MIT */
/* States made from others, and their notes. */
#include "coretally/state/state.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "coretally/base/limits.h"
#include "coretally/state/log.h"
#include "coretally/state/origin.h"

void state_nest_results(const struct state *outer, struct state *inner)
{
    *inner = *outer;
    arena_init(&inner->own, ARENA_LIMIT_BYTES);
    inner->arena = &inner->own;
}

void state_nest(const struct state *outer, struct state *inner)
{
    state_nest_results(outer, inner);
    inner->own_cache = (struct cache){.below = outer->cache, .arena = &inner->own};
    inner->cache = &inner->own_cache;
}

void state_leave(struct state *inner)
{
    arena_clear(&inner->own);
}

void state_at(const struct state *state, struct store *store, struct state *out)
{
    *out = *state;
    out->store = store;
    out->open = NULL;
    out->is_edited = false;
}

void state_tell(const struct state *state, const char *format, ...)
{
    if (!state->sink)
        return;
    va_list arguments;
    va_start(arguments, format);
    char *text = NULL;
    const int len = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    if (len < 0 || !(text = malloc((size_t)len + 1)))
        return;
    va_start(arguments, format);
    (void)vsnprintf(text, (size_t)len + 1, format, arguments);
    va_end(arguments);
    state->sink->take(state->sink->context, text);
    free(text);
}

void state_progress(const struct state *state, const char *what, size_t done, size_t total, int64_t *next_ms)
{
    struct timespec now;
    if (done % 256 != 0)
        return;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    const int64_t now_ms = (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
    if (*next_ms == 0)
        *next_ms = now_ms + 1000;
    if (now_ms < *next_ms)
        return;
    *next_ms = now_ms + 1000;
    if (total)
        state_tell(state, "%s: %zu of %zu\n", what, done, total);
    else
        state_tell(state, "%s: %zu\n", what, done);
}
