/* SPDX-License-Identifier: MIT */
/* The rules of what is taken at the shaker: windows of bags, and depths by lag; each provoked, each silent at its
 * limit. */
#include "rule_cases.h"

#include "coretally/base/limits.h"
#include "coretally/domain/lag_depth.h"
#include "parts.h"

#define SECOND INT64_C(1000000)
#define NOW_US (3600 * SECOND)

/* Number 7, collected from 600 to 1200 s; now is an hour. */
static struct bag plain_bag(void)
{
    return (struct bag){.kind = BAG_CUTTINGS,
                        .number = 7,
                        .from = {.utc_us = 600 * SECOND, .known = true},
                        .to = {.utc_us = 1200 * SECOND, .known = true},
                        .mass_g = NAN,
                        .volume_cm3 = NAN};
}

static struct bag bag_of(int32_t number, int64_t from_s, int64_t to_s)
{
    struct bag bag = plain_bag();
    bag.number = number;
    bag.from.utc_us = from_s * SECOND;
    bag.to.utc_us = to_s * SECOND;
    return bag;
}

static void check_alone(const struct bag *bag, struct findings *findings)
{
    bag_check(bag, NULL, 0, NOW_US, findings);
}

/* The plain bag beside another. */
static void check_beside(struct bag other, struct findings *findings)
{
    const struct bag bag = plain_bag();
    bag_check(&bag, &other, 1, NOW_US, findings);
}

static void bag_alone(struct findings *findings)
{
    const struct bag bag = plain_bag();
    check_alone(&bag, findings);
}

static void ends_before_it_begins(struct findings *findings)
{
    const struct bag bag = bag_of(7, 600, 540);
    check_alone(&bag, findings);
}

static void ends_when_it_begins(struct findings *findings)
{
    const struct bag bag = bag_of(7, 600, 600);
    check_alone(&bag, findings);
}

static void a_microsecond_after_now(struct findings *findings)
{
    struct bag bag = plain_bag();
    bag.to.utc_us = NOW_US + 1;
    check_alone(&bag, findings);
}

static void a_day_after_now(struct findings *findings)
{
    struct bag bag = plain_bag();
    bag.to.utc_us = NOW_US + 86400 * SECOND;
    check_alone(&bag, findings);
}

static void until_now(struct findings *findings)
{
    struct bag bag = plain_bag();
    bag.to.utc_us = NOW_US;
    check_alone(&bag, findings);
}

static void an_instant_after_now(struct findings *findings)
{
    struct bag bag = plain_bag();
    bag.from.utc_us = NOW_US + 60 * SECOND;
    bag.to = (struct instant){0};
    check_alone(&bag, findings);
}

static void an_instant_before_now(struct findings *findings)
{
    struct bag bag = plain_bag();
    bag.to = (struct instant){0};
    check_alone(&bag, findings);
}

static void overlaps_the_one_before(struct findings *findings)
{
    check_beside(bag_of(6, 0, 601), findings);
}

static void overlaps_the_one_after(struct findings *findings)
{
    check_beside(bag_of(8, 1199, 1800), findings);
}

static void lies_inside_another(struct findings *findings)
{
    check_beside(bag_of(9, 0, 1800), findings);
}

static void touches_the_one_before(struct findings *findings)
{
    check_beside(bag_of(6, 0, 600), findings);
}

static void touches_the_one_after(struct findings *findings)
{
    check_beside(bag_of(8, 1200, 1800), findings);
}

static void overlaps_itself(struct findings *findings)
{
    check_beside(plain_bag(), findings);
}

static void overlaps_a_withdrawn_one(struct findings *findings)
{
    struct bag other = bag_of(6, 0, 900);
    other.withdrawn = "typed twice";
    check_beside(other, findings);
}

static void instant_in_the_window(struct findings *findings)
{
    struct bag other = bag_of(6, 900, 0);
    other.to = (struct instant){0};
    check_beside(other, findings);
}

static void taken_late(struct findings *findings)
{
    struct bag bag = plain_bag();
    bag.bypassed = true;
    check_alone(&bag, findings);
}

/* 3101 to 3104 m, drilled as it should be; 300 m3 to come up. */
static struct lag_depth plain_depth(void)
{
    return (struct lag_depth){.top_um = 3101 * METRE,
                              .bottom_um = 3104 * METRE,
                              .low_um = 3100 * METRE,
                              .high_um = 3105 * METRE,
                              .first = {.annulus_m3 = 300},
                              .last = {.annulus_m3 = 300},
                              .has_new_hole = true,
                              .has_returns = true};
}

/* Planned: a bag every 5 m from 3000 to 3112 m, every 10 m from there to 3200 m, every 20 m from 3300 m on. */
static void check_depth(const struct lag_depth *depth, struct findings *findings)
{
    struct sampling_plan plan[] = {{3000 * METRE, 3112 * METRE, 5 * METRE},
                                   {3112 * METRE, 3200 * METRE, 10 * METRE},
                                   {3300 * METRE, LENGTH_NONE, 20 * METRE}};
    struct hole hole = part_hole(3000 * METRE);
    hole.plan = plan;
    hole.plan_count = COUNT_OF(plan);
    lag_depth_check(&hole, depth, findings);
}

static void check_between(int64_t top_um, int64_t bottom_um, struct findings *findings)
{
    struct lag_depth depth = plain_depth();
    depth.top_um = top_um;
    depth.bottom_um = bottom_um;
    check_depth(&depth, findings);
}

static void depth_as_it_should_be(struct findings *findings)
{
    const struct lag_depth depth = plain_depth();
    check_depth(&depth, findings);
}

static void depth_not_known(struct findings *findings)
{
    const struct lag_depth depth = {.top_um = LENGTH_NONE,
                                    .bottom_um = LENGTH_NONE,
                                    .low_um = LENGTH_NONE,
                                    .high_um = LENGTH_NONE,
                                    .why = "no pump log"};
    check_depth(&depth, findings);
    for (size_t at = 0; at < findings->count; at++) /* nothing else is known of it */
        assert_int_equal(findings->items[at].rule, RULE_LAG_UNKNOWN);
}

static void nothing_came_up(struct findings *findings)
{
    struct lag_depth depth = plain_depth();
    depth.has_returns = false;
    check_depth(&depth, findings);
}

static void nothing_was_drilled(struct findings *findings)
{
    struct lag_depth depth = plain_depth();
    depth.has_new_hole = false;
    check_depth(&depth, findings);
}

static void from_one_interval_into_the_next(struct findings *findings)
{
    check_between(3104 * METRE, 3105 * METRE + 1, findings);
}

static void to_the_end_of_its_interval(struct findings *findings)
{
    check_between(3100 * METRE, 3105 * METRE, findings);
}

static void from_a_short_last_interval_into_the_next_step(struct findings *findings)
{
    check_between(3111 * METRE, 3113 * METRE, findings);
}

static void inside_the_wider_step(struct findings *findings)
{
    check_between(3113 * METRE, 3122 * METRE, findings);
}

static void past_the_end_of_a_plan(struct findings *findings)
{
    check_between(3195 * METRE, 3205 * METRE, findings);
}

static void between_two_plans(struct findings *findings)
{
    check_between(3210 * METRE, 3290 * METRE, findings);
}

static void above_every_plan(struct findings *findings)
{
    check_between(2900 * METRE, 2990 * METRE, findings);
}

static void deep_in_a_plan_without_an_end(struct findings *findings)
{
    check_between(5310 * METRE, 5330 * METRE, findings);
}

static void no_plan(struct findings *findings)
{
    const struct hole hole = part_hole(3000 * METRE);
    struct lag_depth depth = plain_depth();
    depth.bottom_um = 3500 * METRE;
    lag_depth_check(&hole, &depth, findings);
}

static void after_cementing(struct findings *findings)
{
    struct lag_depth depth = plain_depth();
    depth.after_cement = true;
    check_depth(&depth, findings);
}

static void across_a_gap_of_the_log(struct findings *findings)
{
    struct lag_depth depth = plain_depth();
    depth.over_gap = true;
    check_depth(&depth, findings);
}

static void a_litre_more_than_a_hundredth_off_bottom(struct findings *findings)
{
    struct lag_depth depth = plain_depth();
    depth.off_bottom_m3 = 3.001;
    check_depth(&depth, findings);
}

static void a_hundredth_off_bottom(struct findings *findings)
{
    struct lag_depth depth = plain_depth();
    depth.off_bottom_m3 = 3;
    check_depth(&depth, findings);
}

const struct rule_case lag_cases[] = {
    {RULE_BAG_REVERSED, false, "ends before it begins", ends_before_it_begins, "ends 60 s before it begins"},
    {RULE_BAG_REVERSED, true, "ends when it begins", ends_when_it_begins, NULL},
    {RULE_BAG_REVERSED, true, "instant before now", an_instant_before_now, NULL},
    {RULE_BAG_FUTURE, false, "a microsecond after now", a_microsecond_after_now, "--sure"},
    {RULE_BAG_FUTURE, false, "a day after now", a_day_after_now, "24.0 h after now"},
    {RULE_BAG_FUTURE, false, "an instant after now", an_instant_after_now, "1 min after now"},
    {RULE_BAG_FUTURE, true, "until now", until_now, NULL},
    {RULE_BAG_FUTURE, true, "an instant before now", an_instant_before_now, NULL},
    {RULE_BAG_OVERLAP, false, "overlaps the one before", overlaps_the_one_before, "number 6"},
    {RULE_BAG_OVERLAP, false, "overlaps the one after", overlaps_the_one_after, "number 8"},
    {RULE_BAG_OVERLAP, false, "lies inside another", lies_inside_another, "--sure"},
    {RULE_BAG_OVERLAP, true, "touches the one before", touches_the_one_before, NULL},
    {RULE_BAG_OVERLAP, true, "touches the one after", touches_the_one_after, NULL},
    {RULE_BAG_OVERLAP, true, "overlaps itself", overlaps_itself, NULL},
    {RULE_BAG_OVERLAP, true, "overlaps a withdrawn one", overlaps_a_withdrawn_one, NULL},
    {RULE_BAG_OVERLAP, true, "instant in the window", instant_in_the_window, NULL},
    {RULE_BAG_LATE, false, "taken late", taken_late, "more than shown"},
    {RULE_BAG_LATE, true, "bag alone", bag_alone, NULL},
    {RULE_LAG_UNKNOWN, false, "depth not known", depth_not_known, "not known: no pump log"},
    {RULE_LAG_UNKNOWN, true, "depth as it should be", depth_as_it_should_be, NULL},
    {RULE_NO_RETURNS, false, "nothing came up", nothing_came_up, "nothing new came over the shaker"},
    {RULE_NO_RETURNS, true, "depth as it should be", depth_as_it_should_be, NULL},
    {RULE_NO_NEW_HOLE, false, "nothing was drilled", nothing_was_drilled, "no new hole"},
    {RULE_NO_NEW_HOLE, true, "depth as it should be", depth_as_it_should_be, NULL},
    {RULE_BAG_SPANS, false, "from one interval into the next", from_one_interval_into_the_next, "across 3105.00 m"},
    {RULE_BAG_SPANS, true, "to the end of its interval", to_the_end_of_its_interval, NULL},
    {RULE_BAG_SPANS, false, "from a short last interval into the next step",
     from_a_short_last_interval_into_the_next_step, "across 3112.00 m"},
    {RULE_BAG_SPANS, true, "inside the wider step", inside_the_wider_step, NULL},
    {RULE_BAG_SPANS, true, "past the end of a plan", past_the_end_of_a_plan, NULL},
    {RULE_BAG_SPANS, true, "between two plans", between_two_plans, NULL},
    {RULE_BAG_SPANS, true, "above every plan", above_every_plan, NULL},
    {RULE_BAG_SPANS, false, "deep in a plan without an end", deep_in_a_plan_without_an_end, "across 5320.00 m"},
    {RULE_BAG_SPANS, true, "no plan", no_plan, NULL},
    {RULE_AFTER_CEMENT, false, "after cementing", after_cementing, "expect cement"},
    {RULE_AFTER_CEMENT, true, "depth as it should be", depth_as_it_should_be, NULL},
    {RULE_LAG_GAP, false, "across a gap of the log", across_a_gap_of_the_log, "gap of the pump log"},
    {RULE_LAG_GAP, true, "depth as it should be", depth_as_it_should_be, NULL},
    {RULE_OFF_BOTTOM, false, "a litre more than a hundredth off bottom", a_litre_more_than_a_hundredth_off_bottom,
     "3.0 m3 were pumped with the bit more than 40 m off bottom"},
    {RULE_OFF_BOTTOM, true, "a hundredth off bottom", a_hundredth_off_bottom, NULL},
    {.situation = NULL},
};

static void rules_are_provoked(void **state)
{
    (void)state;
    run_rule_cases(lag_cases);
}

static void the_plain_ones_are_silent(void **state)
{
    (void)state;
    struct findings findings = {0};
    bag_alone(&findings);
    depth_as_it_should_be(&findings);
    assert_int_equal(findings.count, 0);
}

static void a_refused_window_is_not_judged_further(void **state)
{
    (void)state;
    struct bag bag = bag_of(7, 7200, 7100); /* after now, over another, late */
    const struct bag other = bag_of(6, 0, 9000);
    struct findings findings = {0};
    bag.bypassed = true;
    bag_check(&bag, &other, 1, NOW_US, &findings);
    assert_int_equal(findings.count, 1);
    assert_int_equal(findings_level(&findings), RULE_REFUSED);
}

static void one_overlap_is_told(void **state)
{
    (void)state;
    const struct bag bag = plain_bag();
    const struct bag others[] = {bag_of(1, 0, 10), bag_of(5, 0, 900), bag_of(6, 0, 1000)};
    struct findings findings = {0};
    bag_check(&bag, others, COUNT_OF(others), NOW_US, &findings);
    assert_int_equal(findings.count, 1);
    assert_non_null(strstr(findings.items[0].text, "number 5"));
}

static void depths_below_seafloor(void **state)
{
    (void)state;
    const struct hole hole = part_hole(3000 * METRE);
    const struct hole unknown = part_hole(LENGTH_NONE);
    assert_true(lag_depth_msf(&hole, 3101500000, 0) == 101500000);
    assert_true(lag_depth_msf(&hole, LENGTH_NONE, 0) == LENGTH_NONE);
    assert_true(lag_depth_msf(&unknown, 3101500000, 0) == LENGTH_NONE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rules_are_provoked),
        cmocka_unit_test(the_plain_ones_are_silent),
        cmocka_unit_test(a_refused_window_is_not_judged_further),
        cmocka_unit_test(one_overlap_is_told),
        cmocka_unit_test(depths_below_seafloor),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
