/* SPDX-License-Identifier: MIT */
/* The well that the mud sees: bores from the rig floor down, the string from
 * the bit up, and what splitting them against each other gives. Depths are
 * below rig floor.
 *
 *     struct segments split;
 *     TRY(well_split(&geometry, bit_um, &split, err));       refuses gaps, overlaps, pipe wider than its bore
 *     split.volume_m3, split.items[n].area_m2, ...
 */
#ifndef CORETALLY_DOMAIN_WELL_H
#define CORETALLY_DOMAIN_WELL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "coretally/base/clock.h"
#include "coretally/base/quantity.h"
#include "coretally/domain/slip.h"

enum bore_kind { BORE_NONE, BORE_RISER, BORE_CASING, BORE_LINER, BORE_OPEN };
extern const char *const bore_words[];

struct bore {
    enum bore_kind kind;
    int64_t top_um;
    int64_t bottom_um;    /* LENGTH_NONE: open hole, down to the bottom of the hole */
    int64_t diameter_um;  /* inside; of open hole: nominal, the bit's */
    double washout_pct;   /* open hole: the diameter is this much larger than nominal; NAN: 0 */
    int64_t tolerance_um; /* tolerance of the diameter, to either side; LENGTH_NONE: not stated */
};

struct part {
    const char *name;
    int64_t length_um; /* LENGTH_NONE: the last part, up to the rig floor */
    int64_t outer_um;
    int64_t inner_um; /* LENGTH_NONE: not stated, the string's volume is then not known */
};

enum { BORES_MAX = 16, PARTS_MAX = 40, SEGMENTS_MAX = BORES_MAX + PARTS_MAX + 2 };

/* Everything that shapes the way of the mud, in force from an instant. */
struct geometry {
    int32_t number;
    struct instant from;
    struct bore *bores; /* from the rig floor down */
    size_t bore_count;
    struct part *parts; /* from the bit up */
    size_t part_count;
    int64_t inlet_um;        /* where the booster line enters; LENGTH_NONE: no booster */
    double flowline_m3;      /* return line from the well to the shaker; NAN: 0 */
    double supply_m3;        /* surface line from the pumps to the string; NAN: 0. Only tracers see it */
    double shaker_delay_s;   /* from the end of the flowline to the sample; NAN: 0 */
    int64_t loss_um;         /* mud is lost at this depth; LENGTH_NONE: none */
    double loss_pct;         /* of what comes by */
    struct slip slip;        /* how cuttings fall behind the mud; method SLIP_NONE: they do not */
    struct instant cemented; /* the last cement was circulated here; unknown: not told */
    const char *remark;
    const char *was; /* minted.h: its number before registries were joined; NULL */
    const char *withdrawn;
    int32_t version;
};

struct geometry_set {
    const char *hole;
    struct geometry *states; /* by from */
    size_t state_count;
};

struct segment {
    int64_t top_um;
    int64_t bottom_um;
    const struct bore *bore;
    const struct part *part; /* NULL: no pipe (above a string that ends below the floor: never) */
    double area_m2;          /* of the annulus */
    double volume_m3;
};

struct segments {
    struct segment items[SEGMENTS_MAX]; /* from the floor down */
    size_t count;
    double volume_m3;
};

/* The diameter that counts: nominal with its washout, m. */
double bore_diameter_m(const struct bore *bore);

/* Bores and string against each other with the bit at bit_um. STATUS_RULE names the bore or part: a gap, an overlap,
 * pipe wider than its bore, a string too short for the depth, no bore that deep, diameters that fit inches typed as
 * millimetres. V = pi/4 (D^2 - d^2) L a segment. */
MUST_CHECK enum status well_split(const struct geometry *geometry, int64_t bit_um, struct segments *out,
                                  struct err *err);
/* A depth of the bit below the top of the deepest bore: the string must go there whatever the depth is. */
int64_t well_trial_bit(const struct geometry *geometry);

/* What well_split refuses whatever the bit's depth, and an inlet, a loss or a percentage that cannot be. */
MUST_CHECK enum status well_check(const struct geometry *geometry, struct err *err);

/* Cut the segment that this depth lies inside, so that one ends there. */
void segments_cut(struct segments *segments, int64_t depth_um);

/* Annular volume between two depths of a split, m3; top_um <= bottom_um. */
double segments_volume(const struct segments *segments, int64_t top_um, int64_t bottom_um);

/* Inside of the string with the bit at bit_um, m3; NAN when an inside diameter is missing. */
double string_volume(const struct geometry *geometry, int64_t bit_um);

/* The open hole below its casing shoe with the bit at bit_um: effective diameter, m, that makes its annulus
 * volume_m3. V = pi/4 (D^2 L - sum of d_i^2 L_i), solved for D. NAN when there is no open hole or the volume is
 * negative. *nominal_m3 (may be NULL): its annular volume as recorded. */
double open_hole_diameter(const struct geometry *geometry, int64_t bit_um, double volume_m3, double *nominal_m3);

/* The state in force at an instant: index, or SIZE_MAX before the first. Withdrawn ones are passed over. */
size_t geometry_at(const struct geometry *states, size_t count, int64_t utc_us);

#endif
