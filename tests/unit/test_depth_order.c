/* SPDX-License-Identifier: MIT */
/* Depths never decrease down a core, and CSF-B ends at the bottom of the run: of every core that can be typed, while
 * one made by hand is caught. */
#include "unit.h"

#include "coretally/domain/depth_order.h"
#include "parts.h"

static void any_typed_core_goes_down(void **state)
{
    (void)state;
    uint64_t chance = 7;
    const struct hole hole = part_hole(3000 * METRE);
    struct depth_step step;
    for (int round = 0; round < 5000; round++) {
        struct section sections[9];
        const size_t count = (size_t)random_within(&chance, 0, 9);
        for (size_t at = 0; at < count; at++)
            sections[at] = part_section((int32_t)at + 1, random_within(&chance, 0, 1600000));
        const int64_t top_um = 3000 * METRE + random_within(&chance, 0, 900 * METRE);
        const struct core core = part_core(top_um, top_um + random_within(&chance, 0, 10 * METRE), sections, count);
        assert_false(core_depths_decrease(&hole, &core, SCALE_CSF_A, &step));
        assert_false(core_depths_decrease(&hole, &core, SCALE_CSF_B, &step));
        assert_false(core_passes_bottom(&hole, &core, &step));
    }
}

static void length_below_zero_is_met(void **state)
{
    (void)state;
    struct section sections[] = {part_section(1, 2 * METRE), part_section(2, -METRE)};
    const struct hole hole = part_hole(3000 * METRE);
    const struct core core = part_core(3100 * METRE, 3110 * METRE, sections, 2);
    struct depth_step step = {0};
    assert_true(core_depths_decrease(&hole, &core, SCALE_CSF_A, &step));
    assert_int_equal(step.section, 2);
    assert_int_equal(step.above_um, 102 * METRE);
    assert_int_equal(step.below_um, 101 * METRE);
    sections[1].withdrawn = "by hand";
    assert_false(core_depths_decrease(&hole, &core, SCALE_CSF_A, &step));
}

/* The chain ends CSF-B at the bottom of the run even where that lies above its top. */
static void run_upside_down_ends_at_its_bottom(void **state)
{
    (void)state;
    struct section sections[] = {part_section(1, 2 * METRE), part_section(2, METRE)};
    const struct hole hole = part_hole(3000 * METRE);
    const struct core core = part_core(3100 * METRE, 3098 * METRE, sections, 2);
    struct depth_step step = {0};
    assert_false(core_passes_bottom(&hole, &core, &step));
}

static void what_is_not_known_is_passed_over(void **state)
{
    (void)state;
    struct section sections[] = {part_section(1, LENGTH_NONE), part_section(2, METRE)};
    const struct hole hole = part_hole(LENGTH_NONE);
    const struct core core = part_core(3100 * METRE, LENGTH_NONE, sections, 2);
    struct depth_step step;
    assert_false(core_depths_decrease(&hole, &core, SCALE_CSF_A, &step));
    assert_false(core_passes_bottom(&hole, &core, &step));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(any_typed_core_goes_down),
        cmocka_unit_test(length_below_zero_is_met),
        cmocka_unit_test(run_upside_down_ends_at_its_bottom),
        cmocka_unit_test(what_is_not_known_is_passed_over),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
