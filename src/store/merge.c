/* SPDX-License-Identifier: MIT */
/* Two histories: where they parted, what each has alone, the commit that joins them, and the branch moved there. */
#include "coretally/store/merge.h"

#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "internal.h"

static void revwalk_free_at(git_revwalk **walk)
{
    git_revwalk_free(*walk);
}

static void bases_free_at(git_oidarray *bases)
{
    git_oidarray_dispose(bases);
}

static enum status find_commit(struct store *store, const char *id, git_commit **out, struct err *err)
{
    git_oid oid;
    if (git_oid_fromstr(&oid, id) != 0 || git_commit_lookup(out, store->repo, &oid) != 0)
        return git_unreadable(err, id, "could not read this commit");
    return STATUS_OK;
}

static int compare_ids(const void *a, const void *b)
{
    return memcmp(a, b, COMMIT_ID_MAX);
}

enum status store_bases(struct store *store, const char *a, const char *b, struct arena *arena, struct commits *out,
                        struct err *err)
{
    CLEANUP(bases_free_at) git_oidarray bases = {NULL, 0};
    git_oid ids[2];
    *out = (struct commits){0};
    if (git_oid_fromstr(&ids[0], a) != 0 || git_oid_fromstr(&ids[1], b) != 0)
        return err_set(err, STATUS_INPUT, a, "this is not the whole id of a commit");
    const int found = git_merge_bases(&bases, store->repo, &ids[0], &ids[1]);
    if (found == GIT_ENOTFOUND)
        return STATUS_OK;
    if (found != 0)
        return git_unreadable(err, "registry", "could not find where the two histories parted");
    TRY(arena_take(arena, bases.count, sizeof *out->ids, &out->ids, err));
    for (; out->count < bases.count; out->count++)
        (void)git_oid_tostr(out->ids[out->count], COMMIT_ID_MAX, &bases.ids[out->count]);
    qsort(out->ids, out->count, sizeof *out->ids, compare_ids);
    return STATUS_OK;
}

/* A commit of the range while it is put in order. */
struct ranged {
    char id[COMMIT_ID_MAX];
    int64_t time_us;
    size_t parents[SIDES_MAX]; /* in the range; SIZE_MAX: none */
    bool done;
};

static enum status add_ranged(struct store *store, const git_oid *id, struct arena *arena, struct ranged **all,
                              size_t *count, size_t *room, struct err *err)
{
    CLEANUP(commit_free_at) git_commit *commit = NULL;
    TRY(arena_grow(arena, all, *count, room, sizeof **all, err));
    struct ranged *it = &(*all)[(*count)++];
    *it = (struct ranged){.parents = {SIZE_MAX, SIZE_MAX}};
    (void)git_oid_tostr(it->id, sizeof it->id, id);
    if (git_commit_lookup(&commit, store->repo, id) != 0)
        return git_unreadable(err, it->id, "could not read this commit");
    it->time_us = instant_from_seconds(git_commit_author(commit)->when.time, 0).utc_us;
    return STATUS_OK;
}

/* libgit2 gives children before parents; among those free to come next its order is not promised. */
static int compare_ranged(const void *a, const void *b)
{
    const struct ranged *left = a;
    const struct ranged *right = b;
    if (left->time_us != right->time_us)
        return left->time_us < right->time_us ? -1 : 1;
    return strcmp(left->id, right->id);
}

static int compare_ranged_ids(const void *a, const void *b)
{
    return strcmp(((const struct ranged *)a)->id, (*(const struct ranged *const *)b)->id);
}

struct by_id {
    const struct ranged **items;
    size_t count;
};

static int compare_pointers(const void *a, const void *b)
{
    return strcmp((*(const struct ranged *const *)a)->id, (*(const struct ranged *const *)b)->id);
}

static enum status link_parents(struct store *store, struct ranged *all, const struct by_id *by_id, struct err *err)
{
    for (size_t at = 0; at < by_id->count; at++) {
        CLEANUP(commit_free_at) git_commit *commit = NULL;
        size_t used = 0;
        TRY(find_commit(store, all[at].id, &commit, err));
        for (unsigned parent = 0; parent < git_commit_parentcount(commit) && used < SIDES_MAX; parent++) {
            struct ranged key;
            (void)git_oid_tostr(key.id, sizeof key.id, git_commit_parent_id(commit, parent));
            const struct ranged **found = bsearch(&key, by_id->items, by_id->count, sizeof(void *), compare_ranged_ids);
            if (found)
                all[at].parents[used++] = (size_t)(*found - all);
        }
    }
    return STATUS_OK;
}

/* The one and then whatever was waiting for it: depth first, by time, so that the order follows from the commits. */
static enum status emit(struct ranged *all, size_t first, struct arena *arena, struct commits *out, struct err *err)
{
    size_t *stack = NULL;
    size_t count = 0;
    size_t room = 0;
    TRY(arena_grow(arena, &stack, count, &room, sizeof *stack, err));
    stack[count++] = first;
    while (count) {
        struct ranged *it = &all[stack[count - 1]];
        size_t waiting = SIZE_MAX;
        for (size_t parent = 0; parent < SIDES_MAX; parent++)
            if (it->parents[parent] != SIZE_MAX && !all[it->parents[parent]].done)
                waiting = it->parents[parent];
        if (waiting != SIZE_MAX) {
            TRY(arena_grow(arena, &stack, count, &room, sizeof *stack, err));
            stack[count++] = waiting;
            continue;
        }
        count--;
        if (it->done)
            continue;
        it->done = true;
        memcpy(out->ids[out->count++], it->id, COMMIT_ID_MAX);
    }
    return STATUS_OK;
}

enum status store_range(struct store *store, const char *tip, const char *without, struct arena *arena,
                        struct commits *out, struct err *err)
{
    CLEANUP(revwalk_free_at) git_revwalk *walk = NULL;
    struct ranged *all = NULL;
    size_t count = 0;
    size_t room = 0;
    git_oid id;
    *out = (struct commits){0};
    if (git_revwalk_new(&walk, store->repo) != 0 || git_oid_fromstr(&id, tip) != 0 ||
        git_revwalk_push(walk, &id) != 0 ||
        (*without && (git_oid_fromstr(&id, without) != 0 || git_revwalk_hide(walk, &id) != 0)))
        return git_unreadable(err, tip, "could not walk the history");
    int going = 0;
    while ((going = git_revwalk_next(&id, walk)) == 0)
        TRY(add_ranged(store, &id, arena, &all, &count, &room, err));
    if (going != GIT_ITEROVER)
        return git_unreadable(err, tip, "could not read the history");
    if (!count)
        return STATUS_OK;
    struct by_id by_id = {.count = count};
    qsort(all, count, sizeof *all, compare_ranged);
    TRY(arena_take(arena, count, sizeof(void *), &by_id.items, err));
    for (size_t at = 0; at < count; at++)
        by_id.items[at] = &all[at];
    qsort(by_id.items, count, sizeof(void *), compare_pointers);
    TRY(link_parents(store, all, &by_id, err));
    TRY(arena_take(arena, count, sizeof *out->ids, &out->ids, err));
    for (size_t at = 0; at < count; at++)
        TRY(emit(all, at, arena, out, err));
    return STATUS_OK;
}

enum status store_parents(struct store *store, const char *id, struct parents *out, struct err *err)
{
    CLEANUP(commit_free_at) git_commit *commit = NULL;
    struct parents parents = {.count = 0};
    TRY(find_commit(store, id, &commit, err));
    parents.count = git_commit_parentcount(commit);
    for (unsigned at = 0; at < parents.count && at < SIDES_MAX; at++)
        (void)git_oid_tostr(parents.ids[at], COMMIT_ID_MAX, git_commit_parent_id(commit, at));
    (void)git_oid_tostr(parents.tree, COMMIT_ID_MAX, git_commit_tree_id(commit));
    *out = parents;
    return STATUS_OK;
}

enum status store_put(struct store *store, struct bytes bytes, char out[COMMIT_ID_MAX], struct err *err)
{
    git_oid id;
    if (git_blob_create_from_buffer(&id, store->repo, bytes.data, bytes.len) != 0)
        return git_refused(err, "registry", "could not write a joined record");
    (void)git_oid_tostr(out, COMMIT_ID_MAX, &id);
    return STATUS_OK;
}

/* The tree of `onto` with the files placed. */
static enum status put_tree(struct store *store, const struct join_commit *join, git_oid *out, struct err *err)
{
    CLEANUP(commit_free_at) git_commit *onto = NULL;
    CLEANUP(tree_free_at) git_tree *base = NULL;
    TRY(find_commit(store, join->onto, &onto, err));
    if (git_commit_tree(&base, onto) != 0)
        return git_unreadable(err, join->onto, "could not read this commit");
    git_tree_update *updates = calloc(join->count + 1, sizeof *updates);
    if (!updates)
        return err_set(err, STATUS_SYSTEM, "memory", "could not gather what is joined");
    size_t used = 0;
    bool is_sound = true;
    for (size_t at = 0; is_sound && at < join->count; at++) {
        CLEANUP(tree_entry_free_at) git_tree_entry *there = NULL;
        const struct placed *file = &join->files[at];
        const bool is_removed = !*file->id;
        if (is_removed && git_tree_entry_bypath(&there, base, file->path) == GIT_ENOTFOUND)
            continue; /* libgit2 refuses to remove what is not there */
        git_tree_update *update = &updates[used++];
        *update = (git_tree_update){.action = is_removed ? GIT_TREE_UPDATE_REMOVE : GIT_TREE_UPDATE_UPSERT,
                                    .filemode = GIT_FILEMODE_BLOB,
                                    .path = file->path};
        is_sound = is_removed || git_oid_fromstr(&update->id, file->id) == 0;
    }
    is_sound = is_sound && git_tree_create_updated(out, store->repo, base, used, updates) == 0;
    free(updates);
    return is_sound ? STATUS_OK : git_refused(err, "registry", "could not write the folders of the join");
}

/* The later of the two, of authors and committers. */
static git_time_t later_time(git_commit *const *commits)
{
    git_time_t latest = 0;
    for (size_t at = 0; at < SIDES_MAX; at++) {
        const git_time_t done = git_commit_author(commits[at])->when.time;
        const git_time_t here = git_commit_committer(commits[at])->when.time;
        latest = done > latest ? done : latest;
        latest = here > latest ? here : latest;
    }
    return latest;
}

enum status store_put_join(struct store *store, const struct join_commit *join, char out[COMMIT_ID_MAX],
                           char tree_out[COMMIT_ID_MAX], struct err *err)
{
    const bool in_order = strcmp(join->parents[0], join->parents[1]) < 0;
    CLEANUP(commit_free_at) git_commit *first = NULL;
    CLEANUP(commit_free_at) git_commit *second = NULL;
    CLEANUP(tree_free_at) git_tree *tree = NULL;
    CLEANUP(signature_free_at) git_signature *who = NULL;
    char message[160];
    git_oid id;
    TRY(find_commit(store, join->parents[!in_order], &first, err));
    TRY(find_commit(store, join->parents[in_order], &second, err));
    TRY(put_tree(store, join, &id, err));
    git_commit *parents[SIDES_MAX] = {first, second};
    (void)snprintf(message, sizeof message, "Join of %.10s and %.10s\n\nAct: " JOIN_KIND "\n", join->parents[!in_order],
                   join->parents[in_order]);
    const bool made = git_tree_lookup(&tree, store->repo, &id) == 0 &&
                      git_signature_new(&who, JOIN_NAME, JOIN_MAIL, later_time(parents), 0) == 0;
    if (made && tree_out)
        (void)git_oid_tostr(tree_out, COMMIT_ID_MAX, &id);
    if (!made || git_commit_create(&id, store->repo, NULL, who, who, NULL, message, tree, SIDES_MAX,
                                   (const git_commit **)parents) != 0)
        return git_refused(err, "registry", "could not write the commit of the join");
    (void)git_oid_tostr(out, COMMIT_ID_MAX, &id);
    return STATUS_OK;
}

/* What a work tree has to follow in. */
static enum status read_changes(struct store *store, const char *id, struct arena *arena, struct change **out,
                                size_t *count, struct err *err)
{
    struct differences differences = {0};
    struct change *changes = NULL;
    *count = 0;
    *out = NULL;
    if (!store->work_tree[0])
        return STATUS_OK;
    TRY(store_differences(store, store->state, id, arena, &differences, err));
    TRY(arena_take(arena, differences.count, sizeof *changes, &changes, err));
    for (size_t at = 0; at < differences.count; at++) {
        const struct difference *it = &differences.items[at];
        if (it->why)
            return err_set(err, STATUS_DAMAGED, it->path, "%s", it->why);
        changes[at] = (struct change){.path = it->path};
        if (*it->newer)
            TRY(store_bytes(store, it->newer, it->path, arena, &changes[at].bytes, err));
    }
    *out = changes;
    *count = differences.count;
    return STATUS_OK;
}

static enum status refuse_moved(struct err *err)
{
    err_set(err, STATUS_CONFLICT, "registry", "an act was recorded while the histories were being joined");
    return err_hint(err, "type the command again; nothing of either side is lost");
}

static enum status advance(struct store *store, const char *id, const char *kind, struct arena *arena, struct err *err)
{
    struct change *changes = NULL;
    size_t count = 0;
    CLEANUP(commit_free_at) git_commit *commit = NULL;
    CLEANUP(tree_free_at) git_tree *tree = NULL;
    bool moved = false;
    TRY(read_changes(store, id, arena, &changes, &count, err));
    TRY(find_commit(store, id, &commit, err));
    if (git_commit_tree(&tree, commit) != 0)
        return git_unreadable(err, id, "could not read this commit");
    TRY(branch_move(store, git_commit_id(commit), kind, &moved, err));
    if (!moved)
        return refuse_moved(err);
    branch_moved(store, git_commit_id(commit), tree, changes, count);
    tree = NULL;
    return STATUS_OK;
}

enum status store_advance(struct store *store, const char *id, const char *kind, struct err *err)
{
    struct arena arena;
    assert(store->lock_fd >= 0);
    if (strcmp(store->state, id) == 0)
        return STATUS_OK;
    arena_init(&arena, ARENA_LIMIT_BYTES);
    const enum status status = advance(store, id, kind, &arena, err);
    arena_clear(&arena);
    return status;
}
