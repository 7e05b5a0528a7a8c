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

/* What may be typed; what is to be filled in stands there in capitals. */
struct way {
    const char *word; /* what for: "keep" */
    const char *command;
};

enum { WAYS_MAX = 4 };
struct waiting {
    enum waiting_kind kind;
    const char *thing;    /* as printed */
    const char *sentence; /* what is the matter */
    struct way ways[WAYS_MAX];
    size_t way_count;
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

/* What only a look at how the state came about tells: drilled intervals that overlap, and no act kept so; samples of
 * what another side marked as used up without knowing of them. waiting_joined.c */
MUST_CHECK enum status waiting_joined(struct state *state, const struct target *hole, struct waiting_list *out,
                                      struct err *err);

/* One more way to it; the word is one of the code's. */
MUST_CHECK enum status waiting_way(struct waiting *it, const char *word, struct text *command, struct err *err);
/* What may be typed about the record of a point of which a rule says something: amend it, keep it, bring back what it
 * needs, withdraw it. word: of the rule; NULL, or none of ours: what it needs is missing. waiting_ways.c */
MUST_CHECK enum status waiting_ways(struct state *state, const struct open_point *point, const char *word,
                                    struct waiting *it, struct err *err);

#endif
