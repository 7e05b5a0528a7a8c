/* SPDX-License-Identifier: MIT */
/* What moved since a state, and by which act: each act after it against what it stood on, by what compare does with any
 * two states, and the two ends against each other. Found in the trees alone, so an act that came in by plain git
 * counts like any other. Costs grow with the acts and with what they touch. */
#ifndef CORETALLY_ASK_MOVED_H
#define CORETALLY_ASK_MOVED_H

#include "coretally/ask/moves.h"
#include "coretally/store/walk.h"

/* A correction that an act recorded, withdrew or changed. */
struct moved_correction {
    char hole[HOLE_TEXT_MAX];
    int32_t number;
};

/* An act that moved something; of a join, what it brought to one of its lines, which that line did not have. */
struct moved_act {
    struct commit commit;
    bool is_join;
    char line[COMMIT_ID_MAX]; /* of a join: the last act of the line */
    struct moves_parts parts; /* a hole and scale each */
    struct moved_correction *corrections;
    size_t correction_count;
    size_t correction_room;
};

/* An act that changed how far the depths of a hole may be off, to either side; it may have moved none. */
enum { MOVED_BOUNDS = 3 }; /* tolerance, heave, tide */
struct moved_bounds {
    struct commit commit;
    char hole[HOLE_TEXT_MAX];
    int64_t um[2][MOVED_BOUNDS]; /* before and after; LENGTH_NONE: none */
};

struct moved_asked {
    const struct commits *since; /* the newest commits of the first state (store_heads); NULL: the beginning */
    struct store *from;          /* stands at that state; NULL: the beginning, so that there are acts alone */
    const struct names *holes;   /* these alone; NULL: all */
    /* Thing by thing, acts oldest first, then the two ends (act NULL); NULL: counted alone. */
    enum status (*take)(void *context, const struct moved_act *act, const struct compare_change *change,
                        struct err *err);
    void *context;
};

struct moved {
    struct moved_act *acts; /* that moved something, the oldest first */
    size_t count;
    size_t room;
    struct moved_bounds *bounds; /* the oldest first; joins bring them and are left out */
    size_t bounds_count;
    size_t bounds_room;
    size_t looked;              /* at how many acts */
    struct moves_parts between; /* the two ends */
};

MUST_CHECK enum status moved_find(struct state *state, const struct moved_asked *asked, struct moved *out,
                                  struct err *err);

#endif
