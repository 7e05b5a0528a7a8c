/* SPDX-License-Identifier: MIT */
/* What of a hole waits for somebody: doubts that no act kept, since they came with a join; bags that no pump log gives
 * a depth; labels that show a number that another thing has now. What is open has its own list (state/open.h), and what
 * the rules refuse is found by verify. The cost is that of reading the hole, its pump log left out. */
#ifndef CORETALLY_ASK_WAITING_H
#define CORETALLY_ASK_WAITING_H

#include "coretally/ask/ask.h"
#include "coretally/state/open.h"
#include "coretally/state/resolve.h"

enum waiting_kind { WAITING_RULE, WAITING_LABEL };

struct waiting {
    enum waiting_kind kind;
    const char *thing;    /* as printed */
    const char *sentence; /* what is the matter */
    const char *command;  /* what to type */
};

struct waiting_list {
    struct arena *arena; /* of what outlives the state that is asked */
    struct waiting *items;
    size_t count;
    size_t room;
};

/* Of the target's hole, behind what is there. */
MUST_CHECK enum status waiting_find(struct state *state, const struct target *hole, struct waiting_list *out,
                                    struct err *err);
/* One more; the texts are copied. */
MUST_CHECK enum status waiting_add(const struct waiting *it, struct waiting_list *out, struct err *err);

/* The command that amends the thing of a point: "coretally sample amend U0020A-2H-3W,45-47". */
MUST_CHECK enum status waiting_amend(struct state *state, const struct open_point *point, const char **out,
                                     struct err *err);

#endif
