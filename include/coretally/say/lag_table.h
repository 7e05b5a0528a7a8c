/* SPDX-License-Identifier: MIT */
/* The table of a well at a steady flow: segments, then totals. Shown by the calculator and by well show. */
#ifndef CORETALLY_SAY_LAG_TABLE_H
#define CORETALLY_SAY_LAG_TABLE_H

#include "coretally/domain/lag_steady.h"
#include "coretally/run/command.h"

/* A well at a steady flow. */
struct lag_case {
    struct geometry geometry;
    int64_t bit_um;
    double flow_m3_min;    /* NAN: not stated */
    double booster_m3_min; /* 0: none */
    double output_m3;      /* a stroke of the pump into the string; NAN: not stated */
    double tracer_strokes; /* strokes from tracer in to tracer seen; NAN: no check */
};

/* Segments, totals and the caution, in the format of the run. */
MUST_CHECK enum status lag_case_show(struct run *run, const struct lag_case *lag_case, struct err *err);

#endif
