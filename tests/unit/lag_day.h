/* SPDX-License-Identifier: MIT */
/* A well whose volumes are known by hand, and a pump log of a row a minute for it. */
#ifndef CORETALLY_TESTS_LAG_DAY_H
#define CORETALLY_TESTS_LAG_DAY_H

#include "unit.h"

#include <math.h>

#include "coretally/domain/lag_steady.h"

#define MINUTE INT64_C(60000000)

enum { ROWS_MAX = 2000, STATES_MAX = 4 };

/* The well of computation by hand (our own case, not published): riser, casing, open hole; collars and pipe. Volumes
 * from the floor down: 180.008 to the riser's foot at 1000 m, 95.988 to the shoe at 2500 m, 50.696 to the collars at
 * 3300 m, 8.722 to the bottom at 3500 m. A row a minute from time 0. */
struct day {
    struct bore bores[STATES_MAX][3];
    struct part parts[2];
    struct geometry states[STATES_MAX];
    struct lag_well well;
    struct lag_log log;
    int64_t time_us[ROWS_MAX];
    int64_t bit_um[ROWS_MAX];
    int64_t hole_um[ROWS_MAX];
    double at_bit_m3[ROWS_MAX];
    double middle_m3[ROWS_MAX];
    double at_top_m3[ROWS_MAX];
    double strokes[ROWS_MAX];
};

#define STROKE_M3 0.0167
#define PI 3.14159265358979323846

static inline struct geometry *add_state(struct day *day, int64_t from_min)
{
    const size_t at = day->well.count++;
    struct bore *bores = day->bores[at];
    bores[0] = (struct bore){BORE_RISER, 0, 1000 * METRE, 495300, NAN, LENGTH_NONE};
    bores[1] = (struct bore){BORE_CASING, 1000 * METRE, 2500 * METRE, 312420, NAN, LENGTH_NONE};
    bores[2] = (struct bore){BORE_OPEN, 2500 * METRE, LENGTH_NONE, 311150, NAN, 5000};
    day->states[at] = (struct geometry){.number = (int32_t)at + 1,
                                        .from = {.utc_us = from_min * MINUTE, .known = true},
                                        .bores = bores,
                                        .bore_count = 3,
                                        .parts = day->parts,
                                        .part_count = 2,
                                        .inlet_um = LENGTH_NONE,
                                        .flowline_m3 = NAN,
                                        .supply_m3 = NAN,
                                        .shaker_delay_s = NAN,
                                        .loss_um = LENGTH_NONE,
                                        .loss_pct = NAN};
    return &day->states[at];
}

static inline struct geometry *day_init(struct day *day)
{
    day->parts[0] = (struct part){"collars", 200 * METRE, 203200, LENGTH_NONE};
    day->parts[1] = (struct part){"pipe", LENGTH_NONE, 127000, LENGTH_NONE};
    day->well = (struct lag_well){day->states, 0};
    day->log = (struct lag_log){.time_us = day->time_us,
                                .bit_um = day->bit_um,
                                .hole_um = day->hole_um,
                                .at_bit_m3 = day->at_bit_m3,
                                .middle_m3 = day->middle_m3,
                                .at_top_m3 = day->at_top_m3,
                                .strokes = day->strokes};
    return add_state(day, -60);
}

/* So many minutes at these flows, m3/min, while the hole gets deeper by made_m; the first row of all stands before. */
static inline void pump(struct day *day, int64_t minutes, double string, double booster, double made_m)
{
    struct lag_log *log = &day->log;
    int64_t hole_um = log->count ? log->hole_um[log->count - 1] : 3500 * METRE;
    if (log->count == 0)
        lag_log_add(log, NULL, 0, hole_um, hole_um, 0, 0, 0);
    for (int64_t minute = 1; minute <= minutes; minute++) {
        const int64_t time_us = log->time_us[log->count - 1] + MINUTE;
        const size_t state = geometry_at(day->states, day->well.count, time_us - 1);
        hole_um += llround(made_m * 1e6 / (double)minutes);
        lag_log_add(log, state == SIZE_MAX ? NULL : &day->states[state], time_us, hole_um, hole_um, string, booster,
                    string / STROKE_M3);
    }
}

static const struct lag_terms nominal = {.flow_factor = 1};

static inline struct lag_passage forward(const struct day *day, double left_min)
{
    struct lag_passage passage = {0};
    struct err err = {0};
    const int64_t left_us = llround(left_min * (double)MINUTE);
    if (lag_forward(&day->log, &day->well, &nominal, left_us, &passage, &err) != STATUS_OK)
        fail_msg("%s: %s", err.subject, err.reason);
    return passage;
}

static inline struct lag_passage back(const struct day *day, double at_min)
{
    struct lag_passage passage = {0};
    struct err err = {0};
    const int64_t at_us = llround(at_min * (double)MINUTE);
    if (lag_back(&day->log, &day->well, &nominal, at_us, &passage, &err) != STATUS_OK)
        fail_msg("%s: %s", err.subject, err.reason);
    return passage;
}

static inline struct lag_passage of_depth(const struct day *day, double depth_m)
{
    struct lag_passage passage = {0};
    struct err err = {0};
    if (lag_of_depth(&day->log, &day->well, &nominal, llround(depth_m * 1e6), &passage, &err) != STATUS_OK)
        fail_msg("%s: %s", err.subject, err.reason);
    return passage;
}

static inline struct lag_steady steady(const struct geometry *geometry, double string, double booster)
{
    struct lag_steady found = {0};
    struct err err = {0};
    const struct lag_steady_input input = {geometry, 3500 * METRE, string, booster};
    if (lag_steady_find(&input, &found, &err) != STATUS_OK)
        fail_msg("%s: %s", err.subject, err.reason);
    return found;
}

static inline double minutes(int64_t us)
{
    return (double)us / (double)MINUTE;
}

static inline bool is_near(double value, double expected, double off)
{
    return fabs(value - expected) <= off;
}

#endif
