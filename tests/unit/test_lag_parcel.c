/* SPDX-License-Identifier: MIT */
/* The lag through many random rig days, held against a parcel of mud that is moved step by step.
 * CORETALLY_TEST_LOGS sets how many days; 10 000 without it. */
#include "unit.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "parcel.h"
#include "random_log.h"

#define SECOND INT64_C(1000000)
#define MILLISECOND INT64_C(1000)

enum { LOGS = 10000, SLIP_SHARE = 20, PARCELS = 6, DEPTHS = 2, BAGS = 6 };

/* What was tried, for the line at the end: a test that compares nothing passes too. */
struct tally {
    uint64_t arrived;
    uint64_t lost;
    uint64_t under_way;
    uint64_t inverted;
    uint64_t reshaped; /* under way while casing was set */
    uint64_t jumps;    /* of them: nothing of the later shape arrives just then */
    uint64_t bags;
    uint64_t held;
    int64_t worst_us; /* departure from the simulation */
};

/* One day under test. */
struct trial {
    struct random_log day;
    uint64_t number;
    uint64_t seed;
    bool slips;
    struct lag_terms terms;
    struct parcel_terms parcel_terms;
    struct tally tally;
};

#define DAY(trial, condition)                                                                                          \
    do {                                                                                                               \
        if (!(condition))                                                                                              \
            fail_msg("log %llu: %s", (unsigned long long)(trial)->number, #condition);                                 \
    } while (0)

static uint64_t count_logs(void)
{
    const char *count = getenv("CORETALLY_TEST_LOGS");
    return count ? strtoull(count, NULL, 10) : LOGS;
}

static void trial_start(struct trial *trial, uint64_t number)
{
    trial->number = number;
    trial->seed = number + 1;
    random_log_fill(&trial->day, number);
    trial->slips = false;
    trial->terms = (struct lag_terms){.flow_factor = 1};
    if (random_within(&trial->seed, 1, 4) == 1) {
        trial->terms.flow_factor = 1 + (double)random_within(&trial->seed, -50, 50) / 1000;
        trial->terms.tolerance_sign = (int)random_within(&trial->seed, -1, 1);
    }
    trial->parcel_terms =
        (struct parcel_terms){.flow_factor = trial->terms.flow_factor, .tolerance_sign = trial->terms.tolerance_sign};
}

static struct lag_passage forward(const struct trial *trial, int64_t left_us)
{
    struct lag_passage passage = {0};
    struct err err = {0};
    const struct lag_log *log = &trial->day.log;
    if (lag_forward(log, &trial->day.well, &trial->terms, left_us, &passage, &err) != STATUS_OK)
        fail_msg("log %llu: forward: %s", (unsigned long long)trial->number, err.reason);
    return passage;
}

static struct lag_passage back(const struct trial *trial, int64_t at_shaker_us)
{
    struct lag_passage passage = {0};
    struct err err = {0};
    const struct lag_log *log = &trial->day.log;
    if (lag_back(log, &trial->day.well, &trial->terms, at_shaker_us, &passage, &err) != STATUS_OK)
        fail_msg("log %llu: back: %s", (unsigned long long)trial->number, err.reason);
    return passage;
}

static int64_t log_end(const struct trial *trial)
{
    return trial->day.log.time_us[trial->day.log.count - 1];
}

/* An instant inside the log; while hole was being made and pumps ran if making asks for it. */
static int64_t pick_instant(struct trial *trial, bool making)
{
    const struct random_log *day = &trial->day;
    int64_t last = (int64_t)day->step_count - 1; /* mostly early enough to arrive before the log ends */
    last = random_within(&trial->seed, 1, 4) == 1 ? last : 1 + last * 6 / 10;
    size_t at = 0;
    for (int tries = 0; tries < 100; tries++) {
        at = (size_t)random_within(&trial->seed, 1, last);
        if (!making || (day->steps[at].hole_um > day->steps[at - 1].hole_um && day->steps[at].string_m3 > 0))
            break;
    }
    return random_within(&trial->seed, day->steps[at - 1].time_us, day->steps[at].time_us - 1);
}

static bool is_making(const struct random_log *day, int64_t time_us)
{
    size_t at = 1;
    while (at < day->step_count - 1 && day->steps[at].time_us <= time_us)
        at++;
    return day->steps[at].hole_um > day->steps[at - 1].hole_um && day->steps[at].string_m3 > 0;
}

/* Did bores and string stay the same from one instant to another? Losses do not matter: they shape no volumes. */
static bool keeps_shape(const struct random_log *day, int64_t from_us, int64_t to_us)
{
    for (size_t at = 1; at < day->well.count; at++)
        if (day->states[at].from.utc_us > from_us && day->states[at].from.utc_us <= to_us &&
            day->shape[at] != day->shape[at - 1])
            return false;
    return true;
}

static void compare_with_parcel(struct trial *trial, const struct lag_passage *passage, const struct parcel *parcel)
{
    DAY(trial, (parcel->end == PARCEL_NO_WELL) == (passage->end == LAG_NO_WELL));
    DAY(trial, (parcel->end == PARCEL_LOST) == (passage->end == LAG_LOST));
    DAY(trial, (parcel->end == PARCEL_ARRIVED) == (passage->end == LAG_ARRIVED));
    DAY(trial, passage->end != LAG_SINKS || trial->slips);
    trial->tally.lost += parcel->end == PARCEL_LOST;
    trial->tally.under_way += parcel->end == PARCEL_UNDER_WAY;
    if (parcel->end != PARCEL_ARRIVED)
        return;
    trial->tally.arrived++;
    /* both are exact but for rounding to microseconds: far closer than the 0.1 % of the lag that one may hope for */
    const int64_t off_us = llabs(passage->at_shaker_us - parcel->at_shaker_us);
    DAY(trial, off_us <= MILLISECOND);
    trial->tally.worst_us = off_us > trial->tally.worst_us ? off_us : trial->tally.worst_us;
    DAY(trial, (parcel->at_inlet_us == INT64_MIN) == (passage->at_inlet_us == INT64_MIN));
    if (parcel->at_inlet_us != INT64_MIN)
        DAY(trial, llabs(parcel->at_inlet_us - passage->at_inlet_us) <= MILLISECOND);
}

/* What is at the shaker lies between what left just before and what left just after: also where nothing that was cut
 * arrives just then (only the booster ran, or volumes jumped between two geometries). */
static void check_bracket(struct trial *trial, const struct lag_passage *found)
{
    const struct lag_passage before = forward(trial, found->left_bit_us - MILLISECOND);
    const struct lag_passage after = forward(trial, found->left_bit_us + MILLISECOND);
    DAY(trial, found->end == LAG_ARRIVED);
    if (before.end == LAG_ARRIVED)
        DAY(trial, before.at_shaker_us <= found->at_shaker_us + MILLISECOND);
    if (after.end == LAG_ARRIVED)
        DAY(trial, after.at_shaker_us >= found->at_shaker_us - MILLISECOND);
}

/* A parcel that is under way when casing is set, or any other shape comes, may have two answers: volumes shrink, and
 * what left before and what left after pass the shaker at the same time. The later one counts. So there
 * forward(back(ts)) is held against ts. Even that departs where nothing of the later shape arrives just then, since the
 * booster alone had pushed mud between two of its parcels: then the next one is found (3 in 50 000 of these). */
static void check_inverse(struct trial *trial, const struct lag_passage *passage)
{
    const struct lag_passage found = back(trial, passage->at_shaker_us);
    check_bracket(trial, &found);
    const struct lag_passage again = forward(trial, found.left_bit_us);
    const bool returns = again.end == LAG_ARRIVED && llabs(again.at_shaker_us - passage->at_shaker_us) <= MILLISECOND;
    if (keeps_shape(&trial->day, passage->left_bit_us, passage->at_shaker_us)) {
        DAY(trial, returns);
        DAY(trial, llabs(found.left_bit_us - passage->left_bit_us) <= SECOND);
        DAY(trial, llabs(found.hole_um - passage->hole_um) <= CENTIMETRE * 10);
        trial->tally.inverted++;
        return;
    }
    DAY(trial, found.left_bit_us >= passage->left_bit_us - MILLISECOND);
    DAY(trial, again.end == LAG_ARRIVED && again.at_shaker_us >= passage->at_shaker_us - MILLISECOND);
    trial->tally.reshaped++;
    trial->tally.jumps += !returns;
}

static void check_parcels(struct trial *trial)
{
    for (int at = 0; at < PARCELS; at++) {
        const int64_t left_us = pick_instant(trial, at < PARCELS - 1);
        const struct lag_passage passage = forward(trial, left_us);
        const struct parcel parcel = parcel_follow(&trial->day, &trial->parcel_terms, left_us);
        compare_with_parcel(trial, &passage, &parcel);
        trial->tally.held += parcel.was_held;
        if (passage.end == LAG_ARRIVED && passage.at_shaker_us <= log_end(trial) && !parcel.was_held &&
            is_making(&trial->day, left_us))
            check_inverse(trial, &passage);
    }
}

static void check_depths(struct trial *trial)
{
    const struct lag_log *log = &trial->day.log;
    const int64_t first_um = log->hole_um[0];
    const int64_t last_um = log->hole_um[log->count - 1];
    for (int at = 0; at < DEPTHS && last_um > first_um; at++) {
        const int64_t depth_um = random_within(&trial->seed, first_um + 1, last_um);
        struct lag_passage of_depth = {0};
        struct err err = {0};
        if (lag_of_depth(log, &trial->day.well, &trial->terms, depth_um, &of_depth, &err) != STATUS_OK)
            fail_msg("log %llu: of depth: %s", (unsigned long long)trial->number, err.reason);
        const struct lag_passage passage = forward(trial, of_depth.left_bit_us);
        DAY(trial, of_depth.hole_um == depth_um && of_depth.end == passage.end);
        if (passage.end == LAG_NO_WELL)
            continue;
        DAY(trial, llabs(passage.hole_um - depth_um) <= CENTIMETRE / 100);
        DAY(trial, of_depth.cut_us == of_depth.left_bit_us);
        if (passage.end == LAG_ARRIVED)
            DAY(trial, llabs(passage.at_shaker_us - of_depth.at_shaker_us) <= MILLISECOND);
    }
}

/* Bags in order of time: what is in them was cut in that order, through all changes. */
static void check_bags(struct trial *trial)
{
    struct lag_passage last = {.left_bit_us = INT64_MIN};
    const int64_t first_us = trial->day.log.time_us[0];
    const int64_t apart_us = (log_end(trial) - first_us) / BAGS;
    for (int at = 0; at < BAGS; at++) {
        const struct lag_passage bag = back(trial, first_us + apart_us * at + random_within(&trial->seed, 0, apart_us));
        if (bag.end != LAG_ARRIVED)
            continue;
        DAY(trial, bag.left_bit_us >= last.left_bit_us && bag.hole_um >= last.hole_um);
        check_bracket(trial, &bag);
        last = bag;
        trial->tally.bags++;
    }
}

static void tell(const char *what, uint64_t logs, const struct tally *tally)
{
    print_message("%s: %llu logs; parcels: %llu arrived, %llu under way, %llu lost, %llu held; %llu inverted, %llu "
                  "through a new shape (%llu at a jump); %llu bags; worst departure %lld us\n",
                  what, (unsigned long long)logs, (unsigned long long)tally->arrived,
                  (unsigned long long)tally->under_way, (unsigned long long)tally->lost,
                  (unsigned long long)tally->held, (unsigned long long)tally->inverted,
                  (unsigned long long)tally->reshaped, (unsigned long long)tally->jumps,
                  (unsigned long long)tally->bags, (long long)tally->worst_us);
}

static void lag_agrees_with_a_parcel(void **state)
{
    struct trial *trial = *state;
    const uint64_t logs = count_logs();
    trial->tally = (struct tally){0};
    for (uint64_t number = 0; number < logs; number++) {
        trial_start(trial, number);
        check_parcels(trial);
        check_depths(trial);
        check_bags(trial);
    }
    tell("without slip", logs, &trial->tally);
    assert_true(trial->tally.jumps <= trial->tally.reshaped / 100);
}

/* Cuttings of one size all day, small enough to rise in most annuli; now and then the first shape has no slip. */
static void add_slip(struct trial *trial)
{
    struct random_log *day = &trial->day;
    struct err err = {0};
    const struct slip slip = {.method = SLIP_MOORE,
                              .size_m = (double)random_within(&trial->seed, 3, 25) * 1e-4,
                              .density_kg_m3 = (double)random_within(&trial->seed, 2200, 2800),
                              .mud_kg_m3 = (double)random_within(&trial->seed, 1050, 1500),
                              .viscosity_mpa_s = (double)random_within(&trial->seed, 5, 60),
                              .sphericity = NAN};
    const bool late = random_within(&trial->seed, 1, 4) == 1;
    for (size_t at = 0; at < day->well.count; at++)
        if (day->shape[at] > 0 || !late)
            day->states[at].slip = slip;
    trial->slips = true;
    assert_int_equal(slip_velocity(&slip, &trial->parcel_terms.slip_m_s, NULL, &err), STATUS_OK);
}

static void lag_with_slip_agrees_with_a_parcel(void **state)
{
    struct trial *trial = *state;
    const uint64_t logs = count_logs() / SLIP_SHARE;
    trial->tally = (struct tally){0};
    for (uint64_t number = 0; number < logs; number++) {
        trial_start(trial, number);
        add_slip(trial);
        check_parcels(trial);
        check_depths(trial);
        check_bags(trial);
    }
    tell("with slip", logs, &trial->tally);
}

static int trial_make(void **state)
{
    *state = calloc(1, sizeof(struct trial));
    return *state ? 0 : -1;
}

static int trial_drop(void **state)
{
    free(*state);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lag_agrees_with_a_parcel),
        cmocka_unit_test(lag_with_slip_agrees_with_a_parcel),
    };
    return cmocka_run_group_tests(tests, trial_make, trial_drop);
}
