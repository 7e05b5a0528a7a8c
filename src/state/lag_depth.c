/* SPDX-License-Identifier: MIT */
/* From a time at the shaker to a depth with bounds. */
#include "coretally/state/lag_depth.h"

#include "coretally/base/limits.h"
#include "coretally/domain/depth.h"

/* Cement was circulated while the parcel was on its way, or the hole has got no further than the first metres since. */
static bool follows_cement(const struct lag_hole *hole, const struct lag_passage *passage)
{
    for (size_t at = 0; at < hole->well.count; at++) {
        const struct instant cemented = hole->well.states[at].cemented;
        if (!cemented.known || cemented.utc_us > passage->at_shaker_us)
            continue;
        if (passage->left_bit_us < cemented.utc_us ||
            (hole->cement_um[at] != LENGTH_NONE && passage->hole_um - hole->cement_um[at] < AFTER_CEMENT_UM))
            return true;
    }
    return false;
}

/* The depth with everything uncertain to one side, and the driller's depth with it; LENGTH_NONE where that was cut
 * before the log begins. */
static enum status find_bound(struct state *state, struct lag_hole *hole, const struct lag_terms *terms, int64_t at_us,
                              int sign, int64_t *out_um, struct err *err)
{
    const struct hole *it = &hole->target->hole;
    struct lag_passage passage = {0};
    TRY(lag_hole_back(state, hole, terms, at_us, &passage, err));
    const struct instant cut = {.utc_us = passage.cut_us, .known = passage.end == LAG_ARRIVED};
    const int64_t either_um = hole_doubt(it, 0, cut);
    *out_um = passage.end == LAG_ARRIVED ? passage.hole_um + sign * either_um : LENGTH_NONE;
    return STATUS_OK;
}

static int64_t end_of(const struct at_shaker *at)
{
    return at->to_us == INT64_MIN ? at->from_us : at->to_us;
}

static enum status find_bounds(struct state *state, struct lag_hole *hole, const struct at_shaker *at,
                               struct lag_depth *depth, struct err *err)
{
    struct lag_terms shallow = lag_terms_shallow(hole);
    struct lag_terms deep = lag_terms_deep(hole);
    shallow.is_fluid = deep.is_fluid = at->is_fluid;
    TRY(find_bound(state, hole, &shallow, at->from_us, -1, &depth->low_um, err));
    return find_bound(state, hole, &deep, end_of(at), 1, &depth->high_um, err);
}

/* What the log tells of the way: the window holds it all, and does so when this ends. */
static enum status look_along(struct state *state, struct lag_hole *hole, int64_t end_us, struct lag_depth *depth,
                              struct err *err)
{
    const int64_t from_us = depth->first.left_bit_us;
    TRY(lag_hole_cover(state, hole, from_us, end_us, err));
    const struct lag_log *log = &hole->log;
    depth->over_gap = lag_log_crosses_gap(log, from_us, end_us);
    depth->off_bottom_m3 = lag_log_at(log, log->off_bottom_m3, end_us) - lag_log_at(log, log->off_bottom_m3, from_us);
    depth->off_bottom_s = lag_log_at(log, log->off_bottom_s, end_us) - lag_log_at(log, log->off_bottom_s, from_us);
    return STATUS_OK;
}

#define STILL_US ((int64_t)60 * 1000000) /* nothing newer came for this long: nothing is coming */

static const struct lag_depth unknown = {.top_um = LENGTH_NONE,
                                         .bottom_um = LENGTH_NONE,
                                         .low_um = LENGTH_NONE,
                                         .high_um = LENGTH_NONE,
                                         .has_returns = true};

static enum status find_depth(struct state *state, struct lag_hole *hole, const struct at_shaker *at,
                              struct lag_depth *out, struct err *err)
{
    struct lag_depth depth = unknown;
    const struct lag_terms nominal = {.flow_factor = 1, .is_fluid = at->is_fluid};
    const bool is_instant = at->to_us == INT64_MIN;
    const int64_t end_us = end_of(at);
    TRY(lag_hole_back(state, hole, &nominal, at->from_us, &depth.first, err));
    TRY(lag_hole_back(state, hole, &nominal, end_us, &depth.last, err));
    const enum lag_end end = depth.first.end != LAG_ARRIVED ? depth.first.end : depth.last.end;
    if (end != LAG_ARRIVED) {
        depth.why = lag_end_meaning(end);
        *out = depth;
        return STATUS_OK;
    }
    depth.top_um = depth.first.hole_um;
    depth.bottom_um = depth.last.hole_um;
    depth.has_new_hole = is_instant ? depth.last.new_hole : depth.bottom_um > depth.top_um;
    depth.after_cement = follows_cement(hole, &depth.last);
    depth.has_returns = is_instant ? depth.last.at_shaker_us - depth.last.arrived_us < STILL_US
                                   : depth.last.left_bit_us > depth.first.left_bit_us;
    TRY(find_bounds(state, hole, at, &depth, err));
    TRY(look_along(state, hole, end_us, &depth, err));
    lag_depth_correct(&hole->target->hole, &depth);
    *out = depth;
    return STATUS_OK;
}

enum status lag_depth_find(struct state *state, struct lag_hole *hole, const struct at_shaker *at,
                           struct lag_depth *out, struct err *err)
{
    struct err refusal = {0};
    struct lag_depth depth = unknown;
    depth.why = hole->why;
    enum status status = hole->why ? STATUS_OK : find_depth(state, hole, at, &depth, &refusal);
    if (status == STATUS_RULE) { /* a well or pumps that contradict the log: this depth is not known, others may be */
        depth = unknown;
        status = lag_why(state, &refusal, &depth.why, &refusal);
    }
    if (status != STATUS_OK) {
        *err = refusal;
        return status;
    }
    *out = depth;
    return STATUS_OK;
}

const struct lag_check_result *lag_hole_result(const struct lag_hole *hole, int32_t number)
{
    for (size_t at = 0; at < hole->measured_count; at++)
        if (hole->measured[at].number == number)
            return &hole->results[at];
    return NULL;
}
