/* SPDX-License-Identifier: MIT */
/* Corrections in words, as they stand in answers and in the line of a commit: what one covers, by how much, where it
 * came from. */
#ifndef CORETALLY_STATE_CORRECTION_TEXT_H
#define CORETALLY_STATE_CORRECTION_TEXT_H

#include "coretally/state/state.h"

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

#endif
