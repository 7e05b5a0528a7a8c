/* SPDX-License-Identifier: MIT */
/* By how much corrections and lag checks moved the bags of a hole. */
#include <stdlib.h>

#include "coretally/ask/audit.h"
#include "coretally/state/bag.h"
#include "coretally/state/lag_depth.h"
#include "coretally/state/lag_hole.h"

/* The bags of a hole once with all that corrects them, once as the readings alone have them. */
struct sides {
    struct state *states[2];
    const struct target *targets[2];
    struct lag_hole lags[2];
    enum scale scale;
};

static enum status depths_of(struct sides *sides, int side, enum bag_kind kind, const struct bag *bag,
                             struct depth ends[BAG_ENDS], struct err *err)
{
    struct lag_depth depth;
    TRY(bag_depth(sides->states[side], &sides->lags[side], kind, bag, &depth, err));
    bag_depths(&sides->targets[side]->hole, &depth, sides->scale, ends);
    return STATUS_OK;
}

static enum status add_bag(struct sides *sides, struct arena *arena, struct audit_hole *hole, enum bag_kind kind,
                           const struct bag *bag, struct err *err)
{
    struct depth ends[2][BAG_ENDS];
    if (bag->withdrawn)
        return STATUS_OK;
    for (int side = 0; side < 2; side++)
        TRY(depths_of(sides, side, kind, bag, ends[side], err));
    if (ends[0][BAG_TOP].um == LENGTH_NONE || ends[1][BAG_TOP].um == LENGTH_NONE)
        return STATUS_OK;
    TRY(arena_grow(arena, &hole->bags, hole->bag_count, &hole->bag_room, sizeof *hole->bags, err));
    hole->bags[hole->bag_count++] = (struct audit_bag){.kind = kind,
                                                       .number = bag->number,
                                                       .top_um = ends[1][BAG_TOP].um,
                                                       .bottom_um = ends[1][BAG_BOTTOM].um,
                                                       .shift_um = ends[0][BAG_TOP].um - ends[1][BAG_TOP].um};
    return STATUS_OK;
}

static enum status add_bags(struct sides *sides, struct arena *arena, struct audit_hole *hole, struct err *err)
{
    for (enum bag_kind kind = BAG_CUTTINGS; kind <= BAG_MUD; kind++) {
        int32_t *hundreds = NULL;
        size_t count = 0;
        TRY(state_hundreds(sides->states[0], hole->roll.target.hole_name, kind, &hundreds, &count, err));
        for (size_t at = 0; at < count; at++) {
            char path[REGISTRY_PATH_MAX];
            struct bag_set set;
            bool there = false;
            bags_path(hole->roll.target.hole_name, kind, hundreds[at], path);
            TRY(state_read(sides->states[0], path, &bag_set_table, &set, &there, err));
            for (size_t bag = 0; bag < set.bag_count; bag++)
                TRY(add_bag(sides, arena, hole, kind, &set.bags[bag], err));
        }
    }
    return STATUS_OK;
}

static int order_depth(const void *a, const void *b)
{
    const struct audit_bag *left = a;
    const struct audit_bag *right = b;
    if (left->top_um != right->top_um)
        return left->top_um < right->top_um ? -1 : 1;
    return left->kind != right->kind ? (int)left->kind - (int)right->kind : left->number - right->number;
}

static enum status open_sides(struct sides *sides, struct err *err)
{
    TRY(lag_hole_try_quiet(sides->states[0], sides->targets[0], &sides->lags[0], err));
    const enum status status = lag_hole_try_quiet(sides->states[1], sides->targets[1], &sides->lags[1], err);
    if (status != STATUS_OK)
        lag_hole_close(&sides->lags[0]);
    return status;
}

/* Where its checks are taken out, in memory. */
static enum status find_bags(struct state *state, struct state *bare, struct audit_hole *hole, struct err *err)
{
    struct target *reported = NULL;
    TRY(arena_take(state->arena, 1, sizeof *reported, &reported, err));
    *reported = hole->roll.target;
    reported->hole = hole->reported;
    struct sides sides = {.states = {state, bare}, .targets = {&hole->roll.target, reported}, .scale = hole->scale};
    TRY(open_sides(&sides, err));
    const enum status status = add_bags(&sides, state->arena, hole, err);
    for (int side = 0; side < 2; side++)
        lag_hole_close(&sides.lags[side]);
    if (hole->bag_count)
        qsort(hole->bags, hole->bag_count, sizeof *hole->bags, order_depth);
    return status;
}

enum status audit_bags_find(struct state *state, struct audit_hole *hole, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char folder[REGISTRY_PATH_MAX];
    char id[HASH_TEXT_MAX];
    struct store *stores[2] = {NULL, NULL};
    struct state bare;
    const char *name = hole->roll.target.hole_name;
    (void)snprintf(folder, sizeof folder, "holes/%.12s/bags", name);
    TRY(store_id(state->store, folder, id, err));
    if (!*id)
        return STATUS_OK;
    lag_checks_path(name, path);
    TRY(store_id(state->store, path, id, err));
    if (!*id)
        return find_bags(state, state, hole, err);
    const struct change without = {.path = path};
    TRY(store_try(state->store, &without, 1, stores, err));
    state_at(state, stores[1], &bare);
    const enum status status = find_bags(state, &bare, hole, err);
    store_close(stores[0]);
    store_close(stores[1]);
    return status;
}
