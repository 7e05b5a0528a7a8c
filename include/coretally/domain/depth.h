/* SPDX-License-Identifier: MIT */
/* Where a depth comes from: one function walks the chain from the driller's
 * reading to the scale that was asked for and can report every link.
 *
 *     drilled top, as reported -> retyped -> tally -> stretch -> tide -> core shift = DRF
 *     -> minus the seafloor's DRF, corrected the same way = DSF
 *     -> plus curated lengths above and offset = CSF-A
 *     -> compressed onto the advance when curated length > advance = CSF-B
 *     CSF-A -> plus the composite offset of the core = CCSF -> growth taken out = CCSF-B; inside the splice = CCSF-D
 *     CSF-A -> matched to the wireline = WMSF
 *     CSF-B or DRF -> survey = TVD, TVDSF
 *
 * A run is moved as a whole: what covers its drilled top moves its bottom as far, so advance and recovery stay.
 */
#ifndef CORETALLY_DOMAIN_DEPTH_H
#define CORETALLY_DOMAIN_DEPTH_H

#include "coretally/domain/core.h"
#include "coretally/domain/correction.h"

/* Scales of the published convention (IODP Depth Scales Terminology v2, reprinted in Proc. IODP 318, Methods, table
 * T1); CCSF methods by their letters there. TVD is the trade's. For what comes over the shaker DRF and DSF read MRF and
 * MSF. */
enum scale {
    SCALE_DRF,
    SCALE_DSF,
    SCALE_CSF_A,
    SCALE_CSF_B,
    SCALE_CCSF,
    SCALE_CCSF_B,
    SCALE_CCSF_D,
    SCALE_WMSF,
    SCALE_TVD,
    SCALE_TVDSF,
    SCALE_COUNT
};
extern const char *const scale_words[];    /* "DRF", "DSF", "CSF-A", ..., NULL */
extern const char *const scale_meanings[]; /* one line each */

/* The scale of this word, any case; SCALE_COUNT for none. MRF and MSF are DRF and DSF. */
enum scale scale_find(const char *word);
/* Along the pipe or the hole, whether a core lies there or not; the other scales need a core. */
bool scale_is_drilled(enum scale scale);
/* True vertical, from the rig floor or from the seafloor. */
bool scale_is_vertical(enum scale scale);

/* A depth and how far off it may be. Unknown parts are LENGTH_NONE; why then says what is missing. */
struct depth {
    int64_t um;
    int64_t low_um;
    int64_t high_um;
    const char *method; /* static text: how the scale was made here */
    const char *why;    /* static text; NULL when the depth is known */
};

/* Which reading a link of the chain took. */
enum depth_input {
    INPUT_CORE_TOP,
    INPUT_CORRECTION, /* see correction */
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
    const char *rule;                    /* static text: what was done */
    const struct correction *correction; /* NULL: none */
    const struct hole *hole;             /* whose reading or correction it is: a sidetrack has some of its parent */
    int64_t amount_um;                   /* added or taken; LENGTH_NONE where the link is no sum */
    int64_t result_um;                   /* depth after the link */
};

/* More links than there is room for are counted, not kept. */
enum { DEPTH_LINKS_MAX = 400 };
struct depth_links {
    struct depth_link items[DEPTH_LINKS_MAX];
    size_t count;
    size_t dropped;
};

/* A place in a core: an offset into a section. For the core's own top and bottom use core_top_depth. */
struct place {
    const struct hole *hole;
    const struct core *core;
    int32_t section;
    int64_t offset_um;
};

/* Depth of a place; DRF and DSF are those of the top of its run. links may be NULL. A place that the core does not have
 * (unknown section) is a bug of the caller. CSF-B = top + (CSF-A - top) * min(1, advance / curated), to the micrometre,
 * half away from zero. */
struct depth place_depth(const struct place *place, enum scale scale, struct depth_links *links);

/* Top and bottom of a run on DRF, DSF, TVD or TVDSF. */
struct depth core_top_depth(const struct hole *hole, const struct core *core, enum scale scale,
                            struct depth_links *links);
struct depth core_bottom_depth(const struct hole *hole, const struct core *core, enum scale scale);

/* A drilled depth that belongs to no core, on the same scales; when (may be unknown): cut then. */
struct depth drilled_depth(const struct hole *hole, int64_t um, enum datum datum, struct instant when, enum scale scale,
                           struct depth_links *links);

/* From DRF, already corrected, to DSF, TVD or TVDSF, and back; when (may be unknown): drilled then. */
struct depth drilled_from_drf(const struct hole *hole, int64_t drf_um, struct instant when, enum scale scale);
struct depth drilled_within(const struct hole *hole, int64_t drf_um, int64_t doubt_um, struct instant when,
                            enum scale scale); /* known to doubt_um, to either side */
struct depth drilled_to_drf(const struct hole *hole, int64_t um, struct instant when, enum scale scale);

/* Does its survey, or one of the holes that it leaves, go up somewhere (inclination above 90 degrees)? A vertical depth
 * may then be there more than once: drilled_to_drf says so and has no answer. */
bool hole_goes_up(const struct hole *hole);

/* Seafloor below rig floor with its corrections, for what was drilled at that time; LENGTH_NONE when not known. */
int64_t hole_seafloor_corrected(const struct hole *hole, struct instant when);

/* How far off a driller's depth may be to either side: tolerance, remaining heave and, where no tide correction covers
 * it, the tide that the hole states; added, the careful choice for a bound. core: 0 for none. */
int64_t hole_doubt(const struct hole *hole, int32_t core, struct instant when);

/* The core with its run as retyped, if it was. */
struct core core_retyped(const struct hole *hole, const struct core *core);

/* The correction of a kind that a hole has in force; NULL for none. With core (not 0): the one that covers this core.
 */
const struct correction *hole_correction(const struct hole *hole, enum correction_kind kind, int32_t core);

#endif
