/* SPDX-License-Identifier: MIT */
/* Which corrections are in force, what each covers, and the tables inside them. */
#include "coretally/domain/correction.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/quantity.h"
#include "coretally/domain/minted.h"

const char *const correction_words[] = {"",          "reading", "tally",  "stretch",  "tide",   "shift", "seafloor",
                                        "composite", "growth",  "splice", "wireline", "survey", NULL};
const char *const correction_meanings[] = {
    "",
    "a drilled depth of one core typed wrongly; the old reading stays recorded",
    "a slip of the pipe tally: from a depth down, by an amount",
    "the pipe is longer in the hole: own weight, load, heat",
    "heights of the sea over time, taken off what was drilled then",
    "one core lies deeper or shallower than its run says",
    "the seafloor found anew",
    "an offset for each core, tied to a feature of another hole, appended or assumed",
    "composite depth divided by growth factors",
    "intervals of cores that make one record without gaps",
    "core depths matched to wireline depths",
    "inclination and azimuth down the hole: gives true vertical depth",
    NULL,
};
const char *const stretch_words[] = {"", "weight", "load", "heat", NULL};
const char *const tie_words[] = {"", "tied", "appended", "assumed", NULL};

enum cover correction_covers(const struct correction *it, int64_t drf_um, int32_t core, struct instant when)
{
    if ((it->core && it->core != core) || (it->first_core && core < it->first_core) ||
        (it->last_core && (!core || core > it->last_core)))
        return COVER_NO;
    const bool by_depth = it->top_um != LENGTH_NONE || it->bottom_um != LENGTH_NONE;
    if (by_depth && drf_um != LENGTH_NONE &&
        ((it->top_um != LENGTH_NONE && drf_um < it->top_um) ||
         (it->bottom_um != LENGTH_NONE && drf_um >= it->bottom_um)))
        return COVER_NO;
    const bool by_time = it->from.known || it->to.known;
    if (by_time && when.known &&
        ((it->from.known && when.utc_us < it->from.utc_us) || (it->to.known && when.utc_us >= it->to.utc_us)))
        return COVER_NO;
    if (by_depth && drf_um == LENGTH_NONE)
        return COVER_UNKNOWN_DEPTH;
    return by_time && !when.known ? COVER_UNKNOWN_TIME : COVER_YES;
}

/* Where the correction with this number stands; count when there is none. */
static size_t find_number(const struct correction *all, size_t count, long number)
{
    size_t at = 0;
    while (at < count && all[at].number != number)
        at++;
    return at;
}

int32_t correction_recorded_as(const struct correction *it)
{
    const int32_t former = minted_number(it->was);
    return former ? former : it->number;
}

/* Takes those whose place it takes out of the list; true when one stood there still. A record names earlier ones only.
 */
static bool take_places(const struct correction *all, size_t count, const struct correction *it,
                        const struct correction **list)
{
    bool any = false;
    for (const char *name = it->supersedes; name && *name;) {
        char *end = NULL;
        const long earlier = strtol(name, &end, 10);
        const size_t at = find_number(all, count, earlier);
        if (at < count && list[at] && correction_recorded_as(&all[at]) < correction_recorded_as(it)) {
            list[at] = NULL;
            any = true;
        }
        name = *end == ' ' ? end + 1 : "";
    }
    return any;
}

/* -1, 0, 1 of two numbers. */
static int order_of(int64_t a, int64_t b)
{
    return (a > b) - (a < b);
}

/* By what they say, never by number: the order of entry must not show. */
static int order_chain(const void *a, const void *b)
{
    const struct correction *left = *(const struct correction *const *)a;
    const struct correction *right = *(const struct correction *const *)b;
    const int order[] = {
        order_of(left->kind, right->kind),
        order_of(left->core, right->core),
        order_of(left->top_um, right->top_um),
        order_of(left->bottom_um, right->bottom_um),
        order_of(left->first_core, right->first_core),
        order_of(left->last_core, right->last_core),
        order_of(left->from.utc_us, right->from.utc_us),
        order_of(left->to.utc_us, right->to.utc_us),
        order_of(left->stretch, right->stretch),
        order_of(left->amount_um, right->amount_um),
        order_of(left->offset_count ? left->offsets[0].core : 0, right->offset_count ? right->offsets[0].core : 0),
        order_of(left->number, right->number)};
    for (size_t at = 0; at < sizeof order / sizeof order[0]; at++)
        if (order[at])
            return order[at];
    return 0;
}

size_t corrections_in_force(const struct correction *all, size_t count, const struct correction **out)
{
    size_t kept = 0;
    bool any = true;
    for (size_t at = 0; at < count; at++)
        out[at] = &all[at];
    /* A withdrawn one takes no place by itself, but passes on what it had taken to the one that took its own. */
    while (any) {
        any = false;
        for (size_t at = count; at-- > 0;) /* later ones first: with all in order one round is enough */
            if (!all[at].withdrawn || !out[at])
                any = take_places(all, count, &all[at], out) || any;
    }
    for (size_t at = 0; at < count; at++)
        if (out[at] && !out[at]->withdrawn)
            out[kept++] = out[at];
    if (kept)
        qsort(out, kept, sizeof(const void *), order_chain);
    return kept;
}

/* Do the ranges of validity of two corrections meet? */
static bool ranges_meet(const struct correction *a, const struct correction *b)
{
    const struct correction *const pair[] = {a, b};
    for (size_t at = 0; at < 2; at++) {
        const struct correction *one = pair[at];
        const struct correction *other = pair[1 - at];
        if (one->bottom_um != LENGTH_NONE && other->top_um != LENGTH_NONE && one->bottom_um <= other->top_um)
            return false;
        if (one->to.known && other->from.known && one->to.utc_us <= other->from.utc_us)
            return false;
        if (one->last_core && other->first_core && one->last_core < other->first_core)
            return false;
    }
    return true;
}

static bool is_same_instant(struct instant a, struct instant b)
{
    return a.known == b.known && a.utc_us == b.utc_us;
}

bool correction_repeats(const struct correction *a, const struct correction *b)
{
    if (a->kind != b->kind)
        return false;
    switch (a->kind) {
    case CORRECTION_TALLY:
        return a->top_um == b->top_um && a->bottom_um == b->bottom_um && a->first_core == b->first_core &&
               a->last_core == b->last_core && is_same_instant(a->from, b->from) && is_same_instant(a->to, b->to);
    case CORRECTION_READING:
    case CORRECTION_SHIFT:
        return a->core == b->core;
    case CORRECTION_STRETCH:
        return a->stretch == b->stretch && ranges_meet(a, b);
    case CORRECTION_COMPOSITE:
        for (size_t at = 0; at < a->offset_count; at++)
            if (composite_find(b, a->offsets[at].core))
                return true;
        return false;
    case CORRECTION_TIDE:
    case CORRECTION_SEAFLOOR:
        return ranges_meet(a, b);
    case CORRECTION_GROWTH:
    case CORRECTION_SPLICE:
    case CORRECTION_WIRELINE:
    case CORRECTION_SURVEY:
        return true;
    case CORRECTION_NONE:
    case CORRECTION_KIND_COUNT:
        break;
    }
    return false;
}

int64_t tide_at(const struct correction *tide, int64_t utc_us)
{
    const struct tide_height *rows = tide->heights;
    size_t low = 0;
    size_t high = tide->height_count;
    while (low < high) { /* the first row at or after the instant */
        const size_t middle = low + (high - low) / 2;
        if (rows[middle].at.utc_us < utc_us)
            low = middle + 1;
        else
            high = middle;
    }
    if (low == tide->height_count || (low == 0 && rows[0].at.utc_us != utc_us))
        return LENGTH_NONE;
    if (rows[low].at.utc_us == utc_us)
        return rows[low].height_um;
    return rows[low - 1].height_um + length_scale(rows[low].height_um - rows[low - 1].height_um,
                                                  utc_us - rows[low - 1].at.utc_us,
                                                  rows[low].at.utc_us - rows[low - 1].at.utc_us);
}

const struct core_offset *composite_find(const struct correction *composite, int32_t core)
{
    for (size_t at = 0; at < composite->offset_count; at++)
        if (composite->offsets[at].core == core)
            return &composite->offsets[at];
    return NULL;
}

int64_t growth_remove(const struct correction *growth, int64_t ccsf_um)
{
    int64_t reached_um = growth->step_count ? growth->steps[0].top_um : ccsf_um;
    double thinned_um = 0;
    if (ccsf_um <= reached_um)
        return ccsf_um;
    for (size_t at = 0; at < growth->step_count && reached_um < ccsf_um; at++) {
        const int64_t end_um = at + 1 < growth->step_count && growth->steps[at + 1].top_um < ccsf_um
                                   ? growth->steps[at + 1].top_um
                                   : ccsf_um;
        thinned_um += (double)(end_um - reached_um) / growth->steps[at].factor;
        reached_um = end_um;
    }
    return growth->steps[0].top_um + llround(thinned_um);
}

int64_t wireline_match(const struct correction *match, int64_t csf_um)
{
    const struct match_point *points = match->points;
    size_t low = 0;
    size_t high = match->point_count;
    while (low < high) { /* the first point at or below the depth */
        const size_t middle = low + (high - low) / 2;
        if (points[middle].depth_um < csf_um)
            low = middle + 1;
        else
            high = middle;
    }
    if (low == match->point_count || (low == 0 && points[0].depth_um != csf_um))
        return LENGTH_NONE;
    if (points[low].depth_um == csf_um)
        return points[low].matched_um;
    return points[low - 1].matched_um + length_scale(points[low].matched_um - points[low - 1].matched_um,
                                                     csf_um - points[low - 1].depth_um,
                                                     points[low].depth_um - points[low - 1].depth_um);
}
