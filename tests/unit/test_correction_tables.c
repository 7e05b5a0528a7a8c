/* SPDX-License-Identifier: MIT */
/* The tables inside corrections: tide, composite offsets, growth factors, wireline match. */
#include "unit.h"

#include <stdlib.h>

#include "correction_parts.h"

static void tide_between_its_rows(void **state)
{
    (void)state;
    struct tide_height heights[] = {
        {part_time(60), 1 * METRE}, {part_time(120), -500000}, {part_time(130), -500000}, {part_time(131), 7}};
    struct correction tide = part_correction(CORRECTION_TIDE, 1);
    tide.heights = heights;
    tide.height_count = COUNT_OF(heights);
    static const struct {
        int64_t after_us; /* after the first row */
        int64_t height_um;
    } rows[] = {
        {-1, LENGTH_NONE},
        {0, 1000000},
        {1, 1000000},
        {INT64_C(1800000000), 250000},
        {INT64_C(2400000000), 0},
        {INT64_C(2700000000), -125000},
        {INT64_C(3600000000), -500000},
        {INT64_C(3900000000), -500000},
        {INT64_C(4200000000), -500000},
        {INT64_C(4230000000), -249996}, /* 250003.5 above the row before, half away from 0 */
        {INT64_C(4260000000), 7},
        {INT64_C(4260000001), LENGTH_NONE},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++)
        if (tide_at(&tide, part_time(60).utc_us + rows[at].after_us) != rows[at].height_um)
            fail_msg("%lld us after the first row: %lld", (long long)rows[at].after_us,
                     (long long)tide_at(&tide, part_time(60).utc_us + rows[at].after_us));
    tide.height_count = 1;
    assert_int_equal(tide_at(&tide, part_time(60).utc_us), METRE);
    assert_true(tide_at(&tide, part_time(60).utc_us + 1) == LENGTH_NONE);
    assert_true(tide_at(&tide, part_time(60).utc_us - 1) == LENGTH_NONE);
    tide.height_count = 0;
    assert_true(tide_at(&tide, part_time(60).utc_us) == LENGTH_NONE);
}

static void offsets_are_found_by_core(void **state)
{
    (void)state;
    struct core_offset offsets[] = {{.core = 1, .offset_um = 0, .method = TIE_ASSUMED},
                                    {.core = 3, .offset_um = -250000, .method = TIE_TIED}};
    struct correction table = part_correction(CORRECTION_COMPOSITE, 1);
    assert_null(composite_find(&table, 1));
    table.offsets = offsets;
    table.offset_count = COUNT_OF(offsets);
    assert_ptr_equal(composite_find(&table, 1), &offsets[0]);
    assert_ptr_equal(composite_find(&table, 3), &offsets[1]);
    assert_null(composite_find(&table, 2));
    assert_null(composite_find(&table, 0));
}

/* Factors from these composite depths down: ODP IR 202 chapter 8, figure F10 (Site 1237) and chapter 12 (Site 1241). */
static struct growth_step site_1237[] = {{0, 1.09}, {162800000, 1.13}, {258900000, 1.20}};
static struct growth_step site_1241[] = {{0, 1.13}};

static struct correction growth(struct growth_step *steps, size_t count)
{
    struct correction it = part_correction(CORRECTION_GROWTH, 1);
    it.steps = steps;
    it.step_count = count;
    return it;
}

/* corrected = composite / factor (ODP IR 202 chapter 8): so for the first interval; below, continuous by hand. */
static void growth_as_published(void **state)
{
    (void)state;
    const struct correction first = growth(site_1237, COUNT_OF(site_1237));
    const struct correction second = growth(site_1241, COUNT_OF(site_1241));
    for (int metres = 0; metres <= 162; metres++) {
        assert_int_equal(growth_remove(&first, metres * METRE), llround(metres * 1e6 / 1.09));
        assert_int_equal(growth_remove(&second, metres * METRE), llround(metres * 1e6 / 1.13));
    }
    static const struct {
        int64_t ccsf_um;
        int64_t csf_um; /* by hand: 162.8 / 1.09 = 149.357798, + 96.1 / 1.13 = 234.402046, + the rest / 1.2 */
    } rows[] = {
        {157100000, 144128440}, {162800000, 149357798}, {200000000, 182278152},
        {258900000, 234402046}, {350610000, 310827046},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++)
        if (llabs(growth_remove(&first, rows[at].ccsf_um) - rows[at].csf_um) > 1)
            fail_msg("%lld um: %lld um", (long long)rows[at].ccsf_um,
                     (long long)growth_remove(&first, rows[at].ccsf_um));
}

static void growth_is_1_above_the_first_step(void **state)
{
    (void)state;
    struct growth_step steps[] = {{10 * METRE, 2}, {20 * METRE, 0.5}};
    const struct correction it = growth(steps, COUNT_OF(steps));
    assert_int_equal(growth_remove(&it, -3 * METRE), -3 * METRE);
    assert_int_equal(growth_remove(&it, 10 * METRE), 10 * METRE);
    assert_int_equal(growth_remove(&it, 12 * METRE), 11 * METRE);
    assert_int_equal(growth_remove(&it, 20 * METRE), 15 * METRE);
    assert_int_equal(growth_remove(&it, 21 * METRE), 17 * METRE);
    const struct correction none = growth(NULL, 0);
    assert_int_equal(growth_remove(&none, 21 * METRE), 21 * METRE);
}

/* Without a jump at any step, and depths keep their order. */
static void growth_is_continuous_and_keeps_the_order(void **state)
{
    (void)state;
    uint64_t seed = 31;
    for (int round = 0; round < 1000; round++) {
        struct growth_step steps[6];
        const size_t count = (size_t)random_within(&seed, 1, 6);
        int64_t top_um = random_within(&seed, -5 * METRE, 5 * METRE);
        for (size_t at = 0; at < count; at++) {
            steps[at] = (struct growth_step){top_um, (double)random_within(&seed, 50, 200) / 100};
            top_um += random_within(&seed, 1, 100 * METRE);
        }
        const struct correction it = growth(steps, count);
        for (size_t at = 0; at < count; at++) {
            const int64_t here_um = growth_remove(&it, steps[at].top_um);
            assert_true(here_um - growth_remove(&it, steps[at].top_um - 1) >= 0);
            assert_true(here_um - growth_remove(&it, steps[at].top_um - 1) <= 3);
            assert_true(growth_remove(&it, steps[at].top_um + 1) - here_um <= 3);
        }
        int64_t at_um = steps[0].top_um - 10 * METRE;
        while (at_um < top_um + 10 * METRE) {
            const int64_t next_um = at_um + random_within(&seed, 3, 20 * METRE);
            assert_true(growth_remove(&it, next_um) > growth_remove(&it, at_um));
            at_um = next_um;
        }
    }
}

static void wireline_between_its_points(void **state)
{
    (void)state;
    struct match_point points[] = {
        {0, 500000}, {10 * METRE, 10 * METRE}, {20 * METRE, 10 * METRE}, {20 * METRE + 3, 10 * METRE + 2}};
    struct correction match = part_correction(CORRECTION_WIRELINE, 1);
    match.points = points;
    match.point_count = COUNT_OF(points);
    static const struct {
        int64_t csf_um;
        int64_t wsf_um;
    } rows[] = {
        {-1, LENGTH_NONE},        {0, 500000},
        {5 * METRE, 5250000},     {10 * METRE, 10 * METRE},
        {15 * METRE, 10 * METRE}, {20 * METRE, 10 * METRE},
        {20000001, 10000001},     {20000002, 10000001},
        {20000003, 10000002},     {20000004, LENGTH_NONE},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++)
        if (wireline_match(&match, rows[at].csf_um) != rows[at].wsf_um)
            fail_msg("%lld um: %lld", (long long)rows[at].csf_um, (long long)wireline_match(&match, rows[at].csf_um));
    match.point_count = 0;
    assert_true(wireline_match(&match, 0) == LENGTH_NONE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tide_between_its_rows),
        cmocka_unit_test(offsets_are_found_by_core),
        cmocka_unit_test(growth_as_published),
        cmocka_unit_test(growth_is_1_above_the_first_step),
        cmocka_unit_test(growth_is_continuous_and_keeps_the_order),
        cmocka_unit_test(wireline_between_its_points),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
