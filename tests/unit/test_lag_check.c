/* SPDX-License-Identifier: MIT */
/* Lag checks: a tracer is sent through a hole of known diameter with arithmetic of its own, and the check finds that
 * diameter; what cannot be worked out is refused. test_lag_calibrate.c has what follows from a check. */
#include "unit.h"

#include "tracer.h"

#define TENTH_MM 1e-4

static void the_diameter_is_found(void **state)
{
    (void)state;
    static const struct course rows[] = {
        {.what = "as recorded", .true_mm = 311.15, .nominal_mm = 311.15, .acts = {{600, 2.5, 0, 0}}},
        {.what = "washed out", .true_mm = 360, .nominal_mm = 311.15, .acts = {{600, 2.5, 0, 0}}},
        {.what = "far washed out", .true_mm = 900, .nominal_mm = 311.15, .acts = {{600, 2.5, 0, 0}}},
        {.what = "narrower than the bit", .true_mm = 280, .nominal_mm = 311.15, .acts = {{600, 2.5, 0, 0}}},
        {.what = "just wider than the collars", .true_mm = 203.4, .nominal_mm = 311.15, .acts = {{600, 2.5, 0, 0}}},
        {.what = "hole of 36 inches", .true_mm = 950, .nominal_mm = 914.4, .acts = {{900, 2.5, 0, 0}}},
        {.what = "flowline, supply line and delay",
         .true_mm = 340,
         .nominal_mm = 311.15,
         .flowline_m3 = 7,
         .supply_m3 = 1.5,
         .delay_s = 90,
         .in_min = 0.5,
         .acts = {{600, 2.5, 0, 0}}},
        {.what = "booster",
         .true_mm = 340,
         .nominal_mm = 311.15,
         .inlet_m = 1000,
         .flowline_m3 = 7,
         .in_min = 3,
         .acts = {{600, 2.5, 1, 0}}},
        {.what = "booster without an inlet",
         .true_mm = 340,
         .nominal_mm = 311.15,
         .flowline_m3 = 7,
         .in_min = 3,
         .acts = {{600, 2.5, 1, 0}}},
        {.what = "booster comes and goes",
         .true_mm = 340,
         .nominal_mm = 311.15,
         .inlet_m = 1000,
         .flowline_m3 = 7,
         .in_min = 3,
         .acts = {{90, 2.5, 1, 0}, {30, 2.5, 0, 0}, {20, 0, 1.5, 0}, {300, 2.5, 1, 0}}},
        {.what = "loss in the open hole",
         .true_mm = 340,
         .nominal_mm = 311.15,
         .loss_m = 3000,
         .loss_pct = 40,
         .in_min = 3,
         .acts = {{600, 2.5, 0, 0}}},
        {.what = "loss at the shoe, booster",
         .true_mm = 340,
         .nominal_mm = 311.15,
         .inlet_m = 1000,
         .loss_m = 2500,
         .loss_pct = 30,
         .flowline_m3 = 3,
         .acts = {{600, 2.5, 0.8, 0}}},
        {.what = "loss above the inlet",
         .true_mm = 340,
         .nominal_mm = 311.15,
         .inlet_m = 1000,
         .loss_m = 400,
         .loss_pct = 30,
         .flowline_m3 = 3,
         .acts = {{600, 2.5, 0.8, 0}}},
        {.what = "stops on the way down and up",
         .true_mm = 340,
         .nominal_mm = 311.15,
         .supply_m3 = 1,
         .delay_s = 30,
         .in_min = 3,
         .acts = {{10, 2.5, 0, 0}, {7, 0, 0, 0}, {60, 2.5, 0, 0}, {45, 0, 0, 0}, {400, 1.9, 0, 0}}},
        {.what = "stop of a night just before the bit",
         .true_mm = 340,
         .nominal_mm = 311.15,
         .acts = {{12, 2.5, 0, 0}, {500, 0, 0, 0}, {400, 2.5, 0, 0}}},
        {.what = "hole gets deeper",
         .true_mm = 340,
         .nominal_mm = 311.15,
         .inlet_m = 1000,
         .flowline_m3 = 3,
         .supply_m3 = 1,
         .in_min = 30.25,
         .acts = {{60, 2.5, 0.5, 12}, {10, 0, 0, 0}, {600, 2.5, 0.5, 60}}},
        {.what = "off bottom",
         .true_mm = 340,
         .nominal_mm = 311.15,
         .off_bottom_m = 50,
         .in_min = 3,
         .acts = {{600, 2.5, 0, 0}}},
        {.what = "off bottom, above the loss",
         .true_mm = 340,
         .nominal_mm = 311.15,
         .loss_m = 3480,
         .loss_pct = 20,
         .off_bottom_m = 50,
         .acts = {{600, 2.5, 0, 0}}},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        const struct course *row = &rows[at];
        struct day day = {0};
        const struct geometry *geometry = set_off(&day, row);
        const double seen = seen_min(row, row->true_mm / 1000);
        ROW(row->what, !isnan(seen));
        const struct lag_check_result found = find(&day, row->in_min, seen);
        if (!is_near(found.effective_m, row->true_mm / 1000, TENTH_MM))
            fail_msg("row '%s': found %.3f mm", row->what, found.effective_m * 1000);
        const double bit_m = bit_at(row, down_min(row));
        ROW(row->what, is_near(minutes(found.at_bit_us), down_min(row), 1e-6));
        ROW(row->what, is_near((double)found.bit_um, bit_m * 1e6, 100));
        ROW(row->what, is_near((double)(found.hole_um - found.bit_um), row->off_bottom_m * 1e6, 100));
        ROW(row->what, is_near(minutes(found.theory_us), seen_min(row, row->nominal_mm / 1000), 1e-4));
        ROW(row->what, is_near(found.nominal_m, row->nominal_mm / 1000, 1e-9) && found.state == 0);
        ROW(row->what, is_near(found.theory_m3, annulus(0, bit_m, bit_m, row->nominal_mm / 1000), 0.001));
        ROW(row->what, is_near(found.measured_m3, annulus(0, bit_m, bit_m, row->true_mm / 1000), 0.15));
        ROW(row->what, is_near(found.strokes, pumped_m3(row, row->in_min, seen) / STROKE_M3, 0.01));
        ROW(row->what, geometry->bores[2].diameter_um == llround(row->nominal_mm * 1000)); /* what is recorded stays */
    }
}

static struct course random_course(uint64_t *seed)
{
    struct course course = {.what = "random",
                            .true_mm = (double)random_within(seed, 2040, 8000) / 10,
                            .nominal_mm = 311.15,
                            .flowline_m3 = (double)random_within(seed, 0, 8),
                            .supply_m3 = (double)random_within(seed, 0, 2),
                            .delay_s = (double)random_within(seed, 0, 120),
                            .in_min = (double)random_within(seed, 0, 6000) / 100};
    if (random_within(seed, 0, 1))
        course.inlet_m = (double)random_within(seed, 1, 1000);
    if (random_within(seed, 0, 1)) {
        course.loss_m = (double)random_within(seed, 1, 3500);
        course.loss_pct = (double)random_within(seed, 1, 60);
    }
    for (int at = 0; at < ACTS_MAX; at++) {
        const bool is_stop = at + 1 < ACTS_MAX && random_within(seed, 0, 2) == 0;
        course.acts[at] = (struct act){.minutes = at + 1 < ACTS_MAX ? random_within(seed, 1, 90) : 1200,
                                       .string = is_stop ? 0 : (double)random_within(seed, 10, 40) / 10,
                                       .booster = (double)random_within(seed, 0, 15) / 10};
        course.acts[at].made_m = is_stop ? 0 : (double)(course.acts[at].minutes * random_within(seed, 0, 5)) / 100;
    }
    return course;
}

static void any_diameter_is_found(void **state)
{
    (void)state;
    uint64_t seed = 11;
    int checked = 0;
    for (int round = 0; round < 200; round++) {
        const struct course course = random_course(&seed);
        const double seen = seen_min(&course, course.true_mm / 1000);
        struct day day = {0};
        (void)set_off(&day, &course);
        if (isnan(seen) || seen > minutes(day.log.time_us[day.log.count - 1]))
            continue;
        const struct lag_check_result found = find(&day, course.in_min, seen);
        if (!is_near(found.effective_m, course.true_mm / 1000, TENTH_MM))
            fail_msg("round %d: found %.3f mm of %.3f", round, found.effective_m * 1000, course.true_mm);
        checked++;
    }
    assert_true(checked > 150);
}

/* Worked by hand from the carbide check of a public drilling formula page (fluid caliper): 4000 strokes of 0.1 bbl, 20
 * bbl of surface line; casing of 6.33 in to 5000 ft, pipe of 4 in (3.34 in inside), 500 ft of collars of 4.75 in (2.5
 * in), bottom at 10 000 ft, bit of 6 in: 157.1 bbl in the open hole, which is 7.00 in wide. The printed example does
 * not give the answer. */
static void carbide_example(void **state)
{
    (void)state;
    const double barrel_m3 = 0.158987294928;
    struct day day = {0};
    struct geometry *geometry = day_init(&day);
    geometry->bores[0] = (struct bore){BORE_CASING, 0, 1524 * METRE, 160782, NAN, LENGTH_NONE};
    geometry->bores[1] = (struct bore){BORE_OPEN, 1524 * METRE, LENGTH_NONE, 152400, NAN, LENGTH_NONE};
    geometry->bore_count = 2;
    geometry->supply_m3 = 20 * barrel_m3;
    day.parts[0] = (struct part){"collars", 152400000, 120650, 63500};
    day.parts[1] = (struct part){"pipe", LENGTH_NONE, 101600, 84836};
    pump(&day, 100, 8 * barrel_m3, 0, 0); /* 80 strokes a minute */
    for (size_t at = 0; at < day.log.count; at++) {
        day.bit_um[at] = day.hole_um[at] = 3048 * METRE;
        day.strokes[at] = 80 * (double)at;
    }
    const struct lag_check_result found = find(&day, 10.5, 60.5); /* 4000 strokes, 400 bbl */
    assert_true(is_near(found.strokes, 4000, 0.001));
    assert_true(is_near(found.effective_m / 0.0254, 7.00, 0.005));
    assert_true(is_near(found.nominal_m / 0.0254, 6, 1e-9));
    const double casing_m3 = 1524 * (area(0.160782) - area(0.1016));
    assert_true(is_near((found.measured_m3 - casing_m3) / barrel_m3, 157.1, 0.05));
}

/* A tracer that went down before the well was changed comes up through the well as it then is. */
static void the_well_at_the_bit_counts(void **state)
{
    (void)state;
    const struct course course = {.true_mm = 340, .nominal_mm = 250, .acts = {{600, 2.5, 0, 0}}};
    struct day day = {0};
    (void)set_off(&day, &course);
    struct geometry *later = add_state(&day, 10); /* the tracer is in the string until 12.5 */
    const struct lag_check_result found = find(&day, 0, seen_min(&course, 0.34));
    assert_int_equal(found.state, 1);
    assert_true(is_near(found.nominal_m, 0.31115, 1e-9) && is_near(found.effective_m, 0.34, TENTH_MM));
    /* It moves with the mud, whatever cuttings do. */
    later->slip = (struct slip){SLIP_MOORE, 0.006, 2600, 1200, 20, NAN};
    assert_true(find(&day, 0, seen_min(&course, 0.34)).effective_m == found.effective_m);
    assert_int_equal(later->slip.method, SLIP_MOORE);
    later->bores[2].washout_pct = 10;
    const struct lag_check_result washed = find(&day, 0, seen_min(&course, 0.34));
    assert_true(is_near(washed.nominal_m, 0.31115 * 1.1, 1e-9) && is_near(washed.effective_m, 0.34, TENTH_MM));
    for (size_t at = 0; at < day.log.count; at++) /* no counters */
        day.strokes[at] = NAN;
    assert_true(isnan(find(&day, 0, seen_min(&course, 0.34)).strokes));
}

static void cased_to_the_bottom(void **state)
{
    (void)state;
    const struct course course = {.nominal_mm = 311.15, .acts = {{300, 2.5, 0, 0}}};
    struct day day = {0};
    struct geometry *geometry = set_off(&day, &course);
    geometry->bores[2].kind = BORE_LINER;
    geometry->bores[2].bottom_um = 3500 * METRE;
    const struct lag_check_result found = find(&day, 0, 200);
    assert_true(isnan(found.effective_m) && isnan(found.nominal_m) && isnan(found.measured_m3));
    assert_true(is_near(minutes(found.theory_us), seen_min(&course, 0.31115), 1e-4));
    assert_true(is_near(found.theory_m3, 335.414, 0.001));
    assert_true(find(&day, 200, 250).theory_us == INT64_MIN); /* due after the log ends */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_diameter_is_found), cmocka_unit_test(any_diameter_is_found),
        cmocka_unit_test(carbide_example),       cmocka_unit_test(the_well_at_the_bit_counts),
        cmocka_unit_test(cased_to_the_bottom),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
