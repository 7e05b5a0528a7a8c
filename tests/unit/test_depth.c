/* SPDX-License-Identifier: MIT */
/* The chain from reading to depth: each scale, each bound, each link, and what always holds. */
#include "unit.h"

#include "coretally/domain/depth.h"
#include "parts.h"

static void drilled_depths_change_datum(void **state)
{
    (void)state;
    static const struct {
        int64_t um;
        enum datum datum;
        enum scale scale;
        int64_t expected_um;
    } rows[] = {
        {3100 * METRE, DATUM_RIG_FLOOR, SCALE_DRF, 3100 * METRE},
        {3100 * METRE, DATUM_RIG_FLOOR, SCALE_DSF, 100 * METRE},
        {100 * METRE, DATUM_SEAFLOOR, SCALE_DSF, 100 * METRE},
        {100 * METRE, DATUM_SEAFLOOR, SCALE_DRF, 3100 * METRE},
        {LENGTH_NONE, DATUM_RIG_FLOOR, SCALE_DRF, LENGTH_NONE},
    };
    const struct hole hole = part_hole(3000 * METRE);
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        const struct depth depth =
            drilled_depth(&hole, rows[at].um, rows[at].datum, (struct instant){0}, rows[at].scale, NULL);
        ROW(scale_words[rows[at].scale], depth.um == rows[at].expected_um);
        ROW(scale_words[rows[at].scale], (depth.why != NULL) == (depth.um == LENGTH_NONE));
    }
    const struct hole unknown = part_hole(LENGTH_NONE);
    struct depth depth = drilled_depth(&unknown, METRE, DATUM_RIG_FLOOR, (struct instant){0}, SCALE_DSF, NULL);
    assert_true(depth.um == LENGTH_NONE && depth.low_um == LENGTH_NONE && depth.high_um == LENGTH_NONE);
    assert_non_null(strstr(depth.why, "seafloor"));
    depth = drilled_depth(&unknown, METRE, DATUM_SEAFLOOR, (struct instant){0}, SCALE_DSF, NULL);
    assert_int_equal(depth.um, METRE);
}

/* Linear form and "only if long": from memory, IODP methods chapters; numbers worked out by hand. */
static void long_cores_are_compressed_onto_the_advance(void **state)
{
    (void)state;
    struct section sections[] = {part_section(1, 6 * METRE), part_section(2, 6 * METRE)};
    const struct hole hole = part_hole(3000 * METRE);
    struct core core = part_core(3100 * METRE, 3110 * METRE, sections, 2);
    const struct place place = {&hole, &core, 2, 3 * METRE};
    struct depth_links links = {0};
    assert_int_equal(place_depth(&place, SCALE_CSF_A, NULL).um, 109 * METRE);
    const struct depth depth = place_depth(&place, SCALE_CSF_B, &links);
    assert_int_equal(depth.um, 107500000);
    assert_int_equal(depth.low_um, 107500000);
    assert_int_equal(depth.high_um, 107500000); /* more than 100 %: nothing is missing */
    static const enum depth_input inputs[] = {INPUT_CORE_TOP, INPUT_SEAFLOOR, INPUT_SECTIONS_ABOVE, INPUT_OFFSET,
                                              INPUT_COMPRESSION};
    assert_int_equal(links.count, COUNT_OF(inputs));
    for (size_t at = 0; at < links.count; at++) {
        assert_int_equal(links.items[at].input, inputs[at]);
        assert_non_null(links.items[at].rule);
    }
    assert_int_equal(links.items[4].amount_um, -1500000);
    assert_int_equal(links.items[4].result_um, depth.um);
    core.section_count = 1; /* the second one is still to come; the core is as long as stated */
    core.curated_um = 12 * METRE;
    const struct place first = {&hole, &core, 1, 3 * METRE};
    assert_int_equal(place_depth(&first, SCALE_CSF_B, NULL).um, 102500000);
    core.section_count = 2;
    core.curated_um = LENGTH_NONE;
    assert_int_equal(place_depth(&first, SCALE_CSF_B, NULL).um, 102500000);
    core.bottom_um = 3115 * METRE; /* short: never stretched */
    assert_int_equal(place_depth(&place, SCALE_CSF_B, NULL).um, 109 * METRE);
    core.bottom_um = 3100 * METRE; /* no advance at all */
    assert_int_equal(place_depth(&place, SCALE_CSF_B, NULL).um, 100 * METRE);
    core.bottom_um = 3110 * METRE; /* a sample past the end of the last section */
    const struct place past = {&hole, &core, 2, 6 * METRE + 2 * CENTIMETRE};
    assert_int_equal(place_depth(&past, SCALE_CSF_B, NULL).um, 110 * METRE);
}

/* A sample may end past its section; the run's bottom stands all the same, however well the core filled its run. */
static void a_sample_past_its_section_stays_in_the_run(void **state)
{
    (void)state;
    const struct hole hole = part_hole(3000 * METRE);
    for (int64_t short_by_um = -3 * CENTIMETRE; short_by_um <= 3 * CENTIMETRE; short_by_um += CENTIMETRE / 2) {
        struct section sections[] = {part_section(1, 10 * METRE)};
        const struct core core = part_core(3100 * METRE, 3110 * METRE + short_by_um, sections, 1);
        const struct place past = {&hole, &core, 1, 10 * METRE + 2 * CENTIMETRE};
        const int64_t um = place_depth(&past, SCALE_CSF_B, NULL).um;
        if (um > 110 * METRE + short_by_um)
            fail_msg("%d um short of its run: %d um below the run's bottom", (int)short_by_um,
                     (int)(um - 110 * METRE - short_by_um));
    }
}

static void short_cores_are_bounds(void **state)
{
    (void)state;
    struct section sections[] = {part_section(1, 2 * METRE)};
    struct hole hole = part_hole(3000 * METRE);
    struct core core = part_core(3100 * METRE, 3110 * METRE, sections, 1);
    const struct place place = {&hole, &core, 1, METRE};
    struct depth depth = place_depth(&place, SCALE_CSF_A, NULL);
    assert_int_equal(depth.um, 101 * METRE);
    assert_int_equal(depth.low_um, 101 * METRE);
    assert_int_equal(depth.high_um, 109 * METRE); /* 8 m were not recovered */
    hole.tolerance_um = 200000;
    hole.heave_um = 300000;
    depth = place_depth(&place, SCALE_CSF_A, NULL);
    assert_int_equal(depth.low_um, 100500000);
    assert_int_equal(depth.high_um, 109500000);
    core.advance_by = ADVANCE_UNKNOWN;
    struct depth_links links = {0};
    depth = place_depth(&place, SCALE_CSF_A, &links);
    assert_true(depth.um == 101 * METRE && depth.high_um == LENGTH_NONE);
    assert_int_equal(links.items[links.count - 1].input, INPUT_TOLERANCE);
    depth = place_depth(&place, SCALE_CSF_B, NULL);
    assert_true(depth.um == LENGTH_NONE && strstr(depth.why, "advance"));
}

static void loose_material_comes_from_anywhere(void **state)
{
    (void)state;
    struct section sections[] = {part_section(1, 2 * METRE)};
    const struct hole hole = part_hole(3000 * METRE);
    struct core core = part_core(3100 * METRE, 3150 * METRE, sections, 1);
    core.type = 'W';
    struct depth_links links = {0};
    const struct place place = {&hole, &core, 1, METRE};
    struct depth depth = place_depth(&place, SCALE_CSF_A, &links);
    assert_int_equal(depth.low_um, 100 * METRE);
    assert_int_equal(depth.high_um, 150 * METRE);
    assert_int_equal(links.items[links.count - 1].input, INPUT_WIDE);
    core.bottom_um = core.top_um;
    depth = place_depth(&place, SCALE_CSF_A, NULL);
    assert_int_equal(depth.high_um, depth.um); /* the bounds always hold the depth */
}

static void what_is_missing_is_named(void **state)
{
    (void)state;
    struct section sections[] = {part_section(1, LENGTH_NONE), part_section(2, METRE), part_section(3, LENGTH_NONE)};
    struct hole hole = part_hole(3000 * METRE);
    const struct core core = part_core(3100 * METRE, 3110 * METRE, sections, 3);
    const struct place first = {&hole, &core, 1, 0};
    const struct place second = {&hole, &core, 2, 0};
    assert_int_equal(place_depth(&first, SCALE_CSF_A, NULL).um, 100 * METRE);
    assert_non_null(strstr(place_depth(&second, SCALE_CSF_A, NULL).why, "section above"));
    assert_non_null(strstr(place_depth(&first, SCALE_CSF_B, NULL).why, "no curated length"));
    assert_int_equal(place_depth(&first, SCALE_DRF, NULL).um, 3100 * METRE);
    hole.seafloor_um = LENGTH_NONE;
    assert_non_null(strstr(place_depth(&first, SCALE_CSF_A, NULL).why, "seafloor"));
    for (int scale = 0; scale < SCALE_COUNT; scale++)
        assert_true(scale_words[scale][0] && scale_meanings[scale][0]);
    assert_null(scale_words[SCALE_COUNT]);
    assert_null(scale_meanings[SCALE_COUNT]);
}

/* Depths never decrease down a core, CSF-B stays between top and bottom, and the bounds hold the depth. */
static void depths_never_decrease_down_a_core(void **state)
{
    (void)state;
    uint64_t seed = 3;
    for (int round = 0; round < 3000; round++) {
        struct section sections[9];
        const size_t count = (size_t)random_within(&seed, 1, 9);
        for (size_t at = 0; at < count; at++)
            sections[at] = part_section((int32_t)at + 1, random_within(&seed, 0, 1600000));
        sections[count - 1].number = round % 3 ? sections[count - 1].number : SECTION_CATCHER;
        struct hole hole = part_hole(random_within(&seed, 0, 5000) * METRE);
        hole.tolerance_um = round % 4 ? LENGTH_NONE : random_within(&seed, 0, METRE);
        const int64_t top_um = hole.seafloor_um + random_within(&seed, 0, 1000 * METRE);
        struct core core = part_core(top_um, top_um + random_within(&seed, 0, 12 * METRE), sections, count);
        core.type = "HXRW"[round % 4];
        struct depth last[2] = {{.um = INT64_MIN}, {.um = INT64_MIN}};
        for (size_t at = 0; at < count; at++)
            for (int step = 0; step <= 5; step++) {
                const struct place place = {&hole, &core, sections[at].number, sections[at].curated_um * step / 5};
                for (int scale = 0; scale < 2; scale++) {
                    const struct depth depth = place_depth(&place, scale ? SCALE_CSF_B : SCALE_CSF_A, NULL);
                    assert_null(depth.why);
                    assert_true(depth.um >= last[scale].um);
                    assert_true(depth.low_um <= depth.um && depth.um <= depth.high_um);
                    last[scale] = depth;
                    assert_true(scale == 0 || depth.um <= core.bottom_um - hole.seafloor_um);
                }
            }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(drilled_depths_change_datum),
        cmocka_unit_test(long_cores_are_compressed_onto_the_advance),
        cmocka_unit_test(a_sample_past_its_section_stays_in_the_run),
        cmocka_unit_test(short_cores_are_bounds),
        cmocka_unit_test(loose_material_comes_from_anywhere),
        cmocka_unit_test(what_is_missing_is_named),
        cmocka_unit_test(depths_never_decrease_down_a_core),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
