/* SPDX-License-Identifier: MIT */
/* Seafloor and water depth of a hole, with the published water depths. */
#include "unit.h"

#include "parts.h"

static void water_depth_as_published(void **state)
{
    (void)state;
    static const struct {
        int64_t seafloor_um;
        int64_t rig_floor_um;
        const char *printed; /* one decimal: the tolerance is the last printed digit */
        const char *exact;
        const char *source;
    } rows[] = {
        {3033200000, 11640000, "3021.6", "3021.56", "Proc. IODP 342, Site U1408, operations"},
        {3033800000, 11690000, "3022.1", "3022.11", "Proc. IODP 342, Site U1408, operations"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct hole hole = part_hole(rows[at].seafloor_um);
        hole.rig_floor_um = rows[at].rig_floor_um;
        ROW(rows[at].printed, rows[at].source && rows[at].source[0]);
        ROW_TEXT(rows[at].printed, length_text(hole_water_depth(&hole), UNIT_M, 1).text, rows[at].printed);
        ROW_TEXT(rows[at].exact, length_text(hole_water_depth(&hole), UNIT_M, 2).text, rows[at].exact);
    }
}

static void mudline_core_sets_the_seafloor(void **state)
{
    (void)state;
    struct hole hole = part_hole(LENGTH_NONE);
    assert_true(hole_seafloor(&hole) == LENGTH_NONE);
    hole.seafloor_by = SEAFLOOR_MUDLINE;
    hole.mudline_bit_um = 3030 * METRE;
    hole.mudline_stroke_um = 9500000;
    assert_true(hole_seafloor(&hole) == LENGTH_NONE);
    hole.mudline_recovered_um = 6500000;
    assert_int_equal(hole_seafloor(&hole), 3033 * METRE);
    assert_true(hole_water_depth(&hole) == LENGTH_NONE);
    hole.rig_floor_um = 10 * METRE;
    assert_int_equal(hole_water_depth(&hole), 3023 * METRE);
    hole.seafloor_by = SEAFLOOR_TAGGED; /* the mudline readings count only for that method */
    assert_true(hole_seafloor(&hole) == LENGTH_NONE);
    hole.seafloor_um = 3034 * METRE;
    assert_int_equal(hole_seafloor(&hole), 3034 * METRE);
}

static void words_end_and_begin_empty(void **state)
{
    (void)state;
    assert_string_equal(returns_words[RETURNS_NONE], "");
    assert_string_equal(returns_words[RETURNS_SHIP], "ship");
    assert_null(returns_words[RETURNS_SHIP + 1]);
    assert_string_equal(seafloor_words[SEAFLOOR_OTHER], "other");
    assert_null(seafloor_words[SEAFLOOR_OTHER + 1]);
    assert_string_equal(datum_words[DATUM_SEAFLOOR], "seafloor");
    assert_null(datum_words[DATUM_SEAFLOOR + 1]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(water_depth_as_published),
        cmocka_unit_test(mudline_core_sets_the_seafloor),
        cmocka_unit_test(words_end_and_begin_empty),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
