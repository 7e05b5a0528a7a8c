/* SPDX-License-Identifier: MIT */
/* Commits held against the history of a state. */
#include "coretally/store/anchor.h"

#include <stdlib.h>
#include <string.h>

#include "internal.h"

static void revwalk_free_at(git_revwalk **walk)
{
    git_revwalk_free(*walk);
}

static void iterator_free_at(git_reference_iterator **iterator)
{
    git_reference_iterator_free(*iterator);
}

enum status store_find_digits(struct store *store, const char *digits, char out[COMMIT_ID_MAX],
                              enum digits_found *found, struct err *err)
{
    CLEANUP(object_free_at) git_object *object = NULL;
    CLEANUP(object_free_at) git_object *commit = NULL;
    git_oid prefix;
    const size_t len = strlen(digits);
    *out = '\0';
    *found = DIGITS_NONE;
    if (git_oid_fromstrn(&prefix, digits, len) != 0)
        return STATUS_OK;
    const int code = git_object_lookup_prefix(&object, store->repo, &prefix, len, GIT_OBJECT_ANY);
    if (code == GIT_EAMBIGUOUS) {
        *found = DIGITS_MANY;
        return STATUS_OK;
    }
    if (code == GIT_ENOTFOUND)
        return STATUS_OK;
    if (code != 0)
        return git_unreadable(err, digits, "could not read this commit");
    const git_object_t type = git_object_type(object);
    if (type != GIT_OBJECT_COMMIT && type != GIT_OBJECT_TAG)
        return STATUS_OK;
    if (git_object_peel(&commit, object, GIT_OBJECT_COMMIT) != 0)
        return STATUS_OK; /* a tag of something else */
    (void)git_oid_tostr(out, COMMIT_ID_MAX, git_object_id(commit));
    *found = DIGITS_ONE;
    return STATUS_OK;
}

static int compare_ids(const void *a, const void *b)
{
    return memcmp(a, b, COMMIT_ID_MAX);
}

/* Those that are looked for, and how far the way back has come. */
struct held_walk {
    const struct commits *wanted;
    size_t *places;
    size_t left;
    size_t place;
};

static void meet(struct held_walk *walk, const git_oid *oid)
{
    char id[COMMIT_ID_MAX];
    (void)git_oid_tostr(id, sizeof id, oid);
    const char(*found)[COMMIT_ID_MAX] =
        bsearch(id, walk->wanted->ids, walk->wanted->count, sizeof *walk->wanted->ids, compare_ids);
    const size_t at = found ? (size_t)(found - (const char(*)[COMMIT_ID_MAX])walk->wanted->ids) : 0;
    if (found && walk->places[at] == SIZE_MAX) {
        walk->places[at] = walk->place;
        walk->left--;
    }
    walk->place++;
}

/* Back to the first commit, or to one that joins: *oid. */
static enum status walk_line(const struct store *store, struct held_walk *walk, git_oid *oid, bool *is_join,
                             struct err *err)
{
    *is_join = false;
    while (walk->left) {
        CLEANUP(commit_free_at) git_commit *commit = NULL;
        if (git_commit_lookup(&commit, store->repo, oid) != 0)
            return git_unreadable(err, "registry", "could not read the history");
        meet(walk, oid);
        *is_join = git_commit_parentcount(commit) > 1;
        if (git_commit_parentcount(commit) != 1)
            return STATUS_OK;
        *oid = *git_commit_parent_id(commit, 0);
    }
    return STATUS_OK;
}

/* All that is behind it. Asked to sort, libgit2 would read the whole history before the first is met. */
static enum status walk_graph(const struct store *store, struct held_walk *walk, const git_oid *join, struct err *err)
{
    CLEANUP(revwalk_free_at) git_revwalk *graph = NULL;
    git_oid oid;
    if (git_revwalk_new(&graph, store->repo) != 0)
        return git_refused(err, "registry", "could not walk the history");
    int going = git_revwalk_push(graph, join);
    while (walk->left && going == 0 && (going = git_revwalk_next(&oid, graph)) == 0)
        meet(walk, &oid);
    return going == 0 || going == GIT_ITEROVER ? STATUS_OK
                                               : git_unreadable(err, "registry", "could not read the history");
}

enum status store_hold_commits(struct store *store, const struct commits *wanted, size_t *places, size_t *line,
                               struct err *err)
{
    struct held_walk walk = {.wanted = wanted, .places = places, .left = wanted->count};
    git_oid oid = store->tip;
    bool is_join = false;
    for (size_t at = 0; at < wanted->count; at++)
        places[at] = SIZE_MAX;
    TRY(walk_line(store, &walk, &oid, &is_join, err));
    *line = walk.place;
    return is_join && walk.left ? walk_graph(store, &walk, &oid, err) : STATUS_OK;
}

/* The name is looked at before the file: a pipe may stand there. */
static enum status leads_to(struct store *store, const char *name, const char *id, bool *out, struct err *err)
{
    CLEANUP(reference_free_at) git_reference *reference = NULL;
    CLEANUP(object_free_at) git_object *commit = NULL;
    char tip[COMMIT_ID_MAX];
    *out = false;
    TRY(plain_reference(store->common, name, err));
    if (git_reference_lookup(&reference, store->repo, name) != 0 ||
        git_reference_peel(&commit, reference, GIT_OBJECT_COMMIT) != 0)
        return STATUS_OK;
    (void)git_oid_tostr(tip, sizeof tip, git_object_id(commit));
    return store_leads(store, id, tip, out, err);
}

/* Behind the folder of branches, of fetched ones, of tags; NULL: a reference of ours, or of another program's. */
static const char *short_name(const char *name)
{
    static const char *const folders[] = {"refs/heads/", "refs/remotes/", "refs/tags/"};
    for (size_t at = 0; at < sizeof folders / sizeof folders[0]; at++)
        if (strncmp(name, folders[at], strlen(folders[at])) == 0)
            return name + strlen(folders[at]);
    return NULL;
}

enum status store_reference_to(struct store *store, const char *id, char out[REFERENCE_NAME_MAX], struct err *err)
{
    CLEANUP(iterator_free_at) git_reference_iterator *iterator = NULL;
    const char *name = NULL;
    bool leads = false;
    *out = '\0';
    if (git_reference_iterator_new(&iterator, store->repo) != 0)
        return git_unreadable(err, "registry", "could not list its branches and tags");
    while (!leads && git_reference_next_name(&name, iterator) == 0) {
        const char *called = short_name(name);
        if (called)
            TRY(leads_to(store, name, id, &leads, err));
        if (leads)
            (void)snprintf(out, REFERENCE_NAME_MAX, "%s", called);
    }
    return STATUS_OK;
}
