/* SPDX-License-Identifier: MIT */
/* What always holds of the depths of one core: they never decrease downwards, and the compressed scale ends at the
 * bottom of the run. */
#ifndef CORETALLY_DOMAIN_DEPTH_ORDER_H
#define CORETALLY_DOMAIN_DEPTH_ORDER_H

#include "coretally/domain/depth.h"

struct depth_step {
    int32_t section; /* at the end of which section it was met */
    int64_t above_um;
    int64_t below_um;
};

/* A step down the standing sections on this scale (CSF-A or CSF-B) at which the depth decreases; false: none. Depths
 * that are not known are passed over. */
bool core_depths_decrease(const struct hole *hole, const struct core *core, enum scale scale, struct depth_step *out);

/* Does CSF-B end below the bottom of the run? Then out has the bottom above, the end below. */
bool core_passes_bottom(const struct hole *hole, const struct core *core, struct depth_step *out);

#endif
