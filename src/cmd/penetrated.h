/* SPDX-License-Identifier: MIT */
/* How deep a hole went: its standing cores and drilled intervals on one scale, and what a person must know of it. */
#ifndef CORETALLY_CMD_PENETRATED_H
#define CORETALLY_CMD_PENETRATED_H

#include "coretally/domain/penetration.h"
#include "command.h"

/* What the bit went through, as recorded. */
struct went {
    struct core core; /* number 0: a drilled interval, as a core without one */
    enum bored_as as;
};

struct penetrated {
    struct went *items;
    size_t count;
    size_t room;
};

/* A standing core. Ghost, loose and miscellaneous material says nothing of the depth of the hole and is left out. */
MUST_CHECK enum status penetrated_add_core(struct state *state, struct penetrated *all, const struct core *core,
                                           struct err *err);
MUST_CHECK enum status penetrated_add_drilled(struct state *state, struct penetrated *all,
                                              const struct drilled *interval, struct err *err);

/* "penetration 112.300 m, of it ..." of what lies from from_um to to_um, m below seafloor (INT64_MIN, INT64_MAX: the
 * whole hole). Nothing where nothing is recorded. */
MUST_CHECK enum status penetrated_say(struct run *run, const struct hole *hole, const struct penetrated *all,
                                      int64_t from_um, int64_t to_um, struct text *out, struct err *err);

#endif
