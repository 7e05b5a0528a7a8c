/* SPDX-License-Identifier: MIT */
/* From a commit to the next act that changed one of the paths. A commit that left the folder above them all alone costs
 * one comparison of ids; a join where one side alone did something is passed on that side. */
#include "trail_parts.h"

#include <string.h>

enum { SLOTS_FIRST = 64 };

static size_t slot_of(const struct trail *trail, const git_oid *id)
{
    size_t slot = 0;
    memcpy(&slot, id->id, sizeof slot);
    return slot & (trail->slot_room - 1);
}

static struct node *find_node(const struct trail *trail, const git_oid *id)
{
    if (!trail->is_forked)
        return NULL;
    for (size_t slot = slot_of(trail, id); trail->slots[slot]; slot = (slot + 1) & (trail->slot_room - 1))
        if (git_oid_equal(&trail->slots[slot]->id, id))
            return trail->slots[slot];
    return NULL;
}

static void place(struct trail *trail, struct node *node)
{
    size_t slot = slot_of(trail, &node->id);
    while (trail->slots[slot])
        slot = (slot + 1) & (trail->slot_room - 1);
    trail->slots[slot] = node;
}

/* Half of the slots stay free. */
static enum status remember(struct trail *trail, struct node *node, struct err *err)
{
    if (2 * (trail->slot_count + 1) > trail->slot_room) {
        struct node **old = trail->slots;
        const size_t room = trail->slot_room;
        TRY(arena_take(&trail->arena, room ? 2 * room : SLOTS_FIRST, sizeof(struct node *), &trail->slots, err));
        trail->slot_room = room ? 2 * room : SLOTS_FIRST;
        for (size_t slot = 0; slot < room; slot++)
            if (old[slot])
                place(trail, old[slot]);
    }
    trail->is_forked = true;
    trail->slot_count++;
    place(trail, node);
    return STATUS_OK;
}

static enum status add_node(struct trail *trail, git_commit *commit, const struct looks *looks, struct node **out,
                            struct err *err)
{
    struct node *node = NULL;
    TRY(arena_take(&trail->arena, 1, sizeof *node, &node, err));
    node->id = *git_commit_id(commit);
    node->time = git_commit_author(commit)->when.time;
    node->there = trail->count ? looks->at[0] : (struct look){.absent = true};
    node->is_join = git_commit_parentcount(commit) > 1;
    if (trail->is_forked)
        TRY(remember(trail, node, err));
    *out = node;
    return STATUS_OK;
}

static void add_way(struct trail *trail, struct node *node, git_commit *parent, struct looks *then, uint64_t touched)
{
    struct way *way = &node->ways[node->way_count++];
    *way = (struct way){.looks = then, .touched = touched, .before = {.absent = true}};
    if (!parent)
        return;
    way->parent = *git_commit_id(parent);
    if (trail->count)
        way->before = then->at[0];
}

/* Where the walk stands. */
struct stand {
    git_commit *commit;
    struct looks *looks;
};

static void stand_on(struct trail *trail, struct stand *stand, git_commit *commit, struct looks *looks)
{
    git_commit_free(stand->commit);
    looks_give_back(trail, stand->looks);
    *stand = (struct stand){commit, looks};
}

/* One side of a join. */
struct side {
    git_commit *parent;
    struct looks *looks;
    uint64_t touched; /* what differs between the join and it */
    bool own;         /* what differs between it and the parting */
    git_oid base;
};

static enum status look_at_side(struct trail *trail, const struct stand *stand, unsigned at, struct side *out,
                                struct err *err)
{
    if (git_commit_parent(&out->parent, stand->commit, at) != 0)
        return git_unreadable(err, "registry", "could not read the history");
    TRY(looks_take(trail, &out->looks, err));
    TRY(looks_back(trail, git_commit_tree_id(stand->commit), stand->looks, out->parent, out->looks, &out->touched,
                   err));
    return looks_own(trail, stand->commit, out->parent, out->looks, &out->own, &out->base, err);
}

/* Both sides did something here: an act of its own for the walk, with two lines behind it. */
static enum status fork(struct trail *trail, const struct stand *stand, struct side *sides, struct node **out,
                        struct err *err)
{
    TRY(add_node(trail, stand->commit, stand->looks, out, err));
    if (!trail->is_forked)
        TRY(remember(trail, *out, err));
    for (size_t at = 0; at < TRAIL_LINES_MAX; at++) {
        add_way(trail, *out, sides[at].parent, sides[at].looks, sides[at].touched);
        sides[at].looks = NULL;
    }
    return STATUS_OK;
}

/* Past a join. Where one side alone did something, the way leads there; where none did, on to where they parted. What
 * differs from there all the same was changed by whoever made this merge by hand. */
static enum status meet(struct trail *trail, struct stand *stand, struct side *sides, struct node **out,
                        struct err *err)
{
    for (unsigned at = 0; at < TRAIL_LINES_MAX; at++)
        TRY(look_at_side(trail, stand, at, &sides[at], err));
    if (sides[0].own && sides[1].own)
        return fork(trail, stand, sides, out, err);
    struct side *side = &sides[sides[1].own];
    if (side->touched) {
        TRY(add_node(trail, stand->commit, stand->looks, out, err));
        add_way(trail, *out, side->parent, side->looks, side->touched);
        side->looks = NULL;
        return STATUS_OK;
    }
    git_commit *next = NULL;
    const bool is_over = !side->own && !git_oid_is_zero(&side->base);
    if (git_commit_lookup(&next, trail->store->repo, is_over ? &side->base : git_commit_id(side->parent)) != 0)
        return git_unreadable(err, "registry", "could not read the history");
    stand_on(trail, stand, next, side->looks);
    side->looks = NULL;
    return STATUS_OK;
}

static enum status step_over_join(struct trail *trail, struct stand *stand, struct node **out, struct err *err)
{
    struct side sides[TRAIL_LINES_MAX] = {{.parent = NULL}};
    const enum status status = meet(trail, stand, sides, out, err);
    for (size_t at = 0; at < TRAIL_LINES_MAX; at++) {
        git_commit_free(sides[at].parent);
        looks_give_back(trail, sides[at].looks);
    }
    return status;
}

/* To the one parent, or to an act. */
static enum status step(struct trail *trail, struct stand *stand, struct node **out, struct err *err)
{
    CLEANUP(commit_free_at) git_commit *parent = NULL;
    struct looks *then = NULL;
    uint64_t touched = 0;
    if (git_commit_parent(&parent, stand->commit, 0) != 0)
        return git_unreadable(err, trail->count ? trail->paths[0] : "registry", "could not read the history");
    trail->is_skewed =
        trail->is_skewed || git_commit_author(parent)->when.time > git_commit_author(stand->commit)->when.time;
    TRY(looks_take(trail, &then, err));
    TRY(looks_back(trail, git_commit_tree_id(stand->commit), stand->looks, parent, then, &touched, err));
    if (touched) {
        TRY(add_node(trail, stand->commit, stand->looks, out, err));
        add_way(trail, *out, parent, then, touched);
        return STATUS_OK;
    }
    stand_on(trail, stand, parent, then);
    parent = NULL;
    return STATUS_OK;
}

/* The first commit made what is there. */
static enum status stop_at_first(struct trail *trail, const struct stand *stand, struct node **out, struct err *err)
{
    const uint64_t present = looks_present(trail, stand->looks);
    if (!present)
        return STATUS_OK;
    TRY(add_node(trail, stand->commit, stand->looks, out, err));
    add_way(trail, *out, NULL, NULL, present);
    return STATUS_OK;
}

/* From a commit to the next act, itself or one behind it; NULL where there is none. */
static enum status run(struct trail *trail, struct stand *stand, struct node **out, struct err *err)
{
    *out = NULL;
    while (!*out) {
        const unsigned parents = git_commit_parentcount(stand->commit);
        if ((*out = find_node(trail, git_commit_id(stand->commit))) != NULL)
            return STATUS_OK;
        if (!parents)
            return stop_at_first(trail, stand, out, err);
        TRY(parents > 1 ? step_over_join(trail, stand, out, err) : step(trail, stand, out, err));
    }
    return STATUS_OK;
}

enum status trail_run(struct trail *trail, git_commit *from, struct looks *looks, struct node **out, struct err *err)
{
    struct stand stand = {from, looks};
    const enum status status = run(trail, &stand, out, err);
    stand_on(trail, &stand, NULL, NULL);
    return status;
}
