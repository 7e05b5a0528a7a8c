/* SPDX-License-Identifier: MIT */
/* The depth of what is at the shaker, with its bounds: for an instant, or for a window. */
#ifndef CORETALLY_STATE_LAG_DEPTH_H
#define CORETALLY_STATE_LAG_DEPTH_H

#include "coretally/domain/lag_depth.h"
#include "coretally/state/lag_hole.h"

/* What is asked about. */
struct at_shaker {
    int64_t from_us;
    int64_t to_us; /* INT64_MIN: an instant */
    bool is_fluid; /* gas or mud */
};

/* Refusals by a rule become depth.why. */
MUST_CHECK enum status lag_depth_find(struct state *state, struct lag_hole *hole, const struct at_shaker *at,
                                      struct lag_depth *out, struct err *err);

/* What a check of this number measures in a hole that is open; NULL: it is not in the well. */
const struct lag_check_result *lag_hole_result(const struct lag_hole *hole, int32_t number);

#endif
