/* SPDX-License-Identifier: MIT */
/* Folders with their modes, bytes by id, and what differs between two commits. */
#include "coretally/store/walk.h"

#include <stdio.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "internal.h"

enum { FOLDERS_DEEP_MAX = 16 }; /* a registry has four; a tree made by hand may have any number */

static void copy_id(char out[COMMIT_ID_MAX], const git_oid *id)
{
    (void)git_oid_tostr(out, COMMIT_ID_MAX, id);
}

enum status store_entries(struct store *store, const char *folder, struct arena *arena, struct entries *out,
                          struct err *err)
{
    git_oid id;
    bool absent = false;
    CLEANUP(tree_free_at) git_tree *tree = NULL;
    TRY(tree_look(store->repo, store->tree, folder, false, &id, &absent, err));
    *out = (struct entries){0};
    if (absent)
        return STATUS_OK;
    if (git_tree_lookup(&tree, store->repo, &id) != 0)
        return git_unreadable(err, *folder ? folder : "registry", "could not read this folder of the registry");
    TRY(tree_check_count(tree, *folder ? folder : "registry", err));
    struct entries entries = {.count = git_tree_entrycount(tree)};
    TRY(arena_take(arena, entries.count, sizeof *entries.items, &entries.items, err));
    for (size_t at = 0; at < entries.count; at++) {
        const git_tree_entry *entry = git_tree_entry_byindex(tree, at);
        const char *name = git_tree_entry_name(entry);
        TRY(arena_copy(arena, name, strlen(name), &entries.items[at].name, err));
        copy_id(entries.items[at].id, git_tree_entry_id(entry));
        entries.items[at].mode = (unsigned)git_tree_entry_filemode_raw(entry);
    }
    *out = entries;
    return STATUS_OK;
}

/* A comparison under way. */
struct comparison {
    git_repository *repo;
    struct arena *arena;
    struct differences *out;
};

static bool is_folder(const git_tree_entry *entry)
{
    return entry && git_tree_entry_type(entry) == GIT_OBJECT_TREE;
}

static enum status add_path(struct comparison *it, const char *folder, const char *name, struct difference **out,
                            struct err *err)
{
    struct differences *all = it->out;
    char *path = NULL;
    const size_t size = strlen(folder) + strlen(name) + 2;
    TRY(arena_grow(it->arena, &all->items, all->count, &all->room, sizeof *all->items, err));
    TRY(arena_take(it->arena, size, 1, &path, err));
    (void)snprintf(path, size, "%s%s%s", folder, *folder && *name ? "/" : "", name);
    *out = &all->items[all->count++];
    **out = (struct difference){.path = path};
    return STATUS_OK;
}

static enum status add_file(struct comparison *it, const char *folder, const git_tree_entry *older,
                            const git_tree_entry *newer, struct err *err)
{
    struct difference *added = NULL;
    TRY(add_path(it, folder, git_tree_entry_name(older ? older : newer), &added, err));
    if (older) {
        copy_id(added->older, git_tree_entry_id(older));
        added->older_mode = (unsigned)git_tree_entry_filemode_raw(older);
    }
    if (newer) {
        copy_id(added->newer, git_tree_entry_id(newer));
        added->newer_mode = (unsigned)git_tree_entry_filemode_raw(newer);
    }
    return STATUS_OK;
}

static enum status compare_trees(struct comparison *it, const char *folder, const git_oid *older, const git_oid *newer,
                                 int deep, struct err *err);

/* One name, there on either side or on both. */
static enum status compare_entries(struct comparison *it, const char *folder, const git_tree_entry *older,
                                   const git_tree_entry *newer, int deep, struct err *err)
{
    if (older && newer && git_oid_equal(git_tree_entry_id(older), git_tree_entry_id(newer)) &&
        git_tree_entry_filemode_raw(older) == git_tree_entry_filemode_raw(newer))
        return STATUS_OK;
    if (is_folder(older) || is_folder(newer)) {
        const char *name = git_tree_entry_name(older ? older : newer);
        const size_t size = strlen(folder) + strlen(name) + 2;
        char *inner = NULL;
        TRY(arena_take(it->arena, size, 1, &inner, err));
        (void)snprintf(inner, size, "%s%s%s", folder, *folder ? "/" : "", name);
        TRY(compare_trees(it, inner, is_folder(older) ? git_tree_entry_id(older) : NULL,
                          is_folder(newer) ? git_tree_entry_id(newer) : NULL, deep + 1, err));
    }
    older = is_folder(older) ? NULL : older;
    newer = is_folder(newer) ? NULL : newer;
    return older || newer ? add_file(it, folder, older, newer, err) : STATUS_OK;
}

static enum status add_unreadable(struct comparison *it, const char *folder, const struct err *why, struct err *err)
{
    struct difference *added = NULL;
    if (why->status == STATUS_SYSTEM) {
        *err = *why;
        return why->status;
    }
    TRY(add_path(it, folder, "", &added, err));
    return arena_copy(it->arena, why->reason, strlen(why->reason), &added->why, err);
}

static enum status compare_trees(struct comparison *it, const char *folder, const git_oid *older, const git_oid *newer,
                                 int deep, struct err *err)
{
    CLEANUP(tree_free_at) git_tree *a = NULL;
    CLEANUP(tree_free_at) git_tree *b = NULL;
    struct err why = {0};
    if (deep > FOLDERS_DEEP_MAX)
        err_set(&why, STATUS_DAMAGED, folder, "folders are nested more than %d deep", FOLDERS_DEEP_MAX);
    else if ((older && git_tree_lookup(&a, it->repo, older) != 0) ||
             (newer && git_tree_lookup(&b, it->repo, newer) != 0))
        (void)git_unreadable(&why, folder, "could not read this folder");
    else if ((a && tree_check_count(a, folder, &why) != STATUS_OK) ||
             (b && tree_check_count(b, folder, &why) != STATUS_OK))
        why.status = STATUS_DAMAGED;
    if (why.status != STATUS_OK)
        return add_unreadable(it, folder, &why, err);
    const size_t b_count = b ? git_tree_entrycount(b) : 0;
    const size_t a_count = a ? git_tree_entrycount(a) : 0;
    for (size_t at = 0; at < b_count; at++) {
        const git_tree_entry *entry = git_tree_entry_byindex(b, at);
        TRY(compare_entries(it, folder, a ? git_tree_entry_byname(a, git_tree_entry_name(entry)) : NULL, entry, deep,
                            err));
    }
    for (size_t at = 0; at < a_count; at++) {
        const git_tree_entry *entry = git_tree_entry_byindex(a, at);
        if (!b || !git_tree_entry_byname(b, git_tree_entry_name(entry)))
            TRY(compare_entries(it, folder, entry, NULL, deep, err));
    }
    return STATUS_OK;
}

static enum status read_tree_id(struct store *store, const char *commit_id, git_oid *out, struct err *err)
{
    git_oid id;
    CLEANUP(commit_free_at) git_commit *commit = NULL;
    if (git_oid_fromstr(&id, commit_id) != 0 || git_commit_lookup(&commit, store->repo, &id) != 0)
        return git_unreadable(err, commit_id, "could not read this commit");
    *out = *git_commit_tree_id(commit);
    return STATUS_OK;
}

enum status store_differences(struct store *store, const char *older, const char *newer, struct arena *arena,
                              struct differences *out, struct err *err)
{
    git_oid trees[2];
    struct comparison it = {store->repo, arena, out};
    *out = (struct differences){0};
    if (*older)
        TRY(read_tree_id(store, older, &trees[0], err));
    TRY(read_tree_id(store, newer, &trees[1], err));
    if (*older && git_oid_equal(&trees[0], &trees[1]))
        return STATUS_OK;
    return compare_trees(&it, "", *older ? &trees[0] : NULL, &trees[1], 0, err);
}
