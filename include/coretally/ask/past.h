/* SPDX-License-Identifier: MIT */
/* One thing as it was at a state: where its depth lay, and the records that this rested on. */
#ifndef CORETALLY_ASK_PAST_H
#define CORETALLY_ASK_PAST_H

#include "coretally/domain/depth.h"
#include "coretally/state/record_at.h"
#include "coretally/state/resolve.h"

/* The hole of the thing first, then every hole that it was ever a sidetrack of. */
enum { PAST_HOLES_MAX = 16 };

struct past {
    struct name name;            /* as it is now; an expedition in it */
    const struct sample *sample; /* the recorded sample of that name, as it is now; NULL */
    struct record_at part;       /* it, or the bag, with what finds it in an earlier version of its file */
    const void *among;           /* that file as it is now */
    struct renaming_set renamed; /* of its hole, as they are now */
    enum scale scale;
    const char *holes[PAST_HOLES_MAX];
    size_t hole_count;
};

struct moment {
    bool there;
    bool withdrawn;
    char name[NAME_TEXT_MAX]; /* as it was called then */
    int64_t top_um;           /* on the scale of past; LENGTH_NONE with why */
    int64_t bottom_um;
    const char *why;
    struct hole hole;
    struct core core; /* where it is no bag */
    const struct sample *sample;
    const struct bag *bag;
    struct correction *corrections[PAST_HOLES_MAX]; /* all of a hole, withdrawn ones too */
    size_t correction_counts[PAST_HOLES_MAX];
};

struct past_asked {
    const char *typed; /* a core, section, sample, place or bag */
    enum scale scale;  /* SCALE_COUNT: CSF-A or, for a bag, MSF */
};

/* What is typed, as it is now. */
MUST_CHECK enum status past_open(struct state *state, const struct past_asked *asked, struct past *out,
                                 struct err *err);

/* At the state that is handed in. */
MUST_CHECK enum status past_look(struct state *state, const struct past *past, struct moment *out, struct err *err);

/* The files and folders that its depth rests on. */
enum past_part {
    PAST_HOLE,
    PAST_CORRECTIONS,
    PAST_CORE,
    PAST_SAMPLES,
    PAST_WELL,
    PAST_PUMPS,
    PAST_CHECKS,
    PAST_LOG,
    PAST_BAGS
};
struct past_path {
    enum past_part part;
    size_t hole; /* index in holes */
    char path[REGISTRY_PATH_MAX];
};
size_t past_paths(const struct past *past, struct past_path out[TRAIL_PATHS_MAX]);

/* Do two moments differ in what is shown of them? older may be absent. */
bool past_differs(const struct moment *newer, const struct moment *older);

/* An act that changed the thing. */
struct past_act {
    const struct past_path *paths; /* of past_paths */
    size_t path_count;
    uint64_t touched; /* which of them, a bit each */
    const struct moment *newer;
    const struct moment *older; /* not there: before the first act */
};

/* What it did: "correction 1 of U0012A (tally)", "core amended". */
MUST_CHECK enum status past_cause(struct state *state, const struct past *past, const struct past_act *act,
                                  const char **out, struct err *err);

#endif
