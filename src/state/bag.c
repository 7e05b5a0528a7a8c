/* SPDX-License-Identifier: MIT */
/* Bags in the registry: where they stand, which there are, what their depth is. */
#include "coretally/state/bag.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/domain/minted.h"

enum status bag_read(struct state *state, const struct target *target, enum bag_kind kind, int32_t number,
                     struct bag_target *out, struct err *err)
{
    bool there = false;
    out->target = *target;
    struct name *name = &out->target.name;
    (void)snprintf(name->expedition, sizeof name->expedition, "%s", state->expedition.number);
    name->level = NAME_BAG;
    name->bag = kind;
    name->bag_number = number;
    name_format(name, NAME_PRINTED, out->name);
    bags_path(target->hole_name, kind, bag_hundred(number), out->path);
    TRY(state_read(state, out->path, &bag_set_table, &out->set, &there, err));
    out->set.hole = out->target.hole_name;
    out->set.kind = kind;
    out->set.hundred = bag_hundred(number);
    out->bag = NULL;
    for (size_t at = 0; at < out->set.bag_count; at++)
        if (out->set.bags[at].number == number)
            out->bag = &out->set.bags[at];
    return STATUS_OK;
}

enum status bag_resolve(struct state *state, const char *typed, struct bag_target *out, struct err *err)
{
    struct target target;
    TRY(resolve(state, typed, NAME_BAG, NAME_BAG, &target, err));
    TRY(bag_read(state, &target, target.name.bag, target.name.bag_number, out, err));
    if (out->bag)
        return STATUS_OK;
    int32_t last = 0;
    TRY(bag_last_number(state, target.hole_name, target.name.bag, &last, err));
    err_set(err, STATUS_UNKNOWN, out->name, "it is not recorded");
    return last ? err_hint(err, "the last one is number %d: coretally bag list %s", (int)last, target.hole_name)
                : err_hint(err, "none is recorded yet: coretally bag add %s FROM TO", out->name);
}

enum status bag_last_number(struct state *state, const char *hole, enum bag_kind kind, int32_t *out, struct err *err)
{
    int32_t *hundreds = NULL;
    size_t count = 0;
    char path[REGISTRY_PATH_MAX];
    struct bag_set set = {0};
    bool there = false;
    *out = 0;
    TRY(state_hundreds(state, hole, kind, &hundreds, &count, err));
    if (!count)
        return STATUS_OK;
    bags_path(hole, kind, hundreds[count - 1], path);
    TRY(state_read(state, path, &bag_set_table, &set, &there, err));
    for (size_t at = 0; at < set.bag_count; at++) {
        const int32_t former = minted_number(set.bags[at].was); /* a label may have it */
        *out = set.bags[at].number > *out ? set.bags[at].number : *out;
        *out = former > *out ? former : *out;
    }
    return STATUS_OK;
}

enum status bag_depth(struct state *state, struct lag_hole *hole, enum bag_kind kind, const struct bag *bag,
                      struct lag_depth *out, struct err *err)
{
    const struct at_shaker at = {.from_us = bag->from.utc_us,
                                 .to_us = bag->to.known ? bag->to.utc_us : INT64_MIN,
                                 .is_fluid = kind != BAG_CUTTINGS};
    return lag_depth_find(state, hole, &at, out, err);
}

const char *bag_scale_word(enum scale scale)
{
    return scale == SCALE_DRF ? "MRF" : scale == SCALE_DSF ? "MSF" : scale_words[scale];
}

void bag_depths(const struct hole *hole, const struct lag_depth *bag, enum scale scale, struct depth ends[BAG_ENDS])
{
    const int64_t mrf_um[] = {
        [BAG_TOP] = bag->top_um, [BAG_BOTTOM] = bag->bottom_um, [BAG_LOW] = bag->low_um, [BAG_HIGH] = bag->high_um};
    for (size_t end = 0; end < BAG_ENDS; end++) {
        const struct lag_passage *passage = end == BAG_TOP || end == BAG_LOW ? &bag->first : &bag->last;
        const struct instant cut = {.utc_us = passage->cut_us, .known = true};
        ends[end] = (struct depth){.um = LENGTH_NONE, .low_um = LENGTH_NONE, .high_um = LENGTH_NONE, .why = bag->why};
        if (mrf_um[end] != LENGTH_NONE)
            ends[end] = drilled_from_drf(hole, mrf_um[end], cut, scale);
    }
}
