/* SPDX-License-Identifier: MIT */
/* The acts that changed any of a set of files and folders, along all parents, one after the other. */
#include "trail_parts.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"

enum { ORDER_ASKED_MAX = 256 };

/* The longest folder that all paths lie in. */
static enum status find_above(struct trail *trail, struct err *err)
{
    const size_t count = trail->turns ? trail->turn_count : trail->count;
    size_t len = 0;
    const char *first = NULL;
    for (size_t at = 0; at < count; at++) {
        const char *path = trail->turns ? trail->turns[at].path : trail->paths[at];
        size_t same = 0;
        if (!first) {
            first = path;
            len = strlen(path);
        }
        while (same < len && first[same] == path[same])
            same++;
        len = same;
    }
    while (len && first[len] != '/')
        len--;
    return arena_copy(&trail->arena, first ? first : "", len, &trail->above, err);
}

static enum status add_pending(struct trail *trail, struct node *node, struct err *err)
{
    if (!node || node->is_pending || node->is_done)
        return STATUS_OK;
    TRY(arena_grow(&trail->arena, &trail->pending, trail->pending_count, &trail->pending_room, sizeof(struct node *),
                   err));
    trail->pending[trail->pending_count++] = node;
    node->is_pending = true;
    return STATUS_OK;
}

static void take_out(struct trail *trail, struct node *node)
{
    size_t at = 0;
    while (at < trail->pending_count && trail->pending[at] != node)
        at++;
    if (at < trail->pending_count)
        trail->pending[at] = trail->pending[--trail->pending_count];
    node->is_pending = false;
    node->is_done = true;
}

static enum status begin(struct trail *trail, struct err *err)
{
    struct looks *looks = NULL;
    struct node *node = NULL;
    git_commit *commit = NULL;
    TRY(looks_take(trail, &looks, err));
    TRY(looks_first(trail, trail->store->tree, looks, err));
    if (git_commit_lookup(&commit, trail->store->repo, &trail->store->tip) != 0)
        return git_unreadable(err, trail->count ? trail->paths[0] : "registry", "could not read the history");
    TRY(trail_run(trail, commit, looks, &node, err));
    return add_pending(trail, node, err);
}

static enum status open_with(struct store *store, const char *const *paths, size_t count,
                             const struct history_path *turns, size_t turn_count, struct trail **out, struct err *err)
{
    struct trail *trail = calloc(1, sizeof *trail);
    if (!trail)
        return err_set(err, STATUS_SYSTEM, "memory", "could not walk the history");
    trail->store = store;
    trail->count = count;
    trail->turns = turns;
    trail->turn_count = turn_count;
    arena_init(&trail->arena, ARENA_LIMIT_BYTES);
    enum status status = arena_take(&trail->arena, count, sizeof *trail->paths, &trail->paths, err);
    for (size_t at = 0; status == STATUS_OK && at < count; at++)
        status = arena_copy(&trail->arena, paths[at], strlen(paths[at]), &trail->paths[at], err);
    if (status == STATUS_OK)
        status = find_above(trail, err);
    if (status == STATUS_OK)
        status = begin(trail, err);
    if (status != STATUS_OK) {
        trail_close(trail);
        return status;
    }
    *out = trail;
    return STATUS_OK;
}

enum status trail_open(struct store *store, const char *const *paths, size_t count, struct trail **out, struct err *err)
{
    return open_with(store, paths, count, NULL, 0, out, err);
}

enum status trail_open_turning(struct store *store, const struct history_path *paths, size_t count, struct trail **out,
                               struct err *err)
{
    return open_with(store, &paths[0].path, 1, paths, count, out, err);
}

static bool comes_first(const struct node *a, const struct node *b)
{
    return a->time != b->time ? a->time > b->time : git_oid_cmp(&a->id, &b->id) > 0;
}

/* Does another one that can come next stand on it? */
static enum status is_waiting(struct trail *trail, const struct node *node, bool *out, struct err *err)
{
    *out = false;
    for (size_t at = 0; !*out && at < trail->pending_count; at++) {
        const struct node *other = trail->pending[at];
        if (other == node)
            continue;
        const int leads = git_graph_descendant_of(trail->store->repo, &other->id, &node->id);
        if (leads < 0)
            return git_unreadable(err, "registry", "could not read the history");
        *out = leads == 1;
        trail->asked++;
    }
    return STATUS_OK;
}

static int compare_nodes(const void *a, const void *b)
{
    return comes_first(*(const struct node *const *)a, *(const struct node *const *)b) ? -1 : 1;
}

/* The latest. Where clocks ran back, an act may be younger than one that stands on it, which comes before it; with
 * very many such acts on two lines their order is that of time. */
static enum status find_next(struct trail *trail, struct node **out, struct err *err)
{
    bool is_free = false;
    if (trail->pending_count > 1)
        qsort(trail->pending, trail->pending_count, sizeof(struct node *), compare_nodes);
    *out = trail->pending[0];
    for (size_t at = 0; trail->is_skewed && trail->asked < ORDER_ASKED_MAX && !is_free && at < trail->pending_count;
         at++) {
        bool waits = false;
        TRY(is_waiting(trail, trail->pending[at], &waits, err));
        is_free = !waits;
        if (is_free)
            *out = trail->pending[at];
    }
    return STATUS_OK;
}

static void tell_look(const struct look *look, char out[HASH_TEXT_MAX])
{
    *out = '\0';
    if (!look->absent)
        (void)git_oid_tostr(out, HASH_TEXT_MAX, &look->id);
}

/* On to what is behind it on one of its lines. */
static enum status follow(struct trail *trail, struct way *way, struct trail_line *out, struct err *err)
{
    git_commit *parent = NULL;
    struct node *older = NULL;
    struct looks *const looks = way->looks;
    *out = (struct trail_line){.touched = way->touched};
    tell_look(&way->before, out->id);
    if (!looks)
        return STATUS_OK;
    way->looks = NULL;
    (void)git_oid_tostr(out->parent, sizeof out->parent, &way->parent);
    if (git_commit_lookup(&parent, trail->store->repo, &way->parent) != 0)
        return git_unreadable(err, "registry", "could not read the history");
    TRY(trail_run(trail, parent, looks, &older, err));
    if (older)
        (void)git_oid_tostr(out->older, sizeof out->older, &older->id);
    return add_pending(trail, older, err);
}

static enum status tell(struct trail *trail, struct node *node, struct arena *arena, struct trail_act *out,
                        struct err *err)
{
    CLEANUP(commit_free_at) git_commit *commit = NULL;
    struct trail_act act = {.is_join = node->is_join, .line_count = node->way_count};
    if (git_commit_lookup(&commit, trail->store->repo, &node->id) != 0)
        return git_unreadable(err, "registry", "could not read the history");
    TRY(commit_tell(commit, arena, &act.commit, err));
    tell_look(&node->there, act.id);
    for (size_t at = 0; at < node->way_count; at++) {
        TRY(follow(trail, &node->ways[at], &act.lines[at], err));
        act.touched |= act.lines[at].touched;
    }
    if (act.line_count > 1 && strcmp(act.lines[0].older, act.lines[1].older) > 0) { /* whichever parent is the first */
        const struct trail_line first = act.lines[0];
        act.lines[0] = act.lines[1];
        act.lines[1] = first;
    }
    *out = act;
    return STATUS_OK;
}

enum status trail_next(struct trail *trail, struct arena *arena, struct trail_act *act, bool *more, struct err *err)
{
    struct node *node = NULL;
    *more = false;
    if (!trail->pending_count)
        return STATUS_OK;
    TRY(find_next(trail, &node, err));
    take_out(trail, node);
    TRY(tell(trail, node, arena, act, err));
    *more = true;
    return STATUS_OK;
}

void trail_drop(struct trail *trail, const char *id)
{
    git_oid oid;
    if (git_oid_fromstr(&oid, id) != 0)
        return;
    for (size_t at = 0; at < trail->pending_count; at++)
        if (git_oid_equal(&trail->pending[at]->id, &oid)) {
            take_out(trail, trail->pending[at]);
            return;
        }
}

bool trail_pass(struct trail *trail, const struct trail_act *act)
{
    size_t same = act->line_count;
    size_t same_count = 0;
    for (size_t at = 0; act->line_count == TRAIL_LINES_MAX && at < act->line_count; at++)
        if (!(act->lines[at].touched & 1)) {
            same = at;
            same_count++;
        }
    if (same_count != 1) /* both: each of them recorded it */
        return same_count > 0;
    if (strcmp(act->lines[0].older, act->lines[1].older) != 0)
        trail_drop(trail, act->lines[1 - same].older);
    return true;
}

void trail_close(struct trail *trail)
{
    if (!trail)
        return;
    arena_clear(&trail->arena);
    free(trail);
}
