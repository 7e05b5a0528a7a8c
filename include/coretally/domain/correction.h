/* SPDX-License-Identifier: MIT */
/* Corrections of depth: records of their own beside the readings, which stay.
 * Their order is that of the chain of depth.h, whatever the order in which
 * they were entered; withdrawing one is as if it had never been entered.
 *
 * A correction is in force while it stands (is not withdrawn) and no standing
 * one takes its place, directly or through others.
 */
#ifndef CORETALLY_DOMAIN_CORRECTION_H
#define CORETALLY_DOMAIN_CORRECTION_H

#include "coretally/domain/core.h"

/* In the order of the chain. */
enum correction_kind {
    CORRECTION_NONE,
    CORRECTION_READING,   /* a drilled depth of one core retyped; the old one stays recorded */
    CORRECTION_TALLY,     /* from a depth down, by an amount */
    CORRECTION_STRETCH,   /* of the pipe, by a formula */
    CORRECTION_TIDE,      /* heights of the sea over time */
    CORRECTION_SHIFT,     /* one core, by an amount */
    CORRECTION_SEAFLOOR,  /* the seafloor found anew */
    CORRECTION_COMPOSITE, /* an offset for each core */
    CORRECTION_GROWTH,    /* composite depth divided by growth factors */
    CORRECTION_SPLICE,    /* intervals of cores that make one record */
    CORRECTION_WIRELINE,  /* core depth matched to wireline depth */
    CORRECTION_SURVEY,    /* inclination and azimuth down the hole */
    CORRECTION_KIND_COUNT
};
extern const char *const correction_words[];
extern const char *const correction_meanings[]; /* one line each */

/* How the stretch of the pipe is worked out (stretch.h). */
enum stretch_method { STRETCH_NONE, STRETCH_WEIGHT, STRETCH_LOAD, STRETCH_HEAT };
extern const char *const stretch_words[];

/* How a core came by its composite offset; submethods C, A and E of CCSF (IODP Depth Scales Terminology v2). */
enum tie_method { TIE_NONE, TIE_TIED, TIE_APPENDED, TIE_ASSUMED };
extern const char *const tie_words[];

struct tide_height {
    struct instant at;
    int64_t height_um; /* of the sea above its mean, up is positive */
};

struct core_offset {
    int32_t core;
    int64_t offset_um; /* CCSF = CSF-A + offset */
    enum tie_method method;
    const char *feature;   /* tied: where it lies in this core */
    const char *reference; /* and where in the record that it was tied to */
};

struct splice_interval {
    int32_t order; /* from the top of the splice down, over all holes */
    int32_t core;
    int32_t top_section;
    int64_t top_um; /* from the section top */
    int32_t bottom_section;
    int64_t bottom_um;
};

struct growth_step {
    int64_t top_um; /* CCSF; holds down to the next step */
    double factor;
};

struct match_point {
    int64_t depth_um;   /* CSF-A */
    int64_t matched_um; /* wireline depth below seafloor */
};

struct survey_station {
    int64_t depth_um; /* along the hole, below rig floor */
    double inclination_deg;
    double azimuth_deg;
};

struct correction {
    const char *hole;
    int32_t number;
    enum correction_kind kind;
    /* What it acts on; left out: everything. */
    int64_t top_um; /* drilled depth below rig floor as reported: from here, down to bottom_um (not included) */
    int64_t bottom_um;
    struct instant from; /* cores on deck and cuttings cut from then on, until then (not included) */
    struct instant to;
    int32_t first_core;
    int32_t last_core;
    int32_t core; /* reading, shift */
    /* By how much. */
    int64_t amount_um;   /* tally, shift: down is positive */
    int64_t core_top_um; /* reading: drilled top and bottom as they should have been typed, the core's own datum */
    int64_t core_bottom_um;
    int64_t seafloor_um; /* seafloor: below rig floor */
    enum seafloor_method seafloor_by;
    struct instant seafloor_at; /* when it was found; tide needs it */
    enum stretch_method stretch;
    double load_kn;
    double area_mm2;
    double pipe_weight_kg_m;
    double modulus_gpa;
    double steel_kg_m3;
    double mud_kg_m3;
    double poisson;
    double expansion_um_m_k;
    double rise_k;
    struct tide_height *heights; /* by time */
    size_t height_count;
    struct core_offset *offsets; /* by core */
    size_t offset_count;
    struct splice_interval *intervals; /* by order */
    size_t interval_count;
    struct growth_step *steps; /* by depth */
    size_t step_count;
    struct match_point *points; /* by depth, matched depths in the same order */
    size_t point_count;
    struct survey_station *stations; /* by depth */
    size_t station_count;
    /* Why. */
    const char *reason;
    const char *evidence;      /* in words */
    const char *evidence_file; /* hash of an attached file */
    const char *evidence_name; /* what that file was called */
    const char *supersedes;    /* numbers of those whose place it takes, separated by ' ' */
    const char *remark;
    const char *was; /* minted.h: its number before registries were joined; NULL */
    const char *withdrawn;
    int32_t version;
};

/* What a correction is checked against: one drilled depth. */
struct drilled_at {
    int64_t um; /* as reported */
    enum datum datum;
    int32_t core;        /* 0: no core */
    struct instant when; /* core on deck, cuttings cut; may be unknown */
};

enum cover { COVER_NO, COVER_YES, COVER_UNKNOWN_TIME, COVER_UNKNOWN_DEPTH };

/* Does its validity cover what lies at drf_um (as reported, below rig floor; LENGTH_NONE: not known)? UNKNOWN where
 * what would decide is not recorded. */
enum cover correction_covers(const struct correction *correction, int64_t drf_um, int32_t core, struct instant when);

/* The number that it was recorded under, which tells it from those before it: joining registries may have given it
 * another one since. */
int32_t correction_recorded_as(const struct correction *correction);

/* Those in force among count, in the order of the chain; out: room for count. The order does not depend on numbers.
 * Returns how many. */
size_t corrections_in_force(const struct correction *all, size_t count, const struct correction **out);

/* Does the second repeat the first: the same kind over the same range, so that both would be applied to one thing?
 * Tally slips with different ranges add up and are no repetition. */
bool correction_repeats(const struct correction *a, const struct correction *b);

/* Height of the sea at an instant, a straight line between rows; LENGTH_NONE outside the table. */
int64_t tide_at(const struct correction *tide, int64_t utc_us);

/* The offset of a core; NULL when the table has none. */
const struct core_offset *composite_find(const struct correction *composite, int32_t core);

/* Composite depth without growth: the slope of composite against drilled depth is the factor, step by step and
 * continuous, so that depths keep their order. Above the first step the factor is 1.
 * CCSF-B = sum of the thicknesses / factors (ODP IR 202 chapter 8: corrected = composite / growth factor). */
int64_t growth_remove(const struct correction *growth, int64_t ccsf_um);

/* Wireline depth of a core depth, a straight line between points; LENGTH_NONE outside of them. */
int64_t wireline_match(const struct correction *match, int64_t csf_um);

/* Rows in order, each once, within what can be. STATUS_INPUT names the row. */
MUST_CHECK enum status correction_check_rows(const struct correction *correction, struct err *err);

/* Has it what its kind needs, and nothing that another kind has? STATUS_INPUT with what to type. */
MUST_CHECK enum status correction_check_kind(const struct correction *correction, struct err *err);

#endif
