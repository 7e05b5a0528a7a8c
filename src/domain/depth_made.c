/* SPDX-License-Identifier: MIT */
/* Scales that are made of a core's depth or of a drilled one: composite, splice, wireline, true vertical depth. */
#include "depth_chain.h"

#include <stddef.h>
#include <strings.h>

#include "coretally/base/quantity.h"
#include "coretally/domain/survey.h"

const char *const scale_words[] = {"DRF",    "DSF",  "CSF-A", "CSF-B", "CCSF", "CCSF-B",
                                   "CCSF-D", "WMSF", "TVD",   "TVDSF", NULL};
const char *const scale_meanings[] = {
    "drilling depth below rig floor: what the driller reported, corrected",
    "drilling depth below seafloor: DRF less the seafloor's DRF",
    "core depth below seafloor, method A: core top + curated lengths above + offset; long cores overlap the next",
    "core depth below seafloor, method B: as A, long cores compressed onto their advance",
    "core composite depth: CSF-A + the composite offset of the core",
    "core composite depth, method B: CCSF with the growth of the record taken out by its factors",
    "core composite depth, method D: CCSF of what lies on the splice",
    "wireline depth below seafloor that CSF-A was matched to",
    "true vertical depth below rig floor: along the hole by DRF or CSF-B, then by the survey",
    "true vertical depth below seafloor",
    NULL,
};

enum scale scale_find(const char *word)
{
    if (strcasecmp(word, "MRF") == 0)
        return SCALE_DRF;
    if (strcasecmp(word, "MSF") == 0)
        return SCALE_DSF;
    int at = 0;
    while (at < SCALE_COUNT && strcasecmp(word, scale_words[at]) != 0)
        at++;
    return (enum scale)at;
}

bool scale_is_drilled(enum scale scale)
{
    return scale == SCALE_DRF || scale == SCALE_DSF || scale_is_vertical(scale);
}

bool scale_is_vertical(enum scale scale)
{
    return scale == SCALE_TVD || scale == SCALE_TVDSF;
}

/* --- true vertical depth --- */

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
    if (drf.low_um != LENGTH_NONE)
        out.low_um = vertical_of(hole, drf.low_um, &beyond) - floor_um;
    if (drf.high_um != LENGTH_NONE)
        out.high_um = vertical_of(hole, drf.high_um, &beyond) - floor_um;
    out.um -= floor_um;
    return out;
}

struct depth drilled_from_drf(const struct hole *hole, int64_t drf_um, struct instant when, enum scale scale)
{
    struct depth depth = {.um = drf_um, .low_um = drf_um, .high_um = drf_um, .method = "driller's tally"};
    if (scale_is_vertical(scale))
        return chain_vertical(hole, depth, scale, 0, when, NULL);
    if (scale == SCALE_DSF) {
        const char *why = NULL;
        const int64_t seafloor_um = chain_seafloor(hole, 0, when, false, 1, 0, NULL, &depth.method, &why);
        if (why)
            return chain_unknown(why);
        depth.um = depth.low_um = depth.high_um = drf_um - seafloor_um;
    }
    return depth;
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
    /* The hole goes down: the first depth along it that is this deep. */
    int64_t low_um = 0;
    int64_t high_um = 30000 * (int64_t)1000000;
    if (drilled_from_drf(hole, high_um, when, scale).um < um || um < origin.um)
        return chain_unknown("the hole has no such vertical depth");
    while (low_um < high_um) {
        const int64_t middle_um = low_um + (high_um - low_um) / 2;
        if (drilled_from_drf(hole, middle_um, when, scale).um < um)
            low_um = middle_um + 1;
        else
            high_um = middle_um;
    }
    depth.um = depth.low_um = depth.high_um = low_um;
    return depth;
}

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
