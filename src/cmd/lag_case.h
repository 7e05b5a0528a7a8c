/* SPDX-License-Identifier: MIT */
/* A well at a steady flow, from the options of a command that shows one. */
#ifndef CORETALLY_CMD_LAG_CASE_H
#define CORETALLY_CMD_LAG_CASE_H

#include "coretally/say/lag_table.h"

/* Options of a command that shows a case. */
#define LAG_CASE_OPTIONS                                                                                               \
    {"bit", "DEPTH", "depth of the bit below rig floor; bare numbers are m"},                                          \
        {"flow", "FLOW", "into the string: 2.5m3/min, 1200l/min, 300gpm, 7.1bbl/min; bare numbers are m3/min"},        \
        {"booster", "FLOW", "into the riser at the inlet"},                                                            \
        {"pump", "PUMP",                                                                                               \
         "triplex,LINER,STROKE[,EFFICIENCY] or duplex,LINER,ROD,STROKE[,EFFICIENCY]: triplex,6in,12in,97"},            \
        {"output", "VOLUME", "instead of --pump: delivered by one stroke: 0.102bbl/stk, 16.2l/stk"},                   \
        {"totals", NULL, "with --csv: the totals instead of the segments"},                                            \
        {"spm", "RATE", "strokes a minute, instead of --flow"},                                                        \
    {                                                                                                                  \
        "tracer-strokes", "COUNT", "lag check: strokes from tracer in to tracer seen; gives the open hole's diameter"  \
    }

/* Read those options; geometry is the caller's. bit_um stays as it is where --bit was not given. */
MUST_CHECK enum status lag_case_read(struct run *run, struct lag_case *lag_case, struct err *err);

#endif
