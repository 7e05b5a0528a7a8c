/* SPDX-License-Identifier: MIT */
/* The rules for holes, cores and drilled intervals: what a tired person types wrong, and what the hole itself does. */
#include "coretally/domain/rule.h"

#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/base/quantity.h"

#define METRES(um) (length_text((um), UNIT_M, 3).text)

void hole_check(const struct hole *hole, struct findings *findings)
{
    const bool mudline = hole->mudline_bit_um != LENGTH_NONE || hole->mudline_stroke_um != LENGTH_NONE ||
                         hole->mudline_recovered_um != LENGTH_NONE;
    if (hole->seafloor_um != LENGTH_NONE && hole->seafloor_by == SEAFLOOR_NONE) {
        findings_add(findings, RULE_SEAFLOOR_METHOD, "the seafloor at %s m has no method", METRES(hole->seafloor_um));
        findings_hint(findings, "add --seafloor-by tagged, mudline, camera, inherited or other");
    } else if (hole->seafloor_by != SEAFLOOR_NONE && hole_seafloor(hole) == LENGTH_NONE) {
        findings_add(findings, RULE_SEAFLOOR_METHOD, "seafloor by '%s' has no reading",
                     seafloor_words[hole->seafloor_by]);
        findings_hint(findings, hole->seafloor_by == SEAFLOOR_MUDLINE
                                    ? "add --mudline-bit, --mudline-stroke and --mudline-recovered, or --seafloor"
                                    : "add --seafloor, metres below rig floor");
    } else if (mudline && hole->seafloor_um != LENGTH_NONE) {
        findings_add(findings, RULE_SEAFLOOR_METHOD,
                     "the seafloor is given twice: %s m, and by the mudline core's bit, stroke and recovery",
                     METRES(hole->seafloor_um));
        findings_hint(findings, "give one of the two");
    }
    if ((hole->parent != NULL) != (hole->kickoff_um != LENGTH_NONE)) {
        findings_add(findings, RULE_KICKOFF, hole->parent ? "the kickoff from %s is missing" : "a kickoff needs %s",
                     hole->parent ? hole->parent : "the hole that it leaves");
        findings_hint(findings, "a sidetrack is recorded with --parent HOLE and --kickoff DEPTH, m below rig floor");
    }
    for (size_t at = 0; at < hole->plan_count; at++) {
        const struct sampling_plan *plan = &hole->plan[at];
        const bool overlaps =
            at > 0 && (hole->plan[at - 1].bottom_um == LENGTH_NONE || hole->plan[at - 1].bottom_um > plan->top_um);
        if (!overlaps && (plan->bottom_um == LENGTH_NONE || plan->bottom_um > plan->top_um))
            continue;
        findings_add(findings, RULE_PLAN_ORDER, "part %zu of the plan, from %s m, %s", at + 1, METRES(plan->top_um),
                     overlaps ? "begins before the part above it ends" : "does not end below its top");
        findings_hint(findings, "type top,bottom,step from the top down: --plan '2300,2600,5; 2600,,10'");
    }
}

/* 9.5 m typed in feet is 31.2; a run does not advance 31 m. Compare also with the neighbour: the top of a core that was
 * typed in feet lies 3.28 times too deep. */
static bool fits_feet(int64_t typed_um, int64_t expected_um)
{
    if (expected_um <= 10 * 1000000)
        return false;
    const int64_t metres_um = length_scale(typed_um, 3048, 10000);
    const int64_t off_um = metres_um > expected_um ? metres_um - expected_um : expected_um - metres_um;
    return off_um * 100 <= expected_um * 2;
}

/* The hole's depth just above this core, in the core's own datum: the bottom of the core above or of a drilled
 * interval. */
static int64_t expected_top(const struct core *core, const struct core_neighbours *around)
{
    int64_t deepest_um = LENGTH_NONE;
    if (around->above && around->above->datum == core->datum)
        deepest_um = core_bottom(around->above);
    if (around->wash && around->wash->datum == core->datum && core_bottom(around->wash) > deepest_um &&
        around->wash->top_um < core->top_um)
        deepest_um = core_bottom(around->wash);
    for (size_t at = 0; at < around->drilled_count; at++) {
        const struct drilled *interval = &around->drilled[at];
        if (!interval->withdrawn && interval->datum == core->datum && interval->bottom_um > deepest_um &&
            interval->top_um < core->top_um)
            deepest_um = interval->bottom_um;
    }
    return deepest_um;
}

static void check_run(const struct core *core, struct findings *findings)
{
    const int64_t advance_um = core_advance(core);
    if (!core_type_find(core->type))
        findings_add(findings, RULE_CORE_LETTER, "'%c' is not one of the published type letters", core->type);
    if (advance_um == LENGTH_NONE) {
        findings_add(findings, RULE_ADVANCE_OPEN, "the bottom of the run is not known: recovery is n/a");
        return;
    }
    if (advance_um < 0) {
        findings_add(findings, RULE_DEPTH_BACKWARDS, "the bottom %s m lies above the top %s m", METRES(core->bottom_um),
                     METRES(core->top_um));
        if (core->bottom_um > 0 && core->bottom_um <= ADVANCE_PLAIN_UM)
            findings_hint(findings, "if %s m is the advance, type +%s", METRES(core->bottom_um),
                          METRES(core->bottom_um));
        else
            findings_hint(findings, "give top and bottom of the same run, the top first");
        return;
    }
    if (advance_um == 0)
        findings_add(findings, RULE_ADVANCE_ZERO, "top and bottom are both %s m: recovery is n/a",
                     METRES(core->top_um));
    if (core_is_wide(core) || advance_um <= ADVANCE_PLAIN_UM)
        return;
    if (advance_um >= 27 * 1000000 && advance_um <= 33 * 1000000) {
        findings_add(findings, RULE_LOOKS_LIKE_FEET, "an advance of %s m looks like %s m typed in feet",
                     METRES(advance_um), METRES(length_scale(advance_um, 3048, 10000)));
        findings_hint(findings, "if the advance was read in feet, type +%sft for the bottom; or add --sure",
                      METRES(advance_um));
    } else {
        findings_add(findings, RULE_ADVANCE_LONG, "an advance of %s m is longer than %s m", METRES(advance_um),
                     METRES(ADVANCE_PLAIN_UM));
        findings_hint(findings, "look at top and bottom once more, or add --sure; drilled without coring is "
                                "'coretally drilled add'");
    }
}

static void check_place(const struct hole *hole, const struct core *core, const struct core_neighbours *around,
                        struct findings *findings)
{
    const int64_t seafloor_um = core->datum == DATUM_SEAFLOOR ? 0 : hole_seafloor(hole);
    if (seafloor_um != LENGTH_NONE && core->top_um < seafloor_um - DEPTH_SLACK_UM) {
        findings_add(findings, RULE_ABOVE_SEAFLOOR, "the top %s m lies above the seafloor at %s m",
                     METRES(core->top_um), METRES(seafloor_um));
        findings_hint(findings, core->datum == DATUM_RIG_FLOOR
                                    ? "depths below seafloor need --datum seafloor; otherwise add --sure"
                                    : "look at the depth once more, or add --sure");
    }
    if (hole->kickoff_um != LENGTH_NONE && core->datum == DATUM_RIG_FLOOR &&
        core->top_um < hole->kickoff_um - DEPTH_SLACK_UM) {
        findings_add(findings, RULE_ABOVE_KICKOFF, "the top %s m lies above the kickoff at %s m: there it is hole %s",
                     METRES(core->top_um), METRES(hole->kickoff_um), hole->parent ? hole->parent : "?");
        findings_hint(findings, "record it for that hole; or look at the depth once more, or add --sure");
    }
    const int64_t expected_um = expected_top(core, around);
    const int64_t floor_um = hole_seafloor(hole);
    const int64_t so_far_um = expected_um == LENGTH_NONE ? 0 : expected_um;
    if (core->datum == DATUM_SEAFLOOR && floor_um != LENGTH_NONE && floor_um > DATUM_GAP_UM &&
        core->top_um - so_far_um > DATUM_GAP_UM && core->top_um - floor_um >= so_far_um - DATUM_GAP_UM / 100) {
        findings_add(findings, RULE_DATUM_MIXED,
                     "%s m below seafloor looks like a depth below rig floor: %s m below seafloor",
                     METRES(core->top_um), METRES(core->top_um - floor_um));
        findings_hint(findings, "type --datum rig-floor, or add --sure");
    }
    if (expected_um != LENGTH_NONE && fits_feet(core->top_um, expected_um)) {
        findings_add(findings, RULE_LOOKS_LIKE_FEET, "the top %s m is 3.28 times the depth of the hole so far, %s m",
                     METRES(core->top_um), METRES(expected_um));
        findings_hint(findings, "type %sft if it was read in feet, or add --sure", METRES(core->top_um));
    } else if (expected_um != LENGTH_NONE && core->top_um > expected_um + DEPTH_SLACK_UM && !core_is_wide(core)) {
        findings_add(findings, RULE_CORE_GAP, "%s m between %s and %s m are not recorded",
                     METRES(core->top_um - expected_um), METRES(expected_um), METRES(core->top_um));
        findings_hint(findings, "if it was drilled without coring: coretally drilled add %s %s %s", core->hole,
                      METRES(expected_um), METRES(core->top_um));
    }
    for (size_t at = 0; at < around->drilled_count; at++) {
        const struct drilled *interval = &around->drilled[at];
        if (!interval->withdrawn && interval->datum == core->datum && !core_is_wide(core) &&
            core_bottom(core) != LENGTH_NONE && core->top_um < interval->bottom_um &&
            core_bottom(core) > interval->top_um) {
            findings_add(findings, RULE_CORE_ON_DRILLED, "it overlaps the drilled interval %s to %s m",
                         METRES(interval->top_um), METRES(interval->bottom_um));
            findings_hint(findings, "withdraw the drilled interval if it was cored, or add --sure");
        }
    }
}

static void add_far_overlap(const struct core *core, const struct core *before, struct findings *findings)
{
    findings_add(findings, RULE_CORE_OVERLAP_FAR, "its top %s m lies %s m above the bottom of core %d%c, %s m",
                 METRES(core->top_um), METRES(core_bottom(before) - core->top_um), (int)before->number, before->type,
                 METRES(core_bottom(before)));
    findings_hint(findings, "look at the depths once more, or add --sure");
}

static void check_neighbours(const struct core *core, const struct core_neighbours *around, struct findings *findings)
{
    const struct core *above = around->above;
    const struct core *below = around->below;
    /* Without a seafloor, depths of different datums cannot be compared; ghost and wash material comes from old depths.
     */
    if (above && (above->datum != core->datum || core_is_wide(core)))
        above = NULL;
    if (below && (below->datum != core->datum || core_is_wide(below)))
        below = NULL;
    if (above && core->top_um < above->top_um && !core->order_note) {
        findings_add(findings, RULE_CORE_ORDER, "its top %s m lies above the top of core %d%c, %s m",
                     METRES(core->top_um), (int)above->number, above->type, METRES(above->top_um));
        findings_hint(findings, "if that is so, say why: --order-note TEXT");
    } else if (above && !core_is_wide(above) && core_bottom(above) != LENGTH_NONE &&
               core->top_um < core_bottom(above) - OVERLAP_PLAIN_UM && !core->order_note)
        add_far_overlap(core, above, findings);
    else if (above && !core_is_wide(above) && core_bottom(above) != LENGTH_NONE && core->top_um < core_bottom(above))
        findings_add(findings, RULE_CORE_OVERLAP, "its top %s m lies above the bottom of core %d%c, %s m",
                     METRES(core->top_um), (int)above->number, above->type, METRES(core_bottom(above)));
    const struct core *wash = around->wash;
    if (wash && wash->datum == core->datum && !core_is_wide(core) && core->top_um >= wash->top_um &&
        core_bottom(wash) != LENGTH_NONE && core->top_um < core_bottom(wash) - OVERLAP_PLAIN_UM)
        add_far_overlap(core, wash, findings);
    if (below && below->top_um < core->top_um && !below->order_note) {
        findings_add(findings, RULE_CORE_ORDER, "its top %s m lies below the top of the later core %d%c, %s m",
                     METRES(core->top_um), (int)below->number, below->type, METRES(below->top_um));
        findings_hint(findings, "look at the core number; if the depths are right, give %d%c an --order-note first",
                      (int)below->number, below->type);
    } else if (below && !core_is_wide(core) && core_bottom(core) != LENGTH_NONE && below->top_um < core_bottom(core))
        findings_add(findings, RULE_CORE_OVERLAP, "its bottom %s m lies below the top of core %d%c, %s m",
                     METRES(core_bottom(core)), (int)below->number, below->type, METRES(below->top_um));
}

static void check_recovery(const struct core *core, struct findings *findings)
{
    const int64_t advance_um = core_advance(core);
    const int64_t recovered_um = core_recovered(core);
    if (recovered_um == 0 && core_standing_sections(core)) {
        findings_add(findings, RULE_EMPTY_WITH_SECTIONS, "recovered 0 m, but the core has sections (%zu)",
                     core_standing_sections(core));
        findings_hint(findings, "give what was recovered, or withdraw the sections");
    }
    if (advance_um == LENGTH_NONE || recovered_um == LENGTH_NONE || recovered_um <= advance_um || advance_um <= 0)
        return;
    if (recovered_um > 3 * advance_um && recovered_um - advance_um > 5 * 1000000) {
        const bool feet = recovered_um <= length_scale(advance_um, 12 * 10000, 10 * 3048);
        findings_add(findings, feet ? RULE_LOOKS_LIKE_FEET : RULE_RECOVERY_FAR_OVER,
                     "recovered %s m from an advance of %s m%s", METRES(recovered_um), METRES(advance_um),
                     feet ? ": this looks like feet typed as metres" : "");
        findings_hint(findings, feet ? "type %sft, or add --sure" : "look at %s m once more, or add --sure",
                      METRES(recovered_um));
    } else
        findings_add(findings, RULE_RECOVERY_OVER, "recovered %s m from an advance of %s m: more than 100 %%",
                     METRES(recovered_um), METRES(advance_um));
}

/* Its own lengths, and its number after those before it: *expected is the next one, *before the last. */
static void check_number(const struct section *section, int32_t *before, int32_t *expected, struct findings *findings)
{
    findings->of_section = section->number + 1;
    section_check(section, findings);
    if (section->number == *before) {
        char label[SECTION_TEXT_MAX];
        section_format(section->number, label);
        findings_add(findings, RULE_SECTION_TWICE, "section %s is recorded twice", label);
        findings_hint(findings, "give each section its own number");
    }
    *before = section->number;
    if (section->number == SECTION_CATCHER || section->number == 0)
        return;
    if (section->number > *expected) {
        findings_add(findings, RULE_SECTION_MISSING, "section %d follows section %d", (int)section->number,
                     (int)*expected - 1);
        findings_hint(findings, "record section %d too, or add --sure", (int)*expected);
    }
    *expected = section->number + 1;
}

/* The curated lengths against the one that is stated for the core. */
static void check_curated(const struct core *core, int64_t sum_um, int64_t open_um, struct findings *findings)
{
    if (open_um)
        findings_add(findings, RULE_SECTIONS_OPEN, "the sections add up to %s m; %s m of the stated %s m have none yet",
                     METRES(sum_um), METRES(open_um), METRES(core->curated_um));
    else if (core->curated_um != LENGTH_NONE && core->curated_um != sum_um) {
        findings_add(findings, RULE_SECTIONS_SUM,
                     "the sections add up to %s m, more than the curated length stated for the core, %s m",
                     METRES(sum_um), METRES(core->curated_um));
        findings_hint(findings, "look at the lengths and at --curated of the core; or add --sure: the sections decide "
                                "the depths");
    }
}

/* What the sections hold, without spacers, against what was recovered; a part may have no section yet. */
static void check_recovered(const struct core *core, int64_t open_um, struct findings *findings)
{
    int64_t material_um = 0;
    for (size_t at = 0; at < core->section_count; at++) {
        const int64_t length_um = section_recovered(&core->sections[at]);
        material_um += core->sections[at].withdrawn || length_um == LENGTH_NONE ? 0 : length_um;
    }
    const int64_t off_um = core->recovered_um == LENGTH_NONE ? 0 : material_um - core->recovered_um;
    if (off_um > SUM_EXCESS_UM) {
        findings_add(findings, RULE_SECTIONS_EXCEED, "the sections hold %s m of core, but only %s m were recovered",
                     METRES(material_um), METRES(core->recovered_um));
        findings_hint(findings, "look at the lengths and at --recovered once more, or add --sure");
    } else if (off_um > SUM_SLACK_UM || off_um + open_um < -SUM_SLACK_UM)
        findings_add(findings, RULE_RECOVERED_SUM,
                     "the sections hold %s m of core (spacers left out), recovered is %s m", METRES(material_um),
                     METRES(core->recovered_um));
}

/* The tubes of the sections against that of the core, where every one was measured. */
static void check_liners(const struct core *core, struct findings *findings)
{
    int64_t sum_um = 0;
    for (size_t at = 0; at < core->section_count; at++) {
        if (core->sections[at].withdrawn)
            continue;
        if (core->sections[at].liner_um == LENGTH_NONE)
            return;
        sum_um += core->sections[at].liner_um;
    }
    if (core->liner_um != LENGTH_NONE && sum_um != core->liner_um)
        findings_add(findings, RULE_LINER_SUM, "the section liners add up to %s m, the core's liner is %s m",
                     METRES(sum_um), METRES(core->liner_um));
}

static void check_sections(const struct core *core, struct findings *findings)
{
    int32_t expected = 1;
    int32_t before = -1;
    for (size_t at = 0; at < core->section_count; at++)
        if (!core->sections[at].withdrawn)
            check_number(&core->sections[at], &before, &expected, findings);
    findings->of_section = 0;
    const int64_t sum_um = core_curated(core);
    if (core_standing_sections(core) == 0 || sum_um == LENGTH_NONE)
        return;
    const int64_t open_um = core_unsectioned(core);
    check_curated(core, sum_um, open_um, findings);
    check_recovered(core, open_um, findings);
    check_liners(core, findings);
}

/* A neighbour whose depths count from the other datum, as if they counted from this core's; NULL where that cannot be
 * told. */
static const struct core *shifted(const struct hole *hole, const struct core *core, const struct core *neighbour,
                                  struct core *copy)
{
    const int64_t seafloor_um = hole_seafloor(hole);
    if (!neighbour || neighbour->datum == core->datum || seafloor_um == LENGTH_NONE)
        return neighbour;
    const int64_t shift_um = core->datum == DATUM_SEAFLOOR ? -seafloor_um : seafloor_um;
    *copy = *neighbour;
    copy->datum = core->datum;
    copy->top_um += shift_um;
    if (copy->bottom_um != LENGTH_NONE)
        copy->bottom_um += shift_um;
    return copy;
}

void core_check(const struct hole *hole, const struct core *core, const struct core_neighbours *neighbours,
                struct findings *findings)
{
    struct core copies[3];
    struct core_neighbours comparable = *neighbours;
    const struct core_neighbours *around = &comparable;
    comparable.above = shifted(hole, core, neighbours->above, &copies[0]);
    comparable.below = shifted(hole, core, neighbours->below, &copies[1]);
    comparable.wash = shifted(hole, core, neighbours->wash, &copies[2]);
    const int64_t lengths_um[] = {core->recovered_um, core->liner_um, core->curated_um};
    for (size_t at = 0; at < sizeof lengths_um / sizeof lengths_um[0]; at++)
        if (lengths_um[at] != LENGTH_NONE && lengths_um[at] < 0)
            findings_add(findings, RULE_LENGTH_NEGATIVE, "a length of %s m is below zero", METRES(lengths_um[at]));
    check_run(core, findings);
    check_place(hole, core, around, findings);
    check_neighbours(core, around, findings);
    check_recovery(core, findings);
    check_sections(core, findings);
}

void drilled_check(const struct drilled *interval, const struct drilled *others, size_t count,
                   struct findings *findings)
{
    if (interval->bottom_um <= interval->top_um) {
        findings_add(findings, RULE_DEPTH_BACKWARDS, "the bottom %s m does not lie below the top %s m",
                     METRES(interval->bottom_um), METRES(interval->top_um));
        findings_hint(findings, "type the top first, then the bottom");
        return;
    }
    for (size_t at = 0; at < count; at++) {
        const struct drilled *other = &others[at];
        if (other->withdrawn || other->number == interval->number || other->datum != interval->datum)
            continue;
        if (interval->top_um < other->bottom_um && interval->bottom_um > other->top_um) {
            findings_add(findings, RULE_DRILLED_OVERLAP, "it overlaps the drilled interval %s to %s m",
                         METRES(other->top_um), METRES(other->bottom_um));
            findings_hint(findings, "withdraw the other one first, or add --sure");
        }
    }
}
