/* SPDX-License-Identifier: MIT */
/* A set of paths at a commit, and at the ones before it. What has an equal folder above is not looked at. */
#include "trail_parts.h"

#include <string.h>

#include "coretally/store/walk.h"

static void bases_free_at(git_oidarray *bases)
{
    git_oidarray_dispose(bases);
}

enum status looks_take(struct trail *trail, struct looks **out, struct err *err)
{
    if (trail->free) {
        *out = trail->free;
        trail->free = trail->free->next;
        return STATUS_OK;
    }
    return arena_take(&trail->arena, 1, sizeof **out + trail->count * sizeof(struct look), out, err);
}

void looks_give_back(struct trail *trail, struct looks *looks)
{
    if (!looks)
        return;
    looks->next = trail->free;
    trail->free = looks;
}

static bool is_same(const struct look *a, const struct look *b)
{
    return a->absent == b->absent && (a->absent || git_oid_equal(&a->id, &b->id));
}

static const char *path_of(const struct trail *trail, size_t at, size_t turn)
{
    return trail->turns ? trail->turns[turn].path : trail->paths[at];
}

static enum status look(struct trail *trail, git_tree *tree, const char *path, struct look *out, struct err *err)
{
    return tree_look(trail->store->repo, tree, path, false, &out->id, &out->absent, err);
}

enum status looks_first(struct trail *trail, git_tree *tree, struct looks *out, struct err *err)
{
    out->turn = 0;
    TRY(look(trail, tree, trail->above, &out->above, err));
    for (size_t at = 0; at < trail->count; at++)
        TRY(look(trail, tree, path_of(trail, at, 0), &out->at[at], err));
    return STATUS_OK;
}

/* Is the thing, and no other, what stands at this path? */
static enum status is_its(struct trail *trail, git_tree *tree, const struct history_path *path, bool *out,
                          struct err *err)
{
    CLEANUP(blob_free_at) git_blob *blob = NULL;
    struct look holder = {.absent = true};
    char id[HASH_TEXT_MAX];
    *out = !path->holder;
    if (*out)
        return STATUS_OK;
    TRY(look(trail, tree, path->holder, &holder, err));
    if (holder.absent)
        return STATUS_OK;
    (void)git_oid_tostr(id, sizeof id, &holder.id);
    TRY(blob_find(trail->store, id, path->holder, "could not read this file of the registry", &blob, err));
    const char *at = git_blob_rawcontent(blob);
    const size_t len = strlen(path->holds);
    const size_t size = (size_t)git_blob_rawsize(blob);
    for (size_t from = 0; !*out && from + len <= size; from++)
        *out = memcmp(at + from, path->holds, len) == 0;
    return STATUS_OK;
}

/* The next path at which it may have stood, past those at which something else did. */
static enum status find_turn(struct trail *trail, git_tree *tree, size_t *at, struct err *err)
{
    for (++*at; *at < trail->turn_count; ++*at) {
        bool found = false;
        TRY(is_its(trail, tree, &trail->turns[*at], &found, err));
        if (found)
            return STATUS_OK;
    }
    return STATUS_OK;
}

/* The thing is not at its path before this act: was it moved here from another one? */
static enum status turn(struct trail *trail, git_tree *tree, git_commit *before, struct looks *then, struct err *err)
{
    char id[COMMIT_ID_MAX];
    struct look sign = {.absent = true};
    bool turns = true;
    size_t at = then->turn;
    then->at[0].absent = true;
    TRY(find_turn(trail, tree, &at, err));
    if (at >= trail->turn_count)
        return STATUS_OK;
    const struct history_path *next = &trail->turns[at];
    if (next->sign)
        TRY(look(trail, tree, next->sign, &sign, err));
    turns = sign.absent;
    if (turns && next->behind) {
        (void)git_oid_tostr(id, sizeof id, git_commit_id(before));
        TRY(store_leads(trail->store, next->behind, id, &turns, err));
    }
    if (!turns)
        return STATUS_OK;
    then->turn = at;
    return look(trail, tree, next->path, &then->at[0], err);
}

/* Where the thing stood before the act, if it is no longer found where it stands after it. */
static enum status follow(struct trail *trail, git_tree *tree, git_commit *before, const struct looks *now,
                          struct looks *then, struct err *err)
{
    bool stays = !then->at[0].absent;
    if (stays && !is_same(&now->at[0], &then->at[0]))
        TRY(is_its(trail, tree, &trail->turns[now->turn], &stays, err));
    return stays ? STATUS_OK : turn(trail, tree, before, then, err);
}

enum status looks_back(struct trail *trail, const git_oid *tree, const struct looks *now, git_commit *before,
                       struct looks *then, uint64_t *touched, struct err *err)
{
    CLEANUP(tree_free_at) git_tree *earlier = NULL;
    struct looks *const next = then->next;
    *touched = 0;
    memcpy(then, now, sizeof *now + trail->count * sizeof now->at[0]);
    then->next = next;
    if (git_oid_equal(tree, git_commit_tree_id(before)))
        return STATUS_OK;
    if (git_commit_tree(&earlier, before) != 0)
        return git_unreadable(err, trail->count ? path_of(trail, 0, now->turn) : "registry",
                              "could not read the history");
    TRY(look(trail, earlier, trail->above, &then->above, err));
    if (is_same(&now->above, &then->above))
        return STATUS_OK;
    for (size_t at = 0; at < trail->count; at++) {
        TRY(look(trail, earlier, path_of(trail, at, now->turn), &then->at[at], err));
        *touched |= is_same(&now->at[at], &then->at[at]) ? 0 : UINT64_C(1) << at;
        if (trail->turns && !now->at[at].absent)
            TRY(follow(trail, earlier, before, now, then, err));
    }
    return STATUS_OK;
}

uint64_t looks_present(const struct trail *trail, const struct looks *looks)
{
    uint64_t present = 0;
    for (size_t at = 0; at < trail->count; at++)
        present |= looks->at[at].absent ? 0 : UINT64_C(1) << at;
    return present;
}

/* The last commits that both parents of a join have behind them; found once for a join. */
static enum status find_parting(struct store *store, git_commit *join, struct parting *out, struct err *err)
{
    CLEANUP(bases_free_at) git_oidarray bases = {NULL, 0};
    for (size_t at = 0; at < store->parting_count; at++)
        if (git_oid_equal(&store->partings[at].join, git_commit_id(join))) {
            *out = store->partings[at];
            return STATUS_OK;
        }
    const int found =
        git_merge_bases(&bases, store->repo, git_commit_parent_id(join, 0), git_commit_parent_id(join, 1));
    if (found != 0 && found != GIT_ENOTFOUND)
        return git_unreadable(err, "registry", "could not find where two histories parted");
    TRY(arena_grow(&store->arena, &store->partings, store->parting_count, &store->parting_room, sizeof *store->partings,
                   err));
    struct parting *it = &store->partings[store->parting_count++];
    *it = (struct parting){.join = *git_commit_id(join)};
    while (it->count < bases.count && it->count < PARTINGS_MAX) {
        it->bases[it->count] = bases.ids[it->count];
        it->count++;
    }
    *out = *it;
    return STATUS_OK;
}

enum status looks_own(struct trail *trail, git_commit *join, git_commit *parent, const struct looks *there, bool *own,
                      git_oid *base, struct err *err)
{
    struct parting parting = {.count = 0};
    struct looks *then = NULL;
    enum status status = STATUS_OK;
    memset(base, 0, sizeof *base);
    TRY(find_parting(trail->store, join, &parting, err));
    *own = !parting.count && looks_present(trail, there);
    TRY(looks_take(trail, &then, err));
    for (size_t at = 0; status == STATUS_OK && at < parting.count; at++) {
        CLEANUP(commit_free_at) git_commit *commit = NULL;
        uint64_t touched = 0;
        status = git_commit_lookup(&commit, trail->store->repo, &parting.bases[at]) == 0
                     ? looks_back(trail, git_commit_tree_id(parent), there, commit, then, &touched, err)
                     : git_unreadable(err, "registry", "could not read where two histories parted");
        *own = status == STATUS_OK && touched;
        if (!*own) {
            *base = parting.bases[at];
            break;
        }
    }
    looks_give_back(trail, then);
    return status;
}
