/* SPDX-License-Identifier: MIT */
/* The rules for what is inside a section: lengths, voids, whole rounds, pieces. */
#include "coretally/domain/rule.h"

#include <stdio.h>

#include "coretally/base/limits.h"
#include "coretally/base/quantity.h"

#define CENTIMETRES(um) (length_text((um), UNIT_CM, 1).text)
#define METRES(um) (length_text((um), UNIT_M, 3).text)

static void check_length(const char *label, int64_t length_um, struct findings *findings)
{
    if (length_um == LENGTH_NONE)
        return;
    if (length_um < 0) {
        findings_add(findings, RULE_LENGTH_NEGATIVE, "section %s: a length of %s m is below zero", label,
                     METRES(length_um));
    } else if (length_um > SECTION_PLAIN_UM) {
        /* 1.5 m is 4.92 ft; 150 typed in centimetres is 150 m. */
        const bool feet = length_um < 5500000;
        const bool centimetres = length_um >= 20 * 1000000 && length_um <= 200 * 1000000;
        findings_add(findings, feet ? RULE_LOOKS_LIKE_FEET : RULE_SECTION_LONG,
                     "section %s is %s m long, more than %s m", label, METRES(length_um), METRES(SECTION_PLAIN_UM));
        if (feet)
            findings_hint(findings, "type %sft if it was read in feet, or add --sure", METRES(length_um));
        else if (centimetres)
            findings_hint(findings, "lengths of sections are in metres: type %scm for centimetres, or add --sure",
                          length_text(length_um, UNIT_M, 0).text);
        else
            findings_hint(findings, "look at it once more, or add --sure");
    }
}

/* The length inside which offsets are read: the longer of curated and liner, as voids may have been pushed shut. */
static int64_t room_of(const struct section *section)
{
    const int64_t curated_um = section_curated(section);
    return section->liner_um > curated_um ? section->liner_um : curated_um;
}

/* "0-150.0 cm", or "0 and below" where the length is not known. */
static struct length_text room_text(int64_t room_um)
{
    struct length_text out;
    if (room_um == LENGTH_NONE)
        (void)snprintf(out.text, sizeof out.text, "0 and below");
    else
        (void)snprintf(out.text, sizeof out.text, "0-%.30s cm", CENTIMETRES(room_um));
    return out;
}

/* An interval that does not go down, or leaves the section. */
static void check_span(const char *label, const char *what, enum rule rule, int64_t top_um, int64_t bottom_um,
                       int64_t room_um, struct findings *findings)
{
    if (bottom_um < top_um) {
        findings_add(findings, rule, "section %s: the %s %s-%s cm is upside down", label, what, CENTIMETRES(top_um),
                     CENTIMETRES(bottom_um));
        findings_hint(findings, "type the upper end first: %s,%s", CENTIMETRES(bottom_um), CENTIMETRES(top_um));
    } else if (bottom_um == top_um)
        findings_add(findings, rule, "section %s: the %s at %s cm has no length", label, what, CENTIMETRES(top_um));
    else if (top_um < 0 || (room_um != LENGTH_NONE && bottom_um > room_um))
        findings_add(findings, rule, "section %s: the %s %s-%s cm does not lie inside %s", label, what,
                     CENTIMETRES(top_um), CENTIMETRES(bottom_um), room_text(room_um).text);
}

static void check_spans(const char *label, const struct section *section, struct findings *findings)
{
    const int64_t room_um = room_of(section);
    for (size_t at = 0; at < section->gap_count; at++) {
        const struct gap *gap = &section->gaps[at];
        check_span(label, "void", RULE_GAP_OUTSIDE, gap->top_um, gap->bottom_um, room_um, findings);
    }
    for (size_t at = 1; at < section->gap_count; at++)
        for (size_t other = 0; other < at; other++)
            if (section->gaps[at].top_um < section->gaps[other].bottom_um &&
                section->gaps[at].bottom_um > section->gaps[other].top_um)
                findings_add(findings, RULE_GAP_OUTSIDE, "section %s: voids %s-%s and %s-%s cm overlap", label,
                             CENTIMETRES(section->gaps[other].top_um), CENTIMETRES(section->gaps[other].bottom_um),
                             CENTIMETRES(section->gaps[at].top_um), CENTIMETRES(section->gaps[at].bottom_um));
    for (size_t at = 0; at < section->round_count; at++) {
        const struct whole_round *round = &section->rounds[at];
        check_span(label, "whole round", RULE_ROUND_OUTSIDE, round->top_um, round->bottom_um, room_um, findings);
        for (size_t other = 0; other < at; other++)
            if (round->top_um < section->rounds[other].bottom_um && round->bottom_um > section->rounds[other].top_um)
                findings_add(findings, RULE_ROUND_TWICE, "section %s: whole rounds %s-%s and %s-%s cm overlap", label,
                             CENTIMETRES(section->rounds[other].top_um), CENTIMETRES(section->rounds[other].bottom_um),
                             CENTIMETRES(round->top_um), CENTIMETRES(round->bottom_um));
    }
}

static void check_pieces(const char *label, const struct section *section, struct findings *findings)
{
    int64_t sum_um = 0;
    for (size_t at = 0; at < section->piece_count; at++) {
        const struct piece *piece = &section->pieces[at];
        if (piece->number != (int32_t)at + 1)
            findings_add(findings, RULE_PIECE_ORDER, "section %s: piece %d comes where piece %zu was expected", label,
                         (int)piece->number, at + 1);
        if (piece->length_um < 0 || (piece->spacer_um != LENGTH_NONE && piece->spacer_um < 0))
            findings_add(findings, RULE_LENGTH_NEGATIVE, "section %s: piece %d has a length below zero", label,
                         (int)piece->number);
        else if (piece->length_um == 0) {
            findings_add(findings, RULE_PIECE_EMPTY, "section %s: piece %d has no length", label, (int)piece->number);
            findings_hint(findings, "pieces are number,length[,spacer below], in cm");
        }
        sum_um += piece->length_um + (piece->spacer_um == LENGTH_NONE ? 0 : piece->spacer_um);
    }
    if (section->piece_count && section->curated_um != LENGTH_NONE && section->curated_um < sum_um) {
        findings_add(findings, RULE_PIECE_SUM, "section %s: pieces and spacers add up to %s m, more than curated %s m",
                     label, METRES(sum_um), METRES(section->curated_um));
        findings_hint(findings, "correct --pieces or --curated");
    }
}

void section_check(const struct section *section, struct findings *findings)
{
    char label[SECTION_TEXT_MAX];
    section_format(section->number, label);
    check_length(label, section->curated_um, findings);
    check_length(label, section->liner_um, findings);
    check_spans(label, section, findings);
    check_pieces(label, section, findings);
}
