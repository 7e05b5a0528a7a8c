/* SPDX-License-Identifier: MIT */
/* Which commit put a record there: the oldest in the unbroken row of versions that equal the present one. */
#include "coretally/state/origin.h"

#include <string.h>

#include "coretally/state/former.h"
#include "coretally/state/read.h"

/* Equal in the named fields, or in all but the lists of a core: that is not changed by an amended section. */
static bool is_same_reading(const struct table *table, const char *const *only, const void *a, const void *b)
{
    for (size_t at = 0; at < table->count; at++) {
        const struct field *field = &table->fields[at];
        bool asked = !only && !(table == &core_table && field->type == FIELD_LIST);
        for (const char *const *name = only; name && *name; name++)
            asked = asked || strcmp(*name, field->name) == 0;
        if (asked && !field_is_equal(field, a, b))
            return false;
    }
    return true;
}

/* The versions of one path as far as they were looked at: the inputs of one depth share the walk. */
struct version {
    struct commit commit;
    const void *record; /* NULL: absent, or not readable as a record */
};

struct origin {
    struct origin *next;
    const struct store *store; /* and the state at which it was opened */
    char state[COMMIT_ID_MAX];
    const char *path;
    struct stays *history;
    struct version *versions;
    size_t count;
    size_t room;
    bool ended;
};

void origins_close(struct state *state)
{
    for (struct origin *origin = state->shared->origins; origin; origin = origin->next)
        stays_close(origin->history);
    state->shared->origins = NULL;
}

static enum status origin_open(struct state *state, const char *path, struct origin **out, struct err *err)
{
    for (struct origin *origin = state->shared->origins; origin; origin = origin->next)
        if (strcmp(origin->path, path) == 0 && origin->store == state->store &&
            strcmp(origin->state, store_state(state->store)) == 0) {
            *out = origin;
            return STATUS_OK;
        }
    struct origin *origin = NULL;
    TRY(arena_take(state->arena, 1, sizeof *origin, &origin, err));
    TRY(arena_copy(state->arena, path, strlen(path), &origin->path, err));
    origin->store = state->store;
    (void)snprintf(origin->state, sizeof origin->state, "%s", store_state(state->store));
    TRY(stays_open(state, path, &origin->history, err));
    origin->next = state->shared->origins;
    state->shared->origins = origin;
    *out = origin;
    return STATUS_OK;
}

enum status origin_tell_unreadable(struct state *state, const char *path, const struct commit *commit,
                                   const struct err *why, struct err *err)
{
    if (why->status == STATUS_SYSTEM) {
        *err = *why;
        return why->status;
    }
    state_tell(state, "note: %s cannot be read in commit %.10s: %s; who recorded what before that is not shown\n", path,
               commit->id, why->reason);
    return STATUS_OK;
}

/* Look at one more version; *more false at the end of history. */
static enum status origin_extend(struct state *state, struct origin *origin, const struct table *table, bool *more,
                                 struct err *err)
{
    struct version version = {0};
    struct err unreadable = {0};
    char id[HASH_TEXT_MAX];
    TRY(stays_next(origin->history, state->arena, &version.commit, id, more, err));
    origin->ended = !*more;
    if (!*more)
        return STATUS_OK;
    const enum status status = state_version(state, id, origin->path, table, &version.record, &unreadable);
    if (status != STATUS_OK)
        TRY(origin_tell_unreadable(state, origin->path, &version.commit, &unreadable, err));
    TRY(arena_grow(state->arena, &origin->versions, origin->count, &origin->room, sizeof version, err));
    origin->versions[origin->count++] = version;
    return STATUS_OK;
}

enum status origin_find(struct state *state, const struct record_at *at, const char *const *only, struct commit *out,
                        struct err *err)
{
    struct origin *origin = NULL;
    struct commit found = {0};
    struct state lasting = *state; /* other inputs of a depth share the walk, whoever asks for them */
    lasting.arena = state->shared->arena;
    lasting.cache = &state->shared->cache;
    TRY(origin_open(&lasting, at->path, &origin, err));
    for (size_t it = 0;; it++) {
        bool more = true;
        if (it == origin->count && !origin->ended)
            TRY(origin_extend(&lasting, origin, at->table, &more, err));
        if (it == origin->count)
            break;
        const struct version *version = &origin->versions[it];
        const void *then = version->record ? record_at_pick(at, version->record) : NULL;
        if (!then || !is_same_reading(at->part, only, then, at->present))
            break;
        found = version->commit;
    }
    if (!*found.id)
        return err_set(err, STATUS_DAMAGED, at->path, "the history of this record does not reach its present version");
    *out = found;
    return STATUS_OK;
}
