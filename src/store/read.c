/* SPDX-License-Identifier: MIT */
/* Reading files and folders at a state, and remembering what was read. */
#include "internal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/store/walk.h"

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

/* What stands there instead; NULL for a file, or a folder where one is wanted. */
static const char *wrong_kind(const git_tree_entry *entry, bool is_folder)
{
    switch (git_tree_entry_filemode(entry)) {
    case GIT_FILEMODE_TREE:
        return is_folder ? NULL : "a folder";
    case GIT_FILEMODE_BLOB:
    case GIT_FILEMODE_BLOB_EXECUTABLE:
        return is_folder ? "a file" : NULL;
    case GIT_FILEMODE_LINK:
        return "a symbolic link";
    default:
        return "another repository";
    }
}

static enum status refuse_kind(const char *path, const char *there, bool is_folder, struct err *err)
{
    err_set(err, STATUS_DAMAGED, path, "%s stands where a %s belongs", there, is_folder ? "folder" : "file");
    return err_hint(err, "who put it there: git log -- %.100s; coretally verify finds all like it", path);
}

/* Nothing stands at path. Is that so since something on the way to it is no folder? Then it is not absent but lost. */
static enum status check_way(git_tree *tree, const char *path, struct err *err)
{
    char above[PATH_TEXT_MAX];
    (void)snprintf(above, sizeof above, "%.4000s", path);
    for (char *slash = strrchr(above, '/'); slash; slash = strrchr(above, '/')) {
        CLEANUP(tree_entry_free_at) git_tree_entry *entry = NULL;
        *slash = '\0';
        const int found = git_tree_entry_bypath(&entry, tree, above);
        if (found == GIT_ENOTFOUND)
            continue;
        if (found != 0)
            return git_unreadable(err, path, "could not read the registry");
        const char *there = wrong_kind(entry, true);
        return there ? refuse_kind(above, there, true, err) : STATUS_OK;
    }
    return STATUS_OK;
}

/* The entry at path; NULL where there is none. */
static enum status find_entry(git_tree *tree, const char *path, git_tree_entry **out, struct err *err)
{
    const int found = git_tree_entry_bypath(out, tree, path);
    if (found == GIT_ENOTFOUND) {
        *out = NULL;
        return check_way(tree, path, err);
    }
    return found == 0 ? STATUS_OK : git_unreadable(err, path, "could not read the registry");
}

enum status tree_check_file(git_tree *tree, const char *path, struct err *err)
{
    CLEANUP(tree_entry_free_at) git_tree_entry *entry = NULL;
    TRY(find_entry(tree, path, &entry, err));
    const char *there = entry ? wrong_kind(entry, false) : NULL;
    return there ? refuse_kind(path, there, false, err) : STATUS_OK;
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
    TRY(find_entry(tree, path, &entry, err));
    if (!entry) {
        *absent = true;
        return STATUS_OK;
    }
    *id = *git_tree_entry_id(entry);
    if (!is_listing)
        return STATUS_OK;
    const char *there = wrong_kind(entry, true);
    return there ? refuse_kind(path, there, true, err) : names_id(repo, id, id, err);
}

/* The id of the file at path; *there false without one. */
static enum status look(struct store *store, const char *path, git_oid *id, bool *there, struct err *err)
{
    CLEANUP(tree_entry_free_at) git_tree_entry *entry = NULL;
    memset(id, 0, sizeof *id);
    TRY(find_entry(store->tree, path, &entry, err));
    if (entry)
        *id = *git_tree_entry_id(entry);
    TRY(store_note(store, path, false, !entry, id, err));
    *there = entry != NULL;
    const char *instead = entry ? wrong_kind(entry, false) : NULL;
    return instead ? refuse_kind(path, instead, false, err) : STATUS_OK;
}

enum status store_look(struct store *store, const char *path, char out[HASH_TEXT_MAX], struct err *err)
{
    git_oid id;
    bool there = false;
    TRY(look(store, path, &id, &there, err));
    *out = '\0';
    if (there)
        (void)git_oid_tostr(out, HASH_TEXT_MAX, &id);
    return STATUS_OK;
}

enum status store_read(struct store *store, const char *path, struct arena *arena, struct bytes *out, struct err *err)
{
    char id[HASH_TEXT_MAX];
    TRY(store_look(store, path, id, err));
    if (*id)
        return store_bytes(store, id, path, arena, out, err);
    *out = (struct bytes){0};
    return STATUS_OK;
}

enum status tree_check_count(const git_tree *tree, const char *folder, struct err *err)
{
    const size_t count = git_tree_entrycount(tree);
    return count <= FOLDER_NAMES_MAX
               ? STATUS_OK
               : err_set(err, STATUS_DAMAGED, folder, "it has %zu names; no folder of a registry has more than %d",
                         count, FOLDER_NAMES_MAX);
}

/* Names of a folder: not more of them, and none longer, than a registry has; each once and in git's order, without
 * which git finds some of them and some not. */
static enum status check_names(git_tree *tree, const char *folder, struct err *err)
{
    const size_t count = git_tree_entrycount(tree);
    const char *why = NULL;
    size_t at = 0;
    TRY(tree_check_count(tree, folder, err));
    for (at = 0; at < count && !why; at++) {
        const git_tree_entry *entry = git_tree_entry_byindex(tree, at);
        const git_tree_entry *before = at ? git_tree_entry_byindex(tree, at - 1) : NULL;
        if (strlen(git_tree_entry_name(entry)) > FOLDER_NAME_BYTES_MAX)
            why = "has a name longer than any that a file may have";
        else if (before && strcmp(git_tree_entry_name(before), git_tree_entry_name(entry)) == 0)
            why = "has this name twice";
        else if (before && git_tree_entry_cmp(before, entry) > 0)
            why = "has its names out of order";
    }
    if (!why)
        return STATUS_OK;
    err_set(err, STATUS_DAMAGED, folder, "the folder %s: '%.100s'", why,
            git_tree_entry_name(git_tree_entry_byindex(tree, at - 1)));
    return err_hint(err, "no git client writes such a folder; take the registry from another copy");
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
    TRY(check_names(tree, *folder ? folder : "registry", err));
    struct names names = {.count = git_tree_entrycount(tree)};
    TRY(arena_take(arena, names.count, sizeof *names.items, &names.items, err));
    for (size_t at = 0; at < names.count; at++) {
        const git_tree_entry *entry = git_tree_entry_byindex(tree, at);
        const bool is_tree = git_tree_entry_type(entry) == GIT_OBJECT_TREE;
        const char *name = git_tree_entry_name(entry);
        const char *there = is_tree ? NULL : wrong_kind(entry, false);
        const size_t size = strlen(name) + 2;
        if (there) {
            char path[PATH_TEXT_MAX];
            (void)snprintf(path, sizeof path, "%.2000s%s%s", folder, *folder ? "/" : "", name);
            return refuse_kind(path, there, false, err);
        }
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

enum status blob_find(struct store *store, const char *id, const char *path, const char *refusal, git_blob **out,
                      struct err *err)
{
    git_oid oid;
    const bool found = git_oid_fromstr(&oid, id) == 0 && git_blob_lookup(out, store->repo, &oid) == 0;
    return found ? STATUS_OK : git_unreadable(err, path, refusal);
}

enum status blob_copy(const git_blob *blob, struct arena *arena, struct bytes *out, struct err *err)
{
    struct bytes bytes = {.len = (size_t)git_blob_rawsize(blob)};
    TRY(arena_copy(arena, git_blob_rawcontent(blob), bytes.len, &bytes.data, err));
    *out = bytes;
    return STATUS_OK;
}

enum status store_bytes(struct store *store, const char *id, const char *path, struct arena *arena, struct bytes *out,
                        struct err *err)
{
    CLEANUP(blob_free_at) git_blob *blob = NULL;
    TRY(blob_find(store, id, path, "could not read this file of the registry", &blob, err));
    const size_t size = (size_t)git_blob_rawsize(blob);
    if (size > RECORD_BYTES_MAX)
        return err_set(err, STATUS_DAMAGED, path, "%zu bytes are more than the %d that a record may have", size,
                       RECORD_BYTES_MAX);
    return blob_copy(blob, arena, out, err);
}
