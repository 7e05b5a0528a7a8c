/* SPDX-License-Identifier: MIT */
/* A tracer sent through the well of lag_day.h with arithmetic of its own, by volumes and flows: what a lag check must
 * find. */
#ifndef CORETALLY_TESTS_TRACER_H
#define CORETALLY_TESTS_TRACER_H

#include "unit.h"

#include <math.h>

#include "coretally/domain/lag_check.h"
#include "lag_day.h"

#define COLLAR_INSIDE_UM 71400
#define PIPE_INSIDE_UM 108600

enum { ACTS_MAX = 6 };

/* So long at these flows, while the hole gets deeper. */
struct act {
    int64_t minutes;
    double string;
    double booster;
    double made_m;
};

/* What a tracer comes through; 0 where not. */
struct course {
    const char *what;
    double true_mm; /* the open hole as it is; the well says nominal_mm */
    double nominal_mm;
    double inlet_m;
    double loss_m;
    double loss_pct;
    double flowline_m3;
    double supply_m3;
    double delay_s;
    double off_bottom_m;
    double in_min;
    struct act acts[ACTS_MAX];
};

static inline double area(double diameter_m)
{
    return PI / 4 * diameter_m * diameter_m;
}

/* Annulus of lag_day.h's well between two depths, m. */
static inline double annulus(double top_m, double bottom_m, double bit_m, double open_m)
{
    const double tops_m[] = {0, 1000, 2500, 1e9};
    const double bores_m[] = {0.4953, 0.31242, open_m};
    const double parts_m[] = {0, bit_m - 200, bit_m};
    const double outsides_m[] = {0.127, 0.2032};
    double volume_m3 = 0;
    for (int bore = 0; bore < 3; bore++)
        for (int part = 0; part < 2; part++) {
            const double from_m = fmax(fmax(tops_m[bore], parts_m[part]), top_m);
            const double to_m = fmin(fmin(tops_m[bore + 1], parts_m[part + 1]), bottom_m);
            volume_m3 += fmax(0, to_m - from_m) * (area(bores_m[bore]) - area(outsides_m[part]));
        }
    return volume_m3;
}

/* When so much has gone by that takes these shares of both flows; NAN: not before the acts end. */
static inline double passed_min(const struct course *course, double now_min, double volume_m3, double string,
                                double booster)
{
    double end_min = 0;
    for (int at = 0; at < ACTS_MAX; at++) {
        const struct act *act = &course->acts[at];
        const double flow = act->string * string + act->booster * booster;
        end_min += (double)act->minutes;
        if (end_min <= now_min)
            continue;
        if (volume_m3 <= flow * (end_min - now_min))
            return volume_m3 > 0 ? now_min + volume_m3 / flow : now_min;
        volume_m3 -= flow * (end_min - now_min);
        now_min = end_min;
    }
    return NAN;
}

/* Into the string between two times. */
static inline double pumped_m3(const struct course *course, double from_min, double to_min)
{
    double volume_m3 = 0;
    double end_min = 0;
    for (int at = 0; at < ACTS_MAX; at++) {
        const double start_min = end_min;
        end_min += (double)course->acts[at].minutes;
        volume_m3 += fmax(0, fmin(end_min, to_min) - fmax(start_min, from_min)) * course->acts[at].string;
    }
    return volume_m3;
}

/* Depth of the bit, which follows the hole. */
static inline double bit_at(const struct course *course, double min)
{
    double bit_m = 3500 - course->off_bottom_m;
    for (int at = 0; at < ACTS_MAX && min > 0 && course->acts[at].minutes > 0; at++) {
        const double length_min = (double)course->acts[at].minutes;
        bit_m += course->acts[at].made_m * fmin(1, min / length_min);
        min -= length_min;
    }
    return bit_m;
}

static inline double down_min(const struct course *course)
{
    const double pipe_m = bit_at(course, course->in_min) - 200;
    return passed_min(course, course->in_min,
                      course->supply_m3 + 200 * area(COLLAR_INSIDE_UM * 1e-6) + pipe_m * area(PIPE_INSIDE_UM * 1e-6), 1,
                      0);
}

/* When the tracer is seen with the open hole this wide. */
static inline double seen_min(const struct course *course, double open_m)
{
    const double inlet_m = course->inlet_m;
    const double loss_m = course->loss_m;
    const double share = loss_m > 0 ? 1 - course->loss_pct / 100 : 1;
    const bool is_loss_lower = loss_m >= inlet_m;
    const double boosted = inlet_m > 0 ? 1 : 0;
    double now_min = down_min(course);
    const double bit_m = bit_at(course, now_min);
    const double lower_m = fmin(fmax(inlet_m, loss_m), bit_m); /* above the loss from the start, when the bit is */
    const double upper_m = fmin(fmin(inlet_m, loss_m), bit_m);
    now_min = passed_min(course, now_min, annulus(lower_m, bit_m, bit_m, open_m), 1, 0);
    now_min = passed_min(course, now_min, annulus(upper_m, lower_m, bit_m, open_m), is_loss_lower ? share : 1,
                         is_loss_lower ? 0 : boosted);
    now_min = passed_min(course, now_min, annulus(0, upper_m, bit_m, open_m) + course->flowline_m3, share,
                         is_loss_lower ? boosted : boosted * share);
    return now_min + course->delay_s / 60;
}

static inline struct geometry *set_off(struct day *day, const struct course *course)
{
    struct geometry *geometry = day_init(day);
    day->parts[0].inner_um = COLLAR_INSIDE_UM;
    day->parts[1].inner_um = PIPE_INSIDE_UM;
    geometry->bores[2].diameter_um = llround(course->nominal_mm * 1000);
    geometry->inlet_um = course->inlet_m > 0 ? llround(course->inlet_m * 1e6) : LENGTH_NONE;
    geometry->loss_um = course->loss_m > 0 ? llround(course->loss_m * 1e6) : LENGTH_NONE;
    geometry->loss_pct = course->loss_m > 0 ? course->loss_pct : NAN;
    geometry->flowline_m3 = course->flowline_m3 > 0 ? course->flowline_m3 : NAN;
    geometry->supply_m3 = course->supply_m3 > 0 ? course->supply_m3 : NAN;
    geometry->shaker_delay_s = course->delay_s > 0 ? course->delay_s : NAN;
    for (int at = 0; at < ACTS_MAX && course->acts[at].minutes > 0; at++)
        pump(day, course->acts[at].minutes, course->acts[at].string, course->acts[at].booster, course->acts[at].made_m);
    for (size_t at = 0; at < day->log.count; at++)
        day->bit_um[at] -= llround(course->off_bottom_m * 1e6);
    return geometry;
}

static inline struct lag_check check_between(double in_min, double seen)
{
    return (struct lag_check){.number = 1,
                              .in = {.utc_us = llround(in_min * 6e7), .known = true},
                              .seen = {.utc_us = llround(seen * 6e7), .known = true}};
}

static inline struct lag_check_result find(const struct day *day, double in_min, double seen)
{
    const struct lag_check check = check_between(in_min, seen);
    struct lag_check_result result = {0};
    struct err err = {0};
    if (lag_check_find(&day->log, &day->well, &check, &result, &err) != STATUS_OK)
        fail_msg("%s: %s", err.subject, err.reason);
    return result;
}

#endif
