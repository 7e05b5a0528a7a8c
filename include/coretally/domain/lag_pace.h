/* SPDX-License-Identifier: MIT */
/* How fast the mud moved and the hole deepened lately, for what is still on its way or not drilled yet. Stops do not
 * count: the flow is that of the last minutes in which the pumps ran, the rate that of the last in which the bit
 * drilled.
 */
#ifndef CORETALLY_DOMAIN_LAG_PACE_H
#define CORETALLY_DOMAIN_LAG_PACE_H

#include "coretally/domain/lag.h"

/* Long enough to even out the strokes of a row, short enough to follow the driller (common practice, no source). */
#define PACE_PUMPED_S 600.0
#define PACE_DRILLED_S 1800.0

struct lag_pace {
    int64_t now_us;              /* end of the log */
    double stage_m3[LAG_STAGES]; /* a minute of pumping through the string: bit, middle, top; 0 where nothing flows */
    double booster_m3;           /* a minute, of that */
    double strokes;              /* a minute; NAN without counters or pumping */
    double pumped_s;             /* found to work it out, at most PACE_PUMPED_S; 0: the pumps never ran */
    double drilled_m;            /* a minute of drilling; NAN where the bit never drilled */
    double drilled_s;            /* found, at most PACE_DRILLED_S */
    bool is_pumping;             /* in the last row: then minutes of pumping are minutes of the clock */
    bool is_drilling;            /* in the last row: pumps run and the bit is on bottom */
    bool is_boosting;            /* the pumps stand, but the booster runs: what is in the riser goes on */
};

/* The log has at least one row. Rows in which the pumps started or stopped hold less than their time promises, and rows
 * over a bridged gap hold who knows what: they are left out while others are there. */
void lag_pace_find(const struct lag_log *log, struct lag_pace *out);

/* Minutes of pumping that so much takes; NAN where it does not come at this pace. */
double lag_pace_minutes(const struct lag_pace *pace, const double left_m3[LAG_STAGES]);

/* Minutes of drilling down to a depth; NAN where nothing was drilled lately. */
double lag_pace_drill(const struct lag_pace *pace, int64_t from_um, int64_t to_um);

#endif
