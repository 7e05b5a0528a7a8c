/* SPDX-License-Identifier: MIT */
/* True vertical depth along a hole and its parents, and back. A hole may go up again (inclination above 90 degrees):
 * then vertical depth grows and falls on the way, and what is as deep as it was before is there more than once. */
#include "depth_chain.h"

#include <stddef.h>

#include "coretally/base/quantity.h"
#include "coretally/domain/survey.h"

/* The nearest hole up the line that has a survey; NULL: none has. */
static const struct correction *survey_of(const struct hole *hole, const struct hole **owner)
{
    const struct correction *survey = NULL;
    for (; hole && !survey; hole = hole->parent_hole) {
        survey = hole_correction(hole, CORRECTION_SURVEY, 0);
        *owner = hole;
    }
    return survey;
}

/* Where a hole parts from its parent, as far as depth is concerned: at its kickoff, or where its own survey begins if
 * that lies above or the kickoff is not known. LENGTH_NONE: it has no parent with a survey, or its own begins above
 * that. */
static int64_t parting(const struct hole *hole, const struct correction *own)
{
    const struct hole *owner = NULL;
    const struct correction *above = hole->parent_hole ? survey_of(hole->parent_hole, &owner) : NULL;
    if (!above || (own && own->stations[0].depth_um <= above->stations[0].depth_um))
        return LENGTH_NONE;
    const int64_t first_um = own ? own->stations[0].depth_um : INT64_MAX;
    return hole->kickoff_um != LENGTH_NONE && hole->kickoff_um < first_um ? hole->kickoff_um : first_um;
}

/* How a hole lies at a depth along it. */
static struct survey_station lie_at(const struct hole *hole, int64_t drf_um)
{
    const struct correction *own = hole_correction(hole, CORRECTION_SURVEY, 0);
    const int64_t parting_um = parting(hole, own);
    if (parting_um != LENGTH_NONE && drf_um <= parting_um)
        return lie_at(hole->parent_hole, drf_um);
    if (own && parting_um != LENGTH_NONE && drf_um < own->stations[0].depth_um) { /* on the arc from the kickoff */
        const struct survey_station arc[] = {lie_at(hole->parent_hole, parting_um), own->stations[0]};
        return survey_tangent(arc, 2, drf_um);
    }
    if (own)
        return survey_tangent(own->stations, own->station_count, drf_um);
    struct survey_station out = lie_at(hole->parent_hole, parting_um); /* straight on from the kickoff */
    out.depth_um = drf_um;
    return out;
}

/* True vertical depth along a hole. Above its kickoff a sidetrack follows its parent; from there it follows its own
 * stations, the first arc beginning as the parent lies at the kickoff; without any it goes straight on. */
static struct survey_place vertical_at(const struct hole *hole, int64_t drf_um)
{
    const struct correction *own = hole_correction(hole, CORRECTION_SURVEY, 0);
    const int64_t parting_um = parting(hole, own);
    if (parting_um == LENGTH_NONE)
        return survey_at(own->stations, own->station_count, drf_um);
    const struct survey_place top = vertical_at(hole->parent_hole, drf_um < parting_um ? drf_um : parting_um);
    if (drf_um <= parting_um)
        return top;
    const struct survey_station tie = lie_at(hole->parent_hole, parting_um);
    const bool is_first = own && parting_um == own->stations[0].depth_um; /* its own reading is the better one there */
    struct survey_place place = survey_below(is_first ? &own->stations[0] : &tie, own ? own->stations + is_first : NULL,
                                             own ? own->station_count - is_first : 0, drf_um);
    place.vertical_um += top.vertical_um;
    return place;
}

static int64_t vertical_of(const struct hole *hole, int64_t drf_um, bool *beyond)
{
    const struct survey_place place = vertical_at(hole, drf_um);
    *beyond = place.beyond;
    return place.vertical_um;
}

/* --- holes that go up again --- */

/* Deeper than any hole. */
#define DEEPEST_UM (30000 * INT64_C(1000000))

static bool survey_goes_up(const struct hole *hole)
{
    const struct correction *own = hole_correction(hole, CORRECTION_SURVEY, 0);
    for (size_t at = 0; own && at < own->station_count; at++)
        if (own->stations[at].inclination_deg > 90)
            return true;
    return false;
}

bool hole_goes_up(const struct hole *hole)
{
    bool goes_up = false;
    for (; hole && !goes_up; hole = hole->parent_hole)
        goes_up = survey_goes_up(hole);
    return goes_up;
}

/* The next depth along the hole at which an arc ends; DEEPEST_UM below the last one. */
static int64_t arc_end(const struct hole *hole, int64_t drf_um)
{
    const struct correction *own = hole_correction(hole, CORRECTION_SURVEY, 0);
    const int64_t parting_um = parting(hole, own);
    if (parting_um != LENGTH_NONE && drf_um < parting_um) {
        const int64_t above_um = arc_end(hole->parent_hole, drf_um);
        return above_um < parting_um ? above_um : parting_um;
    }
    for (size_t at = 0; own && at < own->station_count; at++)
        if (own->stations[at].depth_um > drf_um)
            return own->stations[at].depth_um;
    return DEEPEST_UM;
}

/* Does the hole go down there? Level counts as down; rounding must not make it turn. */
static bool goes_down(const struct hole *hole, int64_t drf_um)
{
    return lie_at(hole, drf_um).inclination_deg <= 90 + 1e-9;
}

/* From here on the hole goes only down, or only up, to what is returned. An arc is less than half a circle and turns at
 * most once from down to up or from up to down. */
static int64_t piece_end(const struct hole *hole, int64_t drf_um)
{
    const int64_t end_um = arc_end(hole, drf_um);
    if (end_um - drf_um < 4 || goes_down(hole, drf_um + 1) == goes_down(hole, end_um - 1))
        return end_um;
    const bool first = goes_down(hole, drf_um + 1);
    int64_t low_um = drf_um + 1;
    int64_t high_um = end_um - 1;
    while (high_um - low_um > 1) {
        const int64_t middle_um = low_um + (high_um - low_um) / 2;
        if (goes_down(hole, middle_um) == first)
            low_um = middle_um;
        else
            high_um = middle_um;
    }
    return high_um;
}

/* Least and greatest vertical depth between two depths along the hole. */
static void vertical_range(const struct hole *hole, int64_t from_um, int64_t to_um, int64_t *least_um,
                           int64_t *greatest_um)
{
    bool beyond = false;
    *least_um = vertical_of(hole, from_um, &beyond);
    *greatest_um = vertical_of(hole, to_um, &beyond);
    if (*least_um > *greatest_um) {
        const int64_t swap_um = *least_um;
        *least_um = *greatest_um;
        *greatest_um = swap_um;
    }
    if (!hole_goes_up(hole))
        return;
    for (int64_t at_um = piece_end(hole, from_um); at_um < to_um; at_um = piece_end(hole, at_um)) {
        const int64_t um = vertical_of(hole, at_um, &beyond);
        *least_um = um < *least_um ? um : *least_um;
        *greatest_um = um > *greatest_um ? um : *greatest_um;
    }
}

struct depth chain_vertical(const struct hole *hole, struct depth drf, enum scale scale, int32_t core,
                            struct instant when, struct depth_links *links)
{
    const struct hole *owner = hole;
    const struct correction *survey = survey_of(hole, &owner);
    int64_t floor_um = 0;
    bool beyond = false;
    if (!survey)
        return chain_unknown("no survey is recorded for this hole");
    struct depth out = {.um = vertical_of(hole, drf.um, &beyond),
                        .low_um = LENGTH_NONE,
                        .high_um = LENGTH_NONE,
                        .method = "minimum curvature"};
    link_add_correction(links, owner, survey,
                        beyond ? "vertical depth by minimum curvature, straight on below the last station"
                               : "vertical depth by minimum curvature",
                        out.um - drf.um, out.um);
    if (beyond)
        out.method = "minimum curvature, straight on below the last station";
    if (scale == SCALE_TVDSF) {
        const char *why = NULL;
        const char *method = NULL;
        const int64_t seafloor_um = chain_seafloor(hole, core, when, false, 1, 0, NULL, &method, &why);
        if (why)
            return chain_unknown(why);
        floor_um = vertical_of(hole, seafloor_um, &beyond);
        link_add(links, hole_of_seafloor(hole), INPUT_SEAFLOOR,
                 "less the vertical depth of the seafloor, corrected as for DSF", -floor_um, out.um - floor_um);
    }
    int64_t least_um = 0;
    int64_t greatest_um = 0;
    vertical_range(hole, drf.low_um == LENGTH_NONE ? drf.um : drf.low_um,
                   drf.high_um == LENGTH_NONE ? drf.um : drf.high_um, &least_um, &greatest_um);
    if (drf.low_um != LENGTH_NONE)
        out.low_um = least_um - floor_um;
    if (drf.high_um != LENGTH_NONE)
        out.high_um = greatest_um - floor_um;
    out.um -= floor_um;
    return out;
}

struct depth drilled_from_drf(const struct hole *hole, int64_t drf_um, struct instant when, enum scale scale)
{
    return drilled_within(hole, drf_um, 0, when, scale);
}

struct depth drilled_within(const struct hole *hole, int64_t drf_um, int64_t doubt_um, struct instant when,
                            enum scale scale)
{
    struct depth depth = {
        .um = drf_um, .low_um = drf_um - doubt_um, .high_um = drf_um + doubt_um, .method = "driller's tally"};
    if (scale_is_vertical(scale))
        return chain_vertical(hole, depth, scale, 0, when, NULL);
    if (scale == SCALE_DSF) {
        const char *why = NULL;
        const int64_t seafloor_um = chain_seafloor(hole, 0, when, false, 1, 0, NULL, &depth.method, &why);
        if (why)
            return chain_unknown(why);
        depth.um -= seafloor_um;
        depth.low_um -= seafloor_um;
        depth.high_um -= seafloor_um;
    }
    return depth;
}

/* The first depth between two along the hole, between which it goes one way only, that is this deep. */
static int64_t search(const struct hole *hole, int64_t um, int64_t low_um, int64_t high_um)
{
    bool beyond = false;
    const bool down = vertical_of(hole, low_um, &beyond) <= vertical_of(hole, high_um, &beyond);
    while (low_um < high_um) {
        const int64_t middle_um = low_um + (high_um - low_um) / 2;
        const int64_t reached_um = vertical_of(hole, middle_um, &beyond);
        if (down ? reached_um < um : reached_um > um)
            low_um = middle_um + 1;
        else
            high_um = middle_um;
    }
    return low_um;
}

/* Piece by piece: where it is that deep on the way down or up. Below the last station, where the hole goes on for as
 * long as one likes, only what is found nowhere above counts. */
static struct depth search_pieces(const struct hole *hole, int64_t um)
{
    struct depth found = chain_unknown("the hole has no such vertical depth");
    for (int64_t at_um = 0, end_um = 0; at_um < DEEPEST_UM; at_um = end_um) {
        bool beyond = false;
        end_um = piece_end(hole, at_um);
        const int64_t above_um = vertical_of(hole, at_um, &beyond);
        const int64_t below_um = vertical_of(hole, end_um, &beyond);
        const bool holds = (above_um < um && um <= below_um) || (above_um > um && um >= below_um) || (!at_um && !um);
        if (!holds || (end_um == DEEPEST_UM && !found.why))
            continue;
        if (!found.why)
            return chain_unknown("the hole is at this vertical depth more than once, since it goes up again");
        found = (struct depth){.um = search(hole, um, at_um, end_um), .method = "driller's tally"};
    }
    found.low_um = found.high_um = found.um;
    return found;
}

struct depth drilled_to_drf(const struct hole *hole, int64_t um, struct instant when, enum scale scale)
{
    struct depth depth = {.um = um, .low_um = um, .high_um = um, .method = "driller's tally"};
    if (scale == SCALE_DRF)
        return depth;
    const struct depth origin = drilled_from_drf(hole, 0, when, scale);
    if (origin.why)
        return origin;
    if (scale == SCALE_DSF) {
        depth.um = depth.low_um = depth.high_um = um - origin.um;
        return depth;
    }
    um -= origin.um; /* below rig floor, where the hole is 0 deep */
    if (hole_goes_up(hole))
        return search_pieces(hole, um);
    bool beyond = false;
    if (um < 0 || vertical_of(hole, DEEPEST_UM, &beyond) < um)
        return chain_unknown("the hole has no such vertical depth");
    depth.um = depth.low_um = depth.high_um = search(hole, um, 0, DEEPEST_UM);
    return depth;
}
