/* SPDX-License-Identifier: MIT */
/* What all that deals with names of cores asks: where a core stands in each version, which numbers are free. */
#include <string.h>

#include "coretally/base/limits.h"
#include "names.h"

bool core_id_is(struct core_id a, struct core_id b)
{
    return a.number == b.number && a.type == b.type;
}

struct named_core *named_by(const struct named_cores *cores, enum version version, int32_t number)
{
    for (size_t at = 0; at < cores->count; at++)
        if (cores->items[at].ids[version].number == number)
            return &cores->items[at];
    return NULL;
}

enum status core_subject(struct joining *joining, const char *hole, const struct named_core *named, struct subject *out,
                         struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    *out = (struct subject){.hole = hole, .table = &core_table, .is_named = true};
    for (int version = 0; version < VERSION_COUNT; version++) {
        if (!named->ids[version].number)
            continue;
        core_path(hole, named->ids[version].number, path);
        if (version == VERSION_BASE)
            TRY(arena_copy(joining->arena, path, strlen(path), &out->base_path, err));
        else {
            out->spots[version] = (struct spot_at){.table = &core_table};
            memcpy(out->spots[version].path, path, sizeof path);
        }
    }
    core_path(hole, named->id.number, path);
    return arena_copy(joining->arena, path, strlen(path), &out->path, err);
}

enum status read_core_records(struct joining *joining, const char *hole, const struct named_core *named,
                              struct core_records *out, struct err *err)
{
    TRY(core_subject(joining, hole, named, &out->subject, err));
    for (int version = 0; version < VERSION_COUNT; version++) {
        char path[REGISTRY_PATH_MAX];
        out->there[version] = false;
        if (!named->ids[version].number)
            continue;
        core_path(hole, named->ids[version].number, path);
        TRY(joining_read(joining, version, path, &core_table, &out->cores[version], &out->there[version], err));
    }
    out->three =
        (struct three){out->there[VERSION_BASE] ? &out->cores[VERSION_BASE] : NULL, {&out->cores[0], &out->cores[1]}};
    return STATUS_OK;
}

enum status read_renamings(struct joining *joining, const char *id, const char *path, struct renaming_set *out,
                           struct err *err)
{
    struct err unread = {0};
    record_init(&renaming_set_table, out);
    if (!*id || joining_decode(joining, id, path, &renaming_set_table, out, &unread) == STATUS_OK)
        return STATUS_OK;
    record_init(&renaming_set_table, out);
    if (unread.status == STATUS_SYSTEM)
        *err = unread;
    return unread.status == STATUS_SYSTEM ? unread.status : STATUS_OK;
}

static bool is_of_list(const struct renaming_set *set, int32_t number)
{
    struct core_id from;
    struct core_id to;
    for (size_t at = 0; at < set->renaming_count; at++) {
        const struct renaming *it = &set->renamings[at];
        if (core_id_parse(it->from, strlen(it->from), &from) && core_id_parse(it->to, strlen(it->to), &to) &&
            (from.number == number || to.number == number))
            return true;
    }
    return false;
}

static enum status is_free(struct joining *joining, const struct named_cores *cores, int32_t number, bool *out,
                           struct err *err)
{
    *out = true;
    for (size_t at = 0; at < cores->count; at++)
        *out = *out && cores->items[at].id.number != number && cores->items[at].born != number;
    for (int version = 0; *out && version < VERSION_COUNT; version++) {
        char path[REGISTRY_PATH_MAX];
        char id[HASH_TEXT_MAX];
        struct store *store = version == VERSION_BASE ? joining->base : joining->sides[version].store;
        core_path(cores->hole, number, path);
        TRY(store_id(store, path, id, err));
        *out = !*id && !is_of_list(&cores->sets[version], number);
    }
    return STATUS_OK;
}

enum status find_free(struct joining *joining, const struct named_cores *cores, int32_t above, int32_t *out,
                      struct err *err)
{
    for (int32_t number = above + 1; number <= CORE_NUMBER_MAX; number++) {
        bool found = false;
        TRY(is_free(joining, cores, number, &found, err));
        if (!found)
            continue;
        *out = number;
        return STATUS_OK;
    }
    return err_set(err, STATUS_RULE, cores->hole, "no core number is free for one that both sides gave out");
}
