/* SPDX-License-Identifier: MIT */
/* Lag checks that cannot be worked out, and the well with those that could. */
#include "tracer.h"

#include <stdio.h>

/* 12.5 minutes down the string and 134 up, but for an hour's stop from minute 100. */
static const struct course plain = {
    .true_mm = 340, .nominal_mm = 311.15, .acts = {{100, 2.5, 0, 0}, {60, 0, 0, 0}, {300, 2.5, 0, 0}}};

enum change { AS_IT_IS, LATER_STATE, WITHDRAWN, NO_INSIDE, NO_PART_INSIDE, ALL_LOST, NO_LOG, BIT_TOO_DEEP };

static void change_day(struct day *day, enum change change)
{
    switch (change) {
    case AS_IT_IS:
        break;
    case LATER_STATE:
        day->states[0].from.utc_us = 60 * MINUTE;
        break;
    case WITHDRAWN:
        day->states[0].withdrawn = "another hole's";
        break;
    case NO_INSIDE:
        day->parts[1].inner_um = LENGTH_NONE;
        break;
    case NO_PART_INSIDE:
        day->parts[0].inner_um = LENGTH_NONE;
        break;
    case ALL_LOST:
        day->states[0].loss_um = 2500 * METRE;
        day->states[0].loss_pct = 100;
        break;
    case NO_LOG:
        day->log.count = 0;
        break;
    case BIT_TOO_DEEP:
        day->states[0].bores[2].bottom_um = 3400 * METRE;
        break;
    }
}

static void what_cannot_be_worked_out_is_refused(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        double in_min;
        double seen_min;
        enum change change;
        const char *subject; /* NULL: it can */
        const char *says;
        const char *hints;
    } rows[] = {
        {"fine", 10, 220, AS_IT_IS, NULL, NULL, NULL},
        {"seen when it went in", 50, 50, AS_IT_IS, "seen", "before it went in", ""},
        {"seen before it went in", 50, 49, AS_IT_IS, "seen", "before it went in", ""},
        {"in before the log", -0.001, 220, AS_IT_IS, "in", "does not reach", "log add"},
        {"seen after the log", 10, 460.001, AS_IT_IS, "in", "does not reach", "log add"},
        {"no log", 10, 220, NO_LOG, "in", "does not reach", "log add"},
        {"no well yet", 59, 300, LATER_STATE, "in", "no well geometry", "--from"},
        {"the well's first minute", 60, 300, LATER_STATE, NULL, NULL, NULL},
        {"the well withdrawn", 10, 220, WITHDRAWN, "in", "no well geometry", "--from"},
        {"pipe without its inside", 10, 220, NO_INSIDE, "string", "inside diameter", "--string"},
        {"collars without their inside", 10, 220, NO_PART_INSIDE, "string", "inside diameter", "--string"},
        {"still in the string", 10, 22.5, AS_IT_IS, "seen", "31.37 m3", ""},
        {"in the string where the log ends", 450, 460, AS_IT_IS, "seen", "not yet pumped through", ""},
        {"sooner than with no open hole", 0, 100, AS_IT_IS, "seen", "even with no open hole", "outputs"},
        {"later than any hole", 0, 459, AS_IT_IS, "seen", "wider than 933 mm", "mud is lost"},
        {"everything is lost", 0, 220, ALL_LOST, "seen", "lost on the way", "--loss"},
        {"bores end above the bit", 10, 220, BIT_TOO_DEEP, "open", "end at 3400.000 m", "open hole"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct day day = {0};
        (void)set_off(&day, &plain);
        change_day(&day, rows[at].change);
        const struct lag_check check = check_between(rows[at].in_min, rows[at].seen_min);
        struct lag_check_result result = {.state = 77};
        struct err err = {0};
        const enum status status = lag_check_find(&day.log, &day.well, &check, &result, &err);
        ROW(rows[at].what, status == (rows[at].subject ? STATUS_RULE : STATUS_OK));
        if (!rows[at].subject)
            continue;
        ROW_TEXT(rows[at].what, err.subject, rows[at].subject);
        ROW(rows[at].what, result.state == 77);
        if (!strstr(err.reason, rows[at].says) || !strstr(err.hint, rows[at].hints))
            fail_msg("row '%s': '%s' '%s'", rows[at].what, err.reason, err.hint);
    }
}

/* The range of diameters that is searched keeps to what a well may have. */
static void holes_at_the_limits_are_found(void **state)
{
    (void)state;
    struct course course = plain;
    course.nominal_mm = 60;
    course.true_mm = 70;
    struct day day = {0};
    (void)set_off(&day, &course);
    day.parts[0] = (struct part){"collars", 200 * METRE, 30000, 20000}; /* narrower than any bore may be */
    day.parts[1] = (struct part){"pipe", LENGTH_NONE, 25000, 20000};
    const double area_m2 = PI / 4;
    const double down_m3 = area_m2 * 3500 * 0.02 * 0.02;
    const double up_m3 = area_m2 * (1000 * (0.4953 * 0.4953) + 1500 * (0.31242 * 0.31242) + 1000 * (0.07 * 0.07) -
                                    3300 * (0.025 * 0.025) - 200 * (0.03 * 0.03));
    const struct lag_check_result slim = find(&day, 0, (down_m3 + up_m3) / 2.5 + 60);
    assert_true(is_near(slim.effective_m, 0.07, 1e-4));
    course.nominal_mm = 2000; /* no bore is wider */
    course.true_mm = 1900;
    course.acts[2].minutes = 1700;
    struct day wide = {0};
    (void)set_off(&wide, &course);
    const struct lag_check_result found = find(&wide, 0, seen_min(&course, 1.9));
    assert_true(is_near(found.effective_m, 1.9, 1e-4));
}

/* A state with the open hole of its own. */
static struct geometry state_of(int32_t number, int64_t from_us, struct bore *bores, struct part *parts)
{
    return (struct geometry){.number = number,
                             .from = {.utc_us = from_us, .known = true},
                             .bores = bores,
                             .bore_count = 2,
                             .parts = parts,
                             .part_count = 1,
                             .inlet_um = LENGTH_NONE,
                             .flowline_m3 = NAN,
                             .supply_m3 = NAN,
                             .shaker_delay_s = NAN,
                             .loss_um = LENGTH_NONE,
                             .loss_pct = NAN};
}

static void checks_hold_until_the_bores_change(void **state)
{
    (void)state;
    struct bore shallow[2] = {{BORE_CASING, 0, 1000 * METRE, 400000, NAN, LENGTH_NONE},
                              {BORE_OPEN, 1000 * METRE, LENGTH_NONE, 311150, 5, 3000}};
    struct bore again[2] = {shallow[0], shallow[1]};
    struct bore deep[2] = {{BORE_CASING, 0, 2000 * METRE, 320000, NAN, LENGTH_NONE},
                           {BORE_OPEN, 2000 * METRE, LENGTH_NONE, 215900, NAN, LENGTH_NONE}};
    struct part parts[2] = {{"pipe", LENGTH_NONE, 127000, 108600}, {"pipe", LENGTH_NONE, 101600, 84836}};
    struct geometry recorded[] = {state_of(1, 0, shallow, parts), state_of(2, 100, deep, parts),
                                  state_of(3, 200, again, parts + 1), state_of(4, 400, deep, parts),
                                  state_of(5, 600, deep, parts + 1)};
    recorded[1].withdrawn = "another hole's";
    const struct lag_check checks[] = {{.number = 11}, {.number = 12}, {.number = 13}, {.number = 14}, {.number = 15}};
    const struct lag_check_result results[] = {{.at_bit_us = 50, .effective_m = 0.35},
                                               {.at_bit_us = 150, .effective_m = NAN}, /* no open hole then */
                                               {.at_bit_us = 250, .effective_m = 0.36},
                                               {.at_bit_us = 400, .effective_m = 0.24},
                                               {.at_bit_us = 700, .effective_m = 0.23}};
    static const struct {
        int64_t from_us;
        int32_t geometry;
        int32_t check;
        int64_t open_um;
    } expected[] = {{0, 1, 0, 311150},    {50, 1, 11, 350000},  {150, 1, 11, 350000},
                    {200, 3, 11, 350000}, {250, 3, 13, 360000}, {400, 4, 0, 215900},
                    {400, 4, 14, 240000}, {600, 5, 14, 240000}, {700, 5, 15, 230000}};
    enum { MOST = COUNT_OF(recorded) + COUNT_OF(results) };
    struct geometry states[MOST];
    struct lag_origin origins[MOST];
    struct bore bores[MOST * BORES_MAX];
    const size_t count =
        lag_calibrate(recorded, COUNT_OF(recorded), checks, results, COUNT_OF(results), states, origins, bores);
    assert_int_equal(count, COUNT_OF(expected));
    for (size_t at = 0; at < count; at++) {
        char row[40];
        (void)snprintf(row, sizeof row, "state %zu", at);
        const bool is_checked = expected[at].check != 0;
        const struct bore *open = &states[at].bores[1];
        ROW(row, states[at].from.utc_us == expected[at].from_us && states[at].from.known);
        ROW(row, origins[at].geometry == expected[at].geometry && origins[at].check == expected[at].check);
        ROW(row, states[at].number == expected[at].geometry && states[at].bore_count == 2);
        ROW(row, open->diameter_um == expected[at].open_um && (!is_checked || isnan(open->washout_pct)));
        ROW(row, states[at].bores[0].diameter_um == (expected[at].geometry < 4 ? 400000 : 320000));
        ROW(row, states[at].parts == (expected[at].geometry % 2 == 1 && at > 2 ? parts + 1 : parts));
    }
    assert_true(states[1].bores[1].tolerance_um == 3000 && states[0].bores[1].washout_pct == 5);
    assert_true(shallow[1].diameter_um == 311150 && shallow[1].washout_pct == 5 && deep[1].diameter_um == 215900);
    /* Each instant finds the last state that began: with one instant for two, the calibrated one. */
    assert_int_equal(geometry_at(states, count, 399), 4);
    assert_int_equal(geometry_at(states, count, 400), 6);
    assert_int_equal(geometry_at(states, count, -1), SIZE_MAX);
    assert_int_equal(lag_calibrate(recorded, COUNT_OF(recorded), NULL, NULL, 0, states, origins, bores), 4);
    assert_int_equal(lag_calibrate(NULL, 0, checks, results, COUNT_OF(results), states, origins, bores), 0);
    assert_int_equal(lag_calibrate(recorded + 1, 1, checks, results, COUNT_OF(results), states, origins, bores), 0);
}

/* Which differences between two states end a check. */
static void every_change_of_the_bores_counts(void **state)
{
    (void)state;
    enum { KIND, TOP, BOTTOM, DIAMETER, WASHOUT, COUNT, TOLERANCE, STRING, LOSS };
    static const bool ends[] = {true, true, true, true, true, true, false, false, false};
    for (size_t at = 0; at < COUNT_OF(ends); at++) {
        struct bore first[2] = {{BORE_CASING, 0, 1000 * METRE, 400000, NAN, LENGTH_NONE},
                                {BORE_OPEN, 1000 * METRE, LENGTH_NONE, 311150, NAN, LENGTH_NONE}};
        struct bore second[2] = {first[0], first[1]};
        struct part parts[2] = {{"pipe", LENGTH_NONE, 127000, 108600}, {"pipe", LENGTH_NONE, 101600, 84836}};
        struct geometry recorded[] = {state_of(1, 0, first, parts), state_of(2, 100, second, parts)};
        second[0].kind = at == KIND ? BORE_LINER : second[0].kind;
        second[1].top_um += at == TOP;
        second[0].bottom_um += at == BOTTOM;
        second[1].diameter_um += at == DIAMETER;
        second[1].washout_pct = at == WASHOUT ? 3 : NAN;
        recorded[1].bore_count -= at == COUNT;
        second[1].tolerance_um = at == TOLERANCE ? 2000 : LENGTH_NONE;
        recorded[1].parts += at == STRING;
        recorded[1].loss_um = at == LOSS ? 500 * METRE : LENGTH_NONE;
        const struct lag_check check = {.number = 7};
        const struct lag_check_result result = {.at_bit_us = 50, .effective_m = 0.35};
        struct geometry states[3];
        struct lag_origin origins[3];
        struct bore bores[3 * BORES_MAX];
        assert_int_equal(lag_calibrate(recorded, 2, &check, &result, 1, states, origins, bores), 3);
        if (origins[1].check != 7 || origins[2].check != (ends[at] ? 0 : 7))
            fail_msg("change %zu: check %d", at, (int)origins[2].check);
    }
}

/* With the well recalibrated, the tracer comes up when it was seen, and so does what leaves the bit with it. */
static void the_calibrated_well_agrees_with_the_tracer(void **state)
{
    (void)state;
    struct day day = {0};
    (void)set_off(&day, &plain);
    const double seen = seen_min(&plain, 0.34);
    const struct lag_check check = check_between(0, seen);
    const struct lag_check_result result = find(&day, 0, seen);
    struct geometry states[2];
    struct lag_origin origins[2];
    struct bore bores[2 * BORES_MAX];
    const size_t count = lag_calibrate(day.states, 1, &check, &result, 1, states, origins, bores);
    assert_int_equal(count, 2);
    day.well = (struct lag_well){states, count};
    const struct lag_passage passage = forward(&day, minutes(result.at_bit_us));
    assert_true(passage.end == LAG_ARRIVED && passage.state == 1);
    assert_true(is_near(minutes(passage.at_shaker_us), seen, 0.001));
    assert_true(is_near(passage.annulus_m3, result.measured_m3, 0.001));
    const struct lag_passage before = forward(&day, minutes(result.at_bit_us) - 0.001);
    assert_true(before.state == 0 && before.annulus_m3 == result.theory_m3); /* what left before it: as recorded */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_cannot_be_worked_out_is_refused),
        cmocka_unit_test(holes_at_the_limits_are_found),
        cmocka_unit_test(checks_hold_until_the_bores_change),
        cmocka_unit_test(every_change_of_the_bores_counts),
        cmocka_unit_test(the_calibrated_well_agrees_with_the_tracer),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
