/* SPDX-License-Identifier: MIT */
/* Records that are numbered within their hole and share one file, as one shape: drilled intervals, states of the well,
 * pumps, lag checks. */
#ifndef CORETALLY_STATE_NUMBERED_H
#define CORETALLY_STATE_NUMBERED_H

#include <stddef.h>

/* The common shape of drilled_set, geometry_set, pump_set and lag_check_set. */
struct numbered_set {
    const char *hole;
    void *items;
    size_t count;
};

#endif
