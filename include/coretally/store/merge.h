/* SPDX-License-Identifier: MIT */
/* What two histories need to become one: where they parted, what each has that the other has not, a commit with two
 * parents, and the branch moved to a commit that follows it. Knows paths and bytes; which tree a join has is the
 * business of join/. */
#ifndef CORETALLY_STORE_MERGE_H
#define CORETALLY_STORE_MERGE_H

#include "coretally/store/walk.h"

/* What a commit that joins says of itself: it has no author and no station. */
#define JOIN_NAME "coretally"
#define JOIN_MAIL "join@coretally.invalid" /* RFC 2606: .invalid is nobody's */
#define JOIN_KIND "join"

/* From now on, what this store writes stays in memory, and dies with it. */
MUST_CHECK enum status store_keep_in_memory(struct store *store, struct err *err);

/* The last commits that both a and b have behind them, sorted by id; none where the two began apart. Whole ids. */
MUST_CHECK enum status store_bases(struct store *store, const char *a, const char *b, struct arena *arena,
                                   struct commits *out, struct err *err);

/* The commits that led to tip and not to `without`, each behind its parents, in an order that follows from the commits
 * alone. */
MUST_CHECK enum status store_range(struct store *store, const char *tip, const char *without, struct arena *arena,
                                   struct commits *out, struct err *err);

/* All parents of a commit, in its own order; and the id of its tree. */
enum { SIDES_MAX = 2 };
struct parents {
    char ids[SIDES_MAX][COMMIT_ID_MAX];
    size_t count; /* may be more than are listed */
    char tree[COMMIT_ID_MAX];
};
MUST_CHECK enum status store_parents(struct store *store, const char *id, struct parents *out, struct err *err);

/* The bytes as an object; out: its id. */
MUST_CHECK enum status store_put(struct store *store, struct bytes bytes, char out[COMMIT_ID_MAX], struct err *err);

/* A file of a tree that is made: id "" takes it out. */
struct placed {
    const char *path;
    char id[COMMIT_ID_MAX];
};

/* A commit that joins two others, in the name of nobody: who, when and in which order follow from the two. Its tree is
 * that of `onto` with the files placed. No branch moves. tree (may be NULL): the id of that tree. */
struct join_commit {
    const char *parents[SIDES_MAX];
    const char *onto;
    const struct placed *files;
    size_t count;
};
MUST_CHECK enum status store_put_join(struct store *store, const struct join_commit *join, char out[COMMIT_ID_MAX],
                                      char tree[COMMIT_ID_MAX], struct err *err);

/* The branch from the tip of the store, which is open to write, to a commit that has it behind itself; a work tree
 * follows. STATUS_CONFLICT where the branch was moved meanwhile, with what to do. kind is for git's log of the branch.
 */
MUST_CHECK enum status store_advance(struct store *store, const char *id, const char *kind, struct err *err);

#endif
