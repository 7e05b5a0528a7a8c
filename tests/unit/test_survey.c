/* SPDX-License-Identifier: MIT */
/* True vertical depth by minimum curvature: a published example, arcs by hand, and what must hold for any survey. */
#include "unit.h"

#include <math.h>
#include <stdlib.h>

#include "coretally/base/quantity.h"
#include "coretally/domain/survey.h"

#define PI 3.14159265358979323846
#define RADIANS(degrees) ((degrees)*PI / 180)

static const int64_t foot_um = 304800;

static double feet(double metres)
{
    return metres / 0.3048;
}

/* 3500 ft at 15/20 degrees to 3600 ft at 25/45: a drilling formula site prints N 27.22, E 19.45, TVD 94.01 ft (beside a
 * misprinted ratio factor). The hole is vertical above the first station here, so the difference counts. */
static void an_arc_as_published(void **state)
{
    (void)state;
    const struct survey_station stations[] = {{3500 * foot_um, 15, 20}, {3600 * foot_um, 25, 45}};
    const struct survey_place top = survey_at(stations, COUNT_OF(stations), 3500 * foot_um);
    const struct survey_place bottom = survey_at(stations, COUNT_OF(stations), 3600 * foot_um);
    assert_int_equal(top.vertical_um, 3500 * foot_um);
    assert_true(top.north_m == 0 && top.east_m == 0);
    assert_true(fabs(feet(bottom.north_m) - 27.22) <= 0.005);
    assert_true(fabs(feet(bottom.east_m) - 19.45) <= 0.005);
    assert_string_equal(length_text(bottom.vertical_um - top.vertical_um, UNIT_FT, 2).text, "94.01");
    assert_false(top.beyond || bottom.beyond);
}

static void a_vertical_hole_is_as_deep_as_long(void **state)
{
    (void)state;
    const struct survey_station stations[] = {{3000 * METRE, 0, 0}, {3100 * METRE, 0, 77}, {3250 * METRE, 0, 300}};
    static const int64_t depths_um[] = {0, 1, 2999999999, 3000000000, 3050500000, 3250000000, 3250000001, 4000000000};
    for (size_t count = 0; count <= COUNT_OF(stations); count++)
        for (size_t at = 0; at < COUNT_OF(depths_um) && count; at++) {
            const struct survey_place place = survey_at(stations, count, depths_um[at]);
            assert_int_equal(place.vertical_um, depths_um[at]);
            assert_true(fabs(place.north_m) < 1e-9 && fabs(place.east_m) < 1e-9);
            assert_int_equal(place.beyond, depths_um[at] > stations[count - 1].depth_um);
        }
}

/* By hand: a quarter of a circle goes down as far as sideways, by its radius. Down the arc by the angle u: R sin u
 * down, R (1 - cos u) sideways. A survey of one direction is a straight line. */
static void arcs_by_hand(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        struct survey_station first;
        struct survey_station second; /* its depth: below the first */
        double at;                    /* part of the way between them */
        double down_m;
        double north_m;
        double east_m;
    } rows[] = {
        {"quarter north", {1000 * METRE, 0, 0}, {157079633, 90, 0}, 1, 100, 100, 0},
        {"quarter east", {1000 * METRE, 0, 90}, {157079633, 90, 90}, 1, 100, 0, 100},
        {"quarter south, azimuth below is what counts", {1000 * METRE, 0, 12}, {157079633, 90, 180}, 1, 100, -100, 0},
        {"a third of the quarter", {1000 * METRE, 0, 0}, {157079633, 90, 0}, 1 / 3.0, 50, 13.397460, 0},
        {"two thirds of it", {1000 * METRE, 0, 0}, {157079633, 90, 0}, 2 / 3.0, 86.602540, 50, 0},
        {"the lower quarter: level, then down", {1000 * METRE, 90, 0}, {157079633, 0, 0}, 1, 100, 100, 0},
        {"half a circle, over and up", {1000 * METRE, 45, 0}, {157079633, 135, 0}, 1, 0, 141.421356, 0},
        {"level, then straight up", {1000 * METRE, 90, 0}, {157079633, 180, 0}, 1, -100, 100, 0},
        {"from 60 over level to 120: as deep as before", {1000 * METRE, 60, 90}, {104719755, 120, 90}, 1, 0, 0, 100},
        {"half of that", {1000 * METRE, 60, 90}, {104719755, 120, 90}, 0.5, 13.397460, 0, 50},
        {"straight at 120", {1000 * METRE, 120, 90}, {200 * METRE, 120, 90}, 1, -100, 0, 173.205081},
        {"straight at 60", {1000 * METRE, 60, 90}, {200 * METRE, 60, 90}, 0.5, 50, 0, 86.602540},
        {"level turn through north: 20 degrees, chord",
         {1000 * METRE, 90, 350},
         {100 * METRE, 90, 10},
         1,
         0,
         99.493077,
         0},
        {"the same, other way", {1000 * METRE, 90, 10}, {100 * METRE, 90, 350}, 1, 0, 99.493077, 0},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct survey_station stations[] = {rows[at].first, rows[at].second};
        const int64_t length_um = stations[1].depth_um;
        stations[1].depth_um += stations[0].depth_um;
        const struct survey_place place =
            survey_at(stations, 2, stations[0].depth_um + llround((double)length_um * rows[at].at));
        ROW(rows[at].what, fabs((double)(place.vertical_um - stations[0].depth_um) * 1e-6 - rows[at].down_m) < 2e-6);
        ROW(rows[at].what, fabs(place.north_m - rows[at].north_m) < 2e-6);
        ROW(rows[at].what, fabs(place.east_m - rows[at].east_m) < 2e-6);
    }
}

static void straight_on_below_the_last_station(void **state)
{
    (void)state;
    const struct survey_station stations[] = {{1000 * METRE, 0, 0}, {1157079633, 60, 90}};
    const struct survey_place last = survey_at(stations, 2, 1157079633);
    const struct survey_place place = survey_at(stations, 2, 1157079633 + 100 * METRE);
    assert_false(last.beyond);
    assert_true(place.beyond);
    assert_true(llabs(place.vertical_um - last.vertical_um - 50 * METRE) <= 1);
    assert_true(fabs(place.north_m - last.north_m) < 1e-9);
    assert_true(fabs(place.east_m - last.east_m - 86.602540) < 1e-6);
    /* one station alone: vertical above, straight on below */
    assert_int_equal(survey_at(&stations[1], 1, 1157079633).vertical_um, 1157079633);
    assert_int_equal(survey_at(&stations[1], 1, 1257079633).vertical_um, 1207079633);
    assert_int_equal(survey_at(&stations[1], 1, 500 * METRE).vertical_um, 500 * METRE);
}

/* A survey with inclinations up to most_deg; returns its count. */
static size_t random_survey(uint64_t *seed, int64_t most_deg, struct survey_station out[12])
{
    const size_t count = (size_t)random_within(seed, 2, 12);
    int64_t depth_um = random_within(seed, 0, 3000) * METRE;
    for (size_t at = 0; at < count; at++) {
        out[at] = (struct survey_station){depth_um, (double)random_within(seed, 0, most_deg * 100) / 100,
                                          (double)random_within(seed, 0, 36000) / 100};
        depth_um += random_within(seed, METRE, 200 * METRE);
    }
    return count;
}

/* The direction of the hole at part (0 to 1) of the arc between two stations, as a station. */
static struct survey_station between(const struct survey_station *from, const struct survey_station *to,
                                     int64_t depth_um)
{
    const struct survey_station *const ends[] = {from, to};
    double t[2][3];
    for (int end = 0; end < 2; end++) {
        const double inclination = RADIANS(ends[end]->inclination_deg);
        const double azimuth = RADIANS(ends[end]->azimuth_deg);
        t[end][0] = cos(inclination);
        t[end][1] = sin(inclination) * cos(azimuth);
        t[end][2] = sin(inclination) * sin(azimuth);
    }
    const double cosine = t[0][0] * t[1][0] + t[0][1] * t[1][1] + t[0][2] * t[1][2];
    const double angle = acos(fmin(1, cosine));
    const double turned = angle * (double)(depth_um - from->depth_um) / (double)(to->depth_um - from->depth_um);
    double v[3];
    for (int axis = 0; axis < 3; axis++)
        v[axis] = (sin(angle - turned) * t[0][axis] + sin(turned) * t[1][axis]) / sin(angle);
    const double azimuth_deg = atan2(v[2], v[1]) * 180 / PI;
    return (struct survey_station){depth_um, atan2(hypot(v[1], v[2]), v[0]) * 180 / PI,
                                   azimuth_deg < 0 ? azimuth_deg + 360 : azimuth_deg};
}

/* Whatever the inclination, 0 to 180: where an arc ends is the integral of its directions along the great circle
 * between the two, here by Simpson's rule in 400 steps. */
static void arcs_are_integrals_of_their_directions(void **state)
{
    (void)state;
    uint64_t seed = 13;
    int upwards = 0;
    for (int round = 0; round < 3000; round++) {
        enum { STEPS = 400 };
        struct survey_station arc[2];
        arc[0] = (struct survey_station){1000 * METRE, (double)random_within(&seed, 0, 18000) / 100,
                                         (double)random_within(&seed, 0, 36000) / 100};
        arc[1] = (struct survey_station){1000 * METRE + random_within(&seed, METRE, 200 * METRE),
                                         (double)random_within(&seed, 0, 18000) / 100,
                                         (double)random_within(&seed, 0, 36000) / 100};
        const double bend_deg = survey_bend_deg(&arc[0], &arc[1]);
        if (bend_deg < 0.1 || bend_deg > 170)
            continue;
        upwards += arc[0].inclination_deg > 90 || arc[1].inclination_deg > 90;
        const double length_m = (double)(arc[1].depth_um - arc[0].depth_um) * 1e-6;
        double sum[3] = {0};
        for (int step = 0; step <= STEPS; step++) {
            const struct survey_station at =
                between(&arc[0], &arc[1], arc[0].depth_um + (arc[1].depth_um - arc[0].depth_um) * step / STEPS);
            const double weight = (step == 0 || step == STEPS ? 1 : step % 2 ? 4 : 2) * length_m / (3 * STEPS);
            sum[0] += weight * cos(RADIANS(at.inclination_deg));
            sum[1] += weight * sin(RADIANS(at.inclination_deg)) * cos(RADIANS(at.azimuth_deg));
            sum[2] += weight * sin(RADIANS(at.inclination_deg)) * sin(RADIANS(at.azimuth_deg));
        }
        const struct survey_place top = survey_at(arc, 2, arc[0].depth_um);
        const struct survey_place bottom = survey_at(arc, 2, arc[1].depth_um);
        assert_true(fabs((double)(bottom.vertical_um - top.vertical_um) * 1e-6 - sum[0]) < 1e-4);
        assert_true(fabs(bottom.north_m - sum[1]) < 1e-4 && fabs(bottom.east_m - sum[2]) < 1e-4);
        /* and the way that the hole lies on it is that of the great circle */
        const int64_t middle_um = (arc[0].depth_um + arc[1].depth_um) / 2;
        const struct survey_station lies = survey_tangent(arc, 2, middle_um);
        const struct survey_station expected = between(&arc[0], &arc[1], middle_um);
        assert_true(survey_bend_deg(&lies, &expected) < 1e-5);
    }
    assert_true(upwards > 1000);
}

/* A station put into an arc, with the direction that the arc has there, changes nothing. */
static void stations_in_between_change_nothing(void **state)
{
    (void)state;
    uint64_t seed = 11;
    int held = 0;
    for (int round = 0; round < 1000; round++) {
        struct survey_station few[12];
        struct survey_station more[23];
        const size_t count = random_survey(&seed, 90, few);
        size_t filled = 0;
        for (size_t at = 0; at < count; at++) {
            const bool turns = at + 1 < count && (fabs(few[at].inclination_deg - few[at + 1].inclination_deg) > 1 ||
                                                  few[at].inclination_deg > 10);
            more[filled++] = few[at];
            if (turns && random_within(&seed, 0, 1))
                more[filled++] = between(&few[at], &few[at + 1],
                                         random_within(&seed, few[at].depth_um + 1, few[at + 1].depth_um - 1));
        }
        held += filled > count;
        for (int step = 0; step < 40; step++) {
            const int64_t depth_um = random_within(&seed, 0, few[count - 1].depth_um + 50 * METRE);
            const struct survey_place a = survey_at(few, count, depth_um);
            const struct survey_place b = survey_at(more, filled, depth_um);
            assert_true(llabs(a.vertical_um - b.vertical_um) <= 2);
            assert_true(fabs(a.north_m - b.north_m) < 2e-6 && fabs(a.east_m - b.east_m) < 2e-6);
            assert_int_equal(a.beyond, b.beyond);
        }
    }
    assert_true(held > 500);
}

/* No deeper than long, never up while the hole does not point up, and no step: a metre along is at most a metre away.
 */
static void vertical_depth_never_decreases(void **state)
{
    (void)state;
    uint64_t seed = 12;
    for (int round = 0; round < 1000; round++) {
        struct survey_station stations[12];
        const size_t count = random_survey(&seed, 90, stations);
        int64_t depth_um = 0;
        struct survey_place last = survey_at(stations, count, 0);
        assert_true(last.vertical_um == 0 && last.north_m == 0 && last.east_m == 0);
        while (depth_um < stations[count - 1].depth_um + 100 * METRE) {
            const int64_t step_um = random_within(&seed, 1, 40 * METRE);
            depth_um += step_um;
            const struct survey_place place = survey_at(stations, count, depth_um);
            const double moved_m =
                hypot(hypot((double)(place.vertical_um - last.vertical_um) * 1e-6, place.north_m - last.north_m),
                      place.east_m - last.east_m);
            assert_true(place.vertical_um >= last.vertical_um && place.vertical_um <= depth_um);
            assert_true(moved_m <= (double)step_um * 1e-6 + 2e-6);
            last = place;
        }
    }
}

/* Two stations that hardly differ are nearly a straight line: 0.0001 degrees over 3000 m bend it by 2.6 mm at most. */
static void a_slight_bend_is_nearly_straight(void **state)
{
    (void)state;
    for (double bend_deg = 1e-6; bend_deg < 1; bend_deg *= 1.7) {
        const struct survey_station stations[] = {{0, 30, 0}, {3000 * METRE, 30 + bend_deg, 0}};
        int64_t last_um = 0;
        for (int metres = 10; metres <= 3000; metres += 10) {
            const struct survey_place place = survey_at(stations, 2, metres * METRE);
            /* by hand: the inclination grows evenly, so dTVD is the integral of cos(I), with R = L / bend */
            const double bend = RADIANS(bend_deg);
            const double turned = bend * metres / 3000;
            /* 2 cos(I + turned/2) sin(turned/2) keeps its digits where turned is small */
            const double down_m = 3000 / bend * 2 * cos(RADIANS(30) + turned / 2) * sin(turned / 2);
            if (fabs((double)place.vertical_um * 1e-6 - down_m) > 1e-5)
                fail_msg("bend of %g degrees, %d m: %g m deep, by hand %g m, off by %g mm", bend_deg, metres,
                         (double)place.vertical_um * 1e-6, down_m, (double)place.vertical_um * 1e-3 - down_m * 1e3);
            assert_true(place.vertical_um > last_um);
            last_um = place.vertical_um;
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_arc_as_published),
        cmocka_unit_test(a_vertical_hole_is_as_deep_as_long),
        cmocka_unit_test(arcs_by_hand),
        cmocka_unit_test(straight_on_below_the_last_station),
        cmocka_unit_test(arcs_are_integrals_of_their_directions),
        cmocka_unit_test(stations_in_between_change_nothing),
        cmocka_unit_test(vertical_depth_never_decreases),
        cmocka_unit_test(a_slight_bend_is_nearly_straight),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
