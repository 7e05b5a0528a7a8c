/* SPDX-License-Identifier: MIT */
/* Standing at a state that was typed. A time by which several lines had not been joined means their join, made in
 * memory: it has an id like any commit, the same for whoever has the same newest commit, and nobody's branch leads to
 * it. */
#include "coretally/base/limits.h"
#include "coretally/join/join.h"
#include "coretally/store/merge.h"

/* One after the other in the order of their ids, which follows from them alone. */
static enum status join_all(struct store *store, const struct commits *heads, struct arena *arena, struct err *err)
{
    TRY(store_keep_in_memory(store, err));
    TRY(store_stand_at(store, heads->ids[0], err));
    for (size_t at = 1; at < heads->count; at++) {
        struct joined joined;
        TRY(join_make(store, heads->ids[at], arena, &joined, err));
        TRY(store_stand_at(store, joined.id, err));
    }
    return STATUS_OK;
}

static enum status stand_at(struct store *store, const char *state, struct arena *arena, struct err *err)
{
    struct commits heads = {.count = 0};
    struct late_acts late;
    TRY(store_heads(store, state, arena, &heads, &late, err));
    if (heads.count > 1)
        TRY(join_all(store, &heads, arena, err));
    else
        TRY(store_stand_at(store, heads.ids[0], err));
    store_stand_for(store, &late, heads.count > 1 ? heads.count : 0);
    return STATUS_OK;
}

enum status join_stand_at(struct store *store, const char *state, struct err *err)
{
    struct arena arena;
    arena_init(&arena, ARENA_LIMIT_BYTES);
    const enum status status = stand_at(store, state, &arena, err);
    arena_clear(&arena);
    return status;
}
