/* SPDX-License-Identifier: MIT */
/* What is said to be due at the shaker, against what the walk of a parcel through the whole log says once it has come:
 * before and after connections, on a steady rig and on random days. */
#include "lag_day.h"
#include "random_log.h"

#include <stdlib.h>

#include "coretally/domain/lag_pace.h"

/* Errors in minutes of pumping, of one kind of moment. */
enum { ERRORS_MAX = 60000 };
struct errors {
    double each[ERRORS_MAX];
    size_t count;
};

static void errors_add(struct errors *errors, double error)
{
    assert_true(errors->count < ERRORS_MAX);
    errors->each[errors->count++] = fabs(error);
}

static int order_double(const void *a, const void *b)
{
    const double left = *(const double *)a;
    const double right = *(const double *)b;
    return (left > right) - (left < right);
}

/* So many percent of them are not greater. */
static double errors_at(struct errors *errors, double percent)
{
    assert_true(errors->count > 0);
    qsort(errors->each, errors->count, sizeof errors->each[0], order_double);
    return errors->each[(size_t)((double)(errors->count - 1) * percent / 100)];
}

/* Minutes from now to then in which the pumps ran, by the rows of the whole log. */
static double pumping_minutes(const struct lag_log *log, int64_t from_us, int64_t to_us)
{
    double sum_min = 0;
    for (size_t at = 1; at < log->count; at++) {
        const int64_t top_us = log->time_us[at - 1] > from_us ? log->time_us[at - 1] : from_us;
        const int64_t end_us = log->time_us[at] < to_us ? log->time_us[at] : to_us;
        if (end_us > top_us && log->at_bit_m3[at] > log->at_bit_m3[at - 1])
            sum_min += (double)(end_us - top_us) / 6e7;
    }
    return sum_min;
}

/* How it was done until the stops were found in it: the last ten minutes of the clock. For comparison alone. */
static double clock_minutes(const struct lag_log *log, const double left_m3[LAG_STAGES])
{
    size_t at = log->count - 1;
    while (at > 0 && log->at_bit_m3[at] <= log->at_bit_m3[at - 1])
        at--;
    const int64_t from_us =
        log->time_us[at] - 10 * MINUTE > log->time_us[0] ? log->time_us[at] - 10 * MINUTE : log->time_us[0];
    const double *const amounts[LAG_STAGES] = {log->at_bit_m3, log->middle_m3, log->at_top_m3};
    double sum_min = 0;
    for (int stage = 0; stage < LAG_STAGES; stage++)
        if (left_m3[stage] > 0)
            sum_min += left_m3[stage] * (double)(log->time_us[at] - from_us) / 6e7 /
                       (amounts[stage][at] - lag_log_at(log, amounts[stage], from_us));
    return sum_min;
}

/* What left the bit then, as of the row now; false unless it is on its way there and arrives in the log. */
static bool ask(const struct lag_log *whole, const struct lag_well *well, size_t now, int64_t left_us, double *error,
                double *clock_error)
{
    struct lag_log known = *whole;
    struct lag_passage then;
    struct lag_passage later;
    struct lag_pace pace;
    struct err err = {0};
    known.count = now + 1;
    if (lag_forward(&known, well, &nominal, left_us, &then, &err) != STATUS_OK || then.end != LAG_ON_THE_WAY ||
        lag_forward(whole, well, &nominal, left_us, &later, &err) != STATUS_OK || later.end != LAG_ARRIVED)
        return false;
    const double delay_s = well->states[later.state].shaker_delay_s;
    const int64_t off_us = later.at_shaker_us - (isnan(delay_s) ? 0 : llround(delay_s * 1e6)); /* off the flowline */
    const double came = pumping_minutes(whole, known.time_us[now], off_us);
    lag_pace_find(&known, &pace);
    *error = lag_pace_minutes(&pace, then.left_stage_m3) - came;
    *clock_error = clock_minutes(&known, then.left_stage_m3) - came;
    return !isnan(*error);
}

/* Drilling by stands at one flow, a row every ten seconds; connections of 3 to 20 min, the bit off bottom for as long
 * again with the pumps on. */
static struct day *steady_day(uint64_t *seed)
{
    static struct day *day = NULL;
    free(day);
    day = calloc(1, sizeof *day);
    assert_non_null(day);
    struct geometry *state = day_init(day);
    const double flow_m3 = 0.3 + (double)random_within(seed, 0, 300) / 1000;   /* a row */
    const double booster_m3 = (double)random_within(seed, 0, 1) * flow_m3 / 3; /* stands with the pumps here */
    if (booster_m3 > 0)
        state->inlet_um = 1000 * METRE;
    int64_t hole_um = 3000 * METRE;
    int64_t time_us = 0;
    size_t left = (size_t)random_within(seed, 100, 300);
    enum { DRILLS, STANDS, CIRCULATES } doing = DRILLS;
    day->log.count = 0;
    while (day->log.count < ROWS_MAX) {
        const double on = doing == STANDS ? 0 : 1;
        hole_um += doing == DRILLS ? 25000 : 0;
        lag_log_add(&day->log, state, time_us, hole_um - (doing == DRILLS ? 0 : 12 * METRE), hole_um, on * flow_m3,
                    on * booster_m3, on * flow_m3 / STROKE_M3);
        time_us += MINUTE / 6;
        if (--left)
            continue;
        doing = doing == CIRCULATES ? DRILLS : (doing + 1);
        left = (size_t)(doing == DRILLS ? random_within(seed, 150, 500) : random_within(seed, 18, 120));
    }
    return day;
}

/* At one flow nothing but the rows' own length may be wrong, whenever it is asked. */
static void steady_rig(void **state)
{
    (void)state;
    uint64_t seed = 5;
    static struct errors all;
    static struct errors clock_all;
    for (int number = 0; number < 40; number++) {
        const struct day *day = steady_day(&seed);
        const struct lag_log *log = &day->log;
        for (size_t now = 200; now + 1 < log->count; now += 7) {
            double error = 0;
            double clock_error = 0;
            for (size_t row = now < 400 ? 1 : now - 400; row < now; row += 60)
                if (ask(log, &day->well, now, log->time_us[row], &error, &clock_error)) {
                    errors_add(&all, error);
                    errors_add(&clock_all, clock_error);
                }
            struct lag_log known = *log;
            struct lag_pace pace;
            known.count = now + 1;
            lag_pace_find(&known, &pace);
            if (fabs(pace.drilled_m - 0.15) > 1e-9) /* 25 mm a row of ten seconds */
                fail_msg("day %d row %zu: drilled %.6f m a minute", number, now, pace.drilled_m);
        }
    }
    print_message(
        "steady rig: %zu times told; minutes wrong: half within %.3f, all within %.3f (by the clock: %.3f, %.3f)\n",
        all.count, errors_at(&all, 50), errors_at(&all, 100), errors_at(&clock_all, 50), errors_at(&clock_all, 100));
    assert_true(all.count > 5000);
    assert_true(errors_at(&all, 100) < 0.2); /* a row */
    assert_true(errors_at(&clock_all, 100) > 10);
}

/* Rates that change, booster, losses, casing: the flow to come is not known, but a stop must make it no worse. */
static void random_days(void **state)
{
    (void)state;
    static struct random_log day;
    static struct errors before;
    static struct errors after;
    static struct errors clock_after;
    for (uint64_t number = 0; number < 1500; number++) {
        random_log_fill(&day, number);
        const struct lag_log *log = &day.log;
        size_t ran = 0; /* rows since the pumps started, and before they did */
        size_t stood = 0;
        for (size_t now = 2; now + 1 < log->count; now++) {
            const bool runs = log->at_bit_m3[now] > log->at_bit_m3[now - 1];
            const bool goes_on = log->at_bit_m3[now + 1] > log->at_bit_m3[now];
            if (runs && !ran)
                stood = 0;
            if (!runs)
                stood++;
            ran = runs ? ran + 1 : 0;
            const int64_t row_us = log->time_us[now] - log->time_us[now - 1];
            const bool is_before = runs && !goes_on && (int64_t)ran * row_us > 15 * MINUTE;
            const bool is_after = ran == 2 && log->time_us[now] - log->time_us[now - 2] < 5 * MINUTE;
            if (!is_before && !is_after)
                continue;
            for (size_t step = 1; step < 8; step++) {
                double error = 0;
                double clock_error = 0;
                const size_t row = now * step / 8;
                if (!ask(log, &day.well, now, log->time_us[row], &error, &clock_error))
                    continue;
                errors_add(is_before ? &before : &after, error);
                if (is_after && !isnan(clock_error) && isfinite(clock_error))
                    errors_add(&clock_after, clock_error);
            }
        }
    }
    print_message(
        "random days: minutes wrong before a stop: %zu times, half within %.2f, 90 %% within %.1f; after one: "
        "%zu times, %.2f, %.1f (by the clock: %.2f, %.1f)\n",
        before.count, errors_at(&before, 50), errors_at(&before, 90), after.count, errors_at(&after, 50),
        errors_at(&after, 90), errors_at(&clock_after, 50), errors_at(&clock_after, 90));
    assert_true(before.count > 1000 && after.count > 1000);
    assert_true(errors_at(&after, 50) <= errors_at(&before, 50));
    assert_true(errors_at(&after, 90) <= errors_at(&before, 90));
}

/* By hand, rows of a minute. */
static void what_counts(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        double flow[8];   /* of rows 1..8, m3 */
        double bit_m[9];  /* off bottom, rows 0..8 */
        double hole_m[9]; /* below 3000 m */
        double flow_m3;   /* expected, a minute */
        double drilled_m; /* NAN: none */
        bool is_pumping;
        bool is_drilling;
    } rows[] = {
        {"all the time", {2, 2, 2, 2, 2, 2, 2, 2}, {0}, {0, 1, 2, 3, 4, 5, 6, 7, 8}, 2, 1, true, true},
        {"rows in which the pumps stop and start are left out",
         {2, 2, 0.5, 0, 0, 1.5, 2, 2},
         {0},
         {0, 1, 2, 2.2, 2.2, 2.2, 2.8, 3.8, 4.8},
         2,
         1,
         true,
         true},
        {"the pumps stand", {2, 2, 2, 0, 0, 0, 0, 0}, {0}, {0, 1, 2, 3, 3, 3, 3, 3, 3}, 2, 1, false, false},
        {"no whole row", {0, 1.5, 0, 0, 0.5, 0, 0, 0}, {0}, {0, 0, 1, 1, 1, 2, 2, 2, 2}, 1, 1, false, false},
        {"off bottom nothing is drilled",
         {2, 2, 2, 2, 2, 2, 2, 2},
         {0, 0, 0, 0, 9, 9, 9, 9, 9},
         {0, 1, 2, 3, 3, 3, 3, 3, 3},
         2,
         1,
         true,
         false},
        {"nothing at all", {0}, {0}, {0}, 0, NAN, false, false},
    };
    for (size_t row = 0; row < COUNT_OF(rows); row++) {
        struct day *day = calloc(1, sizeof *day);
        assert_non_null(day);
        struct geometry *geometry = day_init(day);
        day->log.count = 0;
        for (int at = 0; at < 9; at++) {
            const int64_t hole_um = 3000 * METRE + llround(rows[row].hole_m[at] * 1e6);
            const double flow_m3 = at ? rows[row].flow[at - 1] : 0;
            lag_log_add(&day->log, geometry, at * MINUTE, hole_um - llround(rows[row].bit_m[at] * 1e6), hole_um,
                        flow_m3, 0, flow_m3 * 10);
        }
        struct lag_pace pace;
        lag_pace_find(&day->log, &pace);
        ROW(rows[row].what, fabs(pace.stage_m3[0] - rows[row].flow_m3) < 1e-9);
        ROW(rows[row].what,
            rows[row].flow_m3 > 0 ? fabs(pace.strokes - 10 * rows[row].flow_m3) < 1e-9 : isnan(pace.strokes));
        ROW(rows[row].what,
            isnan(rows[row].drilled_m) ? isnan(pace.drilled_m) : fabs(pace.drilled_m - rows[row].drilled_m) < 1e-9);
        ROW(rows[row].what, pace.is_pumping == rows[row].is_pumping && pace.is_drilling == rows[row].is_drilling);
        free(day);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_counts),
        cmocka_unit_test(steady_rig),
        cmocka_unit_test(random_days),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
