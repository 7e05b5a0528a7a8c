/* SPDX-License-Identifier: MIT */
/* Labels in words, and the options that ask for them. */
#ifndef CORETALLY_SAY_LABEL_SAY_H
#define CORETALLY_SAY_LABEL_SAY_H

#include "coretally/run/command.h"
#include "coretally/ask/label_things.h"

/* Of --what and --scale. */
MUST_CHECK enum status label_asked_read(const struct run *run, struct label_asked *out, struct err *err);

extern const char *const freshness_words[]; /* "as today", "stale", "gone" */

/* "104.450-104.470", or "not known". */
enum { LABEL_DEPTH_MAX = 2 * LENGTH_TEXT_MAX + 4 };
void label_depth_text(int64_t top_um, int64_t bottom_um, int decimals, char out[LABEL_DEPTH_MAX]);

#endif
