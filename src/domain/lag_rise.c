/* SPDX-License-Identifier: MIT */
/* The way of a parcel that moves with its mud: by comparing volumes, a spell of the same inlet and loss at a time. */
#include <math.h>

#include "lag_way.h"

struct bounds bounds_find(const struct geometry *state, int64_t hole_um)
{
    const int64_t inlet_um = !state || state->inlet_um == LENGTH_NONE ? 0 : state->inlet_um;
    if (!state || state->loss_um == LENGTH_NONE || state->loss_um > hole_um)
        return (struct bounds){inlet_um, inlet_um};
    if (inlet_um == 0)
        return (struct bounds){state->loss_um, state->loss_um};
    return inlet_um > state->loss_um ? (struct bounds){inlet_um, state->loss_um}
                                     : (struct bounds){state->loss_um, inlet_um};
}

int bounds_stage(struct bounds bounds, int64_t depth_um)
{
    return depth_um > bounds.lower_um ? STAGE_BIT : depth_um > bounds.upper_um ? STAGE_MIDDLE : STAGE_TOP;
}

struct spell spell_find(const struct lag_log *log, const struct lag_well *well, size_t row)
{
    /* what a row tells flowed before it: a state from just this instant comes after */
    const size_t at = geometry_at(well->states, well->count, log->time_us[row] - 1);
    const struct geometry *state = at == SIZE_MAX ? NULL : &well->states[at];
    int64_t next_us = INT64_MAX;
    for (size_t later = 0; later < well->count; later++)
        if (!well->states[later].withdrawn && well->states[later].from.utc_us >= log->time_us[row] &&
            well->states[later].from.utc_us < next_us)
            next_us = well->states[later].from.utc_us;
    struct spell spell = {.last = lag_log_row(log, next_us == INT64_MAX ? INT64_MAX : next_us + 1) - 1,
                          .bounds = bounds_find(state, log->hole_um[row]),
                          .inlet_um = state ? state->inlet_um : LENGTH_NONE,
                          .all_gone_um = LENGTH_NONE};
    if (!state || state->loss_um == LENGTH_NONE)
        return spell;
    if (state->loss_um > log->hole_um[row]) { /* not there before the hole is */
        const size_t drilled = lag_log_hole_row(log, state->loss_um);
        spell.last = drilled - 1 < spell.last ? drilled - 1 : spell.last;
    } else if (state->loss_pct >= 100)
        spell.all_gone_um = state->loss_um;
    return spell;
}

enum status way_find(const struct geometry *geometry, int64_t depth_um, double flow_factor, struct way *out,
                     struct err *err)
{
    TRY(well_split(geometry, depth_um, &out->split, err));
    out->geometry = geometry;
    out->bottom_um = depth_um;
    out->flow_factor = flow_factor;
    return STATUS_OK;
}

double way_volume(const struct way *way, int64_t depth_um)
{
    const double flowline_m3 = isnan(way->geometry->flowline_m3) ? 0 : way->geometry->flowline_m3;
    return depth_um > way->bottom_um ? INFINITY
                                     : (segments_volume(&way->split, 0, depth_um) + flowline_m3) / way->flow_factor;
}

/* A parcel between two spells. */
struct parcel {
    int64_t now_us;
    double left_m3; /* to the end of the flowline */
};

/* Through the stages that it comes to in this spell; true at the end of the flowline. */
static bool spell_rise(const struct lag_log *log, const struct way *way, const struct spell *spell,
                       struct parcel *parcel, struct rise *out)
{
    const int64_t tops_um[STAGE_COUNT] = {spell->bounds.lower_um, spell->bounds.upper_um, 0};
    const int64_t end_us = log->time_us[spell->last];
    for (int stage = 0; stage < STAGE_COUNT; stage++) {
        const double top_m3 = stage == STAGE_TOP ? 0 : way_volume(way, tops_um[stage]);
        const double *amounts = stage_amounts(log, stage);
        if (parcel->left_m3 < top_m3)
            continue;
        if (parcel->left_m3 > top_m3) {
            const double start_m3 = lag_log_at(log, amounts, parcel->now_us);
            int64_t then_us = 0;
            if (!lag_log_reach(log, amounts, start_m3 + (parcel->left_m3 - top_m3), &then_us) || then_us > end_us) {
                parcel->left_m3 = fmax(top_m3, parcel->left_m3 - (lag_log_at(log, amounts, end_us) - start_m3));
                parcel->now_us = end_us;
                return false;
            }
            parcel->now_us = then_us > parcel->now_us ? then_us : parcel->now_us;
            parcel->left_m3 = top_m3;
        }
        if (stage == STAGE_TOP || tops_um[stage] == 0)
            continue;
        if (tops_um[stage] == spell->inlet_um && out->at_inlet_us == INT64_MIN)
            out->at_inlet_us = parcel->now_us;
        out->lost |= tops_um[stage] == spell->all_gone_um;
    }
    return true;
}

void way_rise(const struct lag_log *log, const struct lag_well *well, const struct way *way, int64_t left_bit_us,
              struct rise *out)
{
    struct parcel parcel = {left_bit_us, way_volume(way, way->bottom_um)};
    struct spell spell = {0};
    *out = (struct rise){.end = LAG_ARRIVED, .at_inlet_us = INT64_MIN};
    bool arrived = false;
    for (size_t row = lag_log_row(log, left_bit_us + 1); row < log->count && !arrived; row = spell.last + 1) {
        spell = spell_find(log, well, row);
        arrived = spell_rise(log, way, &spell, &parcel, out);
    }
    out->at_end_us = parcel.now_us;
    if (arrived)
        return;
    out->end = LAG_ON_THE_WAY;
    spell = spell_find(log, well, log->count - 1);
    const double lower_m3 = fmin(way_volume(way, spell.bounds.lower_um), parcel.left_m3);
    const double upper_m3 = fmin(way_volume(way, spell.bounds.upper_um), parcel.left_m3);
    out->left_m3[STAGE_BIT] = parcel.left_m3 - lower_m3;
    out->left_m3[STAGE_MIDDLE] = lower_m3 - upper_m3;
    out->left_m3[STAGE_TOP] = upper_m3;
}

const double *stage_amounts(const struct lag_log *log, int stage)
{
    return stage == STAGE_BIT ? log->at_bit_m3 : stage == STAGE_MIDDLE ? log->middle_m3 : log->at_top_m3;
}
