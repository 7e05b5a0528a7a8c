/* SPDX-License-Identifier: MIT */
/* The way of a cutting that falls behind its mud, row by row. In each it moves at the mud's velocity less its slip
 * while mud moves past it; it never sinks back, and while the pumps stand it stays where it is (the mud gels; common
 * practice, no source). At a steady flow the time in a segment is that of the mud divided by the transport ratio. */
#include <math.h>

#include "lag_way.h"

/* Where the cutting is. */
struct spot {
    double depth_um;
    size_t segment; /* that it is in, or at the bottom of */
    int64_t now_us;
    double pumped_s; /* mud has moved past it for, and by, since the flow or the annulus last changed */
    double passed_m;
};

/* At a depth where inlet or loss are. */
static void spot_pass(const struct spot *spot, const struct spell *spell, struct rise *out)
{
    if (spot->depth_um == (double)spell->inlet_um && out->at_inlet_us == INT64_MIN)
        out->at_inlet_us = spot->now_us;
    out->lost |= spot->depth_um == (double)spell->all_gone_um;
}

/* How far up area and flow stay as they are. */
static double spot_until(const struct spot *spot, const struct way *way, struct bounds bounds)
{
    double until_um = (double)way->split.items[spot->segment].top_um;
    if ((double)bounds.lower_um < spot->depth_um)
        until_um = fmax(until_um, (double)bounds.lower_um);
    if ((double)bounds.upper_um < spot->depth_um)
        until_um = fmax(until_um, (double)bounds.upper_um);
    return until_um;
}

/* What is left of one row; true at the rig floor. */
static bool row_walk(const struct lag_log *log, const struct way *way, const struct spell *spell, double slip_m_s,
                     size_t row, struct spot *spot, struct rise *out)
{
    const double row_s = (double)(log->time_us[row] - log->time_us[row - 1]) * 1e-6;
    while (spot->now_us < log->time_us[row]) {
        const double left_s = (double)(log->time_us[row] - spot->now_us) * 1e-6;
        const double until_um = spot_until(spot, way, spell->bounds);
        const double *amounts = stage_amounts(log, bounds_stage(spell->bounds, (int64_t)ceil(spot->depth_um)));
        const double mud_m_s =
            (amounts[row] - amounts[row - 1]) / row_s * way->flow_factor / way->split.items[spot->segment].area_m2;
        const double up_m_s = mud_m_s > slip_m_s ? mud_m_s - slip_m_s : 0;
        if (up_m_s * left_s * 1e6 < spot->depth_um - until_um) {
            spot->pumped_s += mud_m_s > 0 ? left_s : 0;
            spot->passed_m += mud_m_s * left_s;
            spot->depth_um -= up_m_s * left_s * 1e6;
            spot->now_us = log->time_us[row];
            return false;
        }
        spot->now_us += llround((spot->depth_um - until_um) / up_m_s);
        spot->depth_um = until_um;
        spot->pumped_s = spot->passed_m = 0;
        spot_pass(spot, spell, out);
        if (until_um == 0)
            return true;
        spot->segment -= until_um == (double)way->split.items[spot->segment].top_um;
    }
    return false;
}

enum status way_walk(const struct lag_log *log, const struct lag_well *well, const struct way *way, int64_t left_bit_us,
                     int64_t until_us, struct rise *out, struct err *err)
{
    double slip_m_s = 0;
    bool is_up = false;
    TRY(slip_velocity(&way->geometry->slip, &slip_m_s, NULL, err));
    struct spot spot = {.depth_um = (double)way->bottom_um, .segment = way->split.count - 1, .now_us = left_bit_us};
    struct spell spell = {0};
    *out = (struct rise){.end = LAG_ON_THE_WAY, .at_inlet_us = INT64_MIN, .left_m3 = {NAN, NAN, NAN}};
    const size_t first = lag_log_row(log, left_bit_us + 1);
    for (size_t row = first; row < log->count && !is_up && spot.now_us < until_us; row++) {
        if (row == first || row > spell.last) {
            spell = spell_find(log, well, row);
            spot_pass(&spot, &spell, out);
        }
        is_up = row_walk(log, way, &spell, slip_m_s, row, &spot, out);
    }
    if (!is_up) { /* what is left is not worked out for cuttings that lag behind */
        out->end = spot.pumped_s > 0 && spot.passed_m / spot.pumped_s <= slip_m_s ? LAG_SINKS : LAG_ON_THE_WAY;
        return STATUS_OK;
    }
    const double end_m3 = lag_log_at(log, log->at_top_m3, spot.now_us) + way_volume(way, 0);
    if (!lag_log_reach(log, log->at_top_m3, end_m3, &out->at_end_us))
        return STATUS_OK;
    out->at_end_us = out->at_end_us > spot.now_us ? out->at_end_us : spot.now_us;
    out->end = LAG_ARRIVED;
    return STATUS_OK;
}
