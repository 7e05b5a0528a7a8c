/* SPDX-License-Identifier: MIT */
/* Things that carry labels (cores, section halves, samples, bags) with the labels that they carry; one after the other
 * over a hole, or those that a name names. */
#ifndef CORETALLY_ASK_LABEL_THINGS_H
#define CORETALLY_ASK_LABEL_THINGS_H

#include "coretally/domain/depth.h"
#include "coretally/domain/label.h"
#include "coretally/state/bag.h"

enum thing_kind { THING_CORE, THING_SECTION, THING_SAMPLE, THING_BAG, THING_GONE, THING_KIND_COUNT };
extern const char *const thing_words[]; /* "core", "section", "sample", "bag", "gone", NULL */

struct thing {
    enum thing_kind kind;
    const char *name; /* compact with the expedition, as labels have it */
    const struct section *section;
    enum half half; /* of a section */
    const struct sample *sample;
    const struct bag *bag;
    size_t copies;    /* labels that were printed of it */
    const char *gone; /* THING_GONE: a label was printed of it; why it no longer stands */
};

/* A label with its thing. */
struct held_label {
    const struct label *label;
    size_t thing;   /* in items */
    bool is_newest; /* of its thing on its scale; an earlier copy otherwise */
};

/* The things of one core, or of one file of bags. */
struct things {
    struct target target; /* hole, core and samples */
    struct bag_set bags;
    struct lag_hole *lag; /* of bags */
    struct label_set labels;
    char path[REGISTRY_PATH_MAX]; /* of the labels */
    struct thing *items;
    size_t count;
    struct held_label *held; /* in the order of printing */
    size_t held_count; /* as many as labels; of bags less those of another file's bag, and more of this file's bags that
                        * stand in the file of the number which they had before a join */
};

/* Those of a core or of a file of bags whose hole target holds; *there false without one. */
MUST_CHECK enum status things_of_core(struct state *state, const struct target *target, int32_t number,
                                      struct things *out, bool *there, struct err *err);
MUST_CHECK enum status things_of_bags(struct state *state, const struct target *target, enum bag_kind kind,
                                      int32_t hundred, struct lag_hole *lag, struct things *out, struct err *err);

/* What is asked for, whatever is named. */
struct label_asked {
    bool kinds[THING_BAG + 1];
    enum scale scale; /* that labels are to show; SCALE_COUNT: CSF-A, and MRF of bags */
};

/* What is wanted of a registry. */
struct label_scope {
    struct label_asked asked;
    struct name name; /* level HOLE with an empty site: everything */
    bool is_below;    /* what is below the name, too */
    bool is_labelled; /* only where labels were printed */
    bool is_kept;     /* what is read outlives the visit: for one thing */
};

/* The scope of a typed name; of all holes where there is none (NULL). */
MUST_CHECK enum status label_scope_of(struct state *state, const struct label_asked *asked, const char *typed,
                                      struct label_scope *out, struct err *err);

/* Is it asked for? */
bool label_scope_has(const struct label_scope *scope, const struct thing *thing);

/* Calls visit for each core and each file of bags in scope. What the call takes from the arena of a core dies with it,
 * unless the scope keeps it. */
typedef enum status label_visit(struct state *state, void *context, struct things *things, struct err *err);
MUST_CHECK enum status label_walk(struct state *state, const struct label_scope *scope, label_visit *visit,
                                  void *context, struct err *err);

/* Its depth as printed, rounded; of a bag on MRF or MSF. */
struct thing_depth {
    int64_t top_um; /* LENGTH_NONE, both of them: why says why */
    int64_t bottom_um;
    const char *why;
};
MUST_CHECK enum status thing_depth(struct state *state, const struct things *things, const struct thing *thing,
                                   const char *scale, struct thing_depth *out, struct err *err);

/* The word of the scale that it is labelled on. */
const char *thing_scale(const struct label_scope *scope, const struct thing *thing);

/* What it is to warn of: its own hazard, those of its parents and of its core; NULL: none. */
MUST_CHECK enum status thing_hazard(struct state *state, const struct things *things, const struct thing *thing,
                                    const char **out, struct err *err);

/* Does a label still show depth, name and hazard of its thing? */
enum freshness { LABEL_FRESH, LABEL_STALE, LABEL_GONE };
struct label_now {
    enum freshness freshness;
    int64_t top_um; /* today, on the scale of the label */
    int64_t bottom_um;
    const char *why; /* no depth any more, no such thing any more, another hazard */
};
MUST_CHECK enum status label_hold(struct state *state, const struct things *things, const struct thing *thing,
                                  const struct label *label, struct label_now *out, struct err *err);

#endif
