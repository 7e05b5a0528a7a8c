/* SPDX-License-Identifier: MIT */
/* Recovery of the cores of a hole, one by one, by type letter and together; and what the bit went through. */
#ifndef CORETALLY_ASK_RECOVERY_H
#define CORETALLY_ASK_RECOVERY_H

#include "coretally/ask/penetrated.h"
#include "coretally/domain/recovery.h"
#include "coretally/domain/renaming.h"

/* Which cores: those whose drilled top lies in a range below seafloor. */
struct recovery_asked {
    bool has_range; /* a core without a depth below seafloor is refused */
    struct depth_range range;
};

/* A standing core of the range. Of one that is left out of the sums own has what is known of it. */
struct recovery_core {
    struct core_id core;
    struct recovery own;
};

enum { CORE_TYPES = 'Z' - 'A' + 1 };

struct recovery_tally {
    struct recovery_core *cores; /* by number */
    size_t core_count;
    size_t core_room;
    struct recovery total;
    struct recovery by_type[CORE_TYPES]; /* by letter */
    int32_t straddlers;                  /* cores that reach past the range and are counted whole */
    struct bored_runs runs;              /* all of the hole, whatever the range */
};

/* Of the target's core, added to what is there; STATUS_RULE where a range is asked for and it has no depth. */
MUST_CHECK enum status recovery_of_core(struct state *state, const struct target *target,
                                        const struct recovery_asked *asked, struct recovery_tally *tally,
                                        struct err *err);

/* Of the target's hole. */
MUST_CHECK enum status recovery_of_hole(struct state *state, const struct target *target,
                                        const struct recovery_asked *asked, struct recovery_tally *tally,
                                        struct err *err);

#endif
