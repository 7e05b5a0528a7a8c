/* SPDX-License-Identifier: MIT */
/* Scales that are made of a core's depth: composite, splice, wireline; true vertical depth is that of depth_vertical.c.
 */
#include "depth_chain.h"

#include <stddef.h>
#include <strings.h>

#include "coretally/base/quantity.h"

/* --- composite depth, splice, wireline --- */

static const char *const tie_methods[] = {"", "tied to a feature", "appended", "assumed"};

/* Each of the three parts through the same map. */
static struct depth map_depth(struct depth depth, int64_t (*map)(const struct correction *, int64_t),
                              const struct correction *by)
{
    depth.um = map(by, depth.um);
    depth.low_um = depth.low_um == LENGTH_NONE ? LENGTH_NONE : map(by, depth.low_um);
    depth.high_um = depth.high_um == LENGTH_NONE ? LENGTH_NONE : map(by, depth.high_um);
    return depth;
}

/* Does the interval hold the place? */
static bool interval_has(const struct splice_interval *interval, const struct place *place)
{
    int32_t missing = 0;
    const int64_t top_um = core_section_start(place->core, interval->top_section, &missing);
    const int64_t bottom_um = core_section_start(place->core, interval->bottom_section, &missing);
    const int64_t at_um = core_section_start(place->core, place->section, &missing);
    return interval->core == place->core->number && core_section(place->core, interval->top_section) &&
           core_section(place->core, interval->bottom_section) && top_um != LENGTH_NONE && bottom_um != LENGTH_NONE &&
           at_um + place->offset_um >= top_um + interval->top_um &&
           at_um + place->offset_um <= bottom_um + interval->bottom_um;
}

static struct depth spliced(const struct place *place, struct depth ccsf, struct depth_links *links)
{
    const struct correction *splice = hole_correction(place->hole, CORRECTION_SPLICE, 0);
    if (!splice)
        return chain_unknown("no splice is recorded for this hole");
    for (size_t at = 0; at < splice->interval_count; at++)
        if (interval_has(&splice->intervals[at], place)) {
            link_add_correction(links, place->hole, splice, "it lies on the splice = CCSF-D", LENGTH_NONE, ccsf.um);
            ccsf.method = "splice";
            return ccsf;
        }
    return chain_unknown("it does not lie on the splice");
}

static struct depth composite(const struct place *place, struct depth csf, enum scale scale, struct depth_links *links)
{
    const struct hole *hole = place->hole;
    const struct correction *table = hole_correction(hole, CORRECTION_COMPOSITE, place->core->number);
    if (!table)
        return chain_unknown("no composite offset is recorded for this core");
    const struct core_offset *offset = composite_find(table, place->core->number);
    struct depth depth = csf;
    depth.um += offset->offset_um;
    depth.low_um += depth.low_um == LENGTH_NONE ? 0 : offset->offset_um;
    depth.high_um += depth.high_um == LENGTH_NONE ? 0 : offset->offset_um;
    depth.method = tie_methods[offset->method];
    link_add_correction(links, hole, table, "plus the composite offset of the core = CCSF", offset->offset_um,
                        depth.um);
    if (scale == SCALE_CCSF_D)
        return spliced(place, depth, links);
    if (scale == SCALE_CCSF)
        return depth;
    const struct correction *growth = hole_correction(hole, CORRECTION_GROWTH, 0);
    if (!growth)
        return chain_unknown("no growth factor is recorded for this hole");
    const int64_t grown_um = depth.um;
    depth = map_depth(depth, growth_remove, growth);
    depth.method = "growth factors taken out";
    link_add_correction(links, hole, growth, "growth taken out by its factors = CCSF-B", depth.um - grown_um, depth.um);
    return depth;
}

static struct depth matched(const struct place *place, struct depth csf, struct depth_links *links)
{
    const struct correction *match = hole_correction(place->hole, CORRECTION_WIRELINE, 0);
    if (!match)
        return chain_unknown("no wireline match is recorded for this hole");
    struct depth depth = map_depth(csf, wireline_match, match);
    if (depth.um == LENGTH_NONE)
        return chain_unknown("the wireline match does not reach to this depth");
    depth.method = "matched to the wireline";
    link_add_correction(links, place->hole, match, "matched to the wireline = WMSF", depth.um - csf.um, depth.um);
    return depth;
}

struct depth chain_on_from(const struct place *place, struct depth below, enum scale scale, struct depth_links *links)
{
    if (scale == SCALE_WMSF)
        return matched(place, below, links);
    if (!scale_is_vertical(scale))
        return composite(place, below, scale, links);
    return chain_vertical(place->hole, below, scale, place->core->number, place->core->on_deck, links);
}
