/* SPDX-License-Identifier: MIT */
/* Lag through a real pump log. Volumes that have
 * gone by are added up once, row by row; a parcel of mud is then followed by
 * comparing volumes, so that stops add time and nothing else.
 *
 *     left the bit at t0            at_bit(t1) - at_bit(t0)   = annulus from the bit up to the loss or the inlet
 *     passed that                   middle(t2) - middle(t1)   = annulus between the loss and the inlet
 *     passed the upper of them      at_top(t3) - at_top(t2)   = annulus above, and the flowline
 *     at the shaker at ts = t3 + shaker delay
 *
 * with the bores, the string and the bottom of the hole at t0, the inlet and the loss when it comes by: deepening later
 * adds volume below the chip, not above it. at_bit counts what went through the bit; at_top what came up past loss and
 * inlet; middle what passes between them (less the loss if that lies below the inlet, with the booster if it lies
 * above). Cost: O(log rows) a question; O(rows of the lag) where the geometry says that cuttings fall behind the mud
 * (its slip).
 */
#ifndef CORETALLY_DOMAIN_LAG_H
#define CORETALLY_DOMAIN_LAG_H

#include "coretally/domain/well.h"

/* Rows that count, in order of time, with cumulative amounts since the first. Owned by whoever added them up. What a
 * row holds flowed before it: a state that begins at its very time counts from the next row on. */
struct lag_log {
    size_t count;
    int64_t *time_us;
    int64_t *bit_um;
    int64_t *hole_um; /* never decreases */
    double *at_bit_m3;
    double *middle_m3;
    double *at_top_m3;
    double *off_bottom_m3; /* through a bit more than OFF_BOTTOM_UM off bottom; may be NULL */
    double *off_bottom_s;  /* time with the bit there; may be NULL */
    double *strokes;       /* of the pumps into the string; NAN throughout when the log counts none */
    const int64_t *gap_us; /* bridged gaps: last row before and first row after each, ascending; may be NULL */
    size_t gap_count;
};

/* Add one row: what went into the string and the riser since the last one, with the state then in force (its loss and
 * inlet). The arrays have room. */
void lag_log_add(struct lag_log *log, const struct geometry *state, int64_t time_us, int64_t bit_um, int64_t hole_um,
                 double string_m3, double booster_m3, double strokes);

/* Amounts that the log showed late, spread evenly over the rows from since_us to the last one. */
void lag_log_spread(struct lag_log *log, const struct geometry *state, int64_t since_us, double string_m3,
                    double booster_m3, double strokes);

/* States of the well by the instant from which they hold, lag checks already in their diameters. */
struct lag_well {
    const struct geometry *states;
    size_t count;
};

/* What to vary: everything nominal is {.flow_factor = 1}. */
struct lag_terms {
    double flow_factor; /* pump output by this factor: 1 - tolerance ... 1 + tolerance */
    int tolerance_sign; /* -1, 0, +1: diameters with their tolerance taken off or added */
    bool is_fluid;      /* gas or mud, taken at the flowline: no slip, no shaker delay */
};

enum { LAG_STAGES = 3 };

enum lag_end {
    LAG_ARRIVED,
    LAG_ON_THE_WAY, /* the log ends before it arrives: left_m3 are still to pump */
    LAG_BEFORE_LOG, /* it left the bit before the log begins */
    LAG_AFTER_LOG,  /* the instant lies past the end of the log */
    LAG_NO_WELL,    /* no geometry is in force at the time when it left the bit */
    LAG_LOST,       /* everything is lost on the way */
    LAG_SINKS,      /* slip is as fast as the mud: does not arrive */
    LAG_NOT_DRILLED /* the depth was not reached in this log */
};

/* One parcel of mud, from bit to shaker. */
struct lag_passage {
    enum lag_end end;
    int64_t left_bit_us;
    int64_t at_inlet_us; /* passed the booster inlet; INT64_MIN without one */
    int64_t at_shaker_us;
    int64_t arrived_us; /* going back: when it came; before at_shaker_us where nothing newer came since */
    int64_t cut_us;     /* the hole first reached that depth: when its cuttings were cut */
    int64_t hole_um;    /* bottom of the hole when it left: the depth of its cuttings */
    bool new_hole;      /* the hole was getting deeper then */
    size_t state;       /* index of the geometry used */
    double annulus_m3;  /* from the bit to the floor, without the flowline */
    double strokes;     /* of the string's pumps on the way; NAN without counters */
    double
        left_stage_m3[LAG_STAGES]; /* ON_THE_WAY: still to pump stage by stage: bit, middle, top; 0 where it is past */
    double left_m3;                /* ON_THE_WAY: still to pump, in the part of the way where it is and those above */
};

/* One sentence a lag_end; "" for ARRIVED. */
const char *lag_end_meaning(enum lag_end end);

/* When does what left the bit at t0 reach the shaker? */
MUST_CHECK enum status lag_forward(const struct lag_log *log, const struct lag_well *well,
                                   const struct lag_terms *terms, int64_t left_bit_us, struct lag_passage *out,
                                   struct err *err);

/* What is at the shaker at ts? During a stop: what arrived last. The latest t0 that fits. */
MUST_CHECK enum status lag_back(const struct lag_log *log, const struct lag_well *well, const struct lag_terms *terms,
                                int64_t at_shaker_us, struct lag_passage *out, struct err *err);

/* The passage of the cuttings of a depth: left the bit when the hole first reached it. */
MUST_CHECK enum status lag_of_depth(const struct lag_log *log, const struct lag_well *well,
                                    const struct lag_terms *terms, int64_t depth_um, struct lag_passage *out,
                                    struct err *err);

/* Does the span touch a bridged gap? */
bool lag_log_crosses_gap(const struct lag_log *log, int64_t from_us, int64_t to_us);

/* Amounts at an instant, a straight line between rows; before the first and after the last row: theirs. */
double lag_log_at(const struct lag_log *log, const double *amounts, int64_t time_us);
int64_t lag_log_depth(const struct lag_log *log, const int64_t *depths, int64_t time_us);

/* First instant at which an amount is reached; false past the end. */
bool lag_log_reach(const struct lag_log *log, const double *amounts, double amount, int64_t *time_us);

/* The geometry with its diameters changed by their tolerances (sign -1 or +1); bores: room for BORES_MAX. */
struct geometry geometry_vary(const struct geometry *geometry, int sign, struct bore *bores);

#endif
