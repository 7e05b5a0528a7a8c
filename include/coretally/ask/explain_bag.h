/* SPDX-License-Identifier: MIT */
/* How the depth of a bag came about, step by step: window, delays, segments, what was pumped by the log, corrections,
 * calibration, bounds; with the act behind each.
 */
#ifndef CORETALLY_ASK_EXPLAIN_BAG_H
#define CORETALLY_ASK_EXPLAIN_BAG_H

#include "coretally/ask/source.h"
#include "coretally/domain/depth.h"
#include "coretally/state/bag.h"

/* What a step tells, and what it fills beside source. */
enum bag_step_kind {
    BAG_STEP_TAKEN,        /* at_us: at the shaker; a bag of an instant, or the beginning of its window */
    BAG_STEP_TAKEN_TO,     /* at_us: the end of the window */
    BAG_STEP_SHAKER,       /* amount: the shaker's delay, s; at_us: off the flowline */
    BAG_STEP_FLOWLINE,     /* amount: m3 */
    BAG_STEP_SEGMENT,      /* segment; amount: m3 */
    BAG_STEP_PUMPED_INLET, /* amount: m3 since it passed the booster inlet; at_us: when that was */
    BAG_STEP_PUMPED_BIT,   /* amount: m3 through the bit since it left; at_us: when that was */
    BAG_STEP_BOTTOM,       /* um: bottom of the hole then, as reported; scale SCALE_DRF: nothing corrects it */
    BAG_STEP_LINK,         /* rule, why (or NULL); amount_um, um after it; scale that it ends on, or SCALE_COUNT */
    BAG_STEP_NO_DEPTH,     /* why there is no MRF or MSF */
    BAG_STEP_PUMP,         /* pump */
    BAG_STEP_CHECK,        /* number; amount: effective diameter of the open hole, m */
    BAG_STEP_SLIP,         /* slip; amount: m/s */
    BAG_STEP_LOSS,         /* um: losses there; at_us: from then on; amount: per cent */
    BAG_STEP_LOSS_ENDS,    /* at_us */
    BAG_STEP_LOW,          /* um; amount: the pumps' tolerance, per cent */
    BAG_STEP_HIGH
};

struct bag_step {
    enum bag_step_kind kind;
    double amount;
    int64_t at_us;
    int64_t um;
    int64_t amount_um;
    int32_t number;
    enum scale scale;
    enum slip_method slip;
    struct segment segment;
    const struct pump *pump;
    const char *rule;
    const char *why;
    struct source source;
};

struct bag_explanation {
    struct lag_depth depth; /* depth.why: there is none, and no step */
    struct bag_step *steps;
    size_t count;
    size_t room;
};

/* hole is open, and stays so while the explanation is used: it points there. */
MUST_CHECK enum status explain_bag(struct state *state, const struct bag_target *at, struct lag_hole *hole,
                                   struct bag_explanation *out, struct err *err);

#endif
