/* SPDX-License-Identifier: MIT */
/* What another lag moves: bags by the depth of the hole as reported, and their labels. */
#include "coretally/ask/reach.h"

struct lag_walk {
    struct state *state;
    struct lag_hole *without;
    struct lag_hole *with;
    const struct reach_lag_asked *asked;
    struct reach *reach;
};

/* When it came up, on both sides. */
static enum status look_back(const struct lag_walk *walk, enum bag_kind kind, int64_t us, struct lag_passage *before,
                             struct lag_passage *after, struct err *err)
{
    const struct lag_terms nominal = {.flow_factor = 1, .is_fluid = kind != BAG_CUTTINGS};
    TRY(lag_hole_back(walk->state, walk->with, &nominal, us, after, err));
    return lag_hole_back(walk->state, walk->without, &nominal, us, before, err);
}

static enum status move_bag(const struct lag_walk *walk, enum bag_kind kind, const struct bag *bag, struct err *err)
{
    struct lag_passage before;
    struct lag_passage after;
    if (bag->withdrawn)
        return STATUS_OK;
    TRY(look_back(walk, kind, bag->from.utc_us, &before, &after, err));
    if (bag->to.known && after.hole_um == before.hole_um) /* its upper end stays: look at the lower one */
        TRY(look_back(walk, kind, bag->to.utc_us, &before, &after, err));
    const struct depth depths[] = {
        {.um = before.end == LAG_ARRIVED ? before.hole_um : LENGTH_NONE},
        {.um = after.end == LAG_ARRIVED ? after.hole_um : LENGTH_NONE, .why = lag_end_meaning(after.end)}};
    reach_add(walk->reach, REACH_BAGS, &depths[0], &depths[1], 1);
    if (!walk->asked->take || depths[0].um == LENGTH_NONE || depths[1].um == LENGTH_NONE ||
        depths[0].um == depths[1].um)
        return STATUS_OK;
    const struct reach_bag moved = {kind, bag->number, depths[0].um, depths[1].um};
    return walk->asked->take(walk->asked->context, &moved, err);
}

static enum status move_hundred(const struct lag_walk *walk, enum bag_kind kind, int32_t hundred, struct err *err)
{
    struct bag_set set = {0};
    struct things before;
    struct things after;
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    bags_path(walk->with->target->hole_name, kind, hundred, path);
    TRY(state_read(walk->state, path, &bag_set_table, &set, &there, err));
    for (size_t bag = 0; bag < set.bag_count; bag++)
        TRY(move_bag(walk, kind, &set.bags[bag], err));
    TRY(things_of_bags(walk->state, walk->without->target, kind, hundred, walk->without, &before, err));
    TRY(things_of_bags(walk->state, walk->with->target, kind, hundred, walk->with, &after, err));
    const struct reach_side sides[] = {{walk->state, &before}, {walk->state, &after}};
    return reach_add_labels(&sides[0], &sides[1], walk->reach, err);
}

enum status reach_find_lag(struct state *state, struct lag_hole *without, struct lag_hole *with,
                           const struct reach_lag_asked *asked, struct reach *out, struct err *err)
{
    const struct lag_walk walk = {state, without, with, asked, out};
    *out = reach_of_kind(CORRECTION_NONE);
    with->ahead = without->ahead = 7; /* bags come in order of time */
    for (enum bag_kind kind = BAG_CUTTINGS; kind <= BAG_MUD; kind++) {
        int32_t *hundreds = NULL;
        size_t count = 0;
        TRY(state_hundreds(state, with->target->hole_name, kind, &hundreds, &count, err));
        for (size_t at = 0; at < count; at++)
            TRY(move_hundred(&walk, kind, hundreds[at], err));
    }
    return STATUS_OK;
}
