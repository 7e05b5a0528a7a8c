/* SPDX-License-Identifier: MIT */
/* How a correction stands and who signed it, in words. */
#ifndef CORETALLY_SAY_CORRECTION_SAY_H
#define CORETALLY_SAY_CORRECTION_SAY_H

#include "coretally/ask/signed.h"
#include "coretally/state/correction_roll.h"

/* "in force", "superseded by 4", "withdrawn: why". */
MUST_CHECK enum status correction_state_text(struct state *state, const struct correction_roll *roll,
                                             const struct correction *it, const char **out, struct err *err);

/* Who signed a correction, each with the commit of the signature and whether the correction has changed since: "Ida
 * Lindqvist 0f3a9c21bd; Aino Brandt 8ab686eafe before it was withdrawn". *out NULL: nobody. */
MUST_CHECK enum status signed_text(struct state *state, const struct correction *it, const struct signed_all *by,
                                   const char **out, struct err *err);

#endif
