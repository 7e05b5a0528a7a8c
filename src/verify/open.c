/* SPDX-License-Identifier: MIT */
/* Fields that two sides set to different values: the record and the field are there, and so are the acts that claim. */
#include <string.h>

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
    *is_missing = !*id && (table || it->claims[0].value); /* days that are withdrawn go */
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

bool verify_is_open(const struct difference *it)
{
    struct place_known place;
    return !it->why && !it->newer_mode && registry_place(it->path, &place) &&
           place.known->table == &contradiction_table;
}

static bool is_changed(const struct differences *differences, const char *path)
{
    for (size_t at = 0; at < differences->count; at++)
        if (strcmp(differences->items[at].path, path) == 0)
            return true;
    return false;
}

enum status verify_decided(struct verify *verify, const struct act_told *act, const struct differences *differences,
                           size_t at, struct arena *arena, struct err *err)
{
    const struct difference *gone = &differences->items[at];
    struct bytes bytes = {0};
    struct contradiction it;
    struct err why = {0};
    if (act->parent_count > 1 || (act->kind && strcmp(act->kind, "settle") == 0)) /* a join is made again as a whole */
        return STATUS_OK;
    if (store_bytes(verify->store, gone->older, gone->path, arena, &bytes, &why) != STATUS_OK)
        return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, gone->path, &why, err);
    if (record_decode(&contradiction_table, bytes, arena, &it, &why) != STATUS_OK)
        return why.status == STATUS_SYSTEM ? flaw_unreadable(verify, FLAW_RECORD_UNREADABLE, gone->path, &why, err)
                                           : STATUS_OK; /* what stood there decided nothing */
    if (!act->kind || !is_changed(differences, it.path))
        flaw_add(verify, FLAW_RECORD_REMOVED, gone->path, "", "%s%s%s was open, and nobody decided about it", it.path,
                 it.field ? ", " : "", it.field ? it.field : "");
    return STATUS_OK;
}
