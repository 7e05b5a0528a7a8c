/* SPDX-License-Identifier: MIT */
/* What a person must know of the depth of what arrived at the shaker. */
#include "coretally/domain/lag_depth.h"

#include "coretally/base/limits.h"
#include "coretally/domain/depth.h"

#define TRIP_S 3600.0 /* common practice, no source */

int64_t lag_depth_msf(const struct hole *hole, int64_t mrf_um, int64_t cut_us)
{
    const int64_t seafloor_um = hole_seafloor_corrected(hole, (struct instant){.utc_us = cut_us, .known = true});
    return mrf_um == LENGTH_NONE || seafloor_um == LENGTH_NONE ? LENGTH_NONE : mrf_um - seafloor_um;
}

void lag_depth_correct(const struct hole *hole, struct lag_depth *depth)
{
    const struct instant first = {.utc_us = depth->first.cut_us, .known = true};
    const struct instant last = {.utc_us = depth->last.cut_us, .known = true};
    const struct depth top = drilled_depth(hole, depth->top_um, DATUM_RIG_FLOOR, first, SCALE_DRF, NULL);
    const struct depth bottom = drilled_depth(hole, depth->bottom_um, DATUM_RIG_FLOOR, last, SCALE_DRF, NULL);
    const char *why = top.why ? top.why : bottom.why;
    if (why) {
        depth->top_um = depth->bottom_um = depth->low_um = depth->high_um = LENGTH_NONE;
        depth->why = why;
        return;
    }
    depth->low_um += depth->low_um == LENGTH_NONE ? 0 : top.um - depth->top_um;
    depth->high_um += depth->high_um == LENGTH_NONE ? 0 : bottom.um - depth->bottom_um;
    depth->top_um = top.um;
    depth->bottom_um = bottom.um;
}

const struct sampling_plan *plan_at(const struct hole *hole, int64_t depth_um)
{
    for (size_t at = 0; at < hole->plan_count; at++) {
        const struct sampling_plan *plan = &hole->plan[at];
        if (depth_um >= plan->top_um && (plan->bottom_um == LENGTH_NONE || depth_um < plan->bottom_um))
            return plan;
    }
    return NULL;
}

/* The planned intervals that top and bottom lie in differ. */
static bool spans_intervals(const struct hole *hole, const struct lag_depth *depth, int64_t *bound_um)
{
    const struct sampling_plan *plan = plan_at(hole, depth->top_um);
    if (!plan)
        return false;
    *bound_um = plan->top_um + ((depth->top_um - plan->top_um) / plan->step_um + 1) * plan->step_um;
    if (plan->bottom_um != LENGTH_NONE && *bound_um > plan->bottom_um) /* a last interval cut short */
        *bound_um = plan->bottom_um;
    return depth->bottom_um > *bound_um && plan_at(hole, *bound_um);
}

void lag_depth_check(const struct hole *hole, const struct lag_depth *depth, struct findings *findings)
{
    int64_t bound_um = 0;
    if (depth->why) {
        findings_add(findings, RULE_LAG_UNKNOWN, "its depth is not known: %s", depth->why);
        return;
    }
    if (!depth->has_returns) {
        findings_add(findings, RULE_NO_RETURNS, "nothing new came over the shaker then%s",
                     depth->last.at_shaker_us - depth->last.arrived_us < 60000000 ? ""
                                                                                  : ": what lay there had come before");
        findings_hint(findings, "look at the times; if it was taken from what lay there, add --sure");
    } else if (!depth->has_new_hole)
        findings_add(findings, RULE_NO_NEW_HOLE, "no new hole: nothing was being drilled when this left the bit");
    if (spans_intervals(hole, depth, &bound_um))
        findings_add(findings, RULE_BAG_SPANS, "its window spans two planned intervals, across %s m below rig floor",
                     length_text(bound_um, UNIT_M, 2).text);
    if (depth->after_cement)
        findings_add(findings, RULE_AFTER_CEMENT, "it follows cementing: expect cement in it");
    if (depth->over_gap)
        findings_add(findings, RULE_LAG_GAP, "its way up crosses a gap of the pump log");
    if (depth->off_bottom_m3 > 0.01 * depth->first.annulus_m3)
        findings_add(findings, RULE_OFF_BOTTOM,
                     "%.1f m3 were pumped with the bit more than %s m off bottom while this was below it: it came up "
                     "late, its depth is less than shown",
                     depth->off_bottom_m3, length_text(OFF_BOTTOM_UM, UNIT_M, 0).text);
    if (depth->off_bottom_s > TRIP_S)
        findings_add(findings, RULE_TRIP,
                     "the bit was off bottom for %.1f h while this was on its way (a trip): look for cavings, and for "
                     "cuttings that settled and mixed",
                     depth->off_bottom_s / 3600);
}
