/* SPDX-License-Identifier: MIT */
/* The room that makes one history of two. A join is a commit with two parents whose tree follows from the commits that
 * led to them: whoever has the parents can make it again and compare. It carries no decision and has no author, and the
 * same two parents give the same commit wherever they are joined.
 *
 *     struct joined joined;
 *     TRY(join_make(store, other, arena, &joined, err));      writes objects; no branch moves
 *     ... joined.id, joined.contradictions, joined.renumbered ...
 *     TRY(store_advance(store, joined.id, "join", err));      the branch goes there
 *
 * Records are joined by kind and key, and field by field. What one side changed is taken; what both changed to two
 * values is a contradiction (domain/contradiction.h); a number that both gave out goes to whoever was first
 * (domain/minted.h). Rules of the trade are not asked: they are held against the joined state by whoever lists it.
 */
#ifndef CORETALLY_JOIN_JOIN_H
#define CORETALLY_JOIN_JOIN_H

#include "coretally/record/field.h"
#include "coretally/store/store.h"

/* A thing whose number another one got first. */
struct renumbered {
    const char *path;  /* of its file, after the join */
    const char *what;  /* "sample", "bag", "correction", ... as its table says */
    const char *older; /* "3", "4W,10-12" */
    const char *newer;
    char commit[COMMIT_ID_MAX]; /* that recorded it */
    char first[COMMIT_ID_MAX];  /* that recorded what keeps the number */
};

struct joined {
    char id[COMMIT_ID_MAX];               /* the join; or the one of the two that holds the other */
    bool is_new;                          /* false: one holds the other, or both are the same commit */
    char base[COMMIT_ID_MAX];             /* a last common state, "" where there are several */
    struct contradiction *contradictions; /* that this join brings */
    size_t contradiction_count;
    struct renumbered *renumbered;
    size_t renumbered_count;
};

/* The join of the state of store and of another commit that it holds. Objects are written where the store writes.
 * STATUS_RULE: the two have no commit in common. STATUS_DAMAGED: a file that both changed cannot be read. Cost: that of
 * what differs since the parting; acts are read where two sides claim the same. */
MUST_CHECK enum status join_make(struct store *store, const char *other, struct arena *arena, struct joined *out,
                                 struct err *err);

/* Is this commit of two parents what join_make makes of them, in its tree? The store's objects must be kept in memory
 * (store_keep_in_memory). *why, in arena: what is not as it should be. A merge by a git client is sound where its tree
 * is the same. */
MUST_CHECK enum status join_is_sound(struct store *store, const char *commit, struct arena *arena, bool *sound,
                                     const char **why, struct err *err);

/* Stand at what had been recorded by a time on any line: one commit, or the join of several, made in memory. Otherwise
 * as store_stand_at. */
MUST_CHECK enum status join_stand_at(struct store *store, const char *state, struct err *err);

#endif
