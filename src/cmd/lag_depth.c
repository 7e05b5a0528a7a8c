/* SPDX-License-Identifier: MIT */
/* From a time at the shaker to a depth with bounds. */
#include "lag_depth.h"

#include <math.h>

#include "coretally/base/limits.h"

static bool crosses_gap(const struct lag_log *log, int64_t from_us, int64_t to_us)
{
    for (size_t at = 0; at < log->gap_count; at++)
        if (log->gap_us[at] > from_us && log->gap_us[at] <= to_us)
            return true;
    return false;
}

/* Cement was circulated after the parcel's state began and before, or just before, the parcel was cut. */
static bool follows_cement(const struct lag_hole *hole, const struct lag_passage *passage)
{
    if (passage->end != LAG_ARRIVED)
        return false;
    for (size_t at = 0; at < hole->well.count; at++) {
        const struct geometry *state = &hole->well.states[at];
        if (!state->cemented.known || state->cemented.utc_us > passage->at_shaker_us)
            continue;
        const int64_t then_um = lag_log_depth(&hole->log, hole->log.hole_um, state->cemented.utc_us);
        if (passage->left_bit_us < state->cemented.utc_us ||
            (state->cemented.utc_us >= hole->log.time_us[0] && passage->hole_um - then_um < AFTER_CEMENT_UM))
            return true;
    }
    return false;
}

/* The depth with everything uncertain to one side; the nominal one where there is nothing to vary. */
static enum status vary(struct run *run, struct lag_hole *hole, const struct lag_terms *terms, int64_t at_us,
                        int64_t nominal_um, int64_t *out_um, struct err *err)
{
    struct lag_passage passage = {0};
    TRY(lag_hole_back(run, hole, terms, at_us, &passage, err));
    *out_um = passage.end == LAG_ARRIVED ? passage.hole_um : nominal_um;
    return STATUS_OK;
}

static enum status find_bounds(struct run *run, struct lag_hole *hole, int64_t from_us, int64_t to_us, bool is_fluid,
                               struct lag_depth *depth, struct err *err)
{
    const struct hole *it = &hole->target->hole;
    struct lag_terms shallow = lag_terms_shallow(hole);
    struct lag_terms deep = lag_terms_deep(hole);
    shallow.is_fluid = deep.is_fluid = is_fluid;
    TRY(vary(run, hole, &shallow, from_us, depth->top_um, &depth->low_um, err));
    TRY(vary(run, hole, &deep, to_us, depth->bottom_um, &depth->high_um, err));
    const int64_t either_um =
        (it->tolerance_um == LENGTH_NONE ? 0 : it->tolerance_um) + (it->heave_um == LENGTH_NONE ? 0 : it->heave_um);
    depth->low_um -= either_um;
    depth->high_um += either_um;
    return STATUS_OK;
}

#define STILL_US ((int64_t)60 * 1000000) /* nothing newer came for this long: nothing is coming */

static const struct lag_depth unknown = {.top_um = LENGTH_NONE,
                                         .bottom_um = LENGTH_NONE,
                                         .low_um = LENGTH_NONE,
                                         .high_um = LENGTH_NONE,
                                         .has_returns = true};

static enum status find_depth(struct run *run, struct lag_hole *hole, int64_t from_us, int64_t to_us, bool is_fluid,
                              struct lag_depth *out, struct err *err)
{
    struct lag_depth depth = unknown;
    const struct lag_terms nominal = {.flow_factor = 1, .is_fluid = is_fluid};
    const int64_t end_us = to_us == INT64_MIN ? from_us : to_us;
    TRY(lag_hole_back(run, hole, &nominal, from_us, &depth.first, err));
    TRY(lag_hole_back(run, hole, &nominal, end_us, &depth.last, err));
    const enum lag_end end = depth.first.end != LAG_ARRIVED ? depth.first.end : depth.last.end;
    if (end != LAG_ARRIVED) {
        depth.why = lag_end_meaning(end);
        *out = depth;
        return STATUS_OK;
    }
    depth.top_um = depth.first.hole_um;
    depth.bottom_um = depth.last.hole_um;
    depth.has_new_hole = to_us == INT64_MIN ? depth.last.new_hole : depth.bottom_um > depth.top_um;
    depth.after_cement = follows_cement(hole, &depth.last);
    depth.over_gap = crosses_gap(&hole->log, depth.first.left_bit_us, end_us);
    depth.off_bottom_m3 = lag_log_at(&hole->log, hole->log.off_bottom_m3, end_us) -
                          lag_log_at(&hole->log, hole->log.off_bottom_m3, depth.first.left_bit_us);
    depth.off_bottom_s = lag_log_at(&hole->log, hole->log.off_bottom_s, end_us) -
                         lag_log_at(&hole->log, hole->log.off_bottom_s, depth.first.left_bit_us);
    depth.has_returns = to_us == INT64_MIN ? depth.last.at_shaker_us - depth.last.arrived_us < STILL_US
                                           : depth.last.left_bit_us > depth.first.left_bit_us;
    TRY(find_bounds(run, hole, from_us, end_us, is_fluid, &depth, err));
    *out = depth;
    return STATUS_OK;
}

enum status lag_depth_find(struct run *run, struct lag_hole *hole, int64_t from_us, int64_t to_us, bool is_fluid,
                           struct lag_depth *out, struct err *err)
{
    struct err refusal = {0};
    struct lag_depth depth = unknown;
    depth.why = hole->why;
    enum status status = hole->why ? STATUS_OK : find_depth(run, hole, from_us, to_us, is_fluid, &depth, &refusal);
    if (status == STATUS_RULE) { /* a well or pumps that contradict the log: this depth is not known, others may be */
        depth = unknown;
        status = lag_why(run, &refusal, &depth.why, &refusal);
    }
    if (status != STATUS_OK) {
        *err = refusal;
        return status;
    }
    *out = depth;
    return STATUS_OK;
}
