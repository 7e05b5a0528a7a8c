/* SPDX-License-Identifier: MIT */
/* From a depth on one scale to another one of the same hole. Where a scale is made of cores, the core that the depth
 * lies in is found first, then the place inside it. */
#ifndef CORETALLY_ASK_CONVERT_H
#define CORETALLY_ASK_CONVERT_H

#include "coretally/domain/depth.h"
#include "coretally/state/resolve.h"

struct convert_core {
    const struct core *core;
    int64_t length_um; /* its sections */
    int64_t top_um;    /* on the scale that is converted from */
    int64_t bottom_um;
};

struct convert {
    const struct target *target;
    enum scale from;
    enum scale to;
    struct convert_core *cores; /* by top; none between drilled scales */
    size_t core_count;
};

struct converted {
    struct depth depth;
    const struct core *core; /* NULL: none was needed */
};

/* STATUS_RULE for two scales between which nothing is defined. */
MUST_CHECK enum status convert_open(struct state *state, const struct target *target, enum scale from, enum scale to,
                                    struct convert *out, struct err *err);

/* core: the one that is meant, if it was typed. STATUS_RULE where no core lies there, where it has another letter,
 * where more than one does, and where the depth is n/a. */
MUST_CHECK enum status convert_depth(const struct convert *convert, int64_t um, struct core_word core,
                                     struct converted *out, struct err *err);

#endif
