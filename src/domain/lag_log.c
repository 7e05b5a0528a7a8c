/* SPDX-License-Identifier: MIT */
/* The amounts of a pump log, added up row by row, and looked up in O(log rows). */
#include <math.h>

#include "coretally/base/limits.h"
#include "lag_way.h"

/* The share that rises past the loss; a loss below the bottom of the hole is not there yet. */
static double rising_share(const struct geometry *state, int64_t hole_um)
{
    if (!state || state->loss_um == LENGTH_NONE || state->loss_um > hole_um)
        return 1;
    return 1 - state->loss_pct / 100;
}

/* What comes by at the three stages. */
struct amounts {
    double at_bit_m3;
    double middle_m3;
    double at_top_m3;
};

static struct amounts find_amounts(const struct geometry *state, int64_t hole_um, double string_m3, double booster_m3)
{
    const double share = rising_share(state, hole_um);
    const bool boosted = state && state->inlet_um != LENGTH_NONE;
    const bool loss_above = boosted && state->loss_um != LENGTH_NONE && state->loss_um < state->inlet_um;
    const double booster = boosted ? booster_m3 : 0;
    return (struct amounts){.at_bit_m3 = string_m3,
                            .middle_m3 = loss_above ? string_m3 + booster : string_m3 * share,
                            .at_top_m3 = loss_above ? (string_m3 + booster) * share : string_m3 * share + booster};
}

void lag_log_add(struct lag_log *log, const struct geometry *state, int64_t time_us, int64_t bit_um, int64_t hole_um,
                 double string_m3, double booster_m3, double strokes)
{
    const size_t at = log->count++;
    const struct amounts more = find_amounts(state, hole_um, string_m3, booster_m3);
    log->time_us[at] = time_us;
    log->bit_um[at] = bit_um;
    log->hole_um[at] = hole_um;
    log->at_bit_m3[at] = (at ? log->at_bit_m3[at - 1] : 0) + (at ? more.at_bit_m3 : 0);
    log->middle_m3[at] = (at ? log->middle_m3[at - 1] : 0) + (at ? more.middle_m3 : 0);
    log->at_top_m3[at] = (at ? log->at_top_m3[at - 1] : 0) + (at ? more.at_top_m3 : 0);
    log->strokes[at] = (at ? log->strokes[at - 1] : 0) + (at ? strokes : 0);
    if (isnan(strokes))
        log->strokes[at] = NAN;
    const bool is_off = at && hole_um - bit_um > OFF_BOTTOM_UM;
    if (log->off_bottom_m3)
        log->off_bottom_m3[at] = (at ? log->off_bottom_m3[at - 1] : 0) + (is_off ? string_m3 : 0);
    if (log->off_bottom_s)
        log->off_bottom_s[at] =
            (at ? log->off_bottom_s[at - 1] : 0) + (is_off ? (double)(time_us - log->time_us[at - 1]) * 1e-6 : 0);
}

void lag_log_spread(struct lag_log *log, const struct geometry *state, int64_t since_us, double string_m3,
                    double booster_m3, double strokes)
{
    if (log->count == 0 || since_us >= log->time_us[log->count - 1])
        return;
    const struct amounts more = find_amounts(state, log->hole_um[log->count - 1], string_m3, booster_m3);
    const double span_us = (double)(log->time_us[log->count - 1] - since_us);
    for (size_t at = log->count; at-- > 0 && log->time_us[at] > since_us;) {
        const double share = (double)(log->time_us[at] - since_us) / span_us;
        log->at_bit_m3[at] += more.at_bit_m3 * share;
        log->middle_m3[at] += more.middle_m3 * share;
        log->at_top_m3[at] += more.at_top_m3 * share;
        log->strokes[at] += strokes * share;
    }
}

/* The first of ascending values that is not below; count when all are. */
static size_t find_row(const int64_t *values, size_t count, int64_t value)
{
    size_t low = 0;
    size_t high = count;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if (values[middle] < value)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

size_t lag_log_row(const struct lag_log *log, int64_t time_us)
{
    return find_row(log->time_us, log->count, time_us);
}

/* How far between rows at - 1 and at the instant lies: 0 to 1. */
static double share_between(const struct lag_log *log, size_t at, int64_t time_us)
{
    return (double)(time_us - log->time_us[at - 1]) / (double)(log->time_us[at] - log->time_us[at - 1]);
}

double lag_log_at(const struct lag_log *log, const double *amounts, int64_t time_us)
{
    const size_t at = lag_log_row(log, time_us);
    if (at == log->count)
        return amounts[log->count - 1];
    if (at == 0 || log->time_us[at] == time_us)
        return amounts[at];
    return amounts[at - 1] + (amounts[at] - amounts[at - 1]) * share_between(log, at, time_us);
}

int64_t lag_log_depth(const struct lag_log *log, const int64_t *depths, int64_t time_us)
{
    const size_t at = lag_log_row(log, time_us);
    if (at == log->count)
        return depths[log->count - 1];
    if (at == 0 || log->time_us[at] == time_us)
        return depths[at];
    return depths[at - 1] + llround((double)(depths[at] - depths[at - 1]) * share_between(log, at, time_us));
}

bool lag_log_reach(const struct lag_log *log, const double *amounts, double amount, int64_t *time_us)
{
    size_t low = 0;
    size_t high = log->count;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if (amounts[middle] < amount)
            low = middle + 1;
        else
            high = middle;
    }
    if (low == log->count)
        return false;
    if (low == 0) {
        *time_us = log->time_us[0];
        return true;
    }
    const double share = (amount - amounts[low - 1]) / (amounts[low] - amounts[low - 1]);
    *time_us = log->time_us[low - 1] + llround((double)(log->time_us[low] - log->time_us[low - 1]) * share);
    return true;
}

size_t lag_log_hole_row(const struct lag_log *log, int64_t depth_um)
{
    return find_row(log->hole_um, log->count, depth_um);
}

/* First instant at which the hole was this deep; the caller knows that it was, and not at the first row. */
int64_t lag_log_drilled(const struct lag_log *log, int64_t depth_um)
{
    const size_t low = lag_log_hole_row(log, depth_um);
    if (low == 0 || low == log->count)
        return log->time_us[low == 0 ? 0 : log->count - 1];
    const double share =
        (double)(depth_um - log->hole_um[low - 1]) / (double)(log->hole_um[low] - log->hole_um[low - 1]);
    return log->time_us[low - 1] + llround((double)(log->time_us[low] - log->time_us[low - 1]) * share);
}

bool lag_log_crosses_gap(const struct lag_log *log, int64_t from_us, int64_t to_us)
{
    size_t low = 0;
    size_t high = log->gap_count;
    while (low < high) { /* the first gap that ends after the span begins */
        const size_t middle = low + (high - low) / 2;
        if (log->gap_us[2 * middle + 1] <= from_us)
            low = middle + 1;
        else
            high = middle;
    }
    return low < log->gap_count && log->gap_us[2 * low] < to_us;
}
