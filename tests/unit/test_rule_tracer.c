/* SPDX-License-Identifier: MIT */
/* The rules of tracers, pumps, sampling plans and trips; each provoked, each silent at its limit. */
#include "rule_cases.h"

#include "coretally/domain/lag_check.h"
#include "coretally/domain/lag_depth.h"
#include "parts.h"

#define MINUTE INT64_C(60000000)

/* Check 3, in at 10 minutes, finds this diameter where 311.15 mm are recorded; beside another check. */
static void judge(struct lag_check other, double effective_m, struct findings *findings)
{
    const struct lag_check check = {.number = 3, .in = {.utc_us = 10 * MINUTE, .known = true}};
    const struct lag_check_result result = {.nominal_m = isnan(effective_m) ? NAN : 0.31115,
                                            .effective_m = effective_m};
    lag_check_judge(&check, &other, 1, &result, findings);
}

static struct lag_check check_of(int32_t number, int64_t in_us)
{
    return (struct lag_check){.number = number, .in = {.utc_us = in_us, .known = true}};
}

static void half_as_wide_again_and_more(struct findings *findings)
{
    judge(check_of(2, 0), 0.31115 * 1.5 + 1e-4, findings);
}

static void half_as_wide_again(struct findings *findings)
{
    judge(check_of(2, 0), 0.31115 * 1.5 - 1e-9, findings);
}

static void narrower_than_the_bit(struct findings *findings)
{
    judge(check_of(2, 0), 0.31115 * 0.98 - 1e-4, findings);
}

static void narrower_than_the_bit_by_little(struct findings *findings)
{
    judge(check_of(2, 0), 0.31115 * 0.98 + 1e-9, findings);
}

static void no_open_hole(struct findings *findings)
{
    judge(check_of(2, 0), NAN, findings);
}

static void same_tracer_twice(struct findings *findings)
{
    judge(check_of(2, 10 * MINUTE), 0.31115, findings);
}

static void same_check(struct findings *findings)
{
    judge(check_of(3, 10 * MINUTE), 0.31115, findings);
}

static void tracer_a_microsecond_later(struct findings *findings)
{
    judge(check_of(2, 10 * MINUTE + 1), 0.31115, findings);
}

static void same_tracer_withdrawn(struct findings *findings)
{
    struct lag_check other = check_of(2, 10 * MINUTE);
    other.withdrawn = "typed twice";
    judge(other, 0.31115, findings);
}

static void judge_pump(double output_m3, struct findings *findings)
{
    const struct pump pump = {.name = "1", .kind = PUMP_MEASURED, .output_m3 = output_m3};
    pump_doubt(&pump, findings);
}

static void barrels_as_cubic_metres(struct findings *findings)
{
    judge_pump(0.102, findings);
}

static void as_much_as_pumps_deliver(struct findings *findings)
{
    judge_pump(0.05, findings);
}

static void output_worked_out(struct findings *findings)
{
    const struct pump pump = {.name = "1", .kind = PUMP_TRIPLEX, .output_m3 = NAN};
    pump_doubt(&pump, findings);
}

/* Two parts of a plan; LENGTH_NONE: goes on. */
static void check_plan(int64_t first_bottom_um, int64_t second_top_um, int64_t second_bottom_um,
                       struct findings *findings)
{
    struct sampling_plan plan[] = {{3000 * METRE, first_bottom_um, 5 * METRE},
                                   {second_top_um, second_bottom_um, 10 * METRE}};
    struct hole hole = part_hole(3000 * METRE);
    hole.plan = plan;
    hole.plan_count = COUNT_OF(plan);
    hole_check(&hole, findings);
}

static void parts_that_overlap(struct findings *findings)
{
    check_plan(3112 * METRE, 3112 * METRE - 1, LENGTH_NONE, findings);
}

static void parts_that_touch(struct findings *findings)
{
    check_plan(3112 * METRE, 3112 * METRE, LENGTH_NONE, findings);
}

static void part_below_one_that_goes_on(struct findings *findings)
{
    check_plan(LENGTH_NONE, 3112 * METRE, LENGTH_NONE, findings);
}

static void part_without_length(struct findings *findings)
{
    check_plan(3112 * METRE, 3200 * METRE, 3200 * METRE, findings);
}

static void first_part_upside_down(struct findings *findings)
{
    check_plan(2999 * METRE, 3200 * METRE, LENGTH_NONE, findings);
}

static void check_depth(bool has_returns, bool has_new_hole, double off_bottom_h, struct findings *findings)
{
    const struct hole hole = part_hole(3000 * METRE);
    const struct lag_depth depth = {.top_um = 3101 * METRE,
                                    .bottom_um = 3104 * METRE,
                                    .low_um = 3100 * METRE,
                                    .high_um = 3105 * METRE,
                                    .first = {.annulus_m3 = 300},
                                    .last = {.annulus_m3 = 300, .arrived_us = 10 * MINUTE, .at_shaker_us = 22 * MINUTE},
                                    .has_new_hole = has_new_hole,
                                    .has_returns = has_returns,
                                    .off_bottom_s = off_bottom_h * 3600};
    lag_depth_check(&hole, &depth, findings);
}

static void off_bottom_for_more_than_an_hour(struct findings *findings)
{
    check_depth(true, true, 1.001, findings);
}

static void off_bottom_for_an_hour(struct findings *findings)
{
    check_depth(true, true, 1, findings);
}

static void nothing_came_up_nor_was_drilled(struct findings *findings)
{
    check_depth(false, false, 0, findings);
}

static void nothing_was_drilled(struct findings *findings)
{
    check_depth(true, false, 0, findings);
}

static void a_log_of_next_year(struct findings *findings)
{
    log_check(INT64_C(365) * 24 * 3600 * 1000000, 0, findings);
}

static void an_hour_ahead(struct findings *findings)
{
    log_check(INT64_C(3600) * 1000000, 0, findings);
}

const struct rule_case tracer_cases[] = {
    {RULE_CHECK_FAR, false, "half as wide again and more", half_as_wide_again_and_more, "466.8 mm wide"},
    {RULE_CHECK_FAR, true, "half as wide again", half_as_wide_again, NULL},
    {RULE_CHECK_FAR, false, "narrower than the bit", narrower_than_the_bit, "--sure"},
    {RULE_CHECK_FAR, true, "narrower than the bit by little", narrower_than_the_bit_by_little, NULL},
    {RULE_CHECK_FAR, true, "no open hole", no_open_hole, NULL},
    {RULE_CHECK_TWICE, false, "same tracer twice", same_tracer_twice, "lag check 2"},
    {RULE_CHECK_TWICE, true, "same check", same_check, NULL},
    {RULE_CHECK_TWICE, true, "tracer a microsecond later", tracer_a_microsecond_later, NULL},
    {RULE_CHECK_TWICE, true, "same tracer withdrawn", same_tracer_withdrawn, NULL},
    {RULE_PUMP_LARGE, false, "barrels as cubic metres", barrels_as_cubic_metres, "0.102bbl/stk"},
    {RULE_PUMP_LARGE, true, "as much as pumps deliver", as_much_as_pumps_deliver, NULL},
    {RULE_PUMP_LARGE, true, "output worked out", output_worked_out, NULL},
    {RULE_PLAN_ORDER, false, "parts that overlap", parts_that_overlap, "part 2 of the plan, from 3112.000 m"},
    {RULE_PLAN_ORDER, true, "parts that touch", parts_that_touch, NULL},
    {RULE_PLAN_ORDER, false, "part below one that goes on", part_below_one_that_goes_on, "above it ends"},
    {RULE_PLAN_ORDER, false, "part without length", part_without_length, "does not end below its top"},
    {RULE_PLAN_ORDER, false, "first part upside down", first_part_upside_down, "part 1 of the plan"},
    {RULE_TRIP, false, "off bottom for more than an hour", off_bottom_for_more_than_an_hour, "for 1.0 h"},
    {RULE_TRIP, true, "off bottom for an hour", off_bottom_for_an_hour, NULL},
    {RULE_NO_RETURNS, false, "nothing came up nor was drilled", nothing_came_up_nor_was_drilled, "had come before"},
    {RULE_NO_NEW_HOLE, true, "nothing came up nor was drilled", nothing_came_up_nor_was_drilled, NULL},
    {RULE_NO_NEW_HOLE, false, "nothing was drilled", nothing_was_drilled, "no new hole"},
    {RULE_LOG_FUTURE, false, "a log of next year", a_log_of_next_year, "365 days after now"},
    {RULE_LOG_FUTURE, true, "an hour ahead", an_hour_ahead, NULL},
    {.situation = NULL},
};

static void rules_are_provoked(void **state)
{
    (void)state;
    run_rule_cases(tracer_cases);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(rules_are_provoked)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
