/* SPDX-License-Identifier: MIT */
/* Inside reach: one hole that is gone through for all parts that are asked about it. */
#ifndef CORETALLY_ASK_REACH_WALK_H
#define CORETALLY_ASK_REACH_WALK_H

#include "coretally/ask/reach.h"

/* A part, and the tops of the core before. */
struct reach_follow {
    struct reach_part *part;
    int64_t last_without_um;
    int64_t last_with_um;
};

struct reach_walk {
    struct state *state;
    const struct reach_asked *asked;
    struct reach_follow *follows; /* all of the same hole */
    size_t count;
    struct depth_links *links; /* two, for the steps of one core after the other */
    int64_t next_ms;
};

/* reach_made.c: what the shift of a core is made of. */
void reach_look_at_steps(struct reach_walk *walk, struct reach_part *part, const struct core *core);

/* reach_bag.c: bags of the hole, and their labels. */
MUST_CHECK enum status reach_count_bags(struct reach_walk *walk, struct err *err);

/* reach_label.c: the same things without the change of each part and with it. is_asked picks the parts; NULL: all. */
MUST_CHECK enum status reach_count_labels(const struct reach_walk *walk, struct state *state,
                                          const struct things *things, bool (*is_asked)(const struct reach_part *),
                                          struct err *err);

#endif
