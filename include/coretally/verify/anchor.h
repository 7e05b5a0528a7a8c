/* SPDX-License-Identifier: MIT */
/* What was printed earlier, held against the history of the state: reports, labels, tags, ids in a log book. A commit's
 * id follows from all that led to it, so one that is in the history vouches for everything before it; what came
 * after the newest of them is held by none.
 *
 *     struct anchors anchors = {0};
 *     TRY(anchors_add(arena, &anchors, &anchor, line, err));      each, as domain/anchor.h finds them
 *     TRY(verify_anchors(verify, &anchors, err));                 flaws, and the figures below
 */
#ifndef CORETALLY_VERIFY_ANCHOR_H
#define CORETALLY_VERIFY_ANCHOR_H

#include "coretally/domain/anchor.h"
#include "coretally/verify/verify.h"

/* Where the commit of an anchor is. */
enum anchor_is { ANCHOR_HELD, ANCHOR_BESIDE, ANCHOR_LOST, ANCHOR_UNCLEAR };

struct anchor_item {
    enum anchor_kind kind;
    const char *text;
    const char *why; /* of what is unreadable */
    size_t line;     /* 0: it was typed */
    char state[ANCHOR_DIGITS_MAX + 1];
    enum anchor_is is;
    char id[COMMIT_ID_MAX]; /* whole; "" where it is not known */
    bool is_recorded;       /* a label: as it was printed */
};

struct anchors {
    struct anchor_item *items;
    size_t count;
    size_t room;
    /* answers; each text counts once */
    size_t states;
    size_t labels;
    size_t unreadable;
    size_t held;                /* states in the history, and labels of such a state that are recorded as printed */
    char newest[COMMIT_ID_MAX]; /* the last commit that one of them holds; "" */
    size_t since;               /* commits since, which none of them holds */
};

MUST_CHECK enum status anchors_add(struct arena *arena, struct anchors *anchors, const struct anchor *anchor,
                                   size_t line, struct err *err);

/* verify->store stands at the state. */
MUST_CHECK enum status verify_anchors(struct verify *verify, struct anchors *anchors, struct err *err);

#endif
