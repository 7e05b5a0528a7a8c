/* SPDX-License-Identifier: MIT */
/* The rules for samples: inside the section, on material that is still there, inside the parent. */
#include "coretally/domain/rule.h"

#include "coretally/base/limits.h"
#include "coretally/base/quantity.h"

#define CENTIMETRES(um) (length_text((um), UNIT_CM, 1).text)

static bool overlaps(int64_t top_um, int64_t bottom_um, int64_t other_top_um, int64_t other_bottom_um)
{
    return top_um < other_bottom_um && bottom_um > other_top_um;
}

static bool meets(const struct sample *sample, const struct sample *other)
{
    const bool same =
        sample->top_um == other->top_um && sample->bottom_um == other->bottom_um; /* also without length */
    return same || overlaps(sample->top_um, sample->bottom_um, other->top_um, other->bottom_um);
}

/* The right way round, and not the same place twice. */
static void check_ends(const struct sample *sample, struct findings *findings)
{
    if (sample->bottom_um < sample->top_um) {
        findings_add(findings, RULE_SAMPLE_REVERSED, "the bottom %s cm lies above the top %s cm",
                     CENTIMETRES(sample->bottom_um), CENTIMETRES(sample->top_um));
        findings_hint(findings, "type the upper end first");
    } else if (sample->bottom_um == sample->top_um) {
        findings_add(findings, RULE_SAMPLE_NO_LENGTH, "the sample at %s cm has no length", CENTIMETRES(sample->top_um));
        findings_hint(findings, "type both of its ends, such as %s-%s, or add --sure", CENTIMETRES(sample->top_um),
                      CENTIMETRES(sample->top_um + 20000));
    }
}

static int64_t deepest(const struct sample *sample)
{
    return sample->bottom_um > sample->top_um ? sample->bottom_um : sample->top_um;
}

bool sample_is_outside(const struct section *section, const struct sample *sample)
{
    const int64_t length_um = section_curated(section);
    return sample->top_um < 0 || (length_um != LENGTH_NONE && deepest(sample) > length_um + SAMPLE_PAST_END_UM);
}

static void check_inside(const struct section *section, const struct sample *sample, struct findings *findings)
{
    char label[SECTION_TEXT_MAX];
    section_format(section->number, label);
    const int64_t length_um = section_curated(section);
    const int64_t deepest_um = deepest(sample);
    if (sample_is_outside(section, sample)) {
        findings_add(findings, RULE_SAMPLE_OUTSIDE, "%s-%s cm lies outside section %s, which %s%s%s",
                     CENTIMETRES(sample->top_um), CENTIMETRES(sample->bottom_um), label,
                     length_um == LENGTH_NONE ? "starts at 0" : "is 0-",
                     length_um == LENGTH_NONE ? "" : CENTIMETRES(length_um), length_um == LENGTH_NONE ? "" : " cm");
        findings_hint(findings, deepest_um < 0
                                    ? "offsets count down from the section top"
                                    : "offsets are in cm; look at the section number and at the unit, or add --sure");
    } else if (length_um != LENGTH_NONE && deepest_um > length_um)
        findings_add(findings, RULE_SAMPLE_PAST_END, "%s cm lies %s cm past the curated bottom of section %s",
                     CENTIMETRES(deepest_um), CENTIMETRES(deepest_um - length_um), label);
    if (sample->bottom_um > sample->top_um && sample->bottom_um - sample->top_um < SAMPLE_THIN_UM &&
        sample->bottom_um <= SAMPLE_METRES_UM) {
        findings_add(findings, RULE_SAMPLE_METRES, "%s-%s cm is a sliver near the section top: were metres typed?",
                     length_text(sample->top_um, UNIT_CM, 2).text, length_text(sample->bottom_um, UNIT_CM, 2).text);
        findings_hint(findings, "type %s-%s for that place, or add --sure",
                      length_text(sample->top_um * 100, UNIT_CM, 0).text,
                      length_text(sample->bottom_um * 100, UNIT_CM, 0).text);
    }
    check_ends(sample, findings);
}

static void check_material(const struct section *section, const struct sample *sample, struct findings *findings)
{
    for (size_t at = 0; at < section->round_count; at++) {
        const struct whole_round *round = &section->rounds[at];
        if (overlaps(sample->top_um, sample->bottom_um, round->top_um, round->bottom_um)) {
            findings_add(findings, RULE_SAMPLE_IN_ROUND, "a whole round took %s-%s cm%s%s", CENTIMETRES(round->top_um),
                         CENTIMETRES(round->bottom_um), round->purpose ? " for " : "",
                         round->purpose ? round->purpose : "");
            findings_hint(findings, "take the sample above or below it");
        }
    }
    for (size_t at = 0; at < section->gap_count; at++) {
        const struct gap *gap = &section->gaps[at];
        if (!gap->closed && sample->top_um >= gap->top_um && sample->bottom_um <= gap->bottom_um) {
            findings_add(findings, RULE_SAMPLE_IN_VOID, "%s-%s cm is a void", CENTIMETRES(gap->top_um),
                         CENTIMETRES(gap->bottom_um));
            findings_hint(findings, "look at the interval once more, or add --sure");
        }
    }
}

void sample_check_other(const struct sample *sample, const struct sample *other, struct findings *findings)
{
    char key[SAMPLE_KEY_MAX];
    if (!meets(sample, other))
        return;
    sample_key(other, key);
    if (other->half == HALF_WHOLE || (sample->half == HALF_WHOLE && other->half != HALF_NONE)) {
        findings_add(findings, RULE_SAMPLE_IN_ROUND,
                     other->half == HALF_WHOLE ? "the whole round %s took the interval"
                                               : "a whole round is taken before splitting, but %s was already sampled",
                     key);
        findings_hint(findings, "take another interval, or withdraw the one that is wrong");
    } else if (other->half == sample->half && other->used_up) {
        findings_add(findings, RULE_SAMPLE_USED_UP, "%s is marked as used up", key);
        findings_hint(findings, "take another interval, or the other half");
    } else if (other->half == sample->half)
        findings_add(findings, RULE_SAMPLE_SHARES, "it shares its interval with %s", key);
}

static void check_parent(const struct sample *sample, const struct sample *parent, struct findings *findings)
{
    if (sample->top_um < parent->top_um || sample->bottom_um > parent->bottom_um) {
        findings_add(findings, RULE_SAMPLE_OUTSIDE_PARENT, "%s-%s cm lies outside its parent, %s-%s cm",
                     CENTIMETRES(sample->top_um), CENTIMETRES(sample->bottom_um), CENTIMETRES(parent->top_um),
                     CENTIMETRES(parent->bottom_um));
        findings_hint(findings, "a sub-sample's interval counts from the section top, like its parent's");
    }
    if (sample->top_um != parent->top_um || sample->bottom_um != parent->bottom_um) /* of its own, not inherited */
        check_ends(sample, findings);
    if (parent->used_up) {
        char key[SAMPLE_KEY_MAX];
        sample_key(parent, key);
        findings_add(findings, RULE_SAMPLE_USED_UP, "its parent %s is marked as used up", key);
    }
}

void sample_check(const struct core *core, const struct sample *sample, const struct sample *others, size_t count,
                  size_t skip, const struct sample *parent, struct findings *findings)
{
    const struct section *section = core_section(core, sample->section);
    if (core_recovered(core) == 0) {
        findings_add(findings, RULE_SAMPLE_EMPTY_CORE, "core %d%c recovered nothing", (int)core->number, core->type);
        findings_hint(findings, "look at the core number");
        return;
    }
    if (!section) /* unknown sections are the caller's to refuse: it can name the ones there are */
        return;
    if (parent) {
        check_parent(sample, parent, findings);
        return;
    }
    check_inside(section, sample, findings);
    check_material(section, sample, findings);
    for (size_t at = 0; at < count; at++)
        if (at != skip && others[at].section == sample->section && !others[at].of && !others[at].withdrawn)
            sample_check_other(sample, &others[at], findings);
}
