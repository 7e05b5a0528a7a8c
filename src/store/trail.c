/* SPDX-License-Identifier: MIT */
/* The commits that changed any of a set of files and folders, along first parents. A commit that left the folder above
 * them all alone costs one comparison of ids. */
#include "internal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct look {
    char path[PATH_TEXT_MAX];
    git_oid id;
    bool absent;
};

struct trail {
    struct store *store;
    git_commit *commit; /* where the walk stands; NULL at the end */
    struct look above;  /* the folder that holds them all; path "" for none */
    size_t count;
    struct look paths[]; /* as they are at the commit */
};

/* The longest folder that all paths lie in. */
static void find_above(struct trail *trail)
{
    char *above = trail->above.path;
    if (!trail->count)
        return;
    (void)snprintf(above, sizeof trail->above.path, "%s", trail->paths[0].path);
    for (size_t at = 0; at < trail->count; at++) {
        size_t same = 0;
        while (above[same] && above[same] == trail->paths[at].path[same])
            same++;
        above[same] = '\0';
    }
    char *slash = strrchr(above, '/');
    *(slash ? slash : above) = '\0';
}

static enum status look_at(struct trail *trail, git_tree *tree, struct look *look, bool *changed, struct err *err)
{
    struct look now;
    TRY(tree_look(trail->store->repo, tree, look->path, false, &now.id, &now.absent, err));
    *changed = now.absent != look->absent || (!now.absent && !git_oid_equal(&now.id, &look->id));
    look->id = now.id;
    look->absent = now.absent;
    return STATUS_OK;
}

enum status trail_open(struct store *store, const char *const *paths, size_t count, struct trail **out, struct err *err)
{
    struct trail *trail = calloc(1, sizeof *trail + count * sizeof trail->paths[0]);
    bool ignored = false;
    enum status status = STATUS_OK;
    if (!trail)
        return err_set(err, STATUS_SYSTEM, "memory", "could not walk the history");
    trail->store = store;
    trail->count = count;
    for (size_t at = 0; at < count; at++)
        (void)snprintf(trail->paths[at].path, sizeof trail->paths[at].path, "%s", paths[at]);
    find_above(trail);
    for (size_t at = 0; status == STATUS_OK && at < count; at++)
        status = look_at(trail, store->tree, &trail->paths[at], &ignored, err);
    if (status == STATUS_OK)
        status = look_at(trail, store->tree, &trail->above, &ignored, err);
    if (status == STATUS_OK && git_commit_lookup(&trail->commit, store->repo, &store->tip) != 0)
        status = git_unreadable(err, "registry", "could not read the history");
    if (status != STATUS_OK) {
        trail_close(trail);
        return status;
    }
    *out = trail;
    return STATUS_OK;
}

/* What differs in the parent; the looks then stand there. */
static enum status look_back(struct trail *trail, git_commit *parent, uint64_t *touched, struct err *err)
{
    CLEANUP(tree_free_at) git_tree *tree = NULL;
    bool changed = false;
    *touched = 0;
    if (git_oid_equal(git_commit_tree_id(trail->commit), git_commit_tree_id(parent)))
        return STATUS_OK;
    if (git_commit_tree(&tree, parent) != 0)
        return git_unreadable(err, "registry", "could not read the history");
    TRY(look_at(trail, tree, &trail->above, &changed, err));
    if (!changed)
        return STATUS_OK;
    for (size_t at = 0; at < trail->count; at++) {
        TRY(look_at(trail, tree, &trail->paths[at], &changed, err));
        *touched |= changed ? UINT64_C(1) << at : 0;
    }
    return STATUS_OK;
}

/* The first commit made what is there. */
static uint64_t look_at_first(const struct trail *trail)
{
    uint64_t touched = 0;
    for (size_t at = 0; at < trail->count; at++)
        touched |= trail->paths[at].absent ? 0 : UINT64_C(1) << at;
    return touched;
}

enum status trail_next(struct trail *trail, struct arena *arena, struct commit *commit, uint64_t *touched, bool *more,
                       struct err *err)
{
    while (trail->commit) {
        git_commit *parent = NULL;
        uint64_t found = 0;
        enum status status = STATUS_OK;
        const int has = git_commit_parentcount(trail->commit) ? git_commit_parent(&parent, trail->commit, 0) : 1;
        if (has < 0)
            return git_unreadable(err, "registry", "could not read the history");
        if (has == 1)
            found = look_at_first(trail);
        else
            status = look_back(trail, parent, &found, err);
        if (status == STATUS_OK && found)
            status = commit_tell(trail->commit, arena, commit, err);
        git_commit_free(trail->commit);
        trail->commit = parent;
        TRY(status);
        if (found) {
            *touched = found;
            *more = true;
            return STATUS_OK;
        }
    }
    *more = false;
    return STATUS_OK;
}

void trail_close(struct trail *trail)
{
    if (!trail)
        return;
    git_commit_free(trail->commit);
    free(trail);
}
