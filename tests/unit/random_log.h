/* SPDX-License-Identifier: MIT */
/* Random rig days, the same on every machine: a well, what its pumps did row by row, and what changed on the way.
 * Written twice: into the log under test, and into plain steps that a slow simulation reads (parcel.h). */
#ifndef CORETALLY_TESTS_RANDOM_LOG_H
#define CORETALLY_TESTS_RANDOM_LOG_H

#include "unit.h"

#include "coretally/domain/lag.h"

enum { RANDOM_ROWS_MAX = 6000, RANDOM_STATES_MAX = 12, RANDOM_BORES_MAX = 6, RANDOM_PARTS_MAX = 4 };

/* What flowed since the step before, and how things stood at its end. The first one holds no flow. */
struct flow_step {
    int64_t time_us;
    int64_t bit_um;
    int64_t hole_um;
    double string_m3;
    double booster_m3;
    double strokes;
    size_t state; /* in force while it flowed: just before time_us; SIZE_MAX: none yet */
};

struct random_log {
    struct lag_log log;
    struct lag_well well;
    struct flow_step steps[RANDOM_ROWS_MAX];
    size_t step_count;
    struct geometry states[RANDOM_STATES_MAX];
    size_t shape[RANDOM_STATES_MAX]; /* states of one shape differ in their losses alone */
    struct bore bores[RANDOM_STATES_MAX][RANDOM_BORES_MAX];
    struct part parts[RANDOM_STATES_MAX][RANDOM_PARTS_MAX];
    int64_t time_us[RANDOM_ROWS_MAX];
    int64_t bit_um[RANDOM_ROWS_MAX];
    int64_t hole_um[RANDOM_ROWS_MAX];
    double at_bit_m3[RANDOM_ROWS_MAX];
    double middle_m3[RANDOM_ROWS_MAX];
    double at_top_m3[RANDOM_ROWS_MAX];
    double strokes[RANDOM_ROWS_MAX];
};

/* Rows of 1 s to 10 s, some logs of 5 min; some 2 to 6 lags long. Drilling at changing rates, connections, long
 * stops, trips, changed pumps, booster on and off, rows that are missing, casing set, losses that come and go: in open
 * hole, at its bottom, just below it, in the riser, and total ones. Volumes of flowline and delay at the shaker are
 * those of the rig: the same all day. */
void random_log_fill(struct random_log *out, uint64_t seed);

#endif
