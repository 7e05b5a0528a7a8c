/* SPDX-License-Identifier: MIT */
/* Bags that a change moves: each goes back through the log once, whatever is asked about it. */
#include "reach_walk.h"

static bool has_bags(const struct reach_part *part)
{
    return part->reach.has_bags;
}

static void look_at(const struct reach_part *part, const struct lag_passage *passage, struct depth out[2])
{
    const bool is_below_rig = part->reach.scale == SCALE_DRF || scale_is_vertical(part->reach.scale);
    const enum scale scale = is_below_rig ? part->reach.scale : SCALE_DSF;
    const struct instant cut = {.utc_us = passage->cut_us, .known = true};
    out[0] = drilled_depth(&part->without, passage->hole_um, DATUM_RIG_FLOOR, cut, scale, NULL);
    out[1] = drilled_depth(&part->with, passage->hole_um, DATUM_RIG_FLOOR, cut, scale, NULL);
}

/* Bags by their depth as reported, so that the log is gone through once. The lower end counts where the upper stays. */
static enum status count_bag(struct reach_walk *walk, struct lag_hole *lag, enum bag_kind kind, const struct bag *bag,
                             struct err *err)
{
    const struct lag_terms nominal = {.flow_factor = 1, .is_fluid = kind != BAG_CUTTINGS};
    struct lag_passage upper;
    struct lag_passage lower;
    bool has_lower = false;
    if (bag->withdrawn)
        return STATUS_OK;
    TRY(lag_hole_back(walk->state, lag, &nominal, bag->from.utc_us, &upper, err));
    if (upper.end != LAG_ARRIVED)
        return STATUS_OK;
    for (size_t at = 0; at < walk->count; at++) {
        struct reach_part *part = walk->follows[at].part;
        struct depth ends[2];
        if (!has_bags(part))
            continue;
        look_at(part, &upper, ends);
        if (ends[0].um == ends[1].um && bag->to.known) {
            if (!has_lower)
                TRY(lag_hole_back(walk->state, lag, &nominal, bag->to.utc_us, &lower, err));
            has_lower = true;
            if (lower.end == LAG_ARRIVED)
                look_at(part, &lower, ends);
        }
        reach_add(&part->reach, REACH_BAGS, &ends[0], &ends[1], 1);
    }
    return STATUS_OK;
}

static enum status count_hundreds(struct reach_walk *walk, struct lag_hole *lag, enum bag_kind kind, struct err *err)
{
    struct state *state = walk->state;
    const struct target *target = &walk->follows[0].part->target;
    int32_t *hundreds = NULL;
    size_t count = 0;
    TRY(state_hundreds(state, target->hole_name, kind, &hundreds, &count, err));
    for (size_t at = 0; at < count; at++) {
        struct bag_set set = {0};
        struct things things;
        char path[REGISTRY_PATH_MAX];
        bool there = false;
        state_progress(state, "hundreds of bags", at, count, &walk->next_ms);
        bags_path(target->hole_name, kind, hundreds[at], path);
        TRY(state_read(state, path, &bag_set_table, &set, &there, err));
        for (size_t bag = 0; bag < set.bag_count; bag++)
            TRY(count_bag(walk, lag, kind, &set.bags[bag], err));
        TRY(things_of_bags(state, target, kind, hundreds[at], lag, &things, err));
        TRY(reach_count_labels(walk, state, &things, has_bags, err));
    }
    return STATUS_OK;
}

enum status reach_count_bags(struct reach_walk *walk, struct err *err)
{
    const struct target *target = &walk->follows[0].part->target;
    struct lag_hole lag;
    struct known_files files = {0};
    char folder[REGISTRY_PATH_MAX];
    enum status status = STATUS_OK;
    bool any = false;
    for (size_t at = 0; at < walk->count; at++)
        any = any || has_bags(walk->follows[at].part);
    if (!any)
        return STATUS_OK;
    (void)snprintf(folder, sizeof folder, "holes/%.12s/bags", target->hole_name);
    TRY(state_list(walk->state, folder, &files, err));
    if (!files.count)
        return STATUS_OK;
    TRY(lag_hole_try(walk->state, target, &lag, err));
    lag.ahead = 7;
    for (enum bag_kind kind = BAG_CUTTINGS; !lag.why && status == STATUS_OK && kind <= BAG_MUD; kind++)
        status = count_hundreds(walk, &lag, kind, err);
    lag_hole_close(&lag);
    return status;
}
