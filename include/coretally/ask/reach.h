/* SPDX-License-Identifier: MIT */
/* What a change of corrections moves: the depths of a hole, and of the sidetracks that hang on it, without it and with
 * it, item by item. However many changes are asked about, each hole is gone through once. */
#ifndef CORETALLY_ASK_REACH_H
#define CORETALLY_ASK_REACH_H

#include "coretally/ask/ask.h"
#include "coretally/domain/reach.h"
#include "coretally/state/correction_roll.h"
#include "coretally/ask/label_things.h"

/* A sample that moves, or loses or finds its depth; LENGTH_NONE: none. There for the call alone. */
struct reach_sample {
    const char *name;    /* as printed */
    const char *against; /* of its part */
    enum scale scale;
    int64_t before_um;
    int64_t after_um;
};

/* What is asked about each part. */
struct reach_asked {
    bool is_brief; /* cores alone: no sections, samples, bags or labels */
    enum status (*take)(void *context, const struct reach_sample *sample, struct err *err); /* NULL: counted alone */
    void *context;
};

/* What the shift of a core is made of, where that is more than the correction itself: a tally slip lengthens the pipe
 * that stretches, and may move the seafloor. Of all cores the one where the rest is greatest. */
enum { REACH_STEPS_MAX = 12 };
struct reach_step {
    const char *rule;   /* as explain has it */
    int32_t correction; /* 0: none */
    const char *hole;   /* whose correction it is */
    int64_t um;
};
struct reach_made {
    struct core_id core; /* number 0: of none */
    int64_t um;
    int64_t rest_um; /* the sizes of all steps but the greatest */
    struct reach_step steps[REACH_STEPS_MAX];
    size_t count;
};

/* One hole without a change and with it, and what that moves. */
struct reach_part {
    enum correction_kind kind; /* of what is changed */
    struct target target;      /* the hole as recorded */
    struct hole without;
    struct hole with;
    const char *against; /* what without has in its place: "none", "correction 2"; NULL where that is not told */
    struct reach reach;
    bool has_also;     /* of a retyped run whose length is another, too */
    struct reach also; /* the same on CSF-B */
    struct reach_made made;
};

struct reach_parts {
    struct reach_part **items;
    size_t count;
    size_t room;
};

/* What one of the corrections of a hole moves: the hole without it and with it. Where it took the place of one that
 * would be in force, that is in force in the hole without it. */
MUST_CHECK enum status reach_part_of(struct state *state, const struct correction_roll *roll,
                                     const struct correction *it, struct reach_part *out, struct err *err);

/* The same against none of those whose place it took; *is_other false: nothing would be in its place. */
MUST_CHECK enum status reach_part_alone(struct state *state, const struct correction_roll *roll,
                                        const struct correction *it, struct reach_part *out, bool *is_other,
                                        struct err *err);

/* A part for the hole that first has and, where a correction of its kind moves them, one for each sidetrack that hangs
 * on it; behind what is there, the hole first. */
MUST_CHECK enum status reach_parts_add(struct state *state, const struct reach_part *first, struct reach_parts *parts,
                                       struct err *err);

/* The reach of each part. Tells how far it got; samples and labels that are read die with their core. */
MUST_CHECK enum status reach_find(struct state *state, const struct reach_asked *asked, const struct reach_parts *parts,
                                  struct err *err);

/* A bag that moves, by the depth of the hole as reported. */
struct reach_bag {
    enum bag_kind kind;
    int32_t number;
    int64_t before_um;
    int64_t after_um;
};

struct reach_lag_asked {
    enum status (*take)(void *context, const struct reach_bag *bag, struct err *err); /* NULL: counted alone */
    void *context;
};

/* What moves between two readings of the lag of a hole: without a lag check and with it. */
MUST_CHECK enum status reach_find_lag(struct state *state, struct lag_hole *without, struct lag_hole *with,
                                      const struct reach_lag_asked *asked, struct reach *out, struct err *err);

/* A thing that is watched, by its typed name. */
enum watched_where { WATCHED_HERE, WATCHED_ELSEWHERE, WATCHED_BAG };
struct watched {
    enum watched_where where;
    char name[NAME_TEXT_MAX]; /* as printed */
    const char *scale;        /* as printed */
    const char *against;      /* of its part, where there are several */
    int64_t before_um;        /* of its top or, where that stays, of its bottom */
    int64_t after_um;
};

/* Reads the samples that a name is looked for in, where its text says which, so that they are still at hand when the
 * hole has been gone through. What is wrong with the name is told when it is watched. */
void reach_watch_ahead(struct state *state, const char *typed);

/* Without and with: where it lies in another hole, or is a bag, *out has no depths. */
MUST_CHECK enum status reach_watch(struct state *state, const struct reach_part *part, const char *typed,
                                   struct watched *out, struct err *err);

/* Labels of the same things in two states, or in one with the hole as it would be: those that show the depth of the
 * first and not of the second, and the other way. */
struct reach_side {
    struct state *state;
    const struct things *things;
};
MUST_CHECK enum status reach_add_labels(const struct reach_side *before, const struct reach_side *after,
                                        struct reach *reach, struct err *err);

#endif
