/* SPDX-License-Identifier: MIT */
/* Flow and rate of the last minutes that count, by one walk back over the rows. */
#include "coretally/domain/lag_pace.h"

#include <math.h>

/* Readings of bit and hole differ by this though the bit is on bottom (common practice, no source). */
#define ON_BOTTOM_UM ((int64_t)500000)

/* Does a row pump through the string? Row 0 holds no flow. */
static bool pumps(const struct lag_log *log, size_t at)
{
    return at > 0 && at < log->count && log->at_bit_m3[at] > log->at_bit_m3[at - 1];
}

static bool drills(const struct lag_log *log, size_t at)
{
    return pumps(log, at) && log->hole_um[at] - log->bit_um[at] <= ON_BOTTOM_UM &&
           log->hole_um[at - 1] - log->bit_um[at - 1] <= ON_BOTTOM_UM;
}

/* Pumping all the time, as far as rows can tell: the pumps ran before it and after it, too. */
static bool is_whole(const struct lag_log *log, size_t at)
{
    return pumps(log, at) && (at == 1 || pumps(log, at - 1)) && (at + 1 == log->count || pumps(log, at + 1)) &&
           !lag_log_crosses_gap(log, log->time_us[at - 1], log->time_us[at]);
}

/* What rows hold, added up. */
struct sums {
    double seconds;
    double stage_m3[LAG_STAGES];
    double strokes;
    double drilled_um;
};

/* Add so much of a row as is still wanted; false when there is enough. */
static bool sums_add(struct sums *sums, const struct lag_log *log, size_t at, double wanted_s)
{
    const double *const amounts[LAG_STAGES] = {log->at_bit_m3, log->middle_m3, log->at_top_m3};
    const double row_s = (double)(log->time_us[at] - log->time_us[at - 1]) * 1e-6;
    if (!(row_s > 0))
        return true;
    const double share = row_s > wanted_s - sums->seconds ? (wanted_s - sums->seconds) / row_s : 1;
    sums->seconds += row_s * share;
    for (int stage = 0; stage < LAG_STAGES; stage++)
        sums->stage_m3[stage] += (amounts[stage][at] - amounts[stage][at - 1]) * share;
    sums->strokes += (log->strokes[at] - log->strokes[at - 1]) * share;
    sums->drilled_um += (double)(log->hole_um[at] - log->hole_um[at - 1]) * share;
    return sums->seconds < wanted_s;
}

/* Back over the rows that count. Where none is whole, those that pump at all. */
static struct sums walk_back(const struct lag_log *log, bool (*counts)(const struct lag_log *, size_t), double wanted_s)
{
    for (int only_whole = 1; only_whole >= 0; only_whole--) {
        struct sums sums = {0};
        for (size_t at = log->count - 1; at > 0; at--)
            if (counts(log, at) && (!only_whole || is_whole(log, at)) && !sums_add(&sums, log, at, wanted_s))
                break;
        if (sums.seconds > 0)
            return sums;
    }
    return (struct sums){0};
}

void lag_pace_find(const struct lag_log *log, struct lag_pace *out)
{
    const size_t last = log->count - 1;
    const struct sums pumped = walk_back(log, pumps, PACE_PUMPED_S);
    const struct sums drilled = walk_back(log, drills, PACE_DRILLED_S);
    const double minutes = pumped.seconds / 60;
    *out = (struct lag_pace){.now_us = log->time_us[last],
                             .strokes = minutes > 0 ? pumped.strokes / minutes : NAN,
                             .pumped_s = pumped.seconds,
                             .drilled_m =
                                 drilled.drilled_um > 0 ? drilled.drilled_um * 1e-6 / (drilled.seconds / 60) : NAN,
                             .drilled_s = drilled.seconds,
                             .is_pumping = pumps(log, last),
                             .is_drilling = drills(log, last)};
    for (int stage = 0; stage < LAG_STAGES && minutes > 0; stage++)
        out->stage_m3[stage] = pumped.stage_m3[stage] / minutes;
    /* The booster's share stands in the stage above its inlet: the top, or the middle where the loss lies above it. */
    out->booster_m3 = fmax(0, out->stage_m3[1] - out->stage_m3[0]) + fmax(0, out->stage_m3[2] - out->stage_m3[1]);
    out->is_boosting = last > 0 && !out->is_pumping && log->at_top_m3[last] > log->at_top_m3[last - 1];
}

double lag_pace_minutes(const struct lag_pace *pace, const double left_m3[LAG_STAGES])
{
    double minutes = 0;
    for (int stage = 0; stage < LAG_STAGES; stage++)
        if (left_m3[stage] > 0)
            minutes += pace->stage_m3[stage] > 0 ? left_m3[stage] / pace->stage_m3[stage] : NAN;
    return minutes;
}

double lag_pace_drill(const struct lag_pace *pace, int64_t from_um, int64_t to_um)
{
    return to_um > from_um ? (double)(to_um - from_um) * 1e-6 / pace->drilled_m : 0;
}
