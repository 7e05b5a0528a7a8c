/* SPDX-License-Identifier: MIT */
/* What corrections of the pipe add to a drilled depth, and to the seafloor that it is counted from. */
#include "depth_chain.h"

#include <stddef.h>

#include "coretally/base/quantity.h"
#include "coretally/domain/stretch.h"

static const char no_time[] = "a correction asks for a time, and when this came up or was found is not recorded";
static const char no_depth[] = "a correction asks for a depth below rig floor, and the seafloor is not recorded";
const char chain_no_seafloor[] = "the depth of the seafloor is not recorded for this hole";
static const char *const seafloor_methods[] = {"seafloor by no method",    "seafloor tagged",
                                               "seafloor by mudline core", "seafloor seen by camera",
                                               "seafloor inherited",       "seafloor by other means"};

/* What one correction of the pipe adds to a depth of drf_um; false with *why where it cannot be said. */
static bool pipe_amount(const struct correction *it, int64_t drf_um, struct instant when, enum pipe_part part,
                        int64_t *amount_um, const char **why)
{
    *why = NULL;
    if (it->kind == CORRECTION_STRETCH) {
        if (drf_um == LENGTH_NONE)
            *why = no_depth;
        else
            *amount_um = stretch_of(it, drf_um);
    } else if (it->kind == CORRECTION_TIDE) {
        const int64_t height_um = when.known ? tide_at(it, when.utc_us) : LENGTH_NONE;
        if (!when.known)
            *why = part == PIPE_ITSELF ? "the tide correction needs the time when this came up, which is not recorded"
                                       : "the tide correction needs the time when the seafloor was found "
                                         "(seafloor-at), which is not recorded";
        else if (height_um == LENGTH_NONE)
            *why = part == PIPE_ITSELF ? "the tide table does not reach to the time when this came up"
                                       : "the tide table does not reach to the time when the seafloor was found";
        else
            *amount_um = -height_um;
    } else
        *amount_um = it->amount_um;
    return *why == NULL;
}

static const char *pipe_rule(enum correction_kind kind, enum pipe_part part)
{
    static const char *const rules[][3] = {
        {"tally slip", "less the tally slip at the seafloor", "plus the tally slip at the seafloor"},
        {"stretch of the pipe", "less the stretch of the pipe at the seafloor",
         "plus the stretch of the pipe at the seafloor"},
        {"less the tide when it came up", "plus the tide when the seafloor was found",
         "less the tide when the seafloor was found"},
        {"core shift", "", ""}};
    return rules[kind - CORRECTION_TALLY][part];
}

/* What tally, stretch, tide and core shift add to a depth as reported (LENGTH_NONE: not known below rig floor). The
 * ranges are looked up at the depth as reported, so the order of entry does not show; stretch grows with the depth
 * that the tally left. The tide at the seafloor is another matter: seafloor_tide. */
int64_t pipe_corrected(const struct hole *hole, int64_t drf_um, int32_t core, struct instant when, enum pipe_part part,
                       int64_t running_um, struct depth_links *links, const char **why)
{
    const int sign = part == PIPE_FLOOR_OFF ? -1 : 1;
    int64_t sum_um = 0;
    int64_t tallied_um = drf_um;
    for (size_t at = 0; at < hole->correction_count; at++) {
        const struct correction *it = hole->corrections[at];
        int64_t amount_um = 0;
        if (it->kind < CORRECTION_TALLY || it->kind > CORRECTION_SHIFT ||
            (it->kind == CORRECTION_TIDE && part != PIPE_ITSELF))
            continue;
        const enum cover cover = correction_covers(it, drf_um, core, when);
        if (cover == COVER_NO)
            continue;
        if (cover != COVER_YES) {
            *why = cover == COVER_UNKNOWN_TIME ? no_time : no_depth;
            return 0;
        }
        if (!pipe_amount(it, tallied_um, when, part, &amount_um, why))
            return 0;
        tallied_um += it->kind == CORRECTION_TALLY && tallied_um != LENGTH_NONE ? amount_um : 0;
        sum_um += amount_um;
        link_add_correction(links, hole, it, pipe_rule(it->kind, part), sign * amount_um, running_um + sign * sum_um);
    }
    return sum_um;
}

/* What the tide adds to the seafloor: where the tide is taken off a depth, it is taken off the seafloor that this is
 * counted from, at the time when that was found, whatever times and cores the table is for. */
static int64_t seafloor_tide(const struct hole *hole, int32_t core, struct instant when, struct instant found,
                             enum pipe_part part, int64_t running_um, struct depth_links *links, const char **why)
{
    const int sign = part == PIPE_FLOOR_OFF ? -1 : 1;
    int64_t sum_um = 0;
    for (size_t at = 0; !*why && at < hole->correction_count; at++) {
        const struct correction *it = hole->corrections[at];
        int64_t amount_um = 0;
        if (it->kind != CORRECTION_TIDE || correction_covers(it, LENGTH_NONE, core, when) != COVER_YES ||
            !pipe_amount(it, LENGTH_NONE, found, part, &amount_um, why))
            continue;
        sum_um += amount_um;
        link_add_correction(links, hole, it, pipe_rule(it->kind, part), sign * amount_um, running_um + sign * sum_um);
    }
    return sum_um;
}

/* The one that found the seafloor anew: the hole's own, else that of the hole whose reading it has; core numbers are
 * those of one hole. NULL: none, or *why where it cannot be said. */
static const struct correction *found_anew(const struct hole *hole, const struct hole *read, int32_t core,
                                           struct instant when, const struct hole **owner, const char **why)
{
    for (*owner = hole;; *owner = (*owner)->parent_hole) {
        for (size_t at = 0; at < (*owner)->correction_count; at++) {
            const struct correction *it = (*owner)->corrections[at];
            const int32_t number = *owner == hole ? core : 0;
            const enum cover cover =
                it->kind == CORRECTION_SEAFLOOR ? correction_covers(it, LENGTH_NONE, number, when) : COVER_NO;
            if (cover == COVER_YES)
                return it;
            if (cover != COVER_NO)
                *why = no_time;
        }
        if (*owner == read || *why)
            return NULL;
    }
}

int64_t chain_seafloor(const struct hole *hole, int32_t core, struct instant when, bool only_changes, int sign,
                       int64_t running_um, struct depth_links *links, const char **method, const char **why)
{
    const struct hole *own = hole_of_seafloor(hole);
    const struct hole *owner = own;
    const int64_t recorded_um = hole_seafloor(own);
    int64_t um = recorded_um;
    struct instant found = own->seafloor_at;
    *method = seafloor_methods[own->seafloor_by];
    if (recorded_um != LENGTH_NONE && !only_changes) {
        running_um += sign * recorded_um;
        link_add(links, own, INPUT_SEAFLOOR, sign < 0 ? "less the seafloor's DRF" : "plus the seafloor's DRF",
                 sign * recorded_um, running_um);
    }
    const struct correction *anew = found_anew(hole, own, core, when, &owner, why);
    if (!*why && um == LENGTH_NONE && (only_changes ? anew != NULL : !anew))
        *why = chain_no_seafloor; /* what the readings were reduced with is not known */
    if (*why)
        return LENGTH_NONE;
    if (anew) {
        const int64_t change_um = anew->seafloor_um - (um == LENGTH_NONE ? 0 : um);
        running_um += sign * change_um;
        link_add_correction(links, owner, anew, "the seafloor was found anew", sign * change_um, running_um);
        um = anew->seafloor_um;
        found = anew->seafloor_at;
        own = owner;
        *method = seafloor_methods[anew->seafloor_by];
    }
    const enum pipe_part part = sign < 0 ? PIPE_FLOOR_OFF : PIPE_FLOOR_ON;
    int64_t pipe_um = pipe_corrected(own, um, 0, found, part, running_um, links, why);
    if (!*why)
        pipe_um += seafloor_tide(hole, core, when, found, part, running_um + sign * pipe_um, links, why);
    if (*why)
        return LENGTH_NONE;
    return only_changes ? (um == LENGTH_NONE ? 0 : um - recorded_um) + pipe_um : um + pipe_um;
}

int64_t hole_seafloor_corrected(const struct hole *hole, struct instant when)
{
    const char *why = NULL;
    const char *method = NULL;
    return chain_seafloor(hole, 0, when, false, 1, 0, NULL, &method, &why);
}
