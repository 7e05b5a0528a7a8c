/* SPDX-License-Identifier: MIT */
/* Opening a registry for reading or writing, at its tip or at a state. */
#include "internal.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/store/walk.h"

static void odb_free_at(git_odb **odb)
{
    git_odb_free(*odb);
}

/* A further folder of objects. */
static enum status add_folder(git_odb *odb, const char *folder, struct store *store, struct err *err)
{
    char whole[PATH_MAX];
    if (!realpath(folder, whole))
        return STATUS_OK; /* git names folders that need not be there */
    if (git_odb_add_disk_alternate(odb, whole) != 0)
        return git_refused(err, whole, "could not open the objects of the push");
    return guard_add(odb, whole, store, err);
}

/* Objects of a push that is not accepted yet stand beside those of the repository. */
static enum status add_objects(struct store *store, const char *objects, struct err *err)
{
    CLEANUP(odb_free_at) git_odb *odb = NULL;
    char folder[PATH_TEXT_MAX];
    if (git_repository_odb(&odb, store->repo) != 0)
        return git_unreadable(err, store->gitdir, "could not open the objects of this registry");
    (void)snprintf(folder, sizeof folder, "%.4000s/objects", store->common);
    TRY(guard_add(odb, folder, store, err));
    while (objects && *objects) {
        const size_t len = strcspn(objects, ":");
        (void)snprintf(folder, sizeof folder, "%.*s", (int)len, objects);
        if (len)
            TRY(add_folder(odb, folder, store, err));
        objects += len + (objects[len] != '\0');
    }
    return STATUS_OK;
}

static enum status open_repository(struct store *store, const char *path, struct err *err)
{
    struct spot spot;
    bool there = false;
    TRY(spot_find(path, &spot, &there, err));
    if (!there)
        return err_set(err, STATUS_UNKNOWN, path, "there is no registry here");
    (void)snprintf(store->gitdir, sizeof store->gitdir, "%s", spot.gitdir);
    (void)snprintf(store->common, sizeof store->common, "%s", spot.common);
    (void)snprintf(store->work_tree, sizeof store->work_tree, "%s", spot.work_tree);
    TRY(plain_repository(store->gitdir, store->common, err));
    return git_repository_open_bare(&store->repo, store->gitdir) == 0
               ? STATUS_OK
               : git_unreadable(err, path, "could not open the registry");
}

static void config_free_at(git_config **config)
{
    git_config_free(*config);
}

/* A clone's git folder that lies apart from its files: where they are is not known here, and they would be left behind.
 */
static enum status refuse_inside(const struct store *store, struct err *err)
{
    CLEANUP(config_free_at) git_config *config = NULL;
    int is_bare = 1;
    if (store->work_tree[0] || git_repository_config(&config, store->repo) != 0 ||
        git_config_get_bool(&is_bare, config, "core.bare") != 0 || is_bare)
        return STATUS_OK;
    err_set(err, STATUS_INPUT, store->gitdir, "this is where git keeps a clone whose files lie elsewhere");
    return err_hint(err, "type the command in the folder of the clone, or name that with --registry");
}

/* Of a store that was opened for reading: the lock first, then the tip anew, which may have moved meanwhile. */
enum status store_take_lock(struct store *store, struct err *err)
{
    TRY(refuse_inside(store, err));
    TRY(lock_take(store, err));
    TRY(store_read_branch(store, STORE_WRITE, err));
    return store_read_tip(store, err);
}

/* Point the store at the branch's tip, or at this commit. */
static enum status read_state(struct store *store, enum store_mode mode, const char *commit, struct err *err)
{
    const bool is_whole_id = strspn(commit, "0123456789abcdef") == GIT_OID_HEXSZ && !commit[GIT_OID_HEXSZ];
    if (is_whole_id) /* no branch may lead to it yet */
        return store_stand_at(store, commit, err);
    TRY(store_read_branch(store, mode, err));
    TRY(store_read_tip(store, err));
    return *commit ? store_stand_at(store, commit, err) : STATUS_OK;
}

static enum status open_at(const char *path, enum store_mode mode, const char *commit, const char *objects, FILE *talk,
                           struct store **out, struct err *err)
{
    TRY(store_start(err));
    struct store *store = calloc(1, sizeof *store);
    if (!store)
        return err_set(err, STATUS_SYSTEM, "memory", "could not open the registry");
    store->lock_fd = -1;
    store->talk = talk;
    store->foreign_wait_ms = FOREIGN_LOCK_WAIT_MS;
    arena_init(&store->arena, ARENA_LIMIT_BYTES);
    enum status status = open_repository(store, path, err);
    if (status == STATUS_OK && mode == STORE_WRITE)
        status = refuse_inside(store, err);
    if (status == STATUS_OK)
        status = add_objects(store, objects, err);
    if (status == STATUS_OK && mode == STORE_WRITE)
        status = lock_take(store, err);
    if (status == STATUS_OK)
        status = read_state(store, mode, commit, err);
    if (status != STATUS_OK) {
        store_close(store);
        return status;
    }
    *out = store;
    return STATUS_OK;
}

enum status store_open(const char *path, enum store_mode mode, FILE *talk, struct store **out, struct err *err)
{
    return open_at(path, mode, "", NULL, talk, out, err);
}

enum status store_open_at(const char *path, const char *commit, const char *objects, struct store **out,
                          struct err *err)
{
    return open_at(path, STORE_READ, commit, objects, NULL, out, err);
}
