/* SPDX-License-Identifier: MIT */
/* Which commit put a record there: the oldest in the unbroken row of versions that equal the present one. */
#ifndef CORETALLY_STATE_ORIGIN_H
#define CORETALLY_STATE_ORIGIN_H

#include "coretally/state/state.h"

/* The commit since which the part of the file's record that pick finds equals present, in the fields named in only
 * (ends with NULL; NULL itself: in all but a core's sections). */
MUST_CHECK enum status origin_find(struct state *state, const char *path, const struct table *table,
                                   const void *(*pick)(const void *record, const void *key), const void *key,
                                   const struct table *part, const char *const *only, const void *present,
                                   struct commit *out, struct err *err);
/* An older version that cannot be read ends the row, and is told; where memory failed, so does the answer. */
MUST_CHECK enum status origin_tell_unreadable(struct state *state, const char *path, const struct commit *commit,
                                              const struct err *why, struct err *err);

/* Close the histories that origin_find opened. */
void origins_close(struct state *state);
const void *pick_whole(const void *record, const void *key);
/* key: const int32_t *, the section's number */
const void *pick_section(const void *core, const void *key);
/* key: const struct sample *, as it is now; earlier versions are found by its earlier keys */
const void *pick_sample(const void *set, const void *key);

#endif
