/* SPDX-License-Identifier: MIT */
/* Commits that were written down somewhere, held against the history of a state. */
#ifndef CORETALLY_STORE_ANCHOR_H
#define CORETALLY_STORE_ANCHOR_H

#include "coretally/store/walk.h"

/* The commit whose id begins with these digits; a tag that is an object of its own leads to its commit. It need not be
 * in any history. DIGITS_MANY: more than one object of the registry begins with them, whatever they are. */
enum digits_found { DIGITS_NONE, DIGITS_ONE, DIGITS_MANY };
MUST_CHECK enum status store_find_digits(struct store *store, const char *digits, char out[COMMIT_ID_MAX],
                                         enum digits_found *found, struct err *err);

/* Which of these commits (whole ids, sorted, each once) led to the state: places[N] tells the how manyth on the way
 * back commit N is, SIZE_MAX that it is not in the history. The first *line places are one line of commits: such a
 * place is how many came since. The way ends at the last of them that is there, so the cost is the distance to that
 * one; where one is missing, the whole history is read. */
MUST_CHECK enum status store_hold_commits(struct store *store, const struct commits *wanted, size_t *places,
                                          size_t *line, struct err *err);

/* A branch or tag that leads to this commit, as people call it; "" where none does. */
enum { REFERENCE_NAME_MAX = 256 };
MUST_CHECK enum status store_reference_to(struct store *store, const char *id, char out[REFERENCE_NAME_MAX],
                                          struct err *err);

#endif
