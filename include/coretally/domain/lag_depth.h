/* SPDX-License-Identifier: MIT */
/* The depth of what arrived at the shaker, with bounds, and what a person must know of it. */
#ifndef CORETALLY_DOMAIN_LAG_DEPTH_H
#define CORETALLY_DOMAIN_LAG_DEPTH_H

#include "coretally/domain/lag.h"
#include "coretally/domain/rule.h"

/* Depths below rig floor (MRF); LENGTH_NONE where not known. For an instant top and bottom are the same. */
struct lag_depth {
    int64_t top_um;
    int64_t bottom_um;
    int64_t low_um;           /* no shallower than this */
    int64_t high_um;          /* no deeper */
    struct lag_passage first; /* of what arrived first, and last */
    struct lag_passage last;
    bool has_new_hole;    /* the hole was made deeper by what arrived */
    bool has_returns;     /* something came over the shaker in the window; true for an instant */
    bool after_cement;    /* cut within the first metres after cement was circulated, or left the bit before that */
    bool over_gap;        /* the way crosses rows that a bridged gap is missing */
    double off_bottom_m3; /* pumped with the bit well off bottom while it was on its way */
    double off_bottom_s;  /* time with the bit well off bottom while it was on its way */
    const char *why;      /* why a depth is missing; NULL */
};

/* From depths as the driller reported them to MRF, by the corrections that cover what was cut then; the bounds move as
 * far. Unknown, with why, where a correction cannot be applied. */
void lag_depth_correct(const struct hole *hole, struct lag_depth *depth);

/* Below seafloor (MSF) of a corrected MRF cut at a time; LENGTH_NONE where the seafloor is not known. */
int64_t lag_depth_msf(const struct hole *hole, int64_t mrf_um, int64_t cut_us);

/* The part of the hole's sampling plan that a depth lies in; NULL: none. */
const struct sampling_plan *plan_at(const struct hole *hole, int64_t depth_um);

/* What a person must know of it, as findings: told or doubted. */
void lag_depth_check(const struct hole *hole, const struct lag_depth *depth, struct findings *findings);

#endif
