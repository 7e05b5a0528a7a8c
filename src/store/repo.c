/* SPDX-License-Identifier: MIT */
/* Opening and closing a registry; which commit a store answers from. */
#include "internal.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "coretally/base/limits.h"
#include "coretally/store/walk.h"

enum status git_refused(struct err *err, const char *subject, const char *what)
{
    const git_error *last = git_error_last(); /* can be NULL in 1.5 */
    return err_set(err, STATUS_SYSTEM, subject, "%s%s%s", what, last && last->message ? ": " : "",
                   last && last->message ? last->message : "");
}

enum status git_unreadable(struct err *err, const char *subject, const char *what)
{
    const git_error *last = git_error_last();
    const bool machine = !last || last->klass == GIT_ERROR_OS || last->klass == GIT_ERROR_NOMEMORY;
    (void)git_refused(err, subject, what);
    err->status = machine ? STATUS_SYSTEM : STATUS_DAMAGED;
    return err->status;
}

void tree_free_at(git_tree **tree)
{
    git_tree_free(*tree);
}

void commit_free_at(git_commit **commit)
{
    git_commit_free(*commit);
}

void blob_free_at(git_blob **blob)
{
    git_blob_free(*blob);
}

void reference_free_at(git_reference **reference)
{
    git_reference_free(*reference);
}

void tree_entry_free_at(git_tree_entry **entry)
{
    git_tree_entry_free(*entry);
}

void object_free_at(git_object **object)
{
    git_object_free(*object);
}

enum status store_start(struct err *err)
{
    const int users = git_libgit2_init();
    if (users < 0)
        return git_refused(err, "git", "could not start libgit2");
    if (users > 1)
        (void)git_libgit2_shutdown(); /* counted once, so that one store_shutdown ends it */
    /* Latched when a repository is opened, so before any. */
    (void)git_libgit2_opts(GIT_OPT_ENABLE_FSYNC_GITDIR, 1);
    /* The folder of a thousand cores is 90 kB and looked into a thousand times in a whole pass; by default libgit2
     * keeps 4 kB ones. Measured: 0.37 ms a core without, 0.04 with. */
    (void)git_libgit2_opts(GIT_OPT_SET_CACHE_OBJECT_LIMIT, GIT_OBJECT_TREE, (size_t)1 << 20);
    return STATUS_OK;
}

void store_shutdown(void)
{
    (void)git_libgit2_shutdown();
}

/* The branch that HEAD names; a detached HEAD has none to move. */
static enum status read_branch(struct store *store, struct err *err)
{
    CLEANUP(reference_free_at) git_reference *head = NULL;
    if (git_reference_lookup(&head, store->repo, "HEAD") != 0)
        return git_unreadable(err, store->gitdir, "could not read which branch this registry is on");
    if (git_reference_type(head) != GIT_REFERENCE_SYMBOLIC) {
        char rebase[PATH_TEXT_MAX];
        (void)snprintf(rebase, sizeof rebase, "%.4000s/rebase-merge", store->gitdir);
        if (access(rebase, F_OK) == 0) {
            err_set(err, STATUS_SYSTEM, store->gitdir, "a git rebase of this clone stopped half way");
            return err_hint(
                err, "git rebase --abort; git log @{u}.. lists your acts; git reset --hard @{u} leaves them out; "
                     "then type them again");
        }
        err_set(err, STATUS_SYSTEM, store->gitdir, "this clone stands on a single commit, not on a branch");
        return err_hint(err, "git switch main");
    }
    const char *const branch = git_reference_symbolic_target(head);
    if (strlen(branch) >= sizeof store->branch)
        return err_set(err, STATUS_DAMAGED, store->gitdir, "the name of its branch is longer than %d bytes",
                       BRANCH_MAX - 1);
    memcpy(store->branch, branch, strlen(branch) + 1);
    return STATUS_OK;
}

enum status store_read_tip(struct store *store, struct err *err)
{
    git_oid tip;
    TRY(plain_reference(store->common, store->branch, err));
    const int found = git_reference_name_to_id(&tip, store->repo, store->branch);
    if (found == GIT_ENOTFOUND) {
        err_set(err, STATUS_UNKNOWN, store->gitdir, "nothing has been recorded on %s yet", store->branch);
        return err_hint(err, "coretally start 901 --title \"...\"");
    }
    if (found != 0)
        return git_unreadable(err, store->gitdir, "could not read the branch of this registry");
    CLEANUP(commit_free_at) git_commit *commit = NULL;
    git_tree *tree = NULL;
    if (git_commit_lookup(&commit, store->repo, &tip) != 0 || git_commit_tree(&tree, commit) != 0)
        return git_unreadable(err, store->gitdir, "could not read the newest commit");
    git_tree_free(store->tree);
    store->tree = tree;
    store->tip = tip;
    (void)git_oid_tostr(store->state, sizeof store->state, &tip);
    return STATUS_OK;
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

static void odb_free_at(git_odb **odb)
{
    git_odb_free(*odb);
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

/* Point the store at the branch's tip, or at this commit. */
static enum status read_state(struct store *store, const char *commit, struct err *err)
{
    const bool is_whole_id = strspn(commit, "0123456789abcdef") == GIT_OID_HEXSZ && !commit[GIT_OID_HEXSZ];
    if (is_whole_id) /* no branch may lead to it yet */
        return store_stand_at(store, commit, err);
    TRY(read_branch(store, err));
    TRY(store_read_tip(store, err));
    return *commit ? store_stand_at(store, commit, err) : STATUS_OK;
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
    TRY(read_branch(store, err));
    return store_read_tip(store, err);
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
        status = read_state(store, commit, err);
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

enum status store_share(const struct store *store, struct store **out, struct err *err)
{
    struct store *guest = calloc(1, sizeof *guest);
    if (!guest)
        return err_set(err, STATUS_SYSTEM, "memory", "could not open the registry");
    *guest = *store;
    guest->is_guest = true;
    guest->lock_fd = -1;
    guest->seen = NULL;
    guest->seen_count = guest->seen_room = 0;
    guest->noting = NULL;
    guest->late = (struct late_acts){.count = 0};
    arena_init(&guest->arena, ARENA_LIMIT_BYTES);
    guest->tree = NULL;
    if (git_object_dup((git_object **)&guest->tree, (git_object *)store->tree) != 0) {
        store_close(guest);
        return git_refused(err, store->gitdir, "could not stand beside this state");
    }
    *out = guest;
    return STATUS_OK;
}

void store_close(struct store *store)
{
    if (!store)
        return;
    lock_release(store);
    git_tree_free(store->tree);
    if (!store->is_guest)
        git_repository_free(store->repo);
    arena_clear(&store->arena);
    free(store);
}

const char *store_state(const struct store *store)
{
    return store->state;
}
