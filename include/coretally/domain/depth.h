/* SPDX-License-Identifier: MIT */
/* Where a depth comes from: one function walks the chain from the driller's
 * reading to the scale that was asked for and can report every link.
 *
 *     drilled top -> DRF -> minus the seafloor = DSF -> plus curated lengths above and offset = CSF-A
 *     -> compressed onto the advance when curated length > advance = CSF-B
 */
#ifndef CORETALLY_DOMAIN_DEPTH_H
#define CORETALLY_DOMAIN_DEPTH_H

#include "coretally/domain/core.h"

/* Scales of the published convention (IODP Depth Scales Terminology v2, reprinted in Proc. IODP 318, Methods, table
 * T1). */
enum scale { SCALE_DRF, SCALE_DSF, SCALE_CSF_A, SCALE_CSF_B, SCALE_COUNT };
extern const char *const scale_words[];    /* "DRF", "DSF", "CSF-A", "CSF-B", NULL */
extern const char *const scale_meanings[]; /* one line each */

/* A depth and how far off it may be. Unknown parts are LENGTH_NONE; why then says what is missing. */
struct depth {
    int64_t um;
    int64_t low_um;
    int64_t high_um;
    const char *why; /* static text; NULL when the depth is known */
};

/* Which reading a link of the chain took. */
enum depth_input {
    INPUT_CORE_TOP,
    INPUT_SEAFLOOR,
    INPUT_SECTIONS_ABOVE,
    INPUT_OFFSET,
    INPUT_COMPRESSION,
    INPUT_MISSING_CORE, /* advance - recovered: how much deeper the material may have come from */
    INPUT_TOLERANCE,
    INPUT_WIDE /* wash and ghost cores: anywhere in the interval */
};

struct depth_link {
    enum depth_input input;
    const char *rule;  /* static text: what was done */
    int64_t amount_um; /* added or taken; LENGTH_NONE where the link is no sum */
    int64_t result_um; /* depth after the link */
};

enum { DEPTH_LINKS_MAX = 12 };
struct depth_links {
    struct depth_link items[DEPTH_LINKS_MAX];
    size_t count;
};

/* A place in a core: an offset into a section. For the core's own top and bottom use drilled_depth. */
struct place {
    const struct hole *hole;
    const struct core *core;
    int32_t section;
    int64_t offset_um;
};

/* Depth of a place on CSF-A or CSF-B. links may be NULL. A place that the core does not have (unknown section) is a
 * bug of the caller. CSF-B = top + (CSF-A - top) * min(1, advance / curated), to the micrometre, half away from zero.
 */
struct depth place_depth(const struct place *place, enum scale scale, struct depth_links *links);

/* DRF or DSF of a drilled depth whose datum is given: a core's top or bottom, a drilled interval. */
struct depth drilled_depth(const struct hole *hole, int64_t um, enum datum datum, enum scale scale,
                           struct depth_links *links);

#endif
