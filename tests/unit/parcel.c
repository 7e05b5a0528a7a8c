/* SPDX-License-Identifier: MIT */
/* A parcel of mud, step by step. */
#include "parcel.h"

#include <math.h>

#define QUARTER_PI 0.785398163397448309616
#define STEP_S 10.0 /* no step is longer; a step also ends where anything changes */

/* Where it is, and what stays as it was when it left. */
struct ride {
    const struct parcel_terms *terms;
    const struct geometry *shape;
    double bottom_m;
    double depth_m;
    double flowline_m3; /* still before it, once depth_m is 0 */
    bool at_inlet;      /* since the last step */
    struct parcel parcel;
};

/* Flows of one row, a second. */
struct flows {
    double string_m3_s;
    double booster_m3_s;
    double inlet_m; /* NAN: none */
    double loss_m;  /* NAN: none, or not drilled yet */
    double rising;  /* share that passes the loss */
};

static struct flows flows_of(const struct random_log *day, size_t at, double factor)
{
    const struct flow_step *step = &day->steps[at];
    const double seconds = (double)(step->time_us - day->steps[at - 1].time_us) * 1e-6;
    const struct geometry *state = &day->states[step->state];
    struct flows flows = {.string_m3_s = step->string_m3 * factor / seconds,
                          .booster_m3_s = step->booster_m3 * factor / seconds,
                          .inlet_m = NAN,
                          .loss_m = NAN,
                          .rising = 1};
    if (state->inlet_um != LENGTH_NONE)
        flows.inlet_m = (double)state->inlet_um * 1e-6;
    if (state->loss_um != LENGTH_NONE && state->loss_um <= step->hole_um) {
        flows.loss_m = (double)state->loss_um * 1e-6;
        flows.rising = 1 - state->loss_pct / 100;
    }
    return flows;
}

/* What moves past a place just above this depth. NAN compares false. */
static double flow_above(const struct flows *flows, double depth_m)
{
    const bool above_loss = depth_m <= flows->loss_m;
    double booster_m3_s = depth_m <= flows->inlet_m ? flows->booster_m3_s : 0;
    if (above_loss && flows->inlet_m > flows->loss_m) /* the booster's mud passes the loss too */
        booster_m3_s *= flows->rising;
    return flows->string_m3_s * (above_loss ? flows->rising : 1) + booster_m3_s;
}

/* Area of the annulus just above this depth, and how far up it stays so. */
static double area_above(const struct ride *ride, double *until_m)
{
    double inside_m = NAN;
    double outside_m = NAN;
    *until_m = 0;
    for (size_t at = 0; at < ride->shape->bore_count; at++) {
        const struct bore *bore = &ride->shape->bores[at];
        const double top_m = (double)bore->top_um * 1e-6;
        if (top_m >= ride->depth_m)
            break;
        double diameter_um = (double)bore->diameter_um;
        if (bore->tolerance_um != LENGTH_NONE)
            diameter_um += ride->terms->tolerance_sign * (double)bore->tolerance_um;
        if (!isnan(bore->washout_pct))
            diameter_um *= 1 + bore->washout_pct / 100;
        inside_m = diameter_um * 1e-6;
        *until_m = top_m;
    }
    double part_bottom_m = ride->bottom_m;
    for (size_t at = 0; at < ride->shape->part_count; at++) {
        const struct part *part = &ride->shape->parts[at];
        const double part_top_m = part->length_um == LENGTH_NONE ? 0 : part_bottom_m - (double)part->length_um * 1e-6;
        if (part_top_m < ride->depth_m) {
            outside_m = (double)part->outer_um * 1e-6;
            *until_m = fmax(*until_m, part_top_m);
            break;
        }
        part_bottom_m = part_top_m;
    }
    return QUARTER_PI * (inside_m * inside_m - outside_m * outside_m);
}

/* Up the annulus for at most so long; how long it took. */
static double move_up(struct ride *ride, const struct flows *flows, double most_s)
{
    double until_m = 0;
    const double flow_m3_s = flow_above(flows, ride->depth_m);
    if (ride->depth_m == ride->bottom_m && ride->depth_m == flows->loss_m && flows->rising <= 0) {
        ride->parcel.end = PARCEL_LOST; /* cut where everything is lost */
        return 0;
    }
    double up_m_s = flow_m3_s / area_above(ride, &until_m);
    if (flow_m3_s > 0 && ride->shape->slip.method != SLIP_NONE) {
        up_m_s -= ride->terms->slip_m_s;
        ride->parcel.was_held |= up_m_s <= 0;
    }
    if (up_m_s <= 0)
        return most_s;
    if (flows->inlet_m < ride->depth_m)
        until_m = fmax(until_m, flows->inlet_m);
    if (flows->loss_m < ride->depth_m)
        until_m = fmax(until_m, flows->loss_m);
    if ((ride->depth_m - until_m) / up_m_s > most_s) {
        ride->depth_m -= up_m_s * most_s;
        return most_s;
    }
    const double took_s = (ride->depth_m - until_m) / up_m_s;
    ride->depth_m = until_m;
    ride->at_inlet = until_m == flows->inlet_m;
    if (until_m == flows->loss_m && flows->rising <= 0)
        ride->parcel.end = PARCEL_LOST;
    return took_s;
}

/* Along the flowline, which carries what comes up past everything. */
static double move_out(struct ride *ride, const struct flows *flows, double most_s)
{
    const double flow_m3_s = flow_above(flows, 0);
    if (flow_m3_s * most_s < ride->flowline_m3) {
        ride->flowline_m3 -= flow_m3_s * most_s;
        return most_s;
    }
    const double took_s = ride->flowline_m3 > 0 ? ride->flowline_m3 / flow_m3_s : 0;
    ride->flowline_m3 = 0;
    ride->parcel.end = PARCEL_ARRIVED;
    return took_s;
}

static double or_nothing(double value)
{
    return isnan(value) ? 0 : value;
}

struct parcel parcel_follow(const struct random_log *day, const struct parcel_terms *terms, int64_t left_us)
{
    struct ride ride = {.terms = terms, .parcel = {.end = PARCEL_UNDER_WAY, .at_inlet_us = INT64_MIN}};
    for (size_t at = 0; at < day->well.count; at++)
        if (day->states[at].from.utc_us <= left_us)
            ride.shape = &day->states[at];
    if (!ride.shape)
        return (struct parcel){.end = PARCEL_NO_WELL};
    size_t at = 1;
    while (at < day->step_count && day->steps[at].time_us <= left_us)
        at++;
    if (at < day->step_count) {
        const struct flow_step *before = &day->steps[at - 1];
        const struct flow_step *after = before + 1;
        ride.bottom_m = (double)before->hole_um * 1e-6 + (double)(after->hole_um - before->hole_um) * 1e-6 *
                                                             (double)(left_us - before->time_us) /
                                                             (double)(after->time_us - before->time_us);
    }
    ride.depth_m = ride.bottom_m;
    ride.flowline_m3 = or_nothing(ride.shape->flowline_m3);
    int64_t now_us = left_us;
    for (; at < day->step_count && ride.parcel.end == PARCEL_UNDER_WAY; now_us = day->steps[at++].time_us) {
        const struct flows flows = flows_of(day, at, terms->flow_factor);
        double left_s = (double)(day->steps[at].time_us - now_us) * 1e-6;
        while (left_s > 0 && ride.parcel.end == PARCEL_UNDER_WAY) {
            const double most_s = fmin(left_s, STEP_S);
            left_s -= ride.depth_m > 0 ? move_up(&ride, &flows, most_s) : move_out(&ride, &flows, most_s);
            if (ride.at_inlet)
                ride.parcel.at_inlet_us = day->steps[at].time_us - llround(left_s * 1e6);
            ride.at_inlet = false;
        }
        ride.parcel.at_shaker_us =
            day->steps[at].time_us + llround((or_nothing(ride.shape->shaker_delay_s) - left_s) * 1e6);
    }
    return ride.parcel;
}
