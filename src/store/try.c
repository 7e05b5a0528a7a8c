/* SPDX-License-Identifier: MIT */
/* The registry as it would be after an act: its objects are made in memory, in front of those on disk. */
#include <git2/sys/mempack.h>
#include <git2/sys/odb_backend.h>
#include <stdlib.h>

#include "coretally/store/merge.h"
#include "internal.h"

enum { BEFORE_GUARD = 200 }; /* guard.c stands before libgit2's own, and takes nothing in */

static void odb_free_at(git_odb **odb)
{
    git_odb_free(*odb);
}

enum status store_keep_in_memory(struct store *store, struct err *err)
{
    CLEANUP(odb_free_at) git_odb *odb = NULL;
    git_odb_backend *memory = NULL;
    if (git_repository_odb(&odb, store->repo) != 0 || git_mempack_new(&memory) != 0)
        return git_refused(err, store->gitdir, "could not look at what the act would change");
    if (git_odb_add_backend(odb, memory, BEFORE_GUARD) == 0)
        return STATUS_OK;
    memory->free(memory);
    return git_refused(err, store->gitdir, "could not look at what the act would change");
}

static enum status put(struct store *store, const struct change *changes, size_t count, struct err *err)
{
    git_oid tree_id;
    git_tree *tree = NULL;
    git_oid *blobs = calloc(count + 1, sizeof *blobs);
    if (!blobs)
        return err_set(err, STATUS_SYSTEM, "memory", "could not gather the records");
    enum status status = make_blobs(store->repo, changes, count, blobs, err);
    if (status == STATUS_OK)
        status = make_tree(store->repo, store->tree, changes, count, blobs, &tree_id, err);
    free(blobs);
    TRY(status);
    if (git_tree_lookup(&tree, store->repo, &tree_id) != 0)
        return git_refused(err, store->gitdir, "could not look at what the act would change");
    git_tree_free(store->tree);
    store->tree = tree;
    return STATUS_OK;
}

enum status store_try(struct store *store, const struct change *changes, size_t count, struct store *out[2],
                      struct err *err)
{
    struct store *stores[2] = {NULL, NULL};
    enum status status = store_open_beside(store, NULL, &stores[0], err);
    if (status == STATUS_OK) /* its objects are no other store's */
        status = store_open(store->gitdir, STORE_READ, store->talk, &stores[1], err);
    if (status == STATUS_OK)
        status = store_stand_at(stores[1], store->state, err);
    if (status == STATUS_OK) {
        stores[1]->may_mend = store->may_mend; /* of a dry run nothing is touched */
        status = store_keep_in_memory(stores[1], err);
    }
    if (status == STATUS_OK)
        status = put(stores[1], changes, count, err);
    if (status != STATUS_OK) {
        store_close(stores[0]);
        store_close(stores[1]);
        return status;
    }
    stores[0]->noting = store;
    out[0] = stores[0];
    out[1] = stores[1];
    return STATUS_OK;
}
