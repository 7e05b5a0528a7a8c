/* SPDX-License-Identifier: MIT */
/* What stands although the rules doubt it: which thing, what is doubted, who kept it, when and why. Doubts about cores
 * are worked out from the state as it is, so those of earlier versions are found, too; samples and bags carry theirs;
 * of other records the acts tell them. */
#ifndef CORETALLY_ASK_KEPT_H
#define CORETALLY_ASK_KEPT_H

#include "coretally/ask/source.h"

struct kept_doubt {
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
/* Doubts of the hole's cores that no act kept: two sides each did what is sound by itself. */
MUST_CHECK enum status kept_by_nobody(struct state *state, const struct target *hole, struct kept *out,
                                      struct err *err);

#endif
