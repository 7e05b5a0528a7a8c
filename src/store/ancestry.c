/* SPDX-License-Identifier: MIT */
/* The history of a state, read once and put in order. The order follows from the commits and the order of their
 * parents, so whoever has the same newest commit has the same one. */
#include "ancestry.h"

#include <string.h>

#include "coretally/base/limits.h"

void ancestry_clear_at(struct ancestry *it)
{
    arena_clear(&it->arena);
}

bool ancestor_is_act(const struct ancestor *it)
{
    return it->parent_count < 2;
}

int64_t ancestor_times(const git_commit *commit, int64_t *done_us)
{
    const int64_t written_us = instant_from_seconds(git_commit_committer(commit)->when.time, 0).utc_us;
    *done_us = instant_from_seconds(git_commit_author(commit)->when.time, 0).utc_us;
    return written_us > *done_us ? written_us : *done_us;
}

/* --- ids to places --- */

/* The slot of an id, or the free one where it belongs; an id is a hash, so its first bytes are as good as any other. */
static size_t *find_slot(const struct ancestry *it, const git_oid *id)
{
    size_t at = 0;
    memcpy(&at, id->id, sizeof at);
    for (at &= it->table_room - 1; it->table[at] != SIZE_MAX; at = (at + 1) & (it->table_room - 1))
        if (git_oid_equal(&it->items[it->table[at]].id, id))
            break;
    return &it->table[at];
}

/* Half of the table stays free. */
static enum status widen(struct ancestry *it, struct err *err)
{
    if (it->table && it->count < it->table_room / 2)
        return STATUS_OK;
    it->table_room = it->table ? it->table_room * 2 : 1024;
    TRY(arena_take(&it->arena, it->table_room, sizeof *it->table, &it->table, err));
    memset(it->table, 0xFF, it->table_room * sizeof *it->table);
    for (size_t at = 0; at < it->count; at++)
        *find_slot(it, &it->items[at].id) = at;
    return STATUS_OK;
}

/* Where a commit stands; a new one is put at the end, to be read when its turn comes. */
static enum status place(struct ancestry *it, const git_oid *id, size_t *out, struct err *err)
{
    TRY(widen(it, err));
    size_t *slot = find_slot(it, id);
    if (*slot == SIZE_MAX) {
        TRY(arena_grow(&it->arena, &it->items, it->count, &it->room, sizeof *it->items, err));
        it->items[it->count] = (struct ancestor){.id = *id, .held_since = SIZE_MAX};
        *slot = it->count++;
    }
    *out = *slot;
    return STATUS_OK;
}

static enum status read_commit(const struct store *store, struct ancestry *it, size_t at, struct err *err)
{
    CLEANUP(commit_free_at) git_commit *commit = NULL;
    char id[COMMIT_ID_MAX];
    int64_t done_us = 0;
    (void)git_oid_tostr(id, sizeof id, &it->items[at].id);
    if (git_commit_lookup(&commit, store->repo, &it->items[at].id) != 0)
        return git_unreadable(err, id, "could not read this commit of the history");
    it->items[at].came_in_us = ancestor_times(commit, &done_us);
    it->items[at].done_us = done_us;
    it->items[at].parents = it->parent_count;
    it->items[at].parent_count = git_commit_parentcount(commit);
    for (unsigned parent = 0; parent < git_commit_parentcount(commit); parent++) {
        size_t found = 0;
        TRY(place(it, git_commit_parent_id(commit, parent), &found, err));
        TRY(arena_grow(&it->arena, &it->parents, it->parent_count, &it->parent_room, sizeof *it->parents, err));
        it->parents[it->parent_count++] = found;
    }
    return STATUS_OK;
}

/* --- in order --- */

/* Deep into the parents first. A commit waits on the stack until all of its parents have their places. */
static enum status put_in_order(struct ancestry *it, struct err *err)
{
    size_t *stack = NULL; /* each stands on it once: in a history there is no circle */
    size_t *next = NULL;  /* the parent whose turn it is */
    bool *is_met = NULL;
    size_t deep = 0;
    size_t done = 0;
    TRY(arena_take(&it->arena, it->count, sizeof *it->order, &it->order, err));
    TRY(arena_take(&it->arena, it->count, sizeof *stack, &stack, err));
    TRY(arena_take(&it->arena, it->count, sizeof *next, &next, err));
    TRY(arena_take(&it->arena, it->count, sizeof *is_met, &is_met, err));
    stack[deep++] = 0;
    is_met[0] = true;
    while (deep) {
        const size_t at = stack[deep - 1];
        if (next[at] == it->items[at].parent_count) {
            it->order[done++] = at;
            deep--;
            continue;
        }
        const size_t parent = it->parents[it->items[at].parents + next[at]++];
        if (is_met[parent])
            continue;
        is_met[parent] = true;
        stack[deep++] = parent;
    }
    return STATUS_OK;
}

static void settle_times(struct ancestry *it)
{
    for (size_t place = 0; place < it->count; place++) {
        struct ancestor *node = &it->items[it->order[place]];
        node->came_in_with = it->order[place];
        for (size_t parent = 0; parent < node->parent_count; parent++) {
            const struct ancestor *before = &it->items[it->parents[node->parents + parent]];
            if (before->came_in_us <= node->came_in_us)
                continue;
            node->came_in_us = before->came_in_us;
            node->came_in_with = before->came_in_with;
        }
    }
}

/* The line, and which place in it was the first to hold each: one beside it is held since it was joined. */
static enum status settle_line(struct ancestry *it, struct err *err)
{
    size_t length = 1;
    for (const struct ancestor *node = it->items; node->parent_count; length++)
        node = &it->items[it->parents[node->parents]];
    TRY(arena_take(&it->arena, length, sizeof *it->line, &it->line, err));
    it->line_count = length;
    for (size_t at = 0; length-- > 0; at = it->parents[it->items[at].parents]) {
        it->line[length] = at;
        it->items[at].held_since = length;
        if (!it->items[at].parent_count)
            break;
    }
    for (size_t place = it->count; place-- > 0;) {
        const struct ancestor *node = &it->items[it->order[place]];
        for (size_t parent = 0; parent < node->parent_count; parent++) {
            struct ancestor *before = &it->items[it->parents[node->parents + parent]];
            if (before->held_since > node->held_since)
                before->held_since = node->held_since;
        }
    }
    return STATUS_OK;
}

enum status ancestry_read(const struct store *store, struct ancestry *out, struct err *err)
{
    size_t tip = 0;
    *out = (struct ancestry){.count = 0};
    arena_init(&out->arena, ARENA_LIMIT_BYTES);
    TRY(place(out, &store->tip, &tip, err));
    for (size_t at = 0; at < out->count; at++)
        TRY(read_commit(store, out, at, err));
    TRY(put_in_order(out, err));
    settle_times(out);
    return settle_line(out, err);
}
