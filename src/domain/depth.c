/* SPDX-License-Identifier: MIT */
/* The chain from reading to depth. Whole micrometres throughout. */
#include "coretally/domain/depth.h"

#include <assert.h>

#include "coretally/base/quantity.h"

const char *const scale_words[] = {"DRF", "DSF", "CSF-A", "CSF-B", NULL};
const char *const scale_meanings[] = {
    "drilling depth below rig floor: what the driller reported",
    "drilling depth below seafloor: DRF less the seafloor's DRF",
    "core depth below seafloor, method A: core top + curated lengths above + offset; long cores overlap the next",
    "core depth below seafloor, method B: as A, long cores compressed onto their advance",
    NULL,
};

static void link_add(struct depth_links *links, enum depth_input input, const char *rule, int64_t amount_um,
                     int64_t result_um)
{
    if (!links)
        return;
    assert(links->count < DEPTH_LINKS_MAX);
    links->items[links->count++] =
        (struct depth_link){.input = input, .rule = rule, .amount_um = amount_um, .result_um = result_um};
}

static struct depth unknown_depth(const char *why)
{
    return (struct depth){.um = LENGTH_NONE, .low_um = LENGTH_NONE, .high_um = LENGTH_NONE, .why = why};
}

/* Driller's tolerance and remaining heave widen both sides, added (the careful choice for a bound). */
static int64_t hole_doubt(const struct hole *hole)
{
    int64_t doubt_um = 0;
    if (hole->tolerance_um != LENGTH_NONE)
        doubt_um += hole->tolerance_um;
    if (hole->heave_um != LENGTH_NONE)
        doubt_um += hole->heave_um;
    return doubt_um;
}

struct depth drilled_depth(const struct hole *hole, int64_t um, enum datum datum, enum scale scale,
                           struct depth_links *links)
{
    if (um == LENGTH_NONE)
        return unknown_depth("the drilled depth is not recorded");
    link_add(links, INPUT_CORE_TOP,
             datum == DATUM_SEAFLOOR ? "drilled depth below seafloor, as reported"
                                     : "drilled depth below rig floor, as reported",
             LENGTH_NONE, um);
    const int64_t seafloor_um = hole_seafloor(hole);
    const bool shifted = (datum == DATUM_SEAFLOOR) != (scale != SCALE_DRF);
    if (shifted && seafloor_um == LENGTH_NONE)
        return unknown_depth("the depth of the seafloor is not recorded for this hole");
    if (shifted) {
        um += scale == SCALE_DRF ? seafloor_um : -seafloor_um;
        link_add(links, INPUT_SEAFLOOR, scale == SCALE_DRF ? "plus the seafloor's DRF" : "less the seafloor's DRF",
                 scale == SCALE_DRF ? seafloor_um : -seafloor_um, um);
    }
    const int64_t doubt_um = hole_doubt(hole);
    return (struct depth){.um = um, .low_um = um - doubt_um, .high_um = um + doubt_um};
}

/* low and high of a depth in a core: material sits at the top by convention (Proc. IODP 313 data report 202) and may
 * have come from deeper by what was not recovered; wash and ghost material from anywhere in the interval. */
static struct depth bounded(const struct place *place, struct depth top, int64_t um, struct depth_links *links)
{
    const int64_t advance_um = core_advance(place->core);
    const int64_t recovered_um = core_recovered(place->core);
    const int64_t doubt_um = hole_doubt(place->hole);
    struct depth depth = {.um = um, .low_um = um - doubt_um, .high_um = LENGTH_NONE};
    if (core_is_wide(place->core)) {
        depth.low_um = top.um - doubt_um;
        if (advance_um != LENGTH_NONE)
            depth.high_um = top.um + advance_um + doubt_um;
        if (depth.high_um != LENGTH_NONE && depth.high_um < um)
            depth.high_um = um + doubt_um;
        link_add(links, INPUT_WIDE, "wash, ghost or loose material: from anywhere in the core's interval", LENGTH_NONE,
                 um);
    } else if (advance_um != LENGTH_NONE && recovered_um != LENGTH_NONE) {
        const int64_t missing_um = advance_um > recovered_um ? advance_um - recovered_um : 0;
        depth.high_um = um + missing_um + doubt_um;
        if (missing_um)
            link_add(links, INPUT_MISSING_CORE, "not recovered: may come from this much deeper (high)", missing_um, um);
    }
    if (doubt_um)
        link_add(links, INPUT_TOLERANCE, "driller's tolerance and heave, to either side (low, high)", doubt_um, um);
    return depth;
}

struct depth place_depth(const struct place *place, enum scale scale, struct depth_links *links)
{
    const struct core *core = place->core;
    if (scale == SCALE_DRF || scale == SCALE_DSF)
        return drilled_depth(place->hole, core->top_um, core->datum, scale, links);
    assert(core_section(core, place->section));
    const struct depth top = drilled_depth(place->hole, core->top_um, core->datum, SCALE_DSF, links);
    if (top.um == LENGTH_NONE)
        return top;
    int32_t missing = 0;
    const int64_t start_um = core_section_start(core, place->section, &missing);
    if (start_um == LENGTH_NONE)
        return unknown_depth("a section above has no curated length recorded");
    link_add(links, INPUT_SECTIONS_ABOVE, "plus the curated lengths of the sections above", start_um,
             top.um + start_um);
    const int64_t below_top_um = start_um + place->offset_um;
    link_add(links, INPUT_OFFSET, "plus the offset in the section = CSF-A", place->offset_um, top.um + below_top_um);
    if (scale == SCALE_CSF_A)
        return bounded(place, top, top.um + below_top_um, links);
    /* CSF-B: linear onto the advance only if long; a short core is never stretched. */
    const int64_t advance_um = core_advance(core);
    const int64_t curated_um = core_curated(core);
    if (advance_um == LENGTH_NONE)
        return unknown_depth("the advance of the core is not known");
    if (curated_um == LENGTH_NONE)
        return unknown_depth("a section of the core has no curated length recorded");
    if (curated_um <= advance_um) {
        link_add(links, INPUT_COMPRESSION, "curated length fits into the advance: CSF-B = CSF-A", LENGTH_NONE,
                 top.um + below_top_um);
        return bounded(place, top, top.um + below_top_um, links);
    }
    int64_t um = top.um + length_scale(below_top_um, advance_um, curated_um);
    if (um > top.um + advance_um) /* a sample may end past its section; CSF-B never passes the core's bottom */
        um = top.um + advance_um;
    link_add(links, INPUT_COMPRESSION, "curated length exceeds the advance: compressed by advance / curated = CSF-B",
             um - (top.um + below_top_um), um);
    return bounded(place, top, um, links);
}
