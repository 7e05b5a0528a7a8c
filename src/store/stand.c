/* SPDX-License-Identifier: MIT */
/* Standing at an earlier state of the registry: a commit, a tag, a time. */
#include "internal.h"

#include <stdio.h>
#include <string.h>

/* The tag of this name, down to its commit; *out NULL where there is none. */
static enum status find_tag(struct store *store, const char *name, git_commit **out, struct err *err)
{
    char reference[BRANCH_MAX];
    CLEANUP(reference_free_at) git_reference *tag = NULL;
    (void)snprintf(reference, sizeof reference, "refs/tags/%.200s", name);
    *out = NULL;
    TRY(plain_reference(store->common, reference, err));
    const int found = git_reference_lookup(&tag, store->repo, reference);
    if (found == GIT_ENOTFOUND || found == GIT_EINVALIDSPEC)
        return STATUS_OK;
    if (found != 0 || git_reference_peel((git_object **)out, tag, GIT_OBJECT_COMMIT) != 0)
        return git_unreadable(err, name, "could not read this tag");
    return STATUS_OK;
}

static bool is_id(const char *text)
{
    const size_t len = strlen(text);
    return len >= GIT_OID_MINPREFIXLEN && len <= GIT_OID_HEXSZ && strspn(text, "0123456789abcdefABCDEF") == len;
}

static enum status find_id(struct store *store, const char *id, git_commit **out, struct err *err)
{
    CLEANUP(object_free_at) git_object *object = NULL;
    const int found = git_revparse_single(&object, store->repo, id);
    if (found == GIT_EAMBIGUOUS) {
        err_set(err, STATUS_INPUT, id, "more than one commit begins with these digits");
        return err_hint(err, "type more of its digits");
    }
    if (found != 0 && found != GIT_ENOTFOUND)
        return git_unreadable(err, id, "could not read this commit");
    if (found != 0 || git_object_type(object) != GIT_OBJECT_COMMIT) {
        err_set(err, STATUS_UNKNOWN, id, "the registry has no such commit");
        return err_hint(err, "git -C %.200s log lists them", store->gitdir);
    }
    if (git_commit_lookup(out, store->repo, git_object_id(object)) != 0)
        return git_unreadable(err, id, "could not read this commit");
    return STATUS_OK;
}

static enum status find_date(struct store *store, const char *text, git_commit **out, struct late_acts *late,
                             struct err *err)
{
    git_oid id;
    TRY(date_find(store, text, &id, late, err));
    if (git_commit_lookup(out, store->repo, &id) != 0)
        return git_unreadable(err, text, "could not read the commit of this time");
    return STATUS_OK;
}

enum status store_stand_at(struct store *store, const char *state, struct err *err)
{
    CLEANUP(commit_free_at) git_commit *commit = NULL;
    git_tree *tree = NULL;
    struct late_acts late = {.count = 0};
    struct err unknown = {0};
    /* A commit is never hidden by a tag of its name: labels and audits name states by it. */
    const enum status by_id = is_id(state) ? find_id(store, state, &commit, &unknown) : STATUS_UNKNOWN;
    if (by_id == STATUS_UNKNOWN && strlen(state) < GIT_OID_HEXSZ)
        TRY(find_tag(store, state, &commit, err));
    if (!commit && is_id(state)) {
        *err = unknown;
        return unknown.status;
    }
    if (!commit)
        TRY(find_date(store, state, &commit, &late, err));
    if (git_commit_tree(&tree, commit) != 0)
        return git_unreadable(err, state, "could not read this commit");
    store->late = late;
    git_tree_free(store->tree);
    store->tree = tree;
    store->tip = *git_commit_id(commit);
    (void)git_oid_tostr(store->state, sizeof store->state, &store->tip);
    return STATUS_OK;
}

enum status store_open_beside(const struct store *store, const char *state, struct store **out, struct err *err)
{
    struct store *beside = NULL;
    TRY(store_share(store, &beside, err));
    enum status status = state ? store_read_tip(beside, err) : STATUS_OK; /* a time is looked for from there */
    if (status == STATUS_OK && state)
        status = store_stand_at(beside, state, err);
    if (status != STATUS_OK) {
        store_close(beside);
        return status;
    }
    *out = beside;
    return STATUS_OK;
}

const struct late_acts *store_late(const struct store *store)
{
    return store->late.count ? &store->late : NULL;
}
