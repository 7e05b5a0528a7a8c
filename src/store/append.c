/* SPDX-License-Identifier: MIT */
/* One act, one commit: blobs, a tree made from the tip's tree, a commit, and the branch moved by compare-and-swap.
 * The cost does not grow with the registry: only the folders on the way to what changed are rewritten. */
#define _GNU_SOURCE /* syncfs */
#include "internal.h"

#include <assert.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

enum { TRIES_MAX = 50, CULPRIT_WALK_MAX = 10000 };

void signature_free_at(git_signature **signature)
{
    git_signature_free(*signature);
}

static enum status write_commit(git_repository *repo, const struct new_commit *it, git_oid *out, struct err *err)
{
    CLEANUP(tree_free_at) git_tree *tree = NULL;
    CLEANUP(commit_free_at) git_commit *parent = NULL;
    const bool made = git_tree_lookup(&tree, repo, it->tree) == 0 &&
                      (!it->parent || git_commit_lookup(&parent, repo, it->parent) == 0) &&
                      git_commit_create(out, repo, NULL, it->who, it->who, NULL, it->message, tree, it->parent ? 1 : 0,
                                        (const git_commit **)(it->parent ? &parent : NULL)) == 0;
    return made ? STATUS_OK : git_refused(err, "registry", "could not write the commit");
}

static enum status make_commit(git_repository *repo, const struct act *act, const git_oid *tree_id,
                               const git_oid *parent_id, git_oid *out, struct err *err)
{
    struct arena arena;
    arena_init(&arena, 4 << 20);
    CLEANUP(signature_free_at) git_signature *who = NULL;
    struct new_commit it = {.tree = tree_id, .parent = parent_id};
    bool by_key = false;
    enum status status = write_message(act, &arena, &it.message, err);
    if (status == STATUS_OK && git_signature_new(&who, act->actor.name, act->actor.mail,
                                                 act->actor.when.utc_us / 1000000, act->actor.when.offset_min) != 0)
        status = git_refused(err, "registry", "could not write the commit");
    it.who = who;
    if (status == STATUS_OK)
        status = key_is_wanted(repo, &by_key, err);
    if (status == STATUS_OK)
        status = by_key ? commit_by_key(repo, &it, &arena, out, err) : write_commit(repo, &it, out, err);
    arena_clear(&arena);
    return status;
}

/* The changes put onto base. */
enum status make_tree(git_repository *repo, git_tree *base, const struct change *changes, size_t count,
                      const git_oid *blobs, git_oid *out, struct err *err)
{
    git_tree_update *updates = calloc(count + 1, sizeof *updates);
    size_t used = 0;
    if (!updates)
        return err_set(err, STATUS_SYSTEM, "memory", "could not gather the changes");
    for (size_t at = 0; at < count; at++) {
        CLEANUP(tree_entry_free_at) git_tree_entry *there = NULL;
        const int found = changes[at].bytes.data ? 0 : git_tree_entry_bypath(&there, base, changes[at].path);
        if (found == GIT_ENOTFOUND)
            continue; /* libgit2 refuses to remove what is not there */
        if (found != 0) {
            free(updates);
            return git_unreadable(err, changes[at].path, "could not read the folders above this file");
        }
        updates[used++] =
            (git_tree_update){.action = changes[at].bytes.data ? GIT_TREE_UPDATE_UPSERT : GIT_TREE_UPDATE_REMOVE,
                              .id = blobs[at],
                              .filemode = GIT_FILEMODE_BLOB,
                              .path = changes[at].path};
    }
    const bool made = git_tree_create_updated(out, repo, base, used, updates) == 0;
    free(updates);
    return made ? STATUS_OK : git_refused(err, "registry", "could not write the folders of the commit");
}

enum status make_blobs(git_repository *repo, const struct change *changes, size_t count, git_oid *out, struct err *err)
{
    for (size_t at = 0; at < count; at++)
        if (changes[at].bytes.len > RECORD_BYTES_MAX)
            return err_set(err, STATUS_RULE, changes[at].path, "%zu bytes are more than the %d that a record may have",
                           changes[at].bytes.len, RECORD_BYTES_MAX);
        else if (changes[at].bytes.data &&
                 git_blob_create_from_buffer(&out[at], repo, changes[at].bytes.data, changes[at].bytes.len) != 0)
            return git_refused(err, changes[at].path, "could not write this record");
    return STATUS_OK;
}

static enum status has_changed(struct store *store, git_tree *tree, const struct seen *seen, bool *changed,
                               struct err *err)
{
    git_oid id;
    bool absent = false;
    TRY(tree_look(store->repo, tree, seen->path, seen->is_listing, &id, &absent, err));
    *changed = absent != seen->absent || (!absent && !git_oid_equal(&id, &seen->id));
    return STATUS_OK;
}

/* Behind a commit: the parent that looks the same there; of a join that took from both sides the one that is not what
 * was seen, since that is where something came from. *out NULL: the commit itself made it so. */
static enum status find_way(struct store *store, git_commit *commit, const struct seen *here, const struct seen *seen,
                            git_commit **out, struct err *err)
{
    const unsigned count = git_commit_parentcount(commit);
    *out = NULL;
    for (unsigned at = 0; at < 2 * count; at++) {
        CLEANUP(commit_free_at) git_commit *parent = NULL;
        CLEANUP(tree_free_at) git_tree *tree = NULL;
        const bool is_again = at >= count; /* none looks the same */
        bool changed = false;
        if (is_again && count < 2)
            return STATUS_OK;
        if (git_commit_parent(&parent, commit, at % count) != 0 || git_commit_tree(&tree, parent) != 0)
            return git_unreadable(err, "registry", "could not read the act that came first");
        TRY(has_changed(store, tree, is_again ? seen : here, &changed, err));
        if (changed == is_again) {
            *out = parent;
            parent = NULL;
            return STATUS_OK;
        }
    }
    return STATUS_OK;
}

/* The act to name: the newest that differs from its parents in what was seen. The last one looked at when the
 * history was rewritten and none can be told apart. */
static enum status find_culprit(struct store *store, const struct seen *seen, git_oid *out, struct err *err)
{
    git_oid at = store->tip;
    for (int step = 0; step < CULPRIT_WALK_MAX; step++) {
        CLEANUP(commit_free_at) git_commit *commit = NULL;
        CLEANUP(commit_free_at) git_commit *parent = NULL;
        CLEANUP(tree_free_at) git_tree *tree = NULL;
        struct seen here = {.path = seen->path, .is_listing = seen->is_listing};
        if (git_commit_lookup(&commit, store->repo, &at) != 0 || git_commit_tree(&tree, commit) != 0)
            return git_unreadable(err, "registry", "could not read the act that came first");
        TRY(tree_look(store->repo, tree, here.path, here.is_listing, &here.id, &here.absent, err));
        TRY(find_way(store, commit, &here, seen, &parent, err));
        if (!parent)
            break;
        at = *git_commit_id(parent);
    }
    *out = at;
    return STATUS_OK;
}

static enum status refuse_conflict(struct store *store, const struct seen *seen, struct err *err)
{
    struct arena arena;
    git_oid culprit;
    char id[COMMIT_ID_MAX];
    struct commit other = {0};
    TRY(find_culprit(store, seen, &culprit, err));
    (void)git_oid_tostr(id, sizeof id, &culprit);
    arena_init(&arena, 1 << 20);
    enum status status = store_commit(store, id, &arena, &other, err);
    if (status == STATUS_OK) {
        char when[INSTANT_TEXT_MAX];
        instant_format(other.when, when);
        err_set(err, STATUS_CONFLICT, *seen->path ? seen->path : "registry",
                "another act changed it first: \"%s\" by %s, %s (commit %.10s)", other.line, other.author, when,
                other.id);
        status = err_hint(err, "look at what it did, then type the command again; nothing was recorded");
    }
    arena_clear(&arena);
    return status;
}

/* The branch was moved by someone else: does anything that this act read or writes differ there? */
static enum status check_seen(struct store *store, struct err *err)
{
    for (size_t at = 0; at < store->seen_count; at++) {
        bool changed = false;
        TRY(has_changed(store, store->tree, &store->seen[at], &changed, err));
        if (changed)
            return refuse_conflict(store, &store->seen[at], err);
    }
    return STATUS_OK;
}

/* What is written counts as read: else it would silently replace another's record. */
static enum status note_written(struct store *store, const struct change *changes, size_t count, struct err *err)
{
    for (size_t at = 0; at < count; at++) {
        git_oid id;
        bool absent = false;
        TRY(tree_check_file(store->tree, changes[at].path, err));
        TRY(tree_look(store->repo, store->tree, changes[at].path, false, &id, &absent, err));
        TRY(store_note(store, changes[at].path, false, absent, &id, err));
    }
    return STATUS_OK;
}

/* After our own act: what was seen is now what stands in it, for a further act of the same store. */
static void renew_seen(struct store *store)
{
    struct err ignored;
    for (size_t at = 0; at < store->seen_count; at++) {
        struct seen *seen = &store->seen[at];
        if (tree_look(store->repo, store->tree, seen->path, seen->is_listing, &seen->id, &seen->absent, &ignored) !=
            STATUS_OK)
            return; /* a later act is then refused rather than wrongly redone */
    }
}

static void pause_jittered(int attempt)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    const long us = 200 + (now.tv_nsec / 1000 + getpid() * 7919L) % (500L * (attempt + 1));
    const struct timespec pause = {.tv_nsec = us * 1000};
    (void)nanosleep(&pause, NULL);
}

static void stand_on(struct store *store, const git_oid *tip, git_tree *tree)
{
    git_tree_free(store->tree); /* counted: tree may be the same one, held once more */
    store->tree = tree;
    store->tip = *tip;
    (void)git_oid_tostr(store->state, sizeof store->state, tip);
}

/* It may have moved before it failed: what was recorded must not be called lost. */
static enum status refuse_swap(struct store *store, const git_oid *commit, struct err *err)
{
    git_oid now;
    char id[COMMIT_ID_MAX];
    struct err first = {0};
    (void)git_refused(&first, "registry", "could not move the branch");
    if (git_reference_name_to_id(&now, store->repo, store->branch) != 0 || !git_oid_equal(&now, commit)) {
        *err = first;
        return err->status;
    }
    (void)git_oid_tostr(id, sizeof id, commit);
    err_set(err, STATUS_SYSTEM, "registry", "the act IS recorded (commit %.10s), but git failed after it: %s", id,
            first.reason);
    return err_hint(err, "check that it is there before the machine is switched off, and check the disk");
}

enum status branch_move(struct store *store, const git_oid *commit, const char *kind, bool *moved, struct err *err)
{
    CLEANUP(reference_free_at) git_reference *reference = NULL;
    TRY(sync_before_branch(store, err));
    const int swapped =
        git_reference_create_matching(&reference, store->repo, store->branch, commit, 1, &store->tip, kind);
    *moved = swapped == 0;
    if (swapped == GIT_ELOCKED)
        return lock_recover(store, store->branch, err);
    if (swapped == 0 || swapped == GIT_EMODIFIED)
        return STATUS_OK;
    return refuse_swap(store, commit, err);
}

void branch_moved(struct store *store, const git_oid *commit, git_tree *tree, const struct change *changes,
                  size_t count)
{
    CLEANUP(tree_free_at) git_tree *old = store->tree;
    store->tree = NULL;
    stand_on(store, commit, tree);
    sync_branch_log(store);
    if (store->work_tree[0])
        clone_update(store, old, changes, count);
    renew_seen(store);
}

static enum status append_blobs(struct store *store, const struct act *act, const struct change *changes, size_t count,
                                bool bulk, const git_oid *blobs, bool *made, struct err *err)
{
    for (int attempt = 0; attempt < TRIES_MAX; attempt++) {
        git_oid tree_id;
        git_oid commit_id;
        CLEANUP(tree_free_at) git_tree *next = NULL;
        bool moved = false;
        TRY(make_tree(store->repo, store->tree, changes, count, blobs, &tree_id, err));
        if (git_oid_equal(&tree_id, git_tree_id(store->tree))) {
            *made = false;
            return STATUS_OK;
        }
        TRY(make_commit(store->repo, act, &tree_id, &store->tip, &commit_id, err));
        /* Looked up before the branch moves: after that nothing may fail. */
        if (git_tree_lookup(&next, store->repo, &tree_id) != 0)
            return git_refused(err, "registry", "could not read back the folders of the commit");
        if (bulk)
            TRY(sync_all(store, err));
        TRY(branch_move(store, &commit_id, act->kind, &moved, err));
        if (moved) {
            branch_moved(store, &commit_id, next, changes, count);
            next = NULL;
            *made = true;
            return STATUS_OK;
        }
        TRY(store_read_tip(store, err));
        TRY(check_seen(store, err));
        pause_jittered(attempt);
    }
    err_set(err, STATUS_CONFLICT, "registry", "other writers kept moving the branch, %d times", TRIES_MAX);
    return err_hint(err, "type the command again; nothing was recorded");
}

static enum status append_noted(struct store *store, const struct act *act, const struct change *changes, size_t count,
                                bool bulk, git_oid *blobs, bool *made, struct err *err)
{
    const git_oid tip = store->tip;
    git_tree *tree = NULL;
    if (git_tree_dup(&tree, store->tree) != 0)
        return git_refused(err, "registry", "could not keep the state");
    enum status status = note_written(store, changes, count, err);
    if (status == STATUS_OK)
        status = make_blobs(store->repo, changes, count, blobs, err);
    if (status == STATUS_OK)
        status = append_blobs(store, act, changes, count, bulk, blobs, made, err);
    if (status != STATUS_OK)
        stand_on(store, &tip, tree); /* a refused act leaves the state as it was */
    else
        git_tree_free(tree);
    return status;
}

enum status store_append(struct store *store, const struct act *act, const struct change *changes, size_t count,
                         bool bulk, char id[COMMIT_ID_MAX], bool *made, struct err *err)
{
    assert(store->lock_fd >= 0 && count > 0);
    TRY(check_signer(&act->actor, err));
    git_oid *blobs = calloc(count, sizeof *blobs);
    if (!blobs)
        return err_set(err, STATUS_SYSTEM, "memory", "could not gather the records");
    bool done = false;
    sweep_leftovers(store); /* before anything is written: a full disk may need the room */
    /* The branch file is synced all the same: its setting was latched when the registry was opened. */
    (void)git_libgit2_opts(GIT_OPT_ENABLE_FSYNC_GITDIR, bulk ? 0 : 1);
    const enum status status = append_noted(store, act, changes, count, bulk, blobs, &done, err);
    (void)git_libgit2_opts(GIT_OPT_ENABLE_FSYNC_GITDIR, 1);
    free(blobs);
    if (status != STATUS_OK)
        return status;
    memcpy(id, store->state, COMMIT_ID_MAX);
    *made = done;
    return STATUS_OK;
}

/* The tree of the first commit; its files stand at the root. */
static enum status make_first_tree(git_repository *repo, const struct change *changes, size_t count,
                                   const git_oid *blobs, git_oid *out, struct err *err)
{
    git_treebuilder *builder = NULL;
    bool made = git_treebuilder_new(&builder, repo, NULL) == 0;
    for (size_t at = 0; made && at < count; at++) {
        assert(!strchr(changes[at].path, '/'));
        made = git_treebuilder_insert(NULL, builder, changes[at].path, &blobs[at], GIT_FILEMODE_BLOB) == 0;
    }
    made = made && git_treebuilder_write(out, builder) == 0;
    git_treebuilder_free(builder);
    return made ? STATUS_OK : git_refused(err, "registry", "could not write the first commit");
}

/* The first commit of a repository that nobody else can see yet. */
enum status append_first(git_repository *repo, const struct act *act, const struct change *changes, size_t count,
                         char id[COMMIT_ID_MAX], struct err *err)
{
    git_oid tree_id;
    git_oid commit_id;
    TRY(check_signer(&act->actor, err));
    git_oid *blobs = calloc(count + 1, sizeof *blobs);
    if (!blobs)
        return err_set(err, STATUS_SYSTEM, "memory", "could not gather the records");
    enum status status = make_blobs(repo, changes, count, blobs, err);
    if (status == STATUS_OK)
        status = make_first_tree(repo, changes, count, blobs, &tree_id, err);
    free(blobs);
    TRY(status);
    TRY(make_commit(repo, act, &tree_id, NULL, &commit_id, err));
    CLEANUP(reference_free_at) git_reference *made = NULL;
    if (git_reference_create(&made, repo, "refs/heads/main", &commit_id, 0, act->kind) != 0)
        return git_refused(err, "registry", "could not make the branch");
    (void)git_oid_tostr(id, COMMIT_ID_MAX, &commit_id);
    return STATUS_OK;
}
