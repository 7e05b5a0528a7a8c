/* SPDX-License-Identifier: MIT */
/* Opening and closing a registry; which commit a store answers from. */
#include "internal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "coretally/base/limits.h"
#include "coretally/store/walk.h"

/* libgit2 stays to the end of the process, which gives all back: to free its certificates one by one takes as long as a
 * short command. */
enum status store_start(struct err *err)
{
    if (git_libgit2_init() < 0)
        return git_refused(err, "git", "could not start libgit2");
    /* Latched when a repository is opened, so before any. */
    (void)git_libgit2_opts(GIT_OPT_ENABLE_FSYNC_GITDIR, 1);
    /* The folder of a thousand cores is 90 kB and looked into a thousand times in a whole pass; by default libgit2
     * keeps 4 kB ones. Measured: 0.37 ms a core without, 0.04 with. */
    (void)git_libgit2_opts(GIT_OPT_SET_CACHE_OBJECT_LIMIT, GIT_OBJECT_TREE, (size_t)1 << 20);
    return STATUS_OK;
}

#define DETACHED "HEAD" /* in place of a branch, whose name begins with refs/ */

/* The branch that HEAD names; a detached HEAD has none to move, and is read as it stands. */
enum status store_read_branch(struct store *store, enum store_mode mode, struct err *err)
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
        if (mode == STORE_READ) {
            (void)snprintf(store->branch, sizeof store->branch, DETACHED);
            return STATUS_OK;
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
    guest->partings = NULL;
    guest->parting_count = guest->parting_room = 0;
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

const char *store_folder(const struct store *store)
{
    return store->gitdir;
}

bool store_is_detached(const struct store *store)
{
    return strcmp(store->branch, DETACHED) == 0;
}

bool store_is_shallow(const struct store *store)
{
    return git_repository_is_shallow(store->repo) == 1;
}
