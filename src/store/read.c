/* SPDX-License-Identifier: MIT */
/* Reading files and folders at a state, and remembering what was read. */
#include "internal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"

enum status store_note(struct store *store, const char *path, bool is_listing, bool absent, const git_oid *id,
                       struct err *err)
{
    store = store->noting ? store->noting : store;
    if (store->lock_fd < 0) /* readers append nothing */
        return STATUS_OK;
    TRY(arena_grow(&store->arena, &store->seen, store->seen_count, &store->seen_room, sizeof *store->seen, err));
    struct seen *seen = &store->seen[store->seen_count];
    TRY(arena_copy(&store->arena, path, strlen(path), &seen->path, err));
    seen->is_listing = is_listing;
    seen->absent = absent;
    seen->id = *id;
    store->seen_count++;
    return STATUS_OK;
}

/* A folder's names, so that a change inside one of its files is no change of the listing. */
static enum status names_id(git_repository *repo, const git_oid *tree_id, git_oid *id, struct err *err)
{
    CLEANUP(tree_free_at) git_tree *tree = NULL;
    if (git_tree_lookup(&tree, repo, tree_id) != 0)
        return git_unreadable(err, "registry", "could not read a folder");
    size_t size = 0;
    const size_t count = git_tree_entrycount(tree);
    for (size_t at = 0; at < count; at++)
        size += strlen(git_tree_entry_name(git_tree_entry_byindex(tree, at))) + 2;
    char *names = calloc(1, size + 1);
    if (!names)
        return err_set(err, STATUS_SYSTEM, "memory", "could not list a folder");
    size_t used = 0;
    for (size_t at = 0; at < count; at++) {
        const git_tree_entry *entry = git_tree_entry_byindex(tree, at);
        const char *name = git_tree_entry_name(entry);
        const bool is_tree = git_tree_entry_type(entry) == GIT_OBJECT_TREE; /* a folder is no file */
        used += (size_t)snprintf(names + used, size + 1 - used, "%s%c", name, is_tree ? '/' : ' ') + 1;
    }
    const int failed = git_odb_hash(id, names, used, GIT_OBJECT_BLOB);
    free(names);
    return failed ? git_refused(err, "registry", "could not list a folder") : STATUS_OK;
}

enum status tree_look(git_repository *repo, git_tree *tree, const char *path, bool is_listing, git_oid *id,
                      bool *absent, struct err *err)
{
    CLEANUP(tree_entry_free_at) git_tree_entry *entry = NULL;
    *absent = false;
    memset(id, 0, sizeof *id);
    if (!*path) {
        *id = *git_tree_id(tree);
        return is_listing ? names_id(repo, git_tree_id(tree), id, err) : STATUS_OK;
    }
    const int found = git_tree_entry_bypath(&entry, tree, path);
    if (found == GIT_ENOTFOUND) {
        *absent = true;
        return STATUS_OK;
    }
    if (found != 0)
        return git_unreadable(err, path, "could not read the registry");
    *id = *git_tree_entry_id(entry);
    if (is_listing)
        return names_id(repo, id, id, err);
    return STATUS_OK;
}

enum status store_read(struct store *store, const char *path, struct arena *arena, struct bytes *out, struct err *err)
{
    git_oid id;
    bool absent = false;
    TRY(tree_look(store->repo, store->tree, path, false, &id, &absent, err));
    TRY(store_note(store, path, false, absent, &id, err));
    if (absent) {
        *out = (struct bytes){0};
        return STATUS_OK;
    }
    CLEANUP(blob_free_at) git_blob *blob = NULL;
    if (git_blob_lookup(&blob, store->repo, &id) != 0)
        return git_unreadable(err, path, "could not read this file of the registry");
    const size_t size = (size_t)git_blob_rawsize(blob);
    if (size > RECORD_BYTES_MAX)
        return err_set(err, STATUS_DAMAGED, path, "%zu bytes are more than the %d that a record may have", size,
                       RECORD_BYTES_MAX);
    struct bytes bytes = {.len = size};
    TRY(arena_copy(arena, git_blob_rawcontent(blob), size, &bytes.data, err));
    *out = bytes;
    return STATUS_OK;
}

static int compare_names(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

enum status store_list(struct store *store, const char *folder, struct arena *arena, struct names *out, struct err *err)
{
    git_oid id;
    bool absent = false;
    TRY(tree_look(store->repo, store->tree, folder, true, &id, &absent, err));
    TRY(store_note(store, folder, true, absent, &id, err));
    if (absent) {
        *out = (struct names){0};
        return STATUS_OK;
    }
    TRY(tree_look(store->repo, store->tree, folder, false, &id, &absent, err));
    CLEANUP(tree_free_at) git_tree *tree = NULL;
    if (git_tree_lookup(&tree, store->repo, &id) != 0)
        return git_unreadable(err, folder, "could not read this folder of the registry");
    struct names names = {.count = git_tree_entrycount(tree)};
    TRY(arena_take(arena, names.count, sizeof *names.items, &names.items, err));
    for (size_t at = 0; at < names.count; at++) {
        const git_tree_entry *entry = git_tree_entry_byindex(tree, at);
        const bool is_tree = git_tree_entry_type(entry) == GIT_OBJECT_TREE;
        const char *name = git_tree_entry_name(entry);
        const size_t size = strlen(name) + 2;
        char *copy = NULL;
        TRY(arena_take(arena, size, 1, &copy, err));
        (void)snprintf(copy, size, "%s%s", name, is_tree ? "/" : "");
        names.items[at] = copy;
    }
    if (names.count)
        qsort(names.items, names.count, sizeof *names.items, compare_names);
    *out = names;
    return STATUS_OK;
}

enum status store_id(struct store *store, const char *path, char out[HASH_TEXT_MAX], struct err *err)
{
    git_oid id;
    bool absent = false;
    TRY(tree_look(store->repo, store->tree, path, false, &id, &absent, err));
    if (!store->noting) /* ids are looked at to skip what is the same: nothing was answered from them */
        TRY(store_note(store, path, false, absent, &id, err));
    *out = '\0';
    if (!absent)
        (void)git_oid_tostr(out, HASH_TEXT_MAX, &id);
    return STATUS_OK;
}

enum status store_hash(struct bytes bytes, char out[HASH_TEXT_MAX], struct err *err)
{
    git_oid id;
    TRY(store_start(err));
    if (git_odb_hash(&id, bytes.data, bytes.len, GIT_OBJECT_BLOB) != 0)
        return git_refused(err, "evidence", "could not work out the hash of this file");
    (void)git_oid_tostr(out, HASH_TEXT_MAX, &id);
    return STATUS_OK;
}
