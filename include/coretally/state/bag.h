/* SPDX-License-Identifier: MIT */
/* What the acts on bags share. */
#ifndef CORETALLY_STATE_BAG_H
#define CORETALLY_STATE_BAG_H

#include "coretally/domain/depth.h"
#include "coretally/state/lag_depth.h"

/* A bag's place in the registry. */
struct bag_target {
    struct target target;
    struct bag_set set;
    char path[REGISTRY_PATH_MAX];
    char name[NAME_TEXT_MAX];
    struct bag *bag; /* in set; NULL: not there */
};

/* Read the set that a bag of this name belongs to. */
MUST_CHECK enum status bag_read(struct state *state, const struct target *target, enum bag_kind kind, int32_t number,
                                struct bag_target *out, struct err *err);

/* The bag of a typed name; STATUS_UNKNOWN where it is not there. */
MUST_CHECK enum status bag_resolve(struct state *state, const char *typed, struct bag_target *out, struct err *err);

/* Highest number of a kind in the hole, former ones counted; 0 with none. */
MUST_CHECK enum status bag_last_number(struct state *state, const char *hole, enum bag_kind kind, int32_t *out,
                                       struct err *err);

/* Its depth through the log; hole is open. */
MUST_CHECK enum status bag_depth(struct state *state, struct lag_hole *hole, enum bag_kind kind, const struct bag *bag,
                                 struct lag_depth *out, struct err *err);

/* How people call the scale of what comes over the shaker: MRF for DRF, MSF for DSF. */
const char *bag_scale_word(enum scale scale);

/* That on a drilled scale (DRF and DSF are MRF and MSF): top, bottom, low, high. ends[0] has the method and why. */
enum { BAG_TOP, BAG_BOTTOM, BAG_LOW, BAG_HIGH, BAG_ENDS };
void bag_depths(const struct hole *hole, const struct lag_depth *bag, enum scale scale, struct depth ends[BAG_ENDS]);

#endif
