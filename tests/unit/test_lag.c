/* SPDX-License-Identifier: MIT */
/* How long it takes from bit to shaker, worked out by hand: through logs, and at a steady flow. */
#include "unit.h"

#include <math.h>
#include <stdlib.h>

#include "lag_day.h"

/* Minutes from bit to shaker at steady flows, against volumes and flows by hand (our own case, not published).
 * Losses: only the rest rises above them. */
static void steady_flow_is_volume_by_flow(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        double inlet_m; /* 0: none */
        double loss_m;
        double loss_pct;
        double flowline_m3;
        double delay_s;
        double string;
        double booster;
        double lag_min;
    } rows[] = {
        {"trade 3.4, no booster", 0, 0, 0, 0, 0, 2.5, 0, 134.17},
        {"trade 3.4, booster", 1000, 0, 0, 0, 0, 2.5, 1, 113.59},
        {"booster that stands", 1000, 0, 0, 0, 0, 2.5, 0, 134.17},
        {"booster without an inlet", 0, 0, 0, 0, 0, 2.5, 1, 134.17},
        {"half the flow", 0, 0, 0, 0, 0, 1.25, 0, 2 * 134.1656},
        {"flowline and delay", 0, 0, 0, 5, 90, 2.5, 0, 134.1656 + 2 + 1.5},
        {"flowline with booster", 1000, 0, 0, 7, 0, 2.5, 1, 113.5929 + 2},
        {"inlet above the riser's foot", 500, 0, 0, 0, 0, 2.5, 1, (335.414 - 90.004) / 2.5 + 90.004 / 3.5},
        {"loss at the shoe", 0, 2500, 40, 0, 0, 2.5, 0, 59.418 / 2.5 + 275.996 / 1.5},
        {"loss and flowline", 0, 2500, 40, 3, 0, 2.5, 0, 59.418 / 2.5 + 278.996 / 1.5},
        {"loss at the bottom", 0, 3500, 20, 0, 0, 2.5, 0, 335.414 / 2},
        {"loss below the bottom", 0, 3501, 20, 0, 0, 2.5, 0, 134.1656},
        {"loss below the inlet", 1000, 2500, 40, 0, 0, 2.5, 1, 59.418 / 2.5 + 95.988 / 1.5 + 180.008 / 2.5},
        {"loss above the inlet", 1000, 500, 40, 0, 0, 2.5, 1, 155.406 / 2.5 + 90.004 / 3.5 + 90.004 / 2.1},
        {"loss at the inlet", 1000, 1000, 40, 0, 0, 2.5, 1, 155.406 / 2.5 + 180.008 / 2.5},
        {"loss of nothing", 0, 2500, 0, 0, 0, 2.5, 0, 134.1656},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct day day = {0};
        struct geometry *geometry = day_init(&day);
        if (rows[at].inlet_m > 0)
            geometry->inlet_um = llround(rows[at].inlet_m * 1e6);
        if (rows[at].loss_m > 0) {
            geometry->loss_um = llround(rows[at].loss_m * 1e6);
            geometry->loss_pct = rows[at].loss_pct;
        }
        if (rows[at].flowline_m3 > 0)
            geometry->flowline_m3 = rows[at].flowline_m3;
        if (rows[at].delay_s > 0)
            geometry->shaker_delay_s = rows[at].delay_s;
        pump(&day, 400, rows[at].string, rows[at].booster, 0);
        const struct lag_steady found = steady(geometry, rows[at].string, rows[at].booster);
        ROW(rows[at].what, found.end == LAG_ARRIVED && is_near(found.lag_s / 60, rows[at].lag_min, 0.006));
        ROW(rows[at].what, is_near(found.split.volume_m3, 335.414, 0.001));
        ROW(rows[at].what, is_near(found.below_inlet_m3 + found.above_inlet_m3, 335.414, 0.001));
        const double top_m3_s = found.velocity_m_s[0] * found.split.items[0].area_m2;
        ROW(rows[at].what, is_near(found.lag_s - found.up_s, rows[at].flowline_m3 / top_m3_s + rows[at].delay_s, 1e-6));
        for (int left = 0; left <= 30; left += 10) {
            const struct lag_passage passage = forward(&day, left + 0.25);
            ROW(rows[at].what, passage.end == LAG_ARRIVED);
            ROW(rows[at].what, is_near(minutes(passage.at_shaker_us) - left - 0.25, found.lag_s / 60, 1e-6));
            ROW(rows[at].what, (passage.at_inlet_us == INT64_MIN) == (rows[at].inlet_m <= 0));
            const struct lag_passage again = back(&day, minutes(passage.at_shaker_us));
            ROW(rows[at].what, again.end == LAG_ARRIVED && llabs(again.left_bit_us - passage.left_bit_us) <= 2);
        }
    }
}

/* What a day of stops, changing flows and losses does to one parcel. Each activity follows the one before; negative
 * lengths end the list. */
struct act {
    int64_t minutes;
    double string;
    double booster;
    double made_m;
};

static void changing_flow_adds_up(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        double inlet_m;
        struct act acts[5];
        double left_min;
        double at_min;
    } rows[] = {
        {"trade 3.4: 30 min, 12 off, slower", 0, {{30, 2.5, 0, 0}, {12, 0, 0, 0}, {300, 2, 0, 0}}, 0, 172.207},
        {"stop before it leaves", 0, {{30, 2.5, 0, 0}, {12, 0, 0, 0}, {300, 2.5, 0, 0}}, 42, 42 + 134.1656},
        {"leaves during a stop", 0, {{30, 2.5, 0, 0}, {12, 0, 0, 0}, {300, 2.5, 0, 0}}, 35, 42 + 134.1656},
        {"stop of a night", 0, {{100, 2.5, 0, 0}, {600, 0, 0, 0}, {300, 2.5, 0, 0}}, 10, 10 + 734.1656},
        {"stop just after it arrived", 0, {{150, 2.5, 0, 0}, {60, 0, 0, 0}}, 10, 10 + 134.1656},
        {"three stops",
         0,
         {{20, 2.5, 0, 0}, {5, 0, 0, 0}, {5, 2.5, 0, 0}, {7, 0, 0, 0}, {300, 2.5, 0, 0}},
         0,
         146.1656},
        {"hole gets deeper above nothing", 0, {{300, 2.5, 0, 30}}, 0, 134.1656},
        {"booster comes on below the inlet", 1000, {{30, 2.5, 0, 0}, {300, 2.5, 1, 0}}, 0, 113.5929},
        {"booster comes on above the inlet",
         1000,
         {{100, 2.5, 0, 0}, {300, 2.5, 1, 0}},
         0,
         100 + (335.414 - 250) / 3.5},
        {"booster alone, parcel below the inlet",
         1000,
         {{40, 2.5, 0, 0}, {20, 0, 1, 0}, {300, 2.5, 0, 0}},
         0,
         154.1656},
        {"booster alone, parcel above the inlet",
         1000,
         {{100, 2.5, 0, 0}, {20, 0, 1, 0}, {300, 2.5, 0, 0}},
         0,
         120 + (335.414 - 270) / 2.5},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct day day = {0};
        struct geometry *geometry = day_init(&day);
        if (rows[at].inlet_m > 0)
            geometry->inlet_um = llround(rows[at].inlet_m * 1e6);
        for (size_t act = 0; act < COUNT_OF(rows[at].acts) && rows[at].acts[act].minutes > 0; act++)
            pump(&day, rows[at].acts[act].minutes, rows[at].acts[act].string, rows[at].acts[act].booster,
                 rows[at].acts[act].made_m);
        const struct lag_passage passage = forward(&day, rows[at].left_min);
        ROW(rows[at].what, passage.end == LAG_ARRIVED);
        ROW(rows[at].what, is_near(minutes(passage.at_shaker_us), rows[at].at_min, 0.006));
    }
}

/* During a stop: what arrived last, whatever the minute. */
static void stop_shows_what_arrived_last(void **state)
{
    (void)state;
    struct day day = {0};
    (void)day_init(&day);
    pump(&day, 200, 2.5, 0, 20);
    pump(&day, 60, 0, 0, 0);
    pump(&day, 200, 2.5, 0, 20);
    const struct lag_passage before = back(&day, 199.999);
    const struct lag_passage after = back(&day, 260.001);
    for (int minute = 200; minute <= 260; minute += 10) {
        const struct lag_passage passage = back(&day, minute);
        assert_true(passage.end == LAG_ARRIVED && passage.new_hole);
        assert_true(passage.left_bit_us >= before.left_bit_us && passage.left_bit_us <= after.left_bit_us);
        assert_true(after.left_bit_us - before.left_bit_us < MINUTE / 100);
        assert_true(passage.at_shaker_us == minute * MINUTE && passage.state == 0);
        assert_true(is_near(
            passage.strokes,
            (200 - minutes(passage.left_bit_us)) * 2.5 / STROKE_M3 + fmax(0, minute - 260) * 2.5 / STROKE_M3, 0.2));
    }
}

/* Losses come and go: they act on what is above them at the time. V above 2500 m: 275.996; the parcel is there after
 * 59.418 m3, 23.767 min. */
static void losses_act_where_the_parcel_is(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        int64_t from_min; /* loss begins */
        int64_t to_min;   /* and is cured */
        double pct;
        double deepens_m; /* in 100 min; the loss is at 2500 m, or just below the bottom if this is above 0 */
        double at_min;    /* left at 0; NAN: lost */
    } rows[] = {
        {"begins before it comes by", 10, 900, 40, 0, 59.418 / 2.5 + 275.996 / 1.5},
        {"begins below it", 60, 900, 40, 0, 60 + (335.414 - 150) / 1.5},
        {"cured below it", 60, 80, 40, 0, 80 + (335.414 - 150 - 30) / 2.5},
        {"cured before it comes by", 10, 20, 40, 0, 134.1656},
        {"begins after it arrived", 140, 900, 40, 0, 134.1656},
        {"total while it comes by", 10, 30, 100, 0, NAN},
        {"total, cured before it comes by", 10, 20, 100, 0, 134.1656},
        {"total below it: waits", 60, 80, 100, 0, 154.1656},
        {"met when the hole is so deep", -30, 900, 40, 30, 50 + (335.414 - 125) / 1.5},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct day day = {0};
        (void)day_init(&day);
        struct geometry *lossy = add_state(&day, rows[at].from_min);
        lossy->loss_um = (rows[at].deepens_m > 0 ? 3515 : 2500) * METRE;
        lossy->loss_pct = rows[at].pct;
        (void)add_state(&day, rows[at].to_min);
        pump(&day, 100, 2.5, 0, rows[at].deepens_m);
        pump(&day, 300, 2.5, 0, 0);
        const struct lag_passage passage = forward(&day, 0);
        if (isnan(rows[at].at_min)) {
            ROW(rows[at].what, passage.end == LAG_LOST && isnan(passage.strokes));
            continue;
        }
        /* rows are minutes: a loss that the hole meets between two counts for the whole of them */
        ROW(rows[at].what, passage.end == LAG_ARRIVED);
        ROW(rows[at].what, is_near(minutes(passage.at_shaker_us), rows[at].at_min, rows[at].deepens_m > 0 ? 1 : 0.006));
    }
}

/* More pumped, sooner there and from deeper; wider bores, later and from shallower. */
static void uncertainty_moves_the_answer(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        struct lag_terms terms;
        double lag_min; /* of volumes by hand; the open hole is good to 5 mm: 2.463 m3 more or 2.424 less */
    } rows[] = {
        {"nominal", {1, 0, false}, 134.1656},
        {"pumps give more", {1.05, 0, false}, 134.1656 / 1.05},
        {"pumps give less", {0.95, 0, false}, 134.1656 / 0.95},
        {"wider", {1, 1, false}, 134.1656 + 2.463 / 2.5},
        {"narrower", {1, -1, false}, 134.1656 - 2.424 / 2.5},
        {"deepest", {1.05, -1, false}, (335.414 - 2.424) / 2.625},
        {"shallowest", {0.95, 1, false}, (335.414 + 2.463) / 2.375},
    };
    struct day day = {0};
    (void)day_init(&day);
    pump(&day, 600, 2.5, 0, 0);
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct lag_passage passage;
        struct err err;
        assert_int_equal(lag_forward(&day.log, &day.well, &rows[at].terms, 0, &passage, &err), STATUS_OK);
        ROW(rows[at].what, is_near(minutes(passage.at_shaker_us), rows[at].lag_min, 0.006));
        assert_int_equal(lag_back(&day.log, &day.well, &rows[at].terms, 500 * MINUTE, &passage, &err), STATUS_OK);
        ROW(rows[at].what, is_near(500 - minutes(passage.left_bit_us), rows[at].lag_min, 0.006));
    }
}

/* Cuttings behind the mud: at a steady flow the log agrees with the table of the well; stops add their time alone. */
static void slip_takes_longer(void **state)
{
    (void)state;
    struct day day = {0};
    struct geometry *geometry = day_init(&day);
    geometry->inlet_um = 1000 * METRE;
    geometry->slip = (struct slip){SLIP_MOORE, 0.001, 2600, 1200, 20, NAN};
    pump(&day, 60, 2.5, 1, 0);
    pump(&day, 30, 0, 0, 0);
    pump(&day, 1000, 2.5, 1, 0);
    const struct lag_steady found = steady(geometry, 2.5, 1);
    assert_true(found.end == LAG_ARRIVED && found.slip_m_s > 0.02 && found.lag_s > 119 * 60);
    double up_s = 0;
    for (size_t at = 0; at < found.split.count; at++) {
        const struct segment *segment = &found.split.items[at];
        assert_true(is_near(found.ratio[at], 1 - found.slip_m_s / found.velocity_m_s[at], 1e-12));
        up_s += (double)(segment->bottom_um - segment->top_um) * 1e-6 / found.velocity_m_s[at] / found.ratio[at];
    }
    assert_true(is_near(up_s, found.lag_s, 1e-6));
    for (int left = 0; left <= 200; left += 50) {
        const double stop_min = fmax(0, fmin(30, 90 - left)); /* that part of it which it meets */
        const struct lag_passage passage = forward(&day, left);
        assert_true(passage.end == LAG_ARRIVED);
        assert_true(is_near(minutes(passage.at_shaker_us) - left, found.lag_s / 60 + stop_min, 1e-6));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(steady_flow_is_volume_by_flow), cmocka_unit_test(changing_flow_adds_up),
        cmocka_unit_test(stop_shows_what_arrived_last),  cmocka_unit_test(losses_act_where_the_parcel_is),
        cmocka_unit_test(uncertainty_moves_the_answer),  cmocka_unit_test(slip_takes_longer),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
