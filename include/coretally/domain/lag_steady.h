/* SPDX-License-Identifier: MIT */
/* Lag at a steady flow: what the calculator and the table of a well show. */
#ifndef CORETALLY_DOMAIN_LAG_STEADY_H
#define CORETALLY_DOMAIN_LAG_STEADY_H

#include "coretally/domain/lag.h"

struct lag_steady_input {
    const struct geometry *geometry;
    int64_t bit_um;
    double flow_m3_min;    /* into the string; NAN: volumes only */
    double booster_m3_min; /* 0 without */
};

struct lag_steady {
    struct segments split;             /* cut at inlet and loss */
    double velocity_m_s[SEGMENTS_MAX]; /* of the mud; NAN without flow */
    double ratio[SEGMENTS_MAX];        /* transport ratio; NAN without slip or flow */
    double slip_m_s;                   /* NAN without slip */
    double below_inlet_m3;             /* annulus; all of it without an inlet */
    double above_inlet_m3;
    double flowline_m3;
    double string_m3; /* NAN: an inside diameter is missing */
    double supply_m3;
    double mud_up_s;  /* the mud: from the bit to the rig floor; NAN without flow, or where it is lost */
    double mud_lag_s; /* with flowline and shaker delay */
    double up_s;      /* the cuttings: the same without slip; NAN where nothing arrives */
    double lag_s;     /* up, flowline and shaker delay */
    double down_s;    /* supply line and string */
    enum lag_end end; /* LAG_ARRIVED, LAG_LOST or LAG_SINKS */
};

/* V/Q stage by stage: Q below the inlet, Q and booster above it, less the loss above the loss; with slip the time in a
 * segment is that of the mud divided by its transport ratio. STATUS_RULE and STATUS_INPUT as well_split and
 * slip_velocity. */
MUST_CHECK enum status lag_steady_find(const struct lag_steady_input *input, struct lag_steady *out, struct err *err);

#endif
