/* SPDX-License-Identifier: MIT */
/* Lag at a steady flow. */
#include "coretally/domain/lag_steady.h"

#include <math.h>

#include "lag_way.h"

/* Flow that moves each stage, m3 a second. */
static void find_flows(const struct lag_steady_input *input, double flow[STAGE_COUNT])
{
    const struct geometry *geometry = input->geometry;
    const bool boosted = geometry->inlet_um != LENGTH_NONE;
    const bool loses = geometry->loss_um != LENGTH_NONE && geometry->loss_um <= input->bit_um;
    const double share = loses ? 1 - geometry->loss_pct / 100 : 1;
    const double string = input->flow_m3_min / 60;
    const double booster = boosted ? input->booster_m3_min / 60 : 0;
    const bool loss_above = boosted && loses && geometry->loss_um < geometry->inlet_um;
    flow[STAGE_BIT] = string;
    flow[STAGE_MIDDLE] = loss_above ? string + booster : string * share;
    flow[STAGE_TOP] = loss_above ? (string + booster) * share : string * share + booster;
}

/* Time through each segment; the end where one cannot be passed. */
static void add_up(struct lag_steady *out, struct bounds bounds, const double flow[STAGE_COUNT])
{
    out->up_s = out->mud_up_s = 0;
    for (size_t at = out->split.count; at-- > 0;) {
        const struct segment *segment = &out->split.items[at];
        const double length_m = (double)(segment->bottom_um - segment->top_um) * 1e-6;
        double rise_m_s = flow[bounds_stage(bounds, segment->bottom_um)] / segment->area_m2;
        out->velocity_m_s[at] = rise_m_s;
        out->mud_up_s += length_m / rise_m_s;
        if (!isnan(out->slip_m_s)) {
            out->ratio[at] = transport_ratio(rise_m_s, out->slip_m_s);
            rise_m_s -= out->slip_m_s;
        }
        if (rise_m_s <= 0 && out->end == LAG_ARRIVED)
            out->end = flow[bounds_stage(bounds, segment->bottom_um)] > 0 ? LAG_SINKS : LAG_LOST;
        out->up_s += length_m / rise_m_s;
    }
}

enum status lag_steady_find(const struct lag_steady_input *input, struct lag_steady *out, struct err *err)
{
    double flow[STAGE_COUNT];
    struct lag_steady found = {.slip_m_s = NAN,
                               .up_s = NAN,
                               .lag_s = NAN,
                               .mud_up_s = NAN,
                               .mud_lag_s = NAN,
                               .down_s = NAN,
                               .end = LAG_ARRIVED};
    const struct geometry *geometry = input->geometry;
    const struct bounds bounds = bounds_find(geometry, input->bit_um);
    TRY(well_split(geometry, input->bit_um, &found.split, err));
    if (geometry->slip.method != SLIP_NONE)
        TRY(slip_velocity(&geometry->slip, &found.slip_m_s, NULL, err));
    segments_cut(&found.split, bounds.lower_um);
    segments_cut(&found.split, bounds.upper_um);
    for (size_t at = 0; at < SEGMENTS_MAX; at++)
        found.velocity_m_s[at] = found.ratio[at] = NAN;
    const int64_t inlet_um = geometry->inlet_um == LENGTH_NONE ? 0 : geometry->inlet_um;
    found.above_inlet_m3 = segments_volume(&found.split, 0, inlet_um);
    found.below_inlet_m3 = found.split.volume_m3 - found.above_inlet_m3;
    found.flowline_m3 = isnan(geometry->flowline_m3) ? 0 : geometry->flowline_m3;
    found.supply_m3 = isnan(geometry->supply_m3) ? 0 : geometry->supply_m3;
    found.string_m3 = string_volume(geometry, input->bit_um);
    if (!isnan(input->flow_m3_min) && input->flow_m3_min > 0) {
        if (geometry->loss_um != LENGTH_NONE && geometry->loss_um <= input->bit_um && geometry->loss_pct >= 100)
            found.end = LAG_LOST; /* even where the booster's mud comes up from the same depth */
        find_flows(input, flow);
        add_up(&found, bounds, flow);
        const double after_s =
            found.flowline_m3 / flow[STAGE_TOP] + (isnan(geometry->shaker_delay_s) ? 0 : geometry->shaker_delay_s);
        found.lag_s = found.up_s + after_s;
        found.mud_lag_s = found.mud_up_s + after_s;
        found.down_s = (found.string_m3 + found.supply_m3) / flow[STAGE_BIT];
        if (found.end == LAG_LOST)
            found.mud_up_s = found.mud_lag_s = NAN;
        if (found.end != LAG_ARRIVED)
            found.up_s = found.lag_s = NAN;
    }
    *out = found;
    return STATUS_OK;
}
