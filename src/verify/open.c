/* SPDX-License-Identifier: MIT */
/* Fields that two sides set to different values: the record and the field are there, and so are the acts that claim. */
#include "coretally/state/open.h"
#include "parts.h"

/* The record as it reads now; NULL: not there, or not to be read, which is told of its own file. */
static enum status find_record(struct verify *verify, const struct open_place *at, const struct contradiction *it,
                               struct arena *arena, bool *is_missing, struct err *err)
{
    const struct table *table = at->known.known->table;
    struct state state;
    struct err why = {0};
    char id[HASH_TEXT_MAX];
    void *file = NULL;
    bool there = false;
    *is_missing = false;
    if (store_look(verify->store, it->path, id, &why) != STATUS_OK)
        return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, it->path, &why, err);
    *is_missing = !*id;
    if (!*id || !table)
        return STATUS_OK;
    state_at(verify->state, verify->store, &state);
    state.arena = arena;
    TRY(arena_take(arena, 1, table->size, &file, err));
    const enum status status = state_read(&state, it->path, table, file, &there, &why);
    if (status == STATUS_SYSTEM)
        *err = why;
    if (status == STATUS_OK)
        *is_missing = !open_pick(at, it->item, file);
    return status == STATUS_SYSTEM ? status : STATUS_OK;
}

static enum status hold_record(struct verify *verify, const struct place_known *place, const struct contradiction *it,
                               struct arena *arena, struct err *err)
{
    struct open_place at;
    bool is_missing = false;
    if (!open_place(it, &at)) {
        flaw_add(verify, FLAW_REFERENCE_MISSING, place->path, it->field, "%s%s%s has no field %s", it->path,
                 it->item ? ", " : "", it->item ? it->item : "", it->field ? it->field : "of this kind");
        return STATUS_OK;
    }
    TRY(find_record(verify, &at, it, arena, &is_missing, err));
    if (is_missing)
        flaw_add(verify, FLAW_REFERENCE_MISSING, place->path, it->item, "%s%s%s, which it is about, is not recorded",
                 it->path, it->item ? ", " : "", it->item ? it->item : "");
    return STATUS_OK;
}

static enum status hold(struct verify *verify, const struct place_known *place, struct arena *arena, struct err *err)
{
    struct contradiction it;
    bool sound = false;
    TRY(verify_read(verify, place, arena, &it, &sound, err));
    if (!sound)
        return STATUS_OK;
    for (size_t at = 0; at < it.claim_count; at++) {
        bool is_ours = false;
        TRY(verify_has_commit(verify, it.claims[at].commit, &is_ours, err));
        if (!is_ours)
            flaw_add(verify, FLAW_REFERENCE_MISSING, place->path, it.claims[at].commit,
                     "the act %.10s, which claims %s, is not in this history", it.claims[at].commit,
                     it.claims[at].value ? it.claims[at].value : "that there is none");
    }
    return hold_record(verify, place, &it, arena, err);
}

enum status verify_contradiction(struct verify *verify, const struct place_known *place, struct err *err)
{
    struct arena arena;
    arena_init(&arena, ARENA_LIMIT_BYTES);
    const enum status status = hold(verify, place, &arena, err);
    arena_clear(&arena);
    return status;
}
