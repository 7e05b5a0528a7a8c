/* SPDX-License-Identifier: MIT */
/* Depths down a core, section by section. */
#include "coretally/domain/depth_order.h"

#include "coretally/base/quantity.h"

/* Top and end of a section on a scale; the end LENGTH_NONE where its length is not known. */
static void section_depths(const struct hole *hole, const struct core *core, const struct section *section,
                           enum scale scale, int64_t out_um[2])
{
    const int64_t length_um = section_curated(section);
    struct place place = {hole, core, section->number, 0};
    out_um[0] = place_depth(&place, scale, NULL).um;
    place.offset_um = length_um;
    out_um[1] = length_um == LENGTH_NONE ? LENGTH_NONE : place_depth(&place, scale, NULL).um;
}

bool core_depths_decrease(const struct hole *hole, const struct core *core, enum scale scale, struct depth_step *out)
{
    int64_t last_um = LENGTH_NONE;
    for (size_t at = 0; at < core->section_count; at++) {
        int64_t um[2];
        if (core->sections[at].withdrawn)
            continue;
        section_depths(hole, core, &core->sections[at], scale, um);
        for (size_t end = 0; end < 2; end++) {
            if (um[end] == LENGTH_NONE)
                continue;
            if (last_um != LENGTH_NONE && um[end] < last_um) {
                *out = (struct depth_step){core->sections[at].number, last_um, um[end]};
                return true;
            }
            last_um = um[end];
        }
    }
    return false;
}

bool core_passes_bottom(const struct hole *hole, const struct core *core, struct depth_step *out)
{
    const int64_t bottom_um = core_bottom_depth(hole, core, SCALE_DSF).um;
    for (size_t at = 0; bottom_um != LENGTH_NONE && at < core->section_count; at++) {
        int64_t um[2];
        if (core->sections[at].withdrawn)
            continue;
        section_depths(hole, core, &core->sections[at], SCALE_CSF_B, um);
        if (um[1] != LENGTH_NONE && um[1] > bottom_um) {
            *out = (struct depth_step){core->sections[at].number, bottom_um, um[1]};
            return true;
        }
    }
    return false;
}
