/* SPDX-License-Identifier: MIT */
/* Plain corrections for tests of the domain: everything absent but what is asked for, and holes that have some. */
#ifndef CORETALLY_TESTS_CORRECTION_PARTS_H
#define CORETALLY_TESTS_CORRECTION_PARTS_H

#include "parts.h"

#include "coretally/domain/depth.h"

static inline struct correction part_correction(enum correction_kind kind, int32_t number)
{
    return (struct correction){.hole = "U0012A",
                               .number = number,
                               .kind = kind,
                               .top_um = LENGTH_NONE,
                               .bottom_um = LENGTH_NONE,
                               .amount_um = LENGTH_NONE,
                               .core_top_um = LENGTH_NONE,
                               .core_bottom_um = LENGTH_NONE,
                               .seafloor_um = LENGTH_NONE,
                               .load_kn = NAN,
                               .area_mm2 = NAN,
                               .pipe_weight_kg_m = NAN,
                               .modulus_gpa = NAN,
                               .steel_kg_m3 = NAN,
                               .mud_kg_m3 = NAN,
                               .poisson = NAN,
                               .expansion_um_m_k = NAN,
                               .rise_k = NAN,
                               .reason = "a test"};
}

/* So many minutes after 2026-03-01T00:00:00Z; a negative one is not known. */
static inline struct instant part_time(int64_t minutes)
{
    if (minutes < 0)
        return (struct instant){0};
    return (struct instant){.utc_us = (INT64_C(1772323200) + minutes * 60) * 1000000, .known = true};
}

/* Puts what is in force into the hole; room for count. */
static inline void part_correct(struct hole *hole, const struct correction *all, size_t count,
                                const struct correction **room)
{
    hole->correction_count = corrections_in_force(all, count, room);
    hole->corrections = room;
}

/* A load of 100 kN on 2000 mm2 of 200 GPa: 0.25 mm a metre. */
static inline struct correction part_stretch(int32_t number)
{
    struct correction it = part_correction(CORRECTION_STRETCH, number);
    it.stretch = STRETCH_LOAD;
    it.load_kn = 100;
    it.area_mm2 = 2000;
    it.modulus_gpa = 200;
    return it;
}

/* Each link takes up where the one before it ended, adds its amount, and the last one gives the depth. What a link says
 * of the bounds alone, and what is no sum, moves nothing. NULL, or what is wrong. */
static inline const char *part_links_wrong(const struct depth_links *links, struct depth depth)
{
    int64_t reached_um = links->count ? links->items[0].result_um : 0;
    if (links->count == 0 || links->dropped || links->items[0].input != INPUT_CORE_TOP)
        return "the first link is not the reading";
    for (size_t at = 0; at < links->count; at++) {
        const struct depth_link *link = &links->items[at];
        const bool of_bounds = link->input == INPUT_MISSING_CORE || link->input == INPUT_TOLERANCE;
        if (link->amount_um != LENGTH_NONE && !of_bounds)
            reached_um += link->amount_um;
        if (link->result_um != reached_um)
            return link->rule;
        if (!link->rule || !link->hole || (link->input == INPUT_CORRECTION) != (link->correction != NULL))
            return "a link does not say what it did";
    }
    return reached_um == depth.um ? NULL : "the last link is not the depth";
}

#endif
