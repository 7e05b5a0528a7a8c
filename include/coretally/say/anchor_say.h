/* SPDX-License-Identifier: MIT */
/* What anchors hold of a history, told. */
#ifndef CORETALLY_SAY_ANCHOR_SAY_H
#define CORETALLY_SAY_ANCHOR_SAY_H

#include "coretally/run/command.h"
#include "coretally/verify/anchor.h"

/* Two or three lines; those that fail are flaws, which verify_say tells. source: what they were found in, with so many
 * lines; 0: typed. */
MUST_CHECK enum status anchor_say(struct run *run, const struct verify *verify, const struct anchors *anchors,
                                  const char *source, size_t lines, struct err *err);

#endif
