/* SPDX-License-Identifier: MIT */
/* The chain from reading to depth. Whole micrometres throughout. */
#include "depth_chain.h"

#include <assert.h>

#include "coretally/base/quantity.h"

/* Does the tide that the hole states count: is it not corrected for? */
static bool has_stated_tide(const struct hole *hole, int32_t core, struct instant when)
{
    bool is_corrected = false;
    for (size_t at = 0; at < hole->correction_count; at++)
        is_corrected = is_corrected || (hole->corrections[at]->kind == CORRECTION_TIDE &&
                                        correction_covers(hole->corrections[at], LENGTH_NONE, core, when) == COVER_YES);
    return hole->tide_um != LENGTH_NONE && !is_corrected;
}

int64_t hole_doubt(const struct hole *hole, int32_t core, struct instant when)
{
    int64_t doubt_um = has_stated_tide(hole, core, when) ? hole->tide_um : 0;
    if (hole->tolerance_um != LENGTH_NONE)
        doubt_um += hole->tolerance_um;
    if (hole->heave_um != LENGTH_NONE)
        doubt_um += hole->heave_um;
    return doubt_um;
}

struct core core_retyped(const struct hole *hole, const struct core *core)
{
    struct core out = *core;
    const struct correction *it = hole_correction(hole, CORRECTION_READING, core->number);
    if (it && it->core_top_um != LENGTH_NONE)
        out.top_um = it->core_top_um;
    if (it && it->core_bottom_um != LENGTH_NONE) {
        out.bottom_um = it->core_bottom_um;
        out.advance_by = ADVANCE_PIPE; /* it was read after all */
    }
    return out;
}

struct depth core_top_depth(const struct hole *hole, const struct core *core, enum scale scale,
                            struct depth_links *links)
{
    const struct drilled_at at = {core->top_um, core->datum, core->number, core->on_deck};
    return chain_drilled(hole, &at, scale, hole_doubt(hole, core->number, core->on_deck), links);
}

struct depth core_bottom_depth(const struct hole *hole, const struct core *core, enum scale scale)
{
    const struct core retyped = core_retyped(hole, core);
    const int64_t bottom_um = core_bottom(&retyped);
    if (bottom_um == LENGTH_NONE)
        return chain_unknown("the drilled depth is not recorded");
    const bool vertical = scale_is_vertical(scale);
    struct depth depth = core_top_depth(hole, core, vertical ? SCALE_DRF : scale, NULL);
    if (depth.um == LENGTH_NONE)
        return depth;
    const int64_t run_um = bottom_um - retyped.top_um;
    depth.um += run_um;
    depth.low_um += run_um;
    depth.high_um += run_um;
    if (vertical)
        return chain_vertical(hole, depth, scale, core->number, core->on_deck, NULL);
    return depth;
}

struct depth drilled_depth(const struct hole *hole, int64_t um, enum datum datum, struct instant when, enum scale scale,
                           struct depth_links *links)
{
    const struct drilled_at at = {um, datum, 0, when};
    return chain_drilled(hole, &at, scale, hole_doubt(hole, 0, when), links);
}

/* low and high of a depth in a core: material sits at the top by convention (Proc. IODP 313 data report 202) and may
 * have come from deeper by what was not recovered; wash and ghost material from anywhere in the interval. */
static struct depth bounded(const struct hole *hole, const struct core *core, struct depth top, int64_t um,
                            const char *method, struct depth_links *links)
{
    const int64_t advance_um = core_advance(core);
    const int64_t recovered_um = core_recovered(core);
    const int64_t doubt_um = hole_doubt(hole, core->number, core->on_deck);
    struct depth depth = {.um = um, .low_um = um - doubt_um, .high_um = LENGTH_NONE, .method = method};
    if (core_is_wide(core)) {
        depth.low_um = top.um - doubt_um;
        if (advance_um != LENGTH_NONE)
            depth.high_um = top.um + advance_um + doubt_um;
        if (depth.high_um != LENGTH_NONE && depth.high_um < um)
            depth.high_um = um + doubt_um;
        link_add(links, hole, INPUT_WIDE, "wash, ghost or loose material: from anywhere in the core's interval",
                 LENGTH_NONE, um);
    } else if (advance_um != LENGTH_NONE && recovered_um != LENGTH_NONE) {
        const int64_t missing_um = advance_um > recovered_um ? advance_um - recovered_um : 0;
        depth.high_um = um + missing_um + doubt_um;
        if (missing_um)
            link_add(links, hole, INPUT_MISSING_CORE, "not recovered: may come from this much deeper (high)",
                     missing_um, um);
    }
    if (doubt_um)
        link_add(links, hole, INPUT_TOLERANCE,
                 has_stated_tide(hole, core->number, core->on_deck)
                     ? "driller's tolerance, heave and tide, to either side (low, high)"
                     : "driller's tolerance and heave, to either side (low, high)",
                 doubt_um, um);
    return depth;
}

/* CSF-A or CSF-B of a place in a core whose run is as retyped, from the seafloor (base DSF) or the rig floor (DRF). */
static struct depth csf_depth(const struct place *place, const struct core *core, bool compressed, enum scale base,
                              struct depth_links *links)
{
    static const char *const method_a = "lengths added";
    static const char *const method_b = "compressed if long";
    const struct hole *hole = place->hole;
    assert(core_section(core, place->section));
    const struct depth top = core_top_depth(hole, place->core, base, links);
    if (top.um == LENGTH_NONE)
        return top;
    int32_t missing = 0;
    const int64_t start_um = core_section_start(core, place->section, &missing);
    if (start_um == LENGTH_NONE)
        return chain_unknown("a section above has no curated length recorded");
    link_add(links, hole, INPUT_SECTIONS_ABOVE, "plus the curated lengths of the sections above", start_um,
             top.um + start_um);
    const int64_t below_top_um = start_um + place->offset_um;
    link_add(links, hole, INPUT_OFFSET,
             base == SCALE_DSF ? "plus the offset in the section = CSF-A" : "plus the offset in the section",
             place->offset_um, top.um + below_top_um);
    if (!compressed)
        return bounded(hole, core, top, top.um + below_top_um, method_a, links);
    /* CSF-B: linear onto the advance only if long; a short core is never stretched. */
    const int64_t advance_um = core_advance(core);
    const int64_t curated_um = core_length(core); /* whole, so that sections may come one by one */
    if (advance_um == LENGTH_NONE)
        return chain_unknown("the advance of the core is not known");
    if (curated_um == LENGTH_NONE)
        return chain_unknown("a section of the core has no curated length recorded");
    const struct correction *retyped = hole_correction(hole, CORRECTION_READING, core->number);
    if (retyped && retyped->core_bottom_um != LENGTH_NONE)
        link_add_correction(links, hole, retyped, "the bottom of the run was retyped, and with it the advance",
                            LENGTH_NONE, top.um + below_top_um);
    if (curated_um <= advance_um) {
        const int64_t within_um = below_top_um < advance_um ? below_top_um : advance_um;
        link_add(links, hole, INPUT_COMPRESSION,
                 base == SCALE_DSF ? "curated length fits into the advance: CSF-B = CSF-A"
                                   : "curated length fits into the advance, as in CSF-B",
                 within_um == below_top_um ? LENGTH_NONE : within_um - below_top_um, top.um + within_um);
        return bounded(hole, core, top, top.um + within_um, method_b, links);
    }
    int64_t um = top.um + length_scale(below_top_um, advance_um, curated_um);
    if (um > top.um + advance_um) /* a sample may end past its section; CSF-B never passes the core's bottom */
        um = top.um + advance_um;
    link_add(links, hole, INPUT_COMPRESSION,
             base == SCALE_DSF ? "curated length exceeds the advance: compressed by advance / curated = CSF-B"
                               : "curated length exceeds the advance: compressed by advance / curated, as in CSF-B",
             um - (top.um + below_top_um), um);
    return bounded(hole, core, top, um, method_b, links);
}

struct depth place_depth(const struct place *place, enum scale scale, struct depth_links *links)
{
    if (scale == SCALE_DRF || scale == SCALE_DSF)
        return core_top_depth(place->hole, place->core, scale, links);
    const struct core core = core_retyped(place->hole, place->core);
    const bool vertical = scale_is_vertical(scale);
    const struct depth csf =
        csf_depth(place, &core, vertical || scale == SCALE_CSF_B, vertical ? SCALE_DRF : SCALE_DSF, links);
    if (csf.um == LENGTH_NONE || scale == SCALE_CSF_A || scale == SCALE_CSF_B)
        return csf;
    return chain_on_from(place, csf, scale, links);
}
