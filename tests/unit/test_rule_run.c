/* SPDX-License-Identifier: MIT */
/* The rules of a coring run: its advance, its place in the hole, its neighbours; each provoked, each silent at its
 * limit. */
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

static void check(const struct core *core, const struct core *above, const struct core *below,
                  struct findings *findings)
{
    const struct hole hole = part_hole(3000 * METRE);
    const struct core_neighbours around = {.above = above, .below = below};
    core_check(&hole, core, &around, findings);
}

static void check_with_drilled(const struct core *core, int64_t top_m, int64_t bottom_m, struct findings *findings)
{
    const struct hole hole = part_hole(3000 * METRE);
    const struct drilled drilled = {
        .number = 1, .top_um = top_m * METRE, .bottom_um = bottom_m * METRE, .datum = DATUM_RIG_FLOOR};
    const struct core_neighbours around = {.drilled = &drilled, .drilled_count = 1};
    core_check(&hole, core, &around, findings);
}

static void bottom_above_top(struct findings *findings)
{
    struct core core = plain();
    core.bottom_um = 3099 * METRE;
    check(&core, NULL, NULL, findings);
}

static void plain_core(struct findings *findings)
{
    struct core core = plain();
    check(&core, NULL, NULL, findings);
}

static void no_advance(struct findings *findings)
{
    struct core core = plain();
    core.bottom_um = core.top_um;
    check(&core, NULL, NULL, findings);
}

static void advance_a_micrometre_too_long(struct findings *findings)
{
    struct core core = plain();
    core.bottom_um = core.top_um + ADVANCE_PLAIN_UM + 1;
    check(&core, NULL, NULL, findings);
}

static void advance_at_its_limit(struct findings *findings)
{
    struct core core = plain();
    core.bottom_um = core.top_um + ADVANCE_PLAIN_UM;
    check(&core, NULL, NULL, findings);
}

static void wash_core_may_be_long(struct findings *findings)
{
    struct core core = plain();
    core.bottom_um = core.top_um + 100 * METRE;
    core.type = 'W';
    check(&core, NULL, NULL, findings);
}

static void bottom_not_known(struct findings *findings)
{
    struct core core = plain();
    core.advance_by = ADVANCE_UNKNOWN;
    core.bottom_um = LENGTH_NONE;
    check(&core, NULL, NULL, findings);
}

static void top_above_the_seafloor(struct findings *findings)
{
    struct core core = plain();
    core.top_um = 100 * METRE;
    core.bottom_um = 109 * METRE;
    check(&core, NULL, NULL, findings);
}

static void depth_below_seafloor(struct findings *findings)
{
    struct core core = plain();
    core.top_um = 0;
    core.bottom_um = 9 * METRE;
    core.datum = DATUM_SEAFLOOR;
    check(&core, NULL, NULL, findings);
}

static void top_above_an_earlier_top(struct findings *findings)
{
    struct core core = plain();
    struct core above = plain();
    above.number = 2;
    above.top_um += 5 * METRE;
    check(&core, &above, NULL, findings);
}

static void order_explained(struct findings *findings)
{
    struct core core = plain();
    struct core above = plain();
    above.number = 2;
    above.top_um += 5 * METRE;
    core.order_note = "sidetrack";
    check(&core, &above, NULL, findings);
}

static void top_below_a_later_top(struct findings *findings)
{
    struct core core = plain();
    struct core below = plain();
    below.number = 4;
    below.top_um -= 5 * METRE;
    check(&core, NULL, &below, findings);
}

static void other_datum_not_compared(struct findings *findings)
{
    struct core core = plain();
    struct core above = plain();
    above.number = 2;
    above.top_um += 5 * METRE;
    above.datum = DATUM_SEAFLOOR;
    const struct hole hole = part_hole(LENGTH_NONE); /* with a seafloor they would be compared */
    const struct core_neighbours around = {.above = &above};
    core_check(&hole, &core, &around, findings);
}

static void top_above_the_bottom_of_the_one_above(struct findings *findings)
{
    struct core core = plain();
    struct core above = plain();
    above.number = 2;
    above.top_um -= 5 * METRE;
    above.bottom_um = core.top_um + 1;
    check(&core, &above, NULL, findings);
}

static void bottom_below_the_top_of_the_one_below(struct findings *findings)
{
    struct core core = plain();
    struct core below = plain();
    below.number = 4;
    below.top_um = core.bottom_um - 1;
    check(&core, NULL, &below, findings);
}

static void cores_that_touch(struct findings *findings)
{
    struct core core = plain();
    struct core above = plain();
    above.number = 2;
    above.top_um -= 9 * METRE;
    above.bottom_um = core.top_um;
    check(&core, &above, NULL, findings);
}

static void nothing_between_two_cores(struct findings *findings)
{
    struct core core = plain();
    struct core above = plain();
    above.number = 2;
    above.top_um -= 20 * METRE;
    above.bottom_um = core.top_um - 10 * METRE;
    check(&core, &above, NULL, findings);
}

static void gap_that_was_drilled(struct findings *findings)
{
    const struct core core = plain();
    check_with_drilled(&core, 3050, 3100, findings);
}

static void letter_not_in_the_list(struct findings *findings)
{
    struct core core = plain();
    core.type = 'Q';
    check(&core, NULL, NULL, findings);
}

static void core_on_a_drilled_interval(struct findings *findings)
{
    const struct core core = plain();
    check_with_drilled(&core, 3105, 3120, findings);
}

static void core_that_touches_a_drilled_interval(struct findings *findings)
{
    struct core core = plain();
    core.bottom_um = 3105 * METRE;
    check_with_drilled(&core, 3105, 3120, findings);
}

static void top_typed_in_feet(struct findings *findings)
{
    struct core core = plain();
    struct core above = plain();
    above.number = 2;
    core.top_um = 10190 * METRE;
    core.bottom_um = 10195 * METRE;
    check(&core, &above, NULL, findings);
}

const struct rule_case run_cases[] = {
    {RULE_DEPTH_BACKWARDS, false, "bottom above top", bottom_above_top, "lies above the top 3100.000 m"},
    {RULE_DEPTH_BACKWARDS, true, "plain core", plain_core, NULL},
    {RULE_ADVANCE_ZERO, false, "no advance", no_advance, "n/a"},
    {RULE_ADVANCE_LONG, false, "advance a micrometre too long", advance_a_micrometre_too_long, "longer than 20.000 m"},
    {RULE_ADVANCE_LONG, true, "advance at its limit", advance_at_its_limit, NULL},
    {RULE_ADVANCE_LONG, true, "wash core may be long", wash_core_may_be_long, NULL},
    {RULE_ADVANCE_OPEN, false, "bottom not known", bottom_not_known, "not known"},
    {RULE_ABOVE_SEAFLOOR, false, "top above the seafloor", top_above_the_seafloor, "--datum seafloor"},
    {RULE_ABOVE_SEAFLOOR, true, "depth below seafloor", depth_below_seafloor, NULL},
    {RULE_CORE_ORDER, false, "top above an earlier top", top_above_an_earlier_top, "--order-note"},
    {RULE_CORE_ORDER, true, "order explained", order_explained, NULL},
    {RULE_CORE_ORDER, false, "top below a later top", top_below_a_later_top, "later core 4H"},
    {RULE_CORE_ORDER, true, "other datum not compared", other_datum_not_compared, NULL},
    {RULE_CORE_OVERLAP, false, "top above the bottom of the one above", top_above_the_bottom_of_the_one_above,
     "core 2H"},
    {RULE_CORE_OVERLAP, false, "bottom below the top of the one below", bottom_below_the_top_of_the_one_below,
     "core 4H"},
    {RULE_CORE_OVERLAP, true, "cores that touch", cores_that_touch, NULL},
    {RULE_CORE_GAP, false, "nothing between two cores", nothing_between_two_cores,
     "drilled add U0012A 3090.000 3100.000"},
    {RULE_CORE_GAP, true, "gap that was drilled", gap_that_was_drilled, NULL},
    {RULE_CORE_LETTER, false, "letter not in the list", letter_not_in_the_list, "'Q'"},
    {RULE_CORE_ON_DRILLED, false, "core on a drilled interval", core_on_a_drilled_interval, "3105.000 to 3120.000"},
    {RULE_CORE_ON_DRILLED, true, "core that touches a drilled interval", core_that_touches_a_drilled_interval, NULL},
    {RULE_LOOKS_LIKE_FEET, false, "top typed in feet", top_typed_in_feet, "3.28 times"},
    {.situation = NULL},
};

static void rules_are_provoked(void **state)
{
    (void)state;
    run_rule_cases(run_cases);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(rules_are_provoked)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
