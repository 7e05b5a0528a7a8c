/* SPDX-License-Identifier: MIT */
/* What an act moves: the state without it against the state with it, by what compare does with any two states. Costs
 * grow with what the act touches (touched.h). */
#ifndef CORETALLY_ASK_MOVES_H
#define CORETALLY_ASK_MOVES_H

#include "coretally/ask/compare.h"
#include "coretally/ask/past.h"
#include "coretally/ask/reach.h"
#include "coretally/ask/touched.h"

struct moves_asked {
    bool is_brief;   /* cores alone: no sections, samples, bags or labels */
    bool no_labels;  /* labels made stale are not counted */
    bool has_runs;   /* cores without sections count, too, by their runs on DSF */
    bool each_scale; /* takes things on every scale that has a part, not on the first alone */
    enum status (*take)(void *context, const struct compare_change *change, struct err *err); /* NULL: counted alone */
    void *context;
};

/* A hole on one scale. */
struct moves_part {
    char hole[HOLE_TEXT_MAX];
    const char *bag_scale; /* as printed */
    struct reach reach;
};

struct moves_parts {
    struct moves_part *items;
    size_t count;
    size_t room;
};

/* Both states of one registry (state_at). A part a touched hole and scale on which something else shows; takes what
 * moves thing by thing. */
MUST_CHECK enum status moves_find(struct state *const states[2], const struct moves_asked *asked,
                                  const struct touched *touched, size_t count, struct moves_parts *out,
                                  struct err *err);

/* One thing in both states, by its name after the act or, where that is unknown, before it. */
MUST_CHECK enum status moves_watch(struct state *const states[2], const struct past_asked *asked, struct watched *out,
                                   struct err *err);

#endif
