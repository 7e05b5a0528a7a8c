/* SPDX-License-Identifier: MIT */
/* What stands although the rules doubt it: which thing, what is doubted, who kept it, when and why. Doubts about cores
 * are worked out from the state as it is, so those of earlier versions are found, too; samples and bags carry theirs;
 * of other records the acts tell them. */
#ifndef CORETALLY_ASK_KEPT_H
#define CORETALLY_ASK_KEPT_H

#include "coretally/ask/source.h"
#include "coretally/domain/rule.h"

struct kept_doubt {
    int32_t core;         /* its number, where the doubt is about one; 0 */
    const char *thing;    /* as printed; of other records the line of the act */
    const char *word;     /* of the rule */
    const char *sentence; /* what the rule says of it or, where that is not known any more, what it asks */
    struct source source; /* the act that kept it; none: it came in another way */
    const char *reason;   /* of that act, in the words of a person; NULL */
};

struct kept {
    struct kept_doubt *items; /* cores with their samples by number, bags, then other records newest first */
    size_t count;
    size_t room;
};

/* Of the target's hole, behind what is there. */
MUST_CHECK enum status kept_find(struct state *state, const struct target *hole, struct kept *out, struct err *err);
/* Doubts of the target's core that no act kept. */
MUST_CHECK enum status kept_open_core(struct state *state, const struct target *core, struct findings *out,
                                      struct err *err);

/* The act that kept a drilled interval although it overlaps the other one; other NULL: or anything else. Its id is ""
 * where there is none. kept_drilled.c */
MUST_CHECK enum status kept_drilled(struct state *state, const char *hole, const struct drilled *interval,
                                    const struct drilled *other, struct commit *out, struct err *err);
/* Which of the other intervals it overlaps, and no act kept so. */
MUST_CHECK enum status kept_open_drilled(struct state *state, const struct target *hole, const struct drilled *interval,
                                         const struct drilled_set *others, struct findings *out, struct err *err);

/* Doubts of the hole's cores that no act kept: two sides each did what is sound by itself. */
MUST_CHECK enum status kept_by_nobody(struct state *state, const struct target *hole, struct kept *out,
                                      struct err *err);

#endif
