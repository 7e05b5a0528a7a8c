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

/* Core 3 of part_core is to become core 5. */
static void renumber(struct correction correction, struct findings *findings)
{
    const struct core core = part_core(3100 * METRE, 3109500000, NULL, 0);
    correction.number = 7;
    core_number_corrected(&core, 5, &correction, 1, findings);
}

static void a_shift_names_it(struct findings *findings)
{
    renumber((struct correction){.kind = CORRECTION_SHIFT, .core = 3}, findings);
}

static void a_withdrawn_shift_names_it(struct findings *findings)
{
    renumber((struct correction){.kind = CORRECTION_SHIFT, .core = 3, .withdrawn = "of another hole"}, findings);
}

static void a_composite_has_its_offset(struct findings *findings)
{
    struct core_offset offsets[] = {{.core = 2}, {.core = 3}};
    renumber((struct correction){.kind = CORRECTION_COMPOSITE, .offsets = offsets, .offset_count = 2}, findings);
}

static void a_splice_takes_of_it(struct findings *findings)
{
    struct splice_interval intervals[] = {{.core = 3}};
    renumber((struct correction){.kind = CORRECTION_SPLICE, .intervals = intervals, .interval_count = 1}, findings);
}

static void a_composite_has_the_new_number(struct findings *findings)
{
    struct core_offset offsets[] = {{.core = 5}};
    renumber((struct correction){.kind = CORRECTION_COMPOSITE, .offsets = offsets, .offset_count = 1}, findings);
}

static void a_tally_ends_before_the_new_number(struct findings *findings)
{
    renumber((struct correction){.kind = CORRECTION_TALLY, .last_core = 4}, findings);
}

static void a_tally_begins_after_the_old_number(struct findings *findings)
{
    renumber((struct correction){.kind = CORRECTION_TALLY, .first_core = 4}, findings);
}

static void a_tally_holds_for_both_numbers(struct findings *findings)
{
    renumber((struct correction){.kind = CORRECTION_TALLY, .first_core = 3, .last_core = 5}, findings);
}

static void again(int64_t top_um, struct findings *findings)
{
    struct core former = part_core(3100 * METRE, 3109500000, NULL, 0);
    const struct core core = part_core(top_um, 3119000000, NULL, 0);
    former.number = 4;
    core_again_check(&core, &former, findings);
}

static void typed_again_under_the_old_name(struct findings *findings)
{
    again(3100 * METRE, findings);
}

static void another_core_under_the_old_name(struct findings *findings)
{
    again(3109500000, findings);
}

const struct rule_case core_number_cases[] = {
    {RULE_CORE_CORRECTED, false, "a shift", a_shift_names_it, "correction 7 (shift) names core 3"},
    {RULE_CORE_CORRECTED, true, "a withdrawn shift", a_withdrawn_shift_names_it, NULL},
    {RULE_CORE_CORRECTED, false, "an offset", a_composite_has_its_offset, "correction withdraw U0012A 7"},
    {RULE_CORE_CORRECTED, false, "a splice", a_splice_takes_of_it, "7 (splice)"},
    {RULE_CORE_COVERED, false, "the new offset", a_composite_has_the_new_number, "names core 5"},
    {RULE_CORE_COVERED, false, "a tally before", a_tally_ends_before_the_new_number, "core 3 and not for core 5"},
    {RULE_CORE_COVERED, false, "a tally after", a_tally_begins_after_the_old_number, "core 5 and not for core 3"},
    {RULE_CORE_COVERED, true, "a tally of both", a_tally_holds_for_both_numbers, NULL},
    {RULE_CORE_AGAIN, false, "typed again", typed_again_under_the_old_name, "which was 3H before"},
    {RULE_CORE_AGAIN, true, "another core", another_core_under_the_old_name, NULL},
    {RULE_CORE_SKIPPED, false, "one number", one_number_passed_over, "U0012A-13 is not recorded: number skipped?"},
    {RULE_CORE_SKIPPED, false, "the first two", two_numbers_passed_over, "U0012A-1 and 2 are not recorded"},
    {RULE_CORE_SKIPPED, false, "four numbers", four_numbers_passed_over, "U0012A-13 to 16 are not recorded"},
    {RULE_CORE_SKIPPED, true, "the next number", the_next_number, NULL},
    {RULE_CORE_SKIPPED, true, "the first number", the_first_number, NULL},
    {.situation = NULL},
};

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
