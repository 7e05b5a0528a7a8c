/* SPDX-License-Identifier: MIT */
/* The records of a state, each read once. */
#include "coretally/state/read.h"

#include <string.h>

#include "cache.h"
#include "coretally/base/limits.h"
#include "coretally/store/walk.h"

typedef enum status read_bytes(struct store *store, const char *id, const char *path, struct arena *arena,
                               struct bytes *out, struct err *err);

/* The bytes of an id, from the cache or into it. */
static enum status find_bytes(struct state *state, const char *id, const char *path, read_bytes *read,
                              struct cached **out, struct err *err)
{
    struct bytes bytes = {0};
    *out = cache_find(state->cache, id);
    if (*out)
        return STATUS_OK;
    TRY(read(state->store, id, path, state->cache->arena, &bytes, err));
    TRY(cache_add(state->cache, id, out, err));
    (*out)->bytes = bytes;
    return STATUS_OK;
}

/* Decoded to where the bytes live: what an outer state has read outlives this one. */
static enum status decode(struct cached *cached, const struct table *table, const void **out, struct err *err)
{
    void *record = NULL;
    if (cached->table == table) {
        *out = cached->record;
        return STATUS_OK;
    }
    TRY(arena_take(cached->arena, 1, table->size, &record, err));
    TRY(record_decode(table, cached->bytes, cached->arena, record, err));
    cached->table = table;
    cached->record = record;
    *out = record;
    return STATUS_OK;
}

static enum status refuse_record(const char *path, const struct err *inner, struct err *err)
{
    char subject[ERR_SUBJECT_MAX];
    (void)snprintf(subject, sizeof subject, "%s, %.100s", path, inner->subject);
    err_set(err, inner->status, subject, "%s", inner->reason);
    if (inner->status == STATUS_SYSTEM) /* memory: the record is sound for all that is known */
        return err->status;
    return err_hint(err, "the registry's history holds every earlier version: git log -- %s", path);
}

enum status state_read(struct state *state, const char *path, const struct table *table, void *record, bool *there,
                       struct err *err)
{
    char id[HASH_TEXT_MAX];
    struct cached *cached = NULL;
    const void *shared = NULL;
    struct err inner = {0};
    TRY(store_look(state->store, path, id, err));
    if (!*id) {
        record_init(table, record);
        *there = false;
        return STATUS_OK;
    }
    TRY(find_bytes(state, id, path, store_bytes, &cached, err));
    const enum status status = state->is_edited ? record_decode(table, cached->bytes, state->arena, record, &inner)
                                                : decode(cached, table, &shared, &inner);
    if (status != STATUS_OK)
        return refuse_record(path, &inner, err);
    if (shared)
        memcpy(record, shared, table->size);
    if (!cached->checked || strcmp(cached->checked, path) != 0) {
        TRY(registry_check(path, table, record, err));
        TRY(arena_copy(cached->arena, path, strlen(path), &cached->checked, err));
    }
    *there = true;
    return state->open ? state->open->tell(state, path, err) : STATUS_OK;
}

enum status state_version(struct state *state, const char *id, const char *path, const struct table *table,
                          const void **out, struct err *err)
{
    struct cached *cached = NULL;
    *out = NULL;
    if (!*id)
        return STATUS_OK;
    TRY(find_bytes(state, id, path, history_bytes, &cached, err));
    return decode(cached, table, out, err);
}

enum status state_bytes(struct state *state, const char *path, struct bytes *out, struct err *err)
{
    char id[HASH_TEXT_MAX];
    struct cached *cached = NULL;
    TRY(store_look(state->store, path, id, err));
    if (*id)
        TRY(find_bytes(state, id, path, store_bytes, &cached, err));
    *out = cached ? cached->bytes : (struct bytes){0};
    return STATUS_OK;
}

enum status state_list(struct state *state, const char *folder, struct known_files *out, struct err *err)
{
    return registry_list(state->store, folder, state->arena, out, err);
}

enum status state_holes(struct state *state, struct names *out, struct err *err)
{
    return registry_holes(state->store, state->arena, out, err);
}

enum status state_cores(struct state *state, const char *hole, int32_t **out, size_t *count, struct err *err)
{
    return registry_cores(state->store, hole, state->arena, out, count, err);
}

enum status state_hundreds(struct state *state, const char *hole, enum bag_kind kind, int32_t **out, size_t *count,
                           struct err *err)
{
    return registry_hundreds(state->store, hole, kind, state->arena, out, count, err);
}

enum status state_log_days(struct state *state, const char *hole, int64_t **out, size_t *count, struct err *err)
{
    return registry_log_days(state->store, hole, state->arena, out, count, err);
}
