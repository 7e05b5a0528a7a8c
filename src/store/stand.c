/* SPDX-License-Identifier: MIT */
/* Standing at an earlier state of the registry: a commit, a tag, a branch, a time. */
#include <stdio.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/store/walk.h"
#include "internal.h"

static bool is_id(const char *text)
{
    const size_t len = strlen(text);
    return len >= GIT_OID_MINPREFIXLEN && len <= GIT_OID_HEXSZ && strspn(text, "0123456789abcdefABCDEF") == len;
}

/* The commit that a reference of this name leads to, a tag down to its commit; *out NULL where there is none. */
static enum status find_reference(struct store *store, const char *folder, const char *name, git_commit **out,
                                  struct err *err)
{
    char reference[BRANCH_MAX];
    CLEANUP(reference_free_at) git_reference *found = NULL;
    int is_valid = 0;
    *out = NULL;
    /* Before any file is looked at: a name with ".." in it would lead out of the folder. */
    if ((size_t)snprintf(reference, sizeof reference, "%s%s", folder, name) >= sizeof reference ||
        git_reference_name_is_valid(&is_valid, reference) != 0 || !is_valid)
        return STATUS_OK;
    TRY(plain_reference(store->common, reference, err));
    const int code = git_reference_lookup(&found, store->repo, reference);
    if (code == GIT_ENOTFOUND || code == GIT_EINVALIDSPEC)
        return STATUS_OK;
    if (code != 0 || git_reference_peel((git_object **)out, found, GIT_OBJECT_COMMIT) != 0)
        return git_unreadable(err, name, "could not read this tag or branch");
    return STATUS_OK;
}

/* A tag, a branch, a branch as it was when it was fetched last; what is none of them may be a time. A branch whose name
 * could be a commit's is not found: the digits of a label that is not known here must not mean it. */
static enum status find_named(struct store *store, const char *name, git_commit **out, enum state_kind *kind,
                              struct err *err)
{
    static const char *const folders[] = {"refs/tags/", "refs/heads/", "refs/remotes/"};
    const size_t count = is_id(name) ? 1 : sizeof folders / sizeof folders[0];
    size_t at = 0;
    *out = NULL;
    for (; at < count; at++) {
        TRY(find_reference(store, folders[at], name, out, err));
        if (*out)
            break;
    }
    *kind = !*out ? STATE_TIME : at ? STATE_BRANCH : STATE_TAG;
    return STATUS_OK;
}

static enum status find_id(struct store *store, const char *id, git_commit **out, struct err *err)
{
    CLEANUP(object_free_at) git_object *object = NULL;
    git_oid prefix;
    /* By its digits: git_revparse_single would take a branch of this name first. */
    const int found = git_oid_fromstrn(&prefix, id, strlen(id)) == 0
                          ? git_object_lookup_prefix(&object, store->repo, &prefix, strlen(id), GIT_OBJECT_ANY)
                          : GIT_ENOTFOUND;
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

static enum status find_commit(struct store *store, const char *state, git_commit **out, enum state_kind *kind,
                               struct err *err)
{
    struct err unknown = {0};
    const bool is_whole_id = is_id(state) && strlen(state) == GIT_OID_HEXSZ;
    /* A commit is never hidden by a tag or a branch of its name: labels and audits name states by it. */
    const enum status by_id = is_id(state) ? find_id(store, state, out, &unknown) : STATUS_UNKNOWN;
    *kind = STATE_COMMIT;
    if (by_id == STATUS_UNKNOWN && !is_whole_id)
        TRY(find_named(store, state, out, kind, err));
    if (!*out && is_id(state)) {
        *err = unknown;
        return unknown.status;
    }
    return STATUS_OK;
}

enum status store_state_kind(struct store *store, const char *state, enum state_kind *out, struct err *err)
{
    CLEANUP(commit_free_at) git_commit *commit = NULL;
    return find_commit(store, state, &commit, out, err);
}

enum status store_heads(struct store *store, const char *state, struct arena *arena, struct commits *out,
                        struct late_acts *late, struct err *err)
{
    CLEANUP(commit_free_at) git_commit *commit = NULL;
    enum state_kind kind = STATE_COMMIT;
    *late = (struct late_acts){.count = 0};
    *out = (struct commits){.count = 0};
    TRY(find_commit(store, state, &commit, &kind, err));
    if (!commit)
        return date_find(store, state, arena, out, late, err);
    TRY(arena_take(arena, 1, sizeof *out->ids, &out->ids, err));
    (void)git_oid_tostr(out->ids[0], COMMIT_ID_MAX, git_commit_id(commit));
    out->count = 1;
    return STATUS_OK;
}

static enum status stand(struct store *store, const char *state, struct arena *arena, struct err *err)
{
    CLEANUP(commit_free_at) git_commit *commit = NULL;
    git_tree *tree = NULL;
    git_oid id;
    struct commits heads = {.count = 0};
    struct late_acts late;
    TRY(store_heads(store, state, arena, &heads, &late, err));
    if (heads.count > 1) {
        err_set(err, STATUS_RULE, state, "%zu lines had not been joined by this time", heads.count);
        return err_hint(err, "name the commit of one of them: %.10s, %.10s", heads.ids[0], heads.ids[1]);
    }
    if (git_oid_fromstr(&id, heads.ids[0]) != 0 || git_commit_lookup(&commit, store->repo, &id) != 0 ||
        git_commit_tree(&tree, commit) != 0)
        return git_unreadable(err, state, "could not read this commit");
    store->late = late;
    store->lines = 0;
    git_tree_free(store->tree);
    store->tree = tree;
    store->tip = id;
    (void)git_oid_tostr(store->state, sizeof store->state, &id);
    return STATUS_OK;
}

enum status store_stand_at(struct store *store, const char *state, struct err *err)
{
    struct arena arena;
    arena_init(&arena, ARENA_LIMIT_BYTES);
    const enum status status = stand(store, state, &arena, err);
    arena_clear(&arena);
    return status;
}

void store_stand_for(struct store *store, const struct late_acts *late, size_t lines)
{
    store->late = *late;
    store->lines = lines;
}

size_t store_lines(const struct store *store)
{
    return store->lines;
}

enum status store_open_beside(const struct store *store, const char *state, struct store **out, struct err *err)
{
    struct store *beside = NULL;
    TRY(store_share(store, &beside, err));
    const bool is_whole = state && strlen(state) == GIT_OID_HEXSZ && is_id(state); /* no branch need lead to it */
    enum status status =
        state && !is_whole ? store_read_tip(beside, err) : STATUS_OK; /* a time is looked for from there */
    if (status == STATUS_OK && state && *state)
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
