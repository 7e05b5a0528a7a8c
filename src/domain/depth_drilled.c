/* SPDX-License-Identifier: MIT */
/* From a drilled depth as reported to DRF and DSF. */
#include "depth_chain.h"

#include <stddef.h>

#include "coretally/base/quantity.h"
#include "coretally/domain/stretch.h"

/* The reading, retyped where it was. */
static int64_t read_reported(const struct hole *hole, const struct drilled_at *at, struct depth_links *links)
{
    const struct correction *it = at->core ? hole_correction(hole, CORRECTION_READING, at->core) : NULL;
    link_add(links, hole, INPUT_CORE_TOP,
             at->datum == DATUM_SEAFLOOR ? "drilled depth below seafloor, as reported"
                                         : "drilled depth below rig floor, as reported",
             LENGTH_NONE, at->um);
    if (!it || it->core_top_um == LENGTH_NONE)
        return at->um;
    link_add_correction(links, hole, it, "the reading was retyped", it->core_top_um - at->um, it->core_top_um);
    return it->core_top_um;
}

struct depth chain_drilled(const struct hole *hole, const struct drilled_at *at, enum scale scale, int64_t doubt_um,
                           struct depth_links *links)
{
    const char *why = NULL;
    const char *method = "driller's tally";
    const bool below_seafloor = at->datum == DATUM_SEAFLOOR;
    if (at->um == LENGTH_NONE)
        return chain_unknown("the drilled depth is not recorded");
    int64_t um = read_reported(hole, at, links);
    const int64_t recorded_um = hole_seafloor(hole_of_seafloor(hole));
    const int64_t drf_um = !below_seafloor ? um : recorded_um == LENGTH_NONE ? LENGTH_NONE : um + recorded_um;
    const int64_t pipe_um = pipe_corrected(hole, drf_um, at->core, at->when, PIPE_ITSELF, um, links, &why);
    if (pipe_um || um != at->um)
        method = "driller's tally, corrected";
    um += pipe_um;
    if (!why && below_seafloor && scale != SCALE_DSF) {
        if (recorded_um == LENGTH_NONE)
            return chain_unknown(chain_no_seafloor);
        um += recorded_um;
        link_add(links, hole_of_seafloor(hole), INPUT_SEAFLOOR, "plus the seafloor's DRF", recorded_um, um);
    }
    if (!why && scale == SCALE_DSF) {
        const int64_t seafloor_um =
            chain_seafloor(hole, at->core, at->when, below_seafloor, -1, um, links, &method, &why);
        um -= why ? 0 : seafloor_um;
    }
    if (why)
        return chain_unknown(why);
    const struct depth depth = {.um = um, .low_um = um - doubt_um, .high_um = um + doubt_um, .method = method};
    return scale_is_vertical(scale) ? chain_vertical(hole, depth, scale, at->core, at->when, links) : depth;
}
