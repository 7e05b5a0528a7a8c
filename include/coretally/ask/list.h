/* SPDX-License-Identifier: MIT */
/* The cores, sections, samples and bags of a hole one after the other, each with its depths as a list has them. What is
 * handed over is there for the call alone.
 */
#ifndef CORETALLY_ASK_LIST_H
#define CORETALLY_ASK_LIST_H

#include "coretally/ask/ask.h"
#include "coretally/domain/rule.h"
#include "coretally/state/bag.h"

struct listed_core {
    char name[NAME_TEXT_MAX]; /* as printed */
    const struct target *target;
    const struct core *core;
    struct core retyped; /* with its run as corrected */
    struct depth drf_top;
    struct depth dsf_top;
    struct depth dsf_bottom;
    const struct findings *findings; /* what the rules doubt of it, its sections included */
};
typedef enum status list_core(void *context, const struct listed_core *it, struct err *err);

/* By number; of a target at the level of a core that one alone. */
MUST_CHECK enum status list_cores(struct state *state, const struct target *target, list_core *take, void *context,
                                  struct err *err);

struct listed_section {
    char name[NAME_TEXT_MAX];
    const struct section *section;
    struct depth top; /* CSF-A; not known where it, or its core, is withdrawn */
    struct depth bottom;
    struct depth csf_b_top;
};
void list_section(struct state *state, const struct listed_core *core, const struct section *section,
                  struct listed_section *out);

struct listed_sample {
    char name[NAME_TEXT_MAX];
    const struct sample *sample;
    struct depth top; /* with the bounds of both, also where it was kept upside down */
    struct depth bottom;
    const char *note; /* why it is to be read with care, or has no depth; NULL */
};

struct sample_asked {
    enum scale scale;
    enum status (*take)(void *context, const struct listed_sample *it, struct err *err);
    void *context;
};

/* Core by core; of a target at the level of a core or section those of that one alone. */
MUST_CHECK enum status list_samples(struct state *state, const struct target *target, const struct sample_asked *asked,
                                    struct err *err);

struct listed_bag {
    char name[NAME_TEXT_MAX];
    const struct bag *bag;
    const struct lag_depth *depth;
    int64_t msf_top_um;
    int64_t msf_bottom_um;
    const struct findings *findings; /* of its depth */
};

struct bag_asked {
    enum bag_kind kind;
    int64_t from_um; /* only what reaches below this depth below rig floor; LENGTH_NONE: all */
    int64_t to_um;   /* only what begins above it */
    enum status (*take)(void *context, const struct listed_bag *it, struct err *err);
    void *context;
};

/* By number, of a hole; *any false: there is no file of such bags. Tells how far it got. */
MUST_CHECK enum status list_bags(struct state *state, const struct target *target, const struct bag_asked *asked,
                                 bool *any, struct err *err);

#endif
