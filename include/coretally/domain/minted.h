/* SPDX-License-Identifier: MIT */
/* Numbers that are given out one after the other: of bags, corrections, lag checks, pumps, states of a well, drilled
 * intervals, of a further sample of an interval, of a sub-sample. Two registries that do not know of each other give
 * out the same one; when they are joined, whoever recorded first keeps it, and the other thing gets another. What it
 * was called until then is kept in its `was`:
 *
 *     3@8ab686eafeb1f44702738c8b...           a bag that was recorded as number 3 by that commit
 *     4W,10-12@8ab686eafeb1f44702738c8b...    a sample; beside keys that it had before it was amended, which have no
 * '@'
 *
 * The commit is the one that recorded it, so it tells the two things apart in every state: a label that names a state
 * with that commit behind it, and not the one behind the other thing, means this one.
 */
#ifndef CORETALLY_DOMAIN_MINTED_H
#define CORETALLY_DOMAIN_MINTED_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { MINTED_COMMIT_MAX = 41 };

/* The word of a `was` that has a commit: what stands before the '@', its length, and the 40 digits after it. false:
 * was is NULL or has none. */
bool minted_former(const char *was, const char **name, size_t *len, char commit[MINTED_COMMIT_MAX]);

/* The former number of a thing that is called by its number alone; 0: it has none. */
int32_t minted_number(const char *was);

/* Do both name the same thing: one former name, recorded by one commit? */
bool minted_is_same(const char *was, const char *other);

/* Has it the form of a `was` of such a thing: "3@" and 40 digits? */
bool minted_is_number(const char *was);

#endif
