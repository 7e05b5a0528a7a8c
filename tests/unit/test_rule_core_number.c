/* SPDX-License-Identifier: MIT */
/* The rule for numbers of cores that were passed over. */
#include "rule_cases.h"

#include "parts.h"

static void check(int32_t number, int32_t below, struct findings *findings)
{
    struct core core = part_core(3100 * METRE, 3109500000, NULL, 0);
    core.number = number;
    core_number_check(&core, below, findings);
}

static void one_number_passed_over(struct findings *findings)
{
    check(14, 12, findings);
}

static void two_numbers_passed_over(struct findings *findings)
{
    check(3, 0, findings);
}

static void four_numbers_passed_over(struct findings *findings)
{
    check(17, 12, findings);
}

static void the_next_number(struct findings *findings)
{
    check(13, 12, findings);
}

static void the_first_number(struct findings *findings)
{
    check(1, 0, findings);
}

const struct rule_case core_number_cases[] = {
    {RULE_CORE_SKIPPED, false, "one number", one_number_passed_over, "U0012A-13 is not recorded: number skipped?"},
    {RULE_CORE_SKIPPED, false, "the first two", two_numbers_passed_over, "U0012A-1 and 2 are not recorded"},
    {RULE_CORE_SKIPPED, false, "four numbers", four_numbers_passed_over, "U0012A-13 to 16 are not recorded"},
    {RULE_CORE_SKIPPED, true, "the next number", the_next_number, NULL},
    {RULE_CORE_SKIPPED, true, "the first number", the_first_number, NULL},
    {.situation = NULL},
};

#ifndef CASES_ONLY
static void rules_are_provoked(void **state)
{
    (void)state;
    run_rule_cases(core_number_cases);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(rules_are_provoked)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
#endif
