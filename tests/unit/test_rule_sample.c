/* SPDX-License-Identifier: MIT */
/* The rules for samples, each provoked and each kept silent at its limit. */
#include "rule_cases.h"

#include "coretally/base/limits.h"
#include "parts.h"

/* A sample against one section of 150 cm (or the given one) and at most one other sample. */
static void check(const struct sample *sample, struct section section, const struct sample *other,
                  const struct sample *parent, struct findings *findings)
{
    const struct core core = part_core(0, 10 * METRE, &section, 1);
    sample_check(&core, sample, other, other ? 1 : 0, 1, parent, findings);
}

static struct section plain(void)
{
    return part_section(1, 150 * CENTIMETRE);
}

static void bottom_above_top(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 47, 45);
    check(&sample, plain(), NULL, NULL, findings);
}

static void above_the_section(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, -2, 5);
    check(&sample, plain(), NULL, NULL, findings);
}

static void past_the_section(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 150, 153);
    check(&sample, plain(), NULL, NULL, findings);
}

static void a_micrometre_past_the_allowance(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 140, 140);
    sample.bottom_um = 150 * CENTIMETRE + SAMPLE_PAST_END_UM + 1;
    check(&sample, plain(), NULL, NULL, findings);
}

static void at_the_allowance(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 140, 140);
    sample.bottom_um = 150 * CENTIMETRE + SAMPLE_PAST_END_UM;
    check(&sample, plain(), NULL, NULL, findings);
}

static void above_a_section_of_unknown_length(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, -2, 5);
    check(&sample, part_section(1, LENGTH_NONE), NULL, NULL, findings);
}

static void section_of_unknown_length(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 500, 600);
    check(&sample, part_section(1, LENGTH_NONE), NULL, NULL, findings);
}

static void a_little_past_the_end(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 149, 151);
    check(&sample, plain(), NULL, NULL, findings);
}

static void to_the_end(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 149, 150);
    check(&sample, plain(), NULL, NULL, findings);
}

static void no_length(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 45, 45);
    check(&sample, plain(), NULL, NULL, findings);
}

static void metres_typed_as_centimetres(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 0, 0);
    sample.top_um = 4500; /* 0.45 cm, meant as 0.45 m */
    sample.bottom_um = 4700;
    check(&sample, plain(), NULL, NULL, findings);
}

static void shares_an_interval(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 45, 47);
    struct sample other = part_sample(1, HALF_WORKING, 46, 48);
    check(&sample, plain(), &other, NULL, findings);
}

static void same_point(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 45, 45);
    struct sample other = part_sample(1, HALF_WORKING, 45, 45);
    check(&sample, plain(), &other, NULL, findings);
}

static void touches_another(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 45, 47);
    struct sample other = part_sample(1, HALF_WORKING, 47, 48);
    check(&sample, plain(), &other, NULL, findings);
}

static void other_half(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 45, 47);
    struct sample other = part_sample(1, HALF_ARCHIVE, 45, 47);
    check(&sample, plain(), &other, NULL, findings);
}

static void other_withdrawn(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 45, 47);
    struct sample other = part_sample(1, HALF_WORKING, 45, 47);
    other.withdrawn = "lost";
    check(&sample, plain(), &other, NULL, findings);
}

static void in_a_whole_round_of_the_section(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 45, 47);
    struct section section = plain();
    struct whole_round round = {.top_um = 40 * CENTIMETRE, .bottom_um = 50 * CENTIMETRE, .purpose = "microbiology"};
    section.rounds = &round;
    section.round_count = 1;
    check(&sample, section, NULL, NULL, findings);
}

static void in_a_whole_round_sample(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 45, 47);
    struct sample other = part_sample(1, HALF_WHOLE, 40, 50);
    check(&sample, plain(), &other, NULL, findings);
}

static void whole_round_of_what_was_sampled(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WHOLE, 40, 50);
    struct sample other = part_sample(1, HALF_ARCHIVE, 45, 47);
    check(&sample, plain(), &other, NULL, findings);
}

static void below_a_whole_round(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 50, 52);
    struct section section = plain();
    struct whole_round round = {.top_um = 40 * CENTIMETRE, .bottom_um = 50 * CENTIMETRE, .purpose = "microbiology"};
    section.rounds = &round;
    section.round_count = 1;
    check(&sample, section, NULL, NULL, findings);
}

static void used_up(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 45, 47);
    struct sample other = part_sample(1, HALF_WORKING, 40, 50);
    other.used_up = true;
    check(&sample, plain(), &other, NULL, findings);
}

static void used_up_in_the_other_half(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 45, 47);
    struct sample other = part_sample(1, HALF_ARCHIVE, 40, 50);
    other.used_up = true;
    check(&sample, plain(), &other, NULL, findings);
}

static void parent_used_up(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 45, 47);
    struct sample parent = part_sample(1, HALF_WORKING, 45, 47);
    parent.used_up = true;
    check(&sample, plain(), NULL, &parent, findings);
}

static void in_a_void(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 42, 47);
    struct section section = plain();
    struct gap gap = {.top_um = 40 * CENTIMETRE, .bottom_um = 50 * CENTIMETRE};
    section.gaps = &gap;
    section.gap_count = 1;
    check(&sample, section, NULL, NULL, findings);
}

static void partly_in_a_void(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 35, 47);
    struct section section = plain();
    struct gap gap = {.top_um = 40 * CENTIMETRE, .bottom_um = 50 * CENTIMETRE};
    section.gaps = &gap;
    section.gap_count = 1;
    check(&sample, section, NULL, NULL, findings);
}

static void void_pushed_shut(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 42, 47);
    struct section section = plain();
    struct gap gap = {.top_um = 40 * CENTIMETRE, .bottom_um = 50 * CENTIMETRE};
    section.gaps = &gap;
    section.gap_count = 1;
    gap.closed = true;
    check(&sample, section, NULL, NULL, findings);
}

static void empty_barrel(struct findings *findings)
{
    struct core core = part_core(0, 10 * METRE, NULL, 0);
    core.recovered_um = 0;
    const struct sample sample = part_sample(1, HALF_WORKING, 45, 47);
    sample_check(&core, &sample, NULL, 0, 0, NULL, findings);
}

static void outside_its_parent(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 44, 47);
    const struct sample parent = part_sample(1, HALF_WORKING, 45, 47);
    check(&sample, plain(), NULL, &parent, findings);
}

static void all_of_its_parent(struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, 45, 47);
    const struct sample parent = part_sample(1, HALF_WORKING, 45, 47);
    check(&sample, plain(), NULL, &parent, findings);
}

static void check_sub(int64_t top_cm, int64_t bottom_cm, int64_t parent_top_cm, int64_t parent_bottom_cm,
                      struct findings *findings)
{
    struct sample sample = part_sample(1, HALF_WORKING, top_cm, bottom_cm);
    const struct sample parent = part_sample(1, HALF_WORKING, parent_top_cm, parent_bottom_cm);
    check(&sample, plain(), NULL, &parent, findings);
}

static void sub_sample_upside_down(struct findings *findings)
{
    check_sub(46, 45, 44, 47, findings);
}

static void sub_sample_of_one_upside_down(struct findings *findings)
{
    check_sub(47, 44, 47, 44, findings); /* as its parent came from an archive: not its own doing */
}

static void sub_sample_without_length(struct findings *findings)
{
    check_sub(45, 45, 44, 47, findings);
}

static void sub_sample_of_one_without_length(struct findings *findings)
{
    check_sub(45, 45, 45, 45, findings);
}

const struct rule_case sample_cases[] = {
    {RULE_SAMPLE_REVERSED, false, "bottom above top", bottom_above_top, "lies above the top"},
    {RULE_SAMPLE_REVERSED, false, "sub-sample upside down", sub_sample_upside_down, "lies above the top"},
    {RULE_SAMPLE_REVERSED, true, "sub-sample of one upside down", sub_sample_of_one_upside_down, NULL},
    {RULE_SAMPLE_OUTSIDE, false, "above the section", above_the_section, "is 0-150.0 cm"},
    {RULE_SAMPLE_OUTSIDE, false, "past the section", past_the_section, "outside section 1"},
    {RULE_SAMPLE_OUTSIDE, false, "a micrometre past the allowance", a_micrometre_past_the_allowance, "section 1"},
    {RULE_SAMPLE_OUTSIDE, true, "at the allowance", at_the_allowance, NULL},
    {RULE_SAMPLE_OUTSIDE, false, "above a section of unknown length", above_a_section_of_unknown_length, "starts at 0"},
    {RULE_SAMPLE_OUTSIDE, true, "section of unknown length", section_of_unknown_length, NULL},
    {RULE_SAMPLE_PAST_END, false, "a little past the end", a_little_past_the_end, "1.0 cm past"},
    {RULE_SAMPLE_PAST_END, true, "to the end", to_the_end, NULL},
    {RULE_SAMPLE_NO_LENGTH, false, "no length", no_length, "no length"},
    {RULE_SAMPLE_NO_LENGTH, false, "sub-sample without length", sub_sample_without_length, "no length"},
    {RULE_SAMPLE_NO_LENGTH, true, "sub-sample of one without length", sub_sample_of_one_without_length, NULL},
    {RULE_SAMPLE_METRES, false, "metres typed", metres_typed_as_centimetres, "type 45-47"},
    {RULE_SAMPLE_SHARES, false, "shares an interval", shares_an_interval, "1W,46-48"},
    {RULE_SAMPLE_SHARES, false, "same point", same_point, "1W,45-45"},
    {RULE_SAMPLE_SHARES, true, "touches another", touches_another, NULL},
    {RULE_SAMPLE_SHARES, true, "other half", other_half, NULL},
    {RULE_SAMPLE_SHARES, true, "other withdrawn", other_withdrawn, NULL},
    {RULE_SAMPLE_IN_ROUND, false, "in a whole round of the section", in_a_whole_round_of_the_section,
     "for microbiology"},
    {RULE_SAMPLE_IN_ROUND, false, "in a whole round sample", in_a_whole_round_sample, "1WR,40-50"},
    {RULE_SAMPLE_IN_ROUND, false, "whole round of what was sampled", whole_round_of_what_was_sampled,
     "already sampled"},
    {RULE_SAMPLE_IN_ROUND, true, "below a whole round", below_a_whole_round, NULL},
    {RULE_SAMPLE_USED_UP, false, "used up", used_up, "1W,40-50"},
    {RULE_SAMPLE_USED_UP, true, "used up in the other half", used_up_in_the_other_half, NULL},
    {RULE_SAMPLE_USED_UP, false, "parent used up", parent_used_up, "its parent 1W,45-47"},
    {RULE_SAMPLE_IN_VOID, false, "in a void", in_a_void, "40.0-50.0 cm is a void"},
    {RULE_SAMPLE_IN_VOID, true, "partly in a void", partly_in_a_void, NULL},
    {RULE_SAMPLE_IN_VOID, true, "void pushed shut", void_pushed_shut, NULL},
    {RULE_SAMPLE_EMPTY_CORE, false, "empty barrel", empty_barrel, "core 3H recovered nothing"},
    {RULE_SAMPLE_OUTSIDE_PARENT, false, "outside its parent", outside_its_parent, "outside its parent"},
    {RULE_SAMPLE_OUTSIDE_PARENT, true, "all of its parent", all_of_its_parent, NULL},
    {.situation = NULL},
};

static void rules_are_provoked(void **state)
{
    (void)state;
    run_rule_cases(sample_cases);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(rules_are_provoked)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
