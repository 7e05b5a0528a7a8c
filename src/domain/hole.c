/* SPDX-License-Identifier: MIT */
/* Hole arithmetic and the words of its enums. */
#include "coretally/domain/hole.h"

#include <stdio.h>

#include "coretally/base/quantity.h"

const char *const returns_words[] = {"", "seafloor", "ship", NULL};
const char *const seafloor_words[] = {"", "tagged", "mudline", "camera", "inherited", "other", NULL};
const char *const datum_words[] = {"", "rig-floor", "seafloor", NULL};

int64_t hole_seafloor(const struct hole *hole)
{
    if (hole->seafloor_um != LENGTH_NONE || hole->seafloor_by != SEAFLOOR_MUDLINE)
        return hole->seafloor_um;
    if (hole->mudline_bit_um == LENGTH_NONE || hole->mudline_stroke_um == LENGTH_NONE ||
        hole->mudline_recovered_um == LENGTH_NONE)
        return LENGTH_NONE;
    return hole->mudline_bit_um + hole->mudline_stroke_um - hole->mudline_recovered_um;
}

const struct hole *hole_of_seafloor(const struct hole *hole)
{
    while (hole_seafloor(hole) == LENGTH_NONE && hole->parent_hole)
        hole = hole->parent_hole;
    return hole;
}

int64_t hole_water_depth(const struct hole *hole)
{
    const int64_t seafloor_um = hole_seafloor(hole);
    if (seafloor_um == LENGTH_NONE || hole->rig_floor_um == LENGTH_NONE)
        return LENGTH_NONE;
    return seafloor_um - hole->rig_floor_um;
}

void hole_text(const struct hole *hole, char out[HOLE_TEXT_MAX])
{
    (void)snprintf(out, HOLE_TEXT_MAX, "%.7s%.3s", hole->site, hole->letter);
}
