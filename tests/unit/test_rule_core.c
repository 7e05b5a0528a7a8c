/* SPDX-License-Identifier: MIT */
/* The rules for holes, drilled intervals, and what a core recovered; each provoked, each silent at its limit. */
#include "rule_cases.h"

#include "coretally/base/limits.h"
#include "parts.h"

/* A core from 3100 to 3109.5 m in a hole with its seafloor at 3000 m, alone. */
static struct core plain(void)
{
    struct core core = part_core(3100 * METRE, 3109500000, NULL, 0);
    core.recovered_um = 9 * METRE;
    return core;
}

static void check(const struct core *core, struct findings *findings)
{
    const struct hole hole = part_hole(3000 * METRE);
    const struct core_neighbours around = {.above = NULL};
    core_check(&hole, core, &around, findings);
}

static void advance_typed_in_feet(struct findings *findings)
{
    struct core core = plain();
    core.bottom_um = core.top_um + 31200000;
    check(&core, findings);
}

static void recovery_typed_in_feet(struct findings *findings)
{
    struct core core = plain();
    core.recovered_um = 31 * METRE;
    check(&core, findings);
}

static void more_than_a_hundred_percent(struct findings *findings)
{
    struct core core = plain();
    core.recovered_um = 9900000;
    check(&core, findings);
}

static void exactly_a_hundred_percent(struct findings *findings)
{
    struct core core = plain();
    core.recovered_um = 9500000;
    check(&core, findings);
}

static void far_more_than_a_hundred_percent(struct findings *findings)
{
    struct core core = plain();
    core.recovered_um = 60 * METRE;
    check(&core, findings);
}

static void recovered_below_zero(struct findings *findings)
{
    struct core core = plain();
    core.recovered_um = -1;
    check(&core, findings);
}

static void empty_barrel_with_sections(struct findings *findings)
{
    struct section sections[] = {part_section(1, METRE)};
    struct core core = plain();
    core.sections = sections;
    core.section_count = 1;
    core.recovered_um = LENGTH_NONE;
    core.recovered_um = 0;
    check(&core, findings);
}

static void section_number_twice(struct findings *findings)
{
    struct section sections[] = {part_section(1, METRE), part_section(2, METRE), part_section(2, METRE)};
    struct core core = plain();
    core.sections = sections;
    core.section_count = 3;
    core.recovered_um = LENGTH_NONE;
    check(&core, findings);
}

static void two_catchers(struct findings *findings)
{
    struct section sections[] = {part_section(SECTION_CATCHER, METRE), part_section(SECTION_CATCHER, METRE)};
    struct core core = plain();
    core.sections = sections;
    core.section_count = 2;
    core.recovered_um = LENGTH_NONE;
    check(&core, findings);
}

static void one_of_two_withdrawn(struct findings *findings)
{
    struct section sections[] = {part_section(1, METRE), part_section(1, METRE)};
    struct core core = plain();
    core.sections = sections;
    core.section_count = 2;
    core.recovered_um = LENGTH_NONE;
    sections[0].withdrawn = "recut";
    check(&core, findings);
}

static void section_left_out(struct findings *findings)
{
    struct section sections[] = {part_section(1, METRE), part_section(3, METRE)};
    struct core core = plain();
    core.sections = sections;
    core.section_count = 2;
    core.recovered_um = LENGTH_NONE;
    check(&core, findings);
}

static void first_section_left_out(struct findings *findings)
{
    struct section sections[] = {part_section(2, METRE)};
    struct core core = plain();
    core.sections = sections;
    core.section_count = 1;
    core.recovered_um = LENGTH_NONE;
    check(&core, findings);
}

static void section_zero_and_catcher(struct findings *findings)
{
    struct section sections[] = {part_section(0, METRE), part_section(1, METRE), part_section(SECTION_CATCHER, METRE)};
    struct core core = plain();
    core.sections = sections;
    core.section_count = 3;
    core.recovered_um = LENGTH_NONE;
    check(&core, findings);
}

static void sections_exceed_the_stated_length(struct findings *findings)
{
    struct section sections[] = {part_section(1, METRE), part_section(2, METRE)};
    struct core core = plain();
    core.sections = sections;
    core.section_count = 2;
    core.recovered_um = LENGTH_NONE;
    core.curated_um = 2 * METRE - 1;
    check(&core, findings);
}

/* The first of the sections of a core whose curated length is stated; recovered is as long as curated. */
static void first_section_of_a_stated_length(struct findings *findings)
{
    struct section sections[] = {part_section(1, METRE)};
    struct core core = plain();
    core.sections = sections;
    core.section_count = 1;
    core.curated_um = core.recovered_um;
    check(&core, findings);
}

static void sections_fill_the_stated_length(struct findings *findings)
{
    struct section sections[] = {part_section(1, METRE), part_section(2, METRE)};
    struct core core = plain();
    core.sections = sections;
    core.section_count = 2;
    core.recovered_um = LENGTH_NONE;
    core.curated_um = 2 * METRE;
    check(&core, findings);
}

static void sections_do_not_add_up_to_recovered(struct findings *findings)
{
    struct section sections[] = {part_section(1, METRE)};
    struct core core = plain();
    core.sections = sections;
    core.section_count = 1;
    core.recovered_um = LENGTH_NONE;
    core.recovered_um = METRE + SUM_SLACK_UM + 1;
    check(&core, findings);
}

static void interval_of_the_core_above(struct findings *findings)
{
    struct hole hole = part_hole(LENGTH_NONE);
    struct core above = plain();
    struct core core = plain();
    above.number = 2;
    core.number = 3;
    const struct core_neighbours around = {.above = &above};
    core_check(&hole, &core, &around, findings);
}

static void inside_a_wash_core(struct findings *findings)
{
    struct hole hole = part_hole(LENGTH_NONE);
    struct core wash = plain();
    struct core core = plain();
    wash.number = 2;
    wash.type = 'W';
    wash.bottom_um += 20 * METRE;
    const struct core_neighbours around = {.wash = &wash};
    core_check(&hole, &core, &around, findings);
}

static void rig_floor_depth_typed_below_seafloor(struct findings *findings)
{
    struct hole hole = part_hole(3000 * METRE);
    struct core above = plain();
    struct core core = plain();
    above.number = core.number - 1;
    above.datum = DATUM_SEAFLOOR;
    above.top_um = 9 * METRE;
    above.bottom_um = 19 * METRE;
    core.datum = DATUM_SEAFLOOR;
    core.top_um = 3019 * METRE;
    core.bottom_um = 3028 * METRE;
    const struct core_neighbours around = {.above = &above};
    core_check(&hole, &core, &around, findings);
}

/* The same hole told from both datums: neighbours meet, nothing is found. */
static void core_above_from_another_datum(struct findings *findings)
{
    struct hole hole = part_hole(3000 * METRE);
    struct core above = plain();
    struct core core = plain();
    above.number = core.number - 1;
    above.datum = DATUM_RIG_FLOOR;
    above.top_um = 3009 * METRE;
    above.bottom_um = 3019 * METRE;
    core.datum = DATUM_SEAFLOOR;
    core.top_um = 19 * METRE;
    core.bottom_um = 28 * METRE;
    const struct core_neighbours around = {.above = &above};
    core_check(&hole, &core, &around, findings);
}

static void sections_hold_half_a_metre_too_much(struct findings *findings)
{
    struct section sections[] = {part_section(1, METRE)};
    struct core core = plain();
    core.sections = sections;
    core.section_count = 1;
    core.recovered_um = METRE - SUM_EXCESS_UM - 1;
    check(&core, findings);
}

static void rounding_of_tables(struct findings *findings)
{
    struct section sections[] = {part_section(1, METRE)};
    struct core core = plain();
    core.sections = sections;
    core.section_count = 1;
    core.recovered_um = LENGTH_NONE;
    core.recovered_um = METRE + SUM_SLACK_UM;
    check(&core, findings);
}

static void liners_do_not_add_up(struct findings *findings)
{
    struct section sections[] = {part_section(1, METRE)};
    struct core core = plain();
    core.sections = sections;
    core.section_count = 1;
    core.recovered_um = LENGTH_NONE;
    sections[0].liner_um = METRE;
    core.liner_um = 2 * METRE;
    check(&core, findings);
}

static void seafloor_without_method(struct findings *findings)
{
    struct hole hole = part_hole(METRE);
    hole.seafloor_by = SEAFLOOR_NONE;
    hole_check(&hole, findings);
}

static void method_without_seafloor(struct findings *findings)
{
    struct hole hole = part_hole(LENGTH_NONE);
    hole.seafloor_by = SEAFLOOR_CAMERA;
    hole_check(&hole, findings);
}

static void mudline_without_readings(struct findings *findings)
{
    struct hole hole = part_hole(LENGTH_NONE);
    hole.seafloor_by = SEAFLOOR_MUDLINE;
    hole_check(&hole, findings);
}

static void seafloor_given_twice(struct findings *findings)
{
    struct hole hole = part_hole(METRE);
    hole.mudline_bit_um = METRE;
    hole_check(&hole, findings);
}

static void seafloor_with_method(struct findings *findings)
{
    const struct hole hole = part_hole(METRE);
    hole_check(&hole, findings);
}

static void drilled_intervals_overlap(struct findings *findings)
{
    const struct drilled both[] = {{.number = 1, .top_um = 0, .bottom_um = 2},
                                   {.number = 2, .top_um = 1, .bottom_um = 3}};
    drilled_check(&both[0], both, 2, findings);
}

static void drilled_intervals_touch(struct findings *findings)
{
    const struct drilled both[] = {{.number = 1, .top_um = 0, .bottom_um = 2},
                                   {.number = 2, .top_um = 2, .bottom_um = 3}};
    drilled_check(&both[0], both, 2, findings);
}

static void drilled_interval_upside_down(struct findings *findings)
{
    const struct drilled interval = {.number = 1, .top_um = METRE, .bottom_um = METRE};
    drilled_check(&interval, NULL, 0, findings);
}

const struct rule_case core_cases[] = {
    {RULE_LOOKS_LIKE_FEET, false, "advance typed in feet", advance_typed_in_feet, "9.510 m typed in feet"},
    {RULE_LOOKS_LIKE_FEET, false, "recovery typed in feet", recovery_typed_in_feet, "feet typed as metres"},
    {RULE_RECOVERY_OVER, false, "more than a hundred percent", more_than_a_hundred_percent, "more than 100 %"},
    {RULE_RECOVERY_OVER, true, "exactly a hundred percent", exactly_a_hundred_percent, NULL},
    {RULE_RECOVERY_FAR_OVER, false, "far more than a hundred percent", far_more_than_a_hundred_percent, "once more"},
    {RULE_LENGTH_NEGATIVE, false, "recovered below zero", recovered_below_zero, "below zero"},
    {RULE_EMPTY_WITH_SECTIONS, false, "empty barrel with sections", empty_barrel_with_sections, "sections (1)"},
    {RULE_SECTION_TWICE, false, "section number twice", section_number_twice, "section 2 is recorded twice"},
    {RULE_SECTION_TWICE, false, "two catchers", two_catchers, "section CC is recorded twice"},
    {RULE_SECTION_TWICE, true, "one of two withdrawn", one_of_two_withdrawn, NULL},
    {RULE_SECTION_MISSING, false, "section left out", section_left_out, "record section 2"},
    {RULE_SECTION_MISSING, false, "first section left out", first_section_left_out, "record section 1"},
    {RULE_SECTION_MISSING, true, "section zero and catcher", section_zero_and_catcher, NULL},
    {RULE_CORE_OVERLAP_FAR, false, "the interval of the core above", interval_of_the_core_above, "core 2H"},
    {RULE_CORE_OVERLAP_FAR, false, "inside a wash core", inside_a_wash_core, "core 2W"},
    {RULE_DATUM_MIXED, false, "rig-floor depth below seafloor", rig_floor_depth_typed_below_seafloor, "rig-floor"},
    {RULE_DATUM_MIXED, true, "core above from another datum", core_above_from_another_datum, NULL},
    {RULE_CORE_GAP, true, "core above from another datum meets", core_above_from_another_datum, NULL},
    {RULE_SECTIONS_SUM, false, "sections exceed the stated length", sections_exceed_the_stated_length,
     "add up to 2.000 m"},
    {RULE_SECTIONS_SUM, true, "sections fill the stated length", sections_fill_the_stated_length, NULL},
    {RULE_SECTIONS_SUM, true, "first section of a stated length", first_section_of_a_stated_length, NULL},
    {RULE_SECTIONS_OPEN, false, "first section of a stated length", first_section_of_a_stated_length,
     "8.000 m of the stated 9.000 m have none yet"},
    {RULE_SECTIONS_OPEN, true, "sections fill the stated length", sections_fill_the_stated_length, NULL},
    {RULE_RECOVERED_SUM, true, "first section of a stated length", first_section_of_a_stated_length, NULL},
    {RULE_RECOVERED_SUM, false, "sections do not add up to recovered", sections_do_not_add_up_to_recovered,
     "recovered is"},
    {RULE_SECTIONS_EXCEED, false, "half a metre too much", sections_hold_half_a_metre_too_much, "were recovered"},
    {RULE_SECTIONS_EXCEED, true, "less than recovered", sections_do_not_add_up_to_recovered, NULL},
    {RULE_RECOVERED_SUM, true, "rounding of tables", rounding_of_tables, NULL},
    {RULE_LINER_SUM, false, "liners do not add up", liners_do_not_add_up, "2.000 m"},
    {RULE_SEAFLOOR_METHOD, false, "seafloor without method", seafloor_without_method, "no method"},
    {RULE_SEAFLOOR_METHOD, false, "method without seafloor", method_without_seafloor, "'camera' has no reading"},
    {RULE_SEAFLOOR_METHOD, false, "mudline without readings", mudline_without_readings, "--mudline-bit"},
    {RULE_SEAFLOOR_METHOD, false, "seafloor given twice", seafloor_given_twice, "given twice"},
    {RULE_SEAFLOOR_METHOD, true, "seafloor with method", seafloor_with_method, NULL},
    {RULE_DRILLED_OVERLAP, false, "drilled intervals overlap", drilled_intervals_overlap, "withdraw the other"},
    {RULE_DRILLED_OVERLAP, true, "drilled intervals touch", drilled_intervals_touch, NULL},
    {RULE_DEPTH_BACKWARDS, false, "drilled interval upside down", drilled_interval_upside_down, "does not lie below"},
    {.situation = NULL},
};

static void rules_are_provoked(void **state)
{
    (void)state;
    run_rule_cases(core_cases);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(rules_are_provoked)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
