/* SPDX-License-Identifier: MIT */
/* Expedition, hole and drilled intervals as plain values. Absent lengths are
 * LENGTH_NONE, absent whole numbers INT_NONE, absent texts NULL, absent words
 * the 0 of their enum. Strings belong to whoever made the value. */
#ifndef CORETALLY_DOMAIN_HOLE_H
#define CORETALLY_DOMAIN_HOLE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "coretally/base/clock.h"

/* Enum words in one array for both directions: index is the enum value, [0] is "" (absent), NULL ends it. */
enum returns { RETURNS_NONE, RETURNS_SEAFLOOR, RETURNS_SHIP };
extern const char *const returns_words[];

/* How the depth of the seafloor was found; submethods A to E of DSF (IODP Depth Scales Terminology v2). */
enum seafloor_method {
    SEAFLOOR_NONE,
    SEAFLOOR_TAGGED,
    SEAFLOOR_MUDLINE,
    SEAFLOOR_CAMERA,
    SEAFLOOR_INHERITED,
    SEAFLOOR_OTHER
};
extern const char *const seafloor_words[];

/* What a drilled depth counts from. */
enum datum { DATUM_NONE, DATUM_RIG_FLOOR, DATUM_SEAFLOOR };
extern const char *const datum_words[];

struct correction;

struct expedition {
    const char *number;
    const char *title;
    const char *remark;
    int32_t version;
};

/* Where a bag of cuttings is planned every so many metres; depths below rig floor. */
struct sampling_plan {
    int64_t top_um;
    int64_t bottom_um; /* LENGTH_NONE: and on */
    int64_t step_um;
};

struct hole {
    const char *site;     /* "U0012", "1264" */
    const char *letter;   /* "A" */
    int64_t rig_floor_um; /* rig floor above sea level */
    int64_t seafloor_um;  /* seafloor below rig floor, as read */
    enum seafloor_method seafloor_by;
    const char *seafloor_note;  /* the hole it was inherited from, or the evidence */
    struct instant seafloor_at; /* when it was found */
    int64_t mudline_bit_um;     /* bit below rig floor when the mudline core was shot */
    int64_t mudline_stroke_um;
    int64_t mudline_recovered_um;
    enum returns returns;
    int32_t zone_min;     /* ship's clock, minutes east of UTC */
    int64_t tolerance_um; /* driller's depth, to either side */
    int64_t heave_um;     /* left after compensation, to either side */
    int64_t tide_um;      /* to either side, until a tide correction is in force */
    const char *parent;   /* of a sidetrack: the hole that it leaves */
    int64_t kickoff_um;   /* and where, below rig floor */
    struct sampling_plan *plan;
    size_t plan_count;
    const char *remark;
    const char *withdrawn; /* reason; NULL while it stands */
    int32_t version;
    /* Not in the record of the hole: the corrections in force, in the order of the chain (correction.h), and the parent
     * with its own; put here by whoever reads the hole from the registry. */
    const struct correction *const *corrections;
    size_t correction_count;
    const struct hole *parent_hole;
};

/* A drilled-without-coring interval: penetration without core. */
struct drilled {
    int32_t number;
    int64_t top_um;
    int64_t bottom_um;
    enum datum datum;
    const char *remark;
    const char *was; /* minted.h: its number before registries were joined; NULL */
    const char *withdrawn;
    int32_t version;
};

struct drilled_set {
    const char *hole;
    struct drilled *intervals;
    size_t interval_count;
};

/* Site and letter of a hole, as people say it: "U0012A". */
enum { HOLE_TEXT_MAX = 12 };
void hole_text(const struct hole *hole, char out[HOLE_TEXT_MAX]);

/* Seafloor below rig floor, corrections aside: as read, or for a mudline core bit + stroke - recovered (rule of a full
 * first core: ODP Leg 199 explanatory notes; formula: common practice, no source). LENGTH_NONE when not known. */
int64_t hole_seafloor(const struct hole *hole);

/* The hole whose seafloor reading holds: its own, or up the line that of the hole that a sidetrack leaves. */
const struct hole *hole_of_seafloor(const struct hole *hole);

/* Water depth = seafloor below rig floor - rig floor above sea level; LENGTH_NONE when either is missing. */
int64_t hole_water_depth(const struct hole *hole);

#endif
