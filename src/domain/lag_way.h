/* SPDX-License-Identifier: MIT */
/* What the files of the lag share: the way of a parcel, and where the flow changes along it. Inside the domain only.
 *
 * Bores, string and the bottom of the hole are those of the time when the parcel left the bit. Inlet and loss are those
 * of the time when it comes by: losses come and go while it is under way.
 */
#ifndef CORETALLY_DOMAIN_LAG_WAY_H
#define CORETALLY_DOMAIN_LAG_WAY_H

#include "coretally/domain/lag.h"

enum { STAGE_BIT, STAGE_MIDDLE, STAGE_TOP, STAGE_COUNT };
_Static_assert((int)STAGE_COUNT == (int)LAG_STAGES, "what is left is told stage by stage");

/* Where the flow changes: the stage of the bit lies below lower, the top's above upper. Both 0 without. */
struct bounds {
    int64_t lower_um; /* the deeper of loss and inlet */
    int64_t upper_um;
};

/* Of a state (NULL: none in force); a loss below the bottom of the hole is not there yet. */
struct bounds bounds_find(const struct geometry *state, int64_t hole_um);

/* The stage of what lies just above this depth. */
int bounds_stage(struct bounds bounds, int64_t depth_um);

/* Rows for which inlet and loss stay the same. */
struct spell {
    size_t last; /* row */
    struct bounds bounds;
    int64_t inlet_um;    /* LENGTH_NONE: none */
    int64_t all_gone_um; /* everything is lost at this depth; LENGTH_NONE: it is not */
};

/* The spell that a row lies in, from that row on. */
struct spell spell_find(const struct lag_log *log, const struct lag_well *well, size_t row);

/* The way from the bottom of the hole to the end of the flowline for one geometry. */
struct way {
    const struct geometry *geometry;
    struct segments split;
    int64_t bottom_um;
    double flow_factor;
};

MUST_CHECK enum status way_find(const struct geometry *geometry, int64_t depth_um, double flow_factor, struct way *out,
                                struct err *err);

/* From a depth to the end of the flowline, divided by the flow factor so that it compares with the log's nominal
 * amounts; INFINITY below the bottom: all of the way lies above. */
double way_volume(const struct way *way, int64_t depth_um);

/* How a parcel got on. */
struct rise {
    enum lag_end end;    /* ARRIVED, ON_THE_WAY or SINKS: as if what is lost had only waited there */
    bool lost;           /* came to the loss while everything was lost */
    int64_t at_inlet_us; /* INT64_MIN: not */
    int64_t at_end_us;   /* of the flowline */
    double left_m3[STAGE_COUNT];
};

/* With the mud: spell by spell, O(log rows) each. */
void way_rise(const struct lag_log *log, const struct lag_well *well, const struct way *way, int64_t left_bit_us,
              struct rise *out);

/* Less the slip of the way's geometry: row by row, no further than until_us. */
MUST_CHECK enum status way_walk(const struct lag_log *log, const struct lag_well *well, const struct way *way,
                                int64_t left_bit_us, int64_t until_us, struct rise *out, struct err *err);

/* Row of the first time not before; count past the end. */
size_t lag_log_row(const struct lag_log *log, int64_t time_us);
/* The same of a depth of the hole. */
size_t lag_log_hole_row(const struct lag_log *log, int64_t depth_um);
int64_t lag_log_drilled(const struct lag_log *log, int64_t depth_um);

/* Cumulative amount that moves a stage. */
const double *stage_amounts(const struct lag_log *log, int stage);

/* The passage of what left a bottom at depth_um at left_bit_us with this geometry, whatever the well says of that time;
 * the well says what happens to it on the way. */
MUST_CHECK enum status way_pass(const struct lag_log *log, const struct lag_well *well, const struct geometry *geometry,
                                const struct lag_terms *terms, int64_t left_bit_us, int64_t depth_um,
                                struct lag_passage *out, struct err *err);

#endif
