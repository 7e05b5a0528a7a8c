/* SPDX-License-Identifier: MIT */
/* Questions that have no plain answer: outside the log, lost, sinking, not drilled, between two states of the well. And
 * what an answer says beside the time. */
#include "unit.h"

#include <math.h>
#include <stdlib.h>

#include "lag_day.h"

#define LAG_MIN 134.1656 /* at 2.5 m3/min, by hand */

enum question { FORWARD, BACK, OF_DEPTH };

static struct lag_passage ask(const struct day *day, enum question question, double value)
{
    return question == FORWARD ? forward(day, value) : question == BACK ? back(day, value) : of_depth(day, value);
}

/* A log of 600 minutes at 2.5 m3/min from 3500 m, 0.1 m a minute; the well is in force from minute 100. */
static void ends_have_reasons(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        enum question question;
        double value; /* minutes, or m */
        enum lag_end end;
    } rows[] = {
        {"left before the log", FORWARD, -0.001, LAG_BEFORE_LOG},
        {"left at the first row, no well yet", FORWARD, 0, LAG_NO_WELL},
        {"left before the well", FORWARD, 99.999, LAG_NO_WELL},
        {"left when the well begins", FORWARD, 100, LAG_ARRIVED},
        {"left late", FORWARD, 500, LAG_ON_THE_WAY},
        {"left at the last row", FORWARD, 600, LAG_ON_THE_WAY},
        {"left after the log", FORWARD, 600.001, LAG_AFTER_LOG},
        {"seen before the log", BACK, -1, LAG_NO_WELL},
        {"seen before the well", BACK, 50, LAG_NO_WELL},
        {"seen soon after the well begins: cut before it", BACK, 200, LAG_NO_WELL},
        {"seen when the first of the well arrives", BACK, 100 + LAG_MIN + 0.41, LAG_ARRIVED},
        {"seen at the last row", BACK, 600, LAG_ARRIVED},
        {"seen after the log", BACK, 600.001, LAG_AFTER_LOG},
        {"above the log", OF_DEPTH, 3499, LAG_BEFORE_LOG},
        {"depth of the first row", OF_DEPTH, 3500, LAG_BEFORE_LOG},
        {"cut before the well", OF_DEPTH, 3505, LAG_NO_WELL},
        {"cut when the well begins", OF_DEPTH, 3510, LAG_ARRIVED},
        {"cut between two rows", OF_DEPTH, 3520.05, LAG_ARRIVED},
        {"cut late", OF_DEPTH, 3550, LAG_ON_THE_WAY},
        {"depth of the last row", OF_DEPTH, 3560, LAG_ON_THE_WAY},
        {"not drilled", OF_DEPTH, 3560.001, LAG_NOT_DRILLED},
    };
    struct day day = {0};
    day_init(&day)->from.utc_us = 100 * MINUTE;
    pump(&day, 600, 2.5, 0, 60);
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        const struct lag_passage passage = ask(&day, rows[at].question, rows[at].value);
        ROW(rows[at].what, passage.end == rows[at].end);
        ROW(rows[at].what, (lag_end_meaning(passage.end)[0] == '\0') == (rows[at].end == LAG_ARRIVED));
        ROW(rows[at].what, rows[at].end == LAG_ARRIVED || isnan(passage.strokes));
    }
    day.states[0].from.utc_us = -MINUTE; /* with a well all day, the log's own beginning is what is missing */
    assert_int_equal(ask(&day, BACK, 0).end, LAG_BEFORE_LOG);
    assert_int_equal(ask(&day, BACK, -1).end, LAG_BEFORE_LOG);
    assert_int_equal(ask(&day, BACK, LAG_MIN - 0.01).end, LAG_BEFORE_LOG);
    assert_int_equal(ask(&day, BACK, LAG_MIN + 0.01).end, LAG_ARRIVED);
    assert_int_equal(ask(&day, FORWARD, 0).end, LAG_ARRIVED);
}

static void an_empty_log_knows_nothing(void **state)
{
    (void)state;
    struct day day = {0};
    (void)day_init(&day);
    assert_int_equal(forward(&day, 0).end, LAG_AFTER_LOG);
    assert_int_equal(back(&day, 0).end, LAG_AFTER_LOG);
    assert_int_equal(of_depth(&day, 3500).end, LAG_NOT_DRILLED);
    pump(&day, 0, 0, 0, 0); /* one row */
    assert_int_equal(day.log.count, 1);
    assert_int_equal(forward(&day, 0).end, LAG_ON_THE_WAY);
    assert_true(is_near(forward(&day, 0).left_m3, 335.414, 0.001));
    assert_int_equal(back(&day, 0).end, LAG_BEFORE_LOG);
    assert_int_equal(back(&day, 0.001).end, LAG_AFTER_LOG);
    assert_int_equal(of_depth(&day, 3500).end, LAG_BEFORE_LOG);
}

/* What is left where the log ends: as much pumped brings it up, just then. */
static void on_the_way_says_what_is_left(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        int64_t pumped_min; /* at 2.5 m3/min, booster 1 */
        double left_m3[LAG_STAGES];
    } rows[] = {
        {"just left", 0, {155.406, 0, 183.008}},
        {"below the inlet", 40, {55.406, 0, 183.008}},
        {"above the inlet", 80, {0, 0, 183.008 - 3.5 * (80 - 62.1624)}},
        {"in the flowline", 114, {0, 0, 183.008 - 3.5 * (114 - 62.1624)}},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct day day = {0};
        struct geometry *geometry = day_init(&day);
        geometry->inlet_um = 1000 * METRE;
        geometry->flowline_m3 = 3;
        pump(&day, rows[at].pumped_min, 2.5, 1, 0);
        const struct lag_passage passage = forward(&day, 0);
        ROW(rows[at].what, passage.end == LAG_ON_THE_WAY && passage.cut_us == 0); /* as deep as the log begins */
        double left_m3 = 0;
        for (int stage = 0; stage < LAG_STAGES; stage++) {
            ROW(rows[at].what, is_near(passage.left_stage_m3[stage], rows[at].left_m3[stage], 0.01));
            left_m3 += passage.left_stage_m3[stage];
        }
        ROW(rows[at].what, is_near(passage.left_m3, left_m3, 1e-9));
        pump(&day, 1, left_m3, 0, 0);
        pump(&day, 1, 2.5, 0, 0);
        const struct lag_passage arrived = forward(&day, 0);
        ROW(rows[at].what, arrived.end == LAG_ARRIVED);
        ROW(rows[at].what, llabs(arrived.at_shaker_us - (rows[at].pumped_min + 1) * MINUTE) <= 2);
    }
}

/* What sinks, and what is lost, in logs and at a steady flow. Cuttings of 5 mm slip by 0.208 m/s in this mud (Moore);
 * the mud rises at 0.231 m/s in the riser with 2.5 m3/min, at 0.651 m/s and more below. */
static void what_does_not_arrive_says_why(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        double size_m; /* 0: no slip */
        double string;
        double booster;
        double loss_m; /* 0: none */
        double loss_pct;
        enum lag_end in_log;
        enum lag_end at_steady_flow;
    } rows[] = {
        {"with the mud", 0, 2.5, 0, 0, 0, LAG_ARRIVED, LAG_ARRIVED},
        {"behind the mud", 0.005, 2.5, 0, 0, 0, LAG_ARRIVED, LAG_ARRIVED},
        {"sinks in the riser", 0.005, 1.5, 0, 0, 0, LAG_SINKS, LAG_SINKS},
        {"lifted by the booster", 0.005, 1.5, 1.5, 0, 0, LAG_ARRIVED, LAG_ARRIVED},
        {"sinks below", 0.005, 0.6, 3, 0, 0, LAG_SINKS, LAG_SINKS},
        {"sinks above a loss", 0.005, 2.5, 1, 2500, 80, LAG_SINKS, LAG_SINKS},
        {"all lost", 0, 2.5, 0, 2500, 100, LAG_LOST, LAG_LOST},
        {"all lost, booster runs", 0, 2.5, 1, 2500, 100, LAG_LOST, LAG_LOST},
        {"all lost at the inlet", 0, 2.5, 1, 1000, 100, LAG_LOST, LAG_LOST},
        {"all lost in the riser", 0, 2.5, 1, 500, 100, LAG_LOST, LAG_LOST},
        {"all lost at the bottom", 0, 2.5, 1, 3500, 100, LAG_LOST, LAG_LOST},
        {"all lost behind the mud", 0.005, 2.5, 1, 2500, 100, LAG_LOST, LAG_LOST},
        {"all lost below the bottom", 0, 2.5, 1, 3501, 100, LAG_ARRIVED, LAG_ARRIVED},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct day day = {0};
        struct geometry *geometry = day_init(&day);
        geometry->inlet_um = 1000 * METRE;
        if (rows[at].size_m > 0)
            geometry->slip = (struct slip){SLIP_MOORE, rows[at].size_m, 2600, 1100, 10, NAN};
        if (rows[at].loss_m > 0) {
            geometry->loss_um = llround(rows[at].loss_m * 1e6);
            geometry->loss_pct = rows[at].loss_pct;
        }
        pump(&day, 1500, rows[at].string, rows[at].booster, 0);
        const struct lag_steady found = steady(geometry, rows[at].string, rows[at].booster);
        const struct lag_passage passage = forward(&day, 3);
        ROW(rows[at].what, passage.end == rows[at].in_log && found.end == rows[at].at_steady_flow);
        if (rows[at].in_log == LAG_SINKS) /* also where it rose well below, not long ago */
            ROW(rows[at].what, forward(&day, 1000).end == LAG_SINKS);
        ROW(rows[at].what, isnan(found.lag_s) == (found.end != LAG_ARRIVED));
        if (found.end == LAG_ARRIVED)
            ROW(rows[at].what, is_near(minutes(passage.at_shaker_us) - 3, found.lag_s / 60, 1e-6));
    }
}

/* Volumes differ from minute 300 on: riser bore by this factor. Nothing arrives in the gap of a larger one; two answers
 * where a smaller one begins. */
static void the_well_changes_on_the_way(void **state)
{
    (void)state;
    struct day day = {0};
    (void)day_init(&day);
    struct geometry *wider = add_state(&day, 300);
    wider->bores[0].diameter_um = 600000; /* 90.068 m3 more: 36.027 min */
    pump(&day, 900, 2.5, 0, 90);
    const double lag_min = minutes(forward(&day, 299.9).at_shaker_us) - 299.9;
    const double wider_min = minutes(forward(&day, 300).at_shaker_us) - 300;
    assert_true(is_near(wider_min - lag_min, 36.027, 0.01));
    const struct lag_passage gap = back(&day, 300 + lag_min + 10);
    assert_true(gap.end == LAG_ARRIVED && gap.state == 0 && gap.left_bit_us == 300 * MINUTE - 1);
    assert_int_equal(gap.at_shaker_us, llround((300 + lag_min + 10) * (double)MINUTE));
    assert_int_equal(back(&day, 300 + wider_min + 0.01).state, 1);
    wider->bores[0].diameter_um = 400000; /* 67.012 m3 less: 26.8 min */
    const double narrow_min = minutes(forward(&day, 300).at_shaker_us) - 300;
    assert_true(narrow_min < lag_min - 26);
    const struct lag_passage later = back(&day, 300 + narrow_min + 5); /* also what left 22 min before the change */
    assert_true(later.state == 1 && is_near(minutes(later.left_bit_us), 305, 0.1));
    const struct lag_passage earlier = back(&day, 300 + narrow_min - 0.01);
    assert_true(earlier.state == 0 && is_near(minutes(earlier.left_bit_us), 300 - (lag_min - narrow_min), 0.1));
}

static void of_two_states_the_later_counts(void **state)
{
    (void)state;
    struct day day = {0};
    (void)day_init(&day);
    struct geometry *same = add_state(&day, -60); /* the same instant, recorded later */
    struct geometry *withdrawn = add_state(&day, -30);
    same->bores[0].diameter_um = 600000;
    withdrawn->bores[0].diameter_um = 700000;
    withdrawn->withdrawn = "typed twice";
    pump(&day, 400, 2.5, 0, 0);
    const struct lag_passage passage = forward(&day, 10);
    assert_true(passage.state == 1 && is_near(passage.annulus_m3, 335.414 + 90.068, 0.01));
    assert_int_equal(back(&day, minutes(passage.at_shaker_us)).state, 1);
    withdrawn->withdrawn = NULL;
    assert_int_equal(forward(&day, 10).state, 2);
}

/* What a passage tells of its cuttings. */
static void passages_tell_of_their_cuttings(void **state)
{
    (void)state;
    struct day day = {0};
    struct geometry *geometry = day_init(&day);
    geometry->inlet_um = 1000 * METRE;
    geometry->shaker_delay_s = 120;
    pump(&day, 60, 2.5, 0, 6); /* 3506 m */
    pump(&day, 60, 2.5, 0, 0); /* nothing cut */
    pump(&day, 300, 2.5, 0, 30);
    const struct lag_passage making = forward(&day, 30);
    assert_true(making.new_hole && making.hole_um == 3503 * METRE && making.cut_us == 30 * MINUTE);
    assert_true(is_near(making.annulus_m3, 335.414 + 3 * PI / 4 * (0.31115 * 0.31115 - 0.127 * 0.127), 0.001));
    assert_true(is_near(making.strokes, (making.annulus_m3 + 2 * 2.5) / STROKE_M3, 1));
    assert_true(is_near(minutes(making.at_inlet_us), 30 + (making.annulus_m3 - 180.008) / 2.5, 0.001));
    const struct lag_passage idle = forward(&day, 100);
    assert_true(!idle.new_hole && idle.hole_um == 3506 * METRE && idle.cut_us == 60 * MINUTE);
    assert_true(!forward(&day, 60).new_hole && forward(&day, 120).new_hole); /* what the row after an instant tells */
    const struct lag_passage depth = of_depth(&day, 3506); /* when the hole first was there, not when it went on */
    assert_true(depth.left_bit_us == 60 * MINUTE && depth.cut_us == 60 * MINUTE);
    assert_true(is_near(minutes(of_depth(&day, 3503.25).left_bit_us), 32.5, 1e-6));
    assert_true(back(&day, minutes(idle.at_shaker_us)).hole_um == 3506 * METRE);
    for (size_t row = 0; row < day.log.count; row++)
        day.strokes[row] = NAN;
    assert_true(isnan(forward(&day, 30).strokes) && forward(&day, 30).end == LAG_ARRIVED);
}

/* A well that cannot be: the reason comes up, and the answer is untouched. */
static void impossible_wells_are_refused(void **state)
{
    (void)state;
    struct day day = {0};
    struct lag_passage passage = {.hole_um = 77};
    struct lag_steady found = {.up_s = 77};
    struct err err = {0};
    struct geometry *geometry = day_init(&day);
    geometry->bores[1].diameter_um = 120000;
    pump(&day, 400, 2.5, 0, 10);
    assert_int_equal(lag_forward(&day.log, &day.well, &nominal, 0, &passage, &err), STATUS_RULE);
    assert_int_equal(lag_back(&day.log, &day.well, &nominal, 300 * MINUTE, &passage, &err), STATUS_RULE);
    assert_int_equal(lag_of_depth(&day.log, &day.well, &nominal, 3505 * METRE, &passage, &err), STATUS_RULE);
    assert_non_null(strstr(err.reason, "does not go into the casing"));
    const struct lag_steady_input input = {geometry, 3500 * METRE, 2.5, 0};
    assert_int_equal(lag_steady_find(&input, &found, &err), STATUS_RULE);
    geometry->bores[1].diameter_um = 312420;
    geometry->slip.method = SLIP_MOORE; /* without anything else of it */
    assert_int_equal(lag_forward(&day.log, &day.well, &nominal, 0, &passage, &err), STATUS_INPUT);
    assert_int_equal(lag_back(&day.log, &day.well, &nominal, 300 * MINUTE, &passage, &err), STATUS_INPUT);
    assert_int_equal(lag_steady_find(&input, &found, &err), STATUS_INPUT);
    assert_true(passage.hole_um == 77 && is_near(found.up_s, 77, 0));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ends_have_reasons),
        cmocka_unit_test(an_empty_log_knows_nothing),
        cmocka_unit_test(on_the_way_says_what_is_left),
        cmocka_unit_test(what_does_not_arrive_says_why),
        cmocka_unit_test(the_well_changes_on_the_way),
        cmocka_unit_test(of_two_states_the_later_counts),
        cmocka_unit_test(passages_tell_of_their_cuttings),
        cmocka_unit_test(impossible_wells_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
