/* SPDX-License-Identifier: MIT */
/* Which act of a side did it: the newest whose version has it and whose parent's has not. */
#include <string.h>

#include "coretally/base/limits.h"
#include "joining.h"

const void *spot_pick(const struct spot_at *spot, const void *file)
{
    if (!file || !spot->list)
        return file;
    const struct items items = items_of(spot->list, file);
    if (!spot->key)
        return items_find(&items, spot->number, 0);
    const struct sample *samples = (const struct sample *)(const void *)items.first;
    const struct sample *found = sample_find(samples, items.count, spot->key);
    return found ? found : sample_find_former(samples, items.count, spot->key);
}

static enum status read_acts(struct joining *joining, int which, struct err *err)
{
    struct side *side = &joining->sides[which];
    struct commits commits = {0};
    struct side_act *acts = NULL;
    size_t count = 0;
    if (side->has_acts)
        return STATUS_OK;
    TRY(store_range(joining->store, side->tip, joining->sides[!which].tip, joining->arena, &commits, err));
    TRY(arena_take(joining->arena, commits.count, sizeof *acts, &acts, err));
    for (size_t at = 0; at < commits.count; at++) {
        struct act_told told;
        TRY(store_act(joining->store, commits.ids[at], joining->arena, &told, err));
        if (told.parent_count > 1) /* a join says what its parents say */
            continue;
        struct side_act *act = &acts[count++];
        *act = (struct side_act){.time_us = told.commit.when.utc_us};
        memcpy(act->id, commits.ids[at], sizeof act->id);
        memcpy(act->parent, told.parent, sizeof act->parent);
    }
    side->acts = acts;
    side->act_count = count;
    side->has_joins = count < commits.count;
    side->has_acts = true;
    return STATUS_OK;
}

/* What the act changed at the path; NULL: nothing. */
static enum status find_change(struct joining *joining, struct side_act *act, const char *path,
                               const struct difference **out, struct err *err)
{
    *out = NULL;
    if (!act->is_read)
        TRY(store_differences(joining->store, act->parent, act->id, joining->arena, &act->changed, err));
    act->is_read = true;
    for (size_t at = 0; at < act->changed.count && !*out; at++)
        if (!act->changed.items[at].why && strcmp(act->changed.items[at].path, path) == 0)
            *out = &act->changed.items[at];
    return STATUS_OK;
}

enum status side_change(struct joining *joining, int which, size_t at, const char *path, struct side_act **act,
                        const struct difference **change, struct err *err)
{
    struct side *side = &joining->sides[which];
    *act = NULL;
    *change = NULL;
    TRY(read_acts(joining, which, err));
    if (at >= side->act_count)
        return STATUS_OK;
    *act = &side->acts[at];
    return find_change(joining, *act, path, change, err);
}

/* The item in a version by the id of its file; NULL where it is not there or the file cannot be read as what it is. */
static enum status pick_version(struct joining *joining, const struct spot_at *spot, const char *id, const void **out,
                                struct err *err)
{
    void *record = NULL;
    struct err unread = {0};
    *out = NULL;
    if (!*id)
        return STATUS_OK;
    TRY(arena_take(joining->arena, 1, spot->table->size, &record, err));
    if (joining_decode(joining, id, spot->path, spot->table, record, &unread) == STATUS_OK)
        *out = spot_pick(spot, record);
    else if (unread.status == STATUS_SYSTEM) {
        *err = unread;
        return unread.status;
    }
    return STATUS_OK;
}

static bool is_named(const struct commit_names *names, const char *id)
{
    for (size_t at = 0; names && at < names->count; at++)
        if (strcmp(names->items[at], id) == 0)
            return true;
    return false;
}

/* Has the item of the version the value, or is it there at all? */
static bool has_value(const struct field *field, const void *item, const void *present)
{
    return item && (!field || field_is_equal(field, item, present));
}

/* What is read of one version after the other dies at once: a file may have been changed by all acts of a side. */
static enum status compare_versions(struct joining *joining, const struct difference *change,
                                    const struct spot_at *spot, const struct field *field, const void *present,
                                    bool *is_it, struct err *err)
{
    struct arena scratch;
    struct arena *const kept = joining->arena;
    const void *after = NULL;
    const void *before = NULL;
    arena_init(&scratch, ARENA_LIMIT_BYTES);
    joining->arena = &scratch;
    enum status status = pick_version(joining, spot, change->newer, &after, err);
    *is_it = status == STATUS_OK && has_value(field, after, present);
    if (*is_it)
        status = pick_version(joining, spot, change->older, &before, err);
    *is_it = *is_it && status == STATUS_OK && !has_value(field, before, present);
    joining->arena = kept;
    arena_clear(&scratch);
    return status;
}

/* Where the file came from that an act brought to the path: its core got another number. NULL: it is new. */
static const struct difference *find_gone(const struct side_act *act, const char *path)
{
    struct place_known place;
    struct place_known other;
    if (!registry_place(path, &place) || !place_is_of_core(&place))
        return NULL;
    for (size_t at = 0; at < act->changed.count; at++) {
        const struct difference *it = &act->changed.items[at];
        if (!it->why && !it->newer_mode && registry_place(it->path, &other) && other.known == place.known &&
            strcmp(other.hole, place.hole) == 0)
            return it;
    }
    return NULL;
}

/* spot: where the file is after the act; out: before it. */
static enum status look_at_act(struct joining *joining, struct side_act *act, struct spot_at *spot,
                               const struct field *field, const void *present, const void **after, bool *is_it,
                               struct err *err)
{
    const struct difference *change = NULL;
    *is_it = false;
    TRY(find_change(joining, act, spot->path, &change, err));
    if (!change)
        return STATUS_OK;
    struct difference whole = *change;
    const struct difference *gone = *change->older ? NULL : find_gone(act, spot->path);
    if (gone)
        memcpy(whole.older, gone->older, sizeof whole.older);
    TRY(compare_versions(joining, &whole, spot, field, present, is_it, err));
    if (*is_it && !field)
        TRY(pick_version(joining, spot, change->newer, after, err));
    if (gone)
        (void)snprintf(spot->path, sizeof spot->path, "%s", gone->path);
    return STATUS_OK;
}

enum status side_blame(struct joining *joining, int which, const struct spot_at *spot, const struct field *field,
                       const struct commit_names *not_these, struct blamed *out, struct err *err)
{
    struct side *side = &joining->sides[which];
    struct spot_at then = *spot;
    const void *present = NULL;
    TRY(read_acts(joining, which, err));
    if (field) {
        void *record = NULL;
        bool there = false;
        TRY(arena_take(joining->arena, 1, spot->table->size, &record, err));
        TRY(joining_read(joining, (enum version)which, spot->path, spot->table, record, &there, err));
        present = there ? spot_pick(spot, record) : NULL;
    }
    *out = (struct blamed){.created = NULL};
    for (size_t at = side->act_count; (present || !field) && at-- > 0;) {
        struct side_act *act = &side->acts[at];
        const void *after = NULL;
        bool is_it = false;
        if (is_named(not_these, act->id))
            continue;
        TRY(look_at_act(joining, act, &then, field, present, &after, &is_it, err));
        if (!is_it)
            continue;
        memcpy(out->act.id, act->id, sizeof out->act.id);
        out->act.time_us = act->time_us;
        out->created = after;
        out->is_found = true;
        return STATUS_OK;
    }
    return act_find(joining, side->tip, &out->act, err);
}

enum status side_last(struct joining *joining, int which, const char *path, struct act_at *out, struct err *err)
{
    struct side *side = &joining->sides[which];
    TRY(read_acts(joining, which, err));
    for (size_t at = side->act_count; at-- > 0;) {
        const struct difference *change = NULL;
        TRY(find_change(joining, &side->acts[at], path, &change, err));
        if (!change)
            continue;
        memcpy(out->id, side->acts[at].id, sizeof out->id);
        out->time_us = side->acts[at].time_us;
        return STATUS_OK;
    }
    return act_find(joining, side->tip, out, err);
}

bool side_is_before(const struct joining *joining, int which, const struct act_at *a, const struct act_at *b)
{
    const struct side *side = &joining->sides[which];
    bool is_seen = false;
    for (size_t at = 0; at < side->act_count; at++) {
        if (strcmp(side->acts[at].id, b->id) == 0)
            return is_seen;
        is_seen = is_seen || strcmp(side->acts[at].id, a->id) == 0;
    }
    return false;
}

/* --- the last acts of each line --- */

struct paths {
    const char *const *items;
    size_t count;
};

static enum status touches(struct joining *joining, struct side_act *act, const struct paths *paths, bool *out,
                           struct err *err)
{
    *out = false;
    for (size_t at = 0; at < paths->count && !*out; at++) {
        const struct difference *change = NULL;
        TRY(find_change(joining, act, paths->items[at], &change, err));
        *out = change != NULL;
    }
    return STATUS_OK;
}

static enum status add_head(struct joining *joining, const struct side_act *act, struct act_list *out, struct err *err)
{
    TRY(arena_grow(joining->arena, &out->items, out->count, &out->room, sizeof *out->items, err));
    struct act_at *head = &out->items[out->count++];
    memcpy(head->id, act->id, sizeof head->id);
    head->time_us = act->time_us;
    return STATUS_OK;
}

static struct side_act *find_act(struct side *side, const char *id)
{
    for (size_t at = side->act_count; at-- > 0;)
        if (strcmp(side->acts[at].id, id) == 0)
            return &side->acts[at];
    return NULL;
}

/* What led to the commit was followed. */
static enum status mark_parents(struct joining *joining, const struct commits *commits, size_t at, bool *followed,
                                struct err *err)
{
    struct parents parents;
    TRY(store_parents(joining->store, commits->ids[at], &parents, err));
    for (size_t parent = 0; parent < parents.count && parent < SIDES_MAX; parent++)
        for (size_t before = at; before-- > 0;)
            if (strcmp(commits->ids[before], parents.ids[parent]) == 0) {
                followed[before] = true;
                break;
            }
    return STATUS_OK;
}

/* Several lines were joined on the way: a commit is behind what came of it. */
static enum status find_heads(struct joining *joining, int which, const struct paths *paths, struct act_list *out,
                              struct err *err)
{
    struct side *side = &joining->sides[which];
    struct commits commits = {0};
    bool *followed = NULL;
    TRY(store_range(joining->store, side->tip, joining->sides[!which].tip, joining->arena, &commits, err));
    TRY(arena_take(joining->arena, commits.count, sizeof *followed, &followed, err));
    for (size_t at = commits.count; at-- > 0;) {
        struct side_act *act = followed[at] ? NULL : find_act(side, commits.ids[at]);
        bool is_head = false;
        if (act)
            TRY(touches(joining, act, paths, &is_head, err));
        if (is_head)
            TRY(add_head(joining, act, out, err));
        if (is_head || followed[at])
            TRY(mark_parents(joining, &commits, at, followed, err));
    }
    return STATUS_OK;
}

enum status side_heads(struct joining *joining, int which, const char *const *paths, size_t count, struct act_list *out,
                       struct err *err)
{
    struct side *side = &joining->sides[which];
    const struct paths all = {paths, count};
    *out = (struct act_list){.count = 0};
    TRY(read_acts(joining, which, err));
    if (side->has_joins)
        return find_heads(joining, which, &all, out, err);
    for (size_t at = side->act_count; at-- > 0 && !out->count;) {
        bool is_head = false;
        TRY(touches(joining, &side->acts[at], &all, &is_head, err));
        if (is_head)
            TRY(add_head(joining, &side->acts[at], out, err));
    }
    return STATUS_OK;
}

enum status side_touches(struct joining *joining, int which, const char *path, struct touch **out, size_t *count,
                         struct err *err)
{
    struct side *side = &joining->sides[which];
    *count = 0;
    TRY(read_acts(joining, which, err));
    TRY(arena_take(joining->arena, side->act_count, sizeof **out, out, err));
    for (size_t at = 0; at < side->act_count; at++) {
        const struct difference *change = NULL;
        TRY(find_change(joining, &side->acts[at], path, &change, err));
        if (!change)
            continue;
        struct touch *touch = &(*out)[(*count)++];
        memcpy(touch->act.id, side->acts[at].id, sizeof touch->act.id);
        touch->act.time_us = side->acts[at].time_us;
        memcpy(touch->newer, change->newer, sizeof touch->newer);
    }
    return STATUS_OK;
}
