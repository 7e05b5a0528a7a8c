/* SPDX-License-Identifier: MIT */
/* Which commit put a record there: the oldest in the unbroken row of versions that equal the present one. */
#ifndef CORETALLY_STATE_ORIGIN_H
#define CORETALLY_STATE_ORIGIN_H

#include "coretally/state/record_at.h"

/* The commit since which a record reads as it does now, in the fields named in only (ends with NULL; NULL itself: in
 * all but a core's sections). */
MUST_CHECK enum status origin_find(struct state *state, const struct record_at *at, const char *const *only,
                                   struct commit *out, struct err *err);
/* The act behind what a record says, whether it stands or not: all fields but that it is withdrawn. Who took it back is
 * told by origin_withdrawn. */
MUST_CHECK enum status origin_said(struct state *state, const struct record_at *at, struct commit *out,
                                   struct err *err);
MUST_CHECK enum status origin_withdrawn(struct state *state, const struct record_at *at, struct commit *out,
                                        struct err *err);
/* An older version that cannot be read ends the row, with a note; where memory failed, so does the answer. */
MUST_CHECK enum status origin_tell_unreadable(struct state *state, const char *path, const struct commit *commit,
                                              const struct err *why, struct err *err);

/* Close the histories that origin_find opened. */
void origins_close(struct state *state);

#endif
