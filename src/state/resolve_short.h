/* SPDX-License-Identifier: MIT */
/* Names typed without a hole. */
#ifndef CORETALLY_STATE_RESOLVE_SHORT_H
#define CORETALLY_STATE_RESOLVE_SHORT_H

#include "coretally/state/resolve.h"

/* A name that, as it stands, names no recorded hole: parsed says whether it reads as one (*out), and as_typed why not.
 * It is read below the hole that is said, or the only one. STATUS_INPUT asks which hole, where there are several. */
MUST_CHECK enum status resolve_short(struct state *state, const char *typed, enum status parsed,
                                     const struct err *as_typed, struct name *out, struct err *err);

MUST_CHECK enum status hole_exists(struct state *state, const struct name *name, bool *exists, struct err *err);

#endif
