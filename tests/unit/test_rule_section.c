/* SPDX-License-Identifier: MIT */
/* The rules for what is inside a section, each provoked and each kept silent at its limit. */
#include "rule_cases.h"

#include "coretally/base/limits.h"
#include "parts.h"

static void curated_below_zero(struct findings *findings)
{
    struct section section = part_section(4, -METRE);
    section_check(&section, findings);
}

static void liner_below_zero(struct findings *findings)
{
    struct section section = part_section(4, 150 * CENTIMETRE);
    section.liner_um = -1;
    section_check(&section, findings);
}

static void section_in_centimetres(struct findings *findings)
{
    struct section section = part_section(4, 150 * METRE);
    section_check(&section, findings);
}

static void section_too_long(struct findings *findings)
{
    struct section section = part_section(4, 6 * METRE);
    section_check(&section, findings);
}

static void section_at_its_limit(struct findings *findings)
{
    struct section section = part_section(4, SECTION_PLAIN_UM);
    section_check(&section, findings);
}

static void section_in_feet(struct findings *findings)
{
    struct section section = part_section(4, 4920000);
    section_check(&section, findings);
}

static void section_just_too_long(struct findings *findings)
{
    struct section section = part_section(4, SECTION_PLAIN_UM + 1);
    section_check(&section, findings);
}

static void void_past_the_end(struct findings *findings)
{
    struct section section = part_section(4, 150 * CENTIMETRE);
    struct gap gap = {.top_um = 140 * CENTIMETRE, .bottom_um = 151 * CENTIMETRE};
    section.gaps = &gap;
    section.gap_count = 1;
    section_check(&section, findings);
}

static void void_upside_down(struct findings *findings)
{
    struct section section = part_section(4, 150 * CENTIMETRE);
    struct gap gap = {.top_um = 20 * CENTIMETRE, .bottom_um = 10 * CENTIMETRE};
    section.gaps = &gap;
    section.gap_count = 1;
    section_check(&section, findings);
}

static void void_in_a_section_of_unknown_length(struct findings *findings)
{
    struct section section = part_section(4, LENGTH_NONE);
    struct gap gap = {.top_um = -CENTIMETRE, .bottom_um = 10 * CENTIMETRE};
    section.gaps = &gap;
    section.gap_count = 1;
    section_check(&section, findings);
}

static void void_above_the_top(struct findings *findings)
{
    struct section section = part_section(4, 150 * CENTIMETRE);
    struct gap gap = {.top_um = -1, .bottom_um = 10 * CENTIMETRE};
    section.gaps = &gap;
    section.gap_count = 1;
    section_check(&section, findings);
}

static void void_at_the_end(struct findings *findings)
{
    struct section section = part_section(4, 150 * CENTIMETRE);
    struct gap gap = {.top_um = 140 * CENTIMETRE, .bottom_um = 150 * CENTIMETRE};
    section.gaps = &gap;
    section.gap_count = 1;
    section_check(&section, findings);
}

static void void_in_the_longer_liner(struct findings *findings)
{
    struct section section = part_section(4, 150 * CENTIMETRE);
    section.liner_um = 155 * CENTIMETRE;
    struct gap gap = {.top_um = 150 * CENTIMETRE, .bottom_um = 155 * CENTIMETRE};
    section.gaps = &gap;
    section.gap_count = 1;
    section_check(&section, findings);
}

static void whole_round_past_the_end(struct findings *findings)
{
    struct section section = part_section(4, 150 * CENTIMETRE);
    struct whole_round rounds[] = {{.top_um = METRE, .bottom_um = 2 * METRE}};
    section.rounds = rounds;
    section.round_count = 1;
    section_check(&section, findings);
}

static void whole_round_of_unknown_room(struct findings *findings)
{
    struct section section = part_section(4, LENGTH_NONE);
    struct whole_round rounds[] = {{.top_um = -METRE, .bottom_um = 0}};
    section.rounds = rounds;
    section.round_count = 1;
    section_check(&section, findings);
}

static void whole_rounds_overlap(struct findings *findings)
{
    struct section section = part_section(4, 150 * CENTIMETRE);
    struct whole_round rounds[] = {{.top_um = 0, .bottom_um = 20 * CENTIMETRE},
                                   {.top_um = 10 * CENTIMETRE, .bottom_um = 30 * CENTIMETRE}};
    section.rounds = rounds;
    section.round_count = 2;
    section_check(&section, findings);
}

static void whole_rounds_touch(struct findings *findings)
{
    struct section section = part_section(4, 150 * CENTIMETRE);
    struct whole_round rounds[] = {{.top_um = 0, .bottom_um = 20 * CENTIMETRE},
                                   {.top_um = 20 * CENTIMETRE, .bottom_um = 30 * CENTIMETRE}};
    section.rounds = rounds;
    section.round_count = 2;
    section_check(&section, findings);
}

static void pieces_out_of_order(struct findings *findings)
{
    struct section section = part_section(4, 2 * METRE);
    struct piece pieces[] = {{2, METRE, LENGTH_NONE}, {1, METRE, LENGTH_NONE}};
    section.pieces = pieces;
    section.piece_count = 2;
    section_check(&section, findings);
}

static void piece_twice(struct findings *findings)
{
    struct section section = part_section(4, 2 * METRE);
    struct piece pieces[] = {{1, METRE, LENGTH_NONE}, {1, METRE, LENGTH_NONE}};
    section.pieces = pieces;
    section.piece_count = 2;
    section_check(&section, findings);
}

static void piece_below_zero(struct findings *findings)
{
    struct section section = part_section(4, 150 * CENTIMETRE);
    struct piece pieces[] = {{1, -1, LENGTH_NONE}};
    section.pieces = pieces;
    section.piece_count = 1;
    section_check(&section, findings);
}

static void piece_without_length(struct findings *findings)
{
    struct section section = part_section(4, 150 * CENTIMETRE);
    struct piece pieces[] = {{1, METRE, LENGTH_NONE}, {2, 0, LENGTH_NONE}};
    section.pieces = pieces;
    section.piece_count = 2;
    section_check(&section, findings);
}

static void spacer_below_zero(struct findings *findings)
{
    struct section section = part_section(4, 150 * CENTIMETRE);
    struct piece pieces[] = {{1, 1, -1}};
    section.pieces = pieces;
    section.piece_count = 1;
    section_check(&section, findings);
}

static void pieces_longer_than_the_section(struct findings *findings)
{
    struct section section = part_section(4, METRE);
    struct piece pieces[] = {{1, METRE, CENTIMETRE}};
    section.pieces = pieces;
    section.piece_count = 1;
    section_check(&section, findings);
}

static void pieces_fill_the_section(struct findings *findings)
{
    struct section section = part_section(4, 101 * CENTIMETRE);
    struct piece pieces[] = {{1, METRE, CENTIMETRE}};
    section.pieces = pieces;
    section.piece_count = 1;
    section_check(&section, findings);
}

const struct rule_case section_cases[] = {
    {RULE_LENGTH_NEGATIVE, false, "curated below zero", curated_below_zero, "-1.000 m is below zero"},
    {RULE_LENGTH_NEGATIVE, false, "liner below zero", liner_below_zero, "section 4"},
    {RULE_SECTION_LONG, false, "section in centimetres", section_in_centimetres, "type 150cm"},
    {RULE_SECTION_LONG, false, "section too long", section_too_long, "more than 3.000 m"},
    {RULE_SECTION_LONG, true, "section at its limit", section_at_its_limit, NULL},
    {RULE_LOOKS_LIKE_FEET, false, "section in feet", section_in_feet, "4.920ft"},
    {RULE_LOOKS_LIKE_FEET, false, "section just too long", section_just_too_long, "feet"},
    {RULE_GAP_OUTSIDE, false, "void past the end", void_past_the_end, "inside 0-150.0 cm"},
    {RULE_GAP_OUTSIDE, false, "void upside down", void_upside_down, "void 20.0-10.0 cm"},
    {RULE_GAP_OUTSIDE, false, "void in a section of unknown length", void_in_a_section_of_unknown_length,
     "0 and below"},
    {RULE_GAP_OUTSIDE, false, "void above the top", void_above_the_top, "void"},
    {RULE_GAP_OUTSIDE, true, "void at the end", void_at_the_end, NULL},
    {RULE_GAP_OUTSIDE, true, "void in the longer liner", void_in_the_longer_liner, NULL},
    {RULE_ROUND_OUTSIDE, false, "whole round past the end", whole_round_past_the_end, "inside 0-150.0 cm"},
    {RULE_ROUND_OUTSIDE, false, "whole round of unknown room", whole_round_of_unknown_room, "0 and below"},
    {RULE_ROUND_TWICE, false, "whole rounds overlap", whole_rounds_overlap, "overlap"},
    {RULE_ROUND_TWICE, true, "whole rounds touch", whole_rounds_touch, NULL},
    {RULE_PIECE_ORDER, false, "pieces out of order", pieces_out_of_order, "piece 1 was expected"},
    {RULE_PIECE_ORDER, false, "piece twice", piece_twice, "piece 2 was expected"},
    {RULE_LENGTH_NEGATIVE, false, "piece below zero", piece_below_zero, "piece 1"},
    {RULE_LENGTH_NEGATIVE, false, "spacer below zero", spacer_below_zero, "piece 1"},
    {RULE_PIECE_EMPTY, false, "piece without length", piece_without_length, "piece 2 has no length"},
    {RULE_PIECE_SUM, false, "pieces longer than the section", pieces_longer_than_the_section, "add up to 1.010 m"},
    {RULE_PIECE_SUM, true, "pieces fill the section", pieces_fill_the_section, NULL},
    {.situation = NULL},
};

static void rules_are_provoked(void **state)
{
    (void)state;
    run_rule_cases(section_cases);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(rules_are_provoked)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
