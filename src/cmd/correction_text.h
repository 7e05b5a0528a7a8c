/* SPDX-License-Identifier: MIT */
/* Corrections in words: what one covers, by how much, where it came from. */
#ifndef CORETALLY_CMD_CORRECTION_TEXT_H
#define CORETALLY_CMD_CORRECTION_TEXT_H

#include "coretally/domain/depth.h"
#include "command.h"

/* "from 3100.000 m down", "core 12", "everything". */
void correction_add_range(const struct correction *correction, struct text *out);

/* "+9.620 m", "3022.100 m (tagged)", "24 heights". */
void correction_add_amount(const struct correction *correction, struct text *out);

/* "joint 312 missed; evidence: tally sheet 14, file 8ab686eafe scan.pdf". */
void correction_add_why(const struct correction *correction, struct text *out);

/* One of these as a text of its own. */
MUST_CHECK enum status correction_words_of(struct state *state, const struct correction *it,
                                           void (*add)(const struct correction *, struct text *), const char **out,
                                           struct err *err);

/* Site and letter of a hole. */
void hole_text(const struct hole *hole, char out[HOLE_TEXT_MAX]);

/* The commit that recorded the correction of a link, or the seafloor that it took. */
MUST_CHECK enum status link_commit(struct state *state, const struct depth_link *link, struct commit *out,
                                   struct err *err);

/* What a link says of a core (0: of none): its rule, with the number of its correction; and why that is, NULL where it
 * has none. */
MUST_CHECK enum status link_words(struct state *state, const struct depth_link *link, int32_t core, const char **rule,
                                  const char **why, struct err *err);

#endif
