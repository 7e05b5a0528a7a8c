/* SPDX-License-Identifier: MIT */
/* How deep a hole went: its standing cores and drilled intervals on one scale, and what a person must know of it. */
#ifndef CORETALLY_ASK_PENETRATED_H
#define CORETALLY_ASK_PENETRATED_H

#include "coretally/ask/ask.h"
#include "coretally/domain/depth.h"
#include "coretally/domain/penetration.h"

/* What the bit went through in one run, as recorded. */
struct bored_run {
    struct core core; /* number 0: a drilled interval, as a core without one */
    enum bored_as as;
};

struct bored_runs {
    struct bored_run *items;
    size_t count;
    size_t room;
};

/* A standing core. Ghost, loose and miscellaneous material says nothing of the depth of the hole and is left out. */
MUST_CHECK enum status bored_runs_add_core(struct state *state, struct bored_runs *all, const struct core *core,
                                           struct err *err);
MUST_CHECK enum status bored_runs_add_drilled(struct state *state, struct bored_runs *all,
                                              const struct drilled *interval, struct err *err);

/* Where the counting begins. */
enum penetrated_from { FROM_SEAFLOOR, FROM_KICKOFF, FROM_FIRST_RECORD };

struct penetrated {
    bool is_known; /* false: no seafloor is known and depths count from two datums; the rest is not filled then */
    enum scale scale;
    enum penetrated_from from;
    struct penetration sum;
    int64_t opened_um; /* of what is unrecorded in the whole hole: opened by corrections; 0 or less: none */
    bool is_timeless;  /* some depths are without the corrections that ask for a time, where none is recorded */
};

/* A range below seafloor. */
struct depth_range {
    int64_t from_um; /* INT64_MIN: open */
    int64_t to_um;   /* INT64_MAX: open */
};

/* Of the runs what lies in the range; both ends open: the whole hole. all is not empty. */
MUST_CHECK enum status penetrated_find(struct state *state, const struct hole *hole, const struct bored_runs *all,
                                       const struct depth_range *range, struct penetrated *out, struct err *err);

#endif
