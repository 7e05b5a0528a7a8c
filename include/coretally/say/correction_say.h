/* SPDX-License-Identifier: MIT */
/* How a correction stands, who recorded and who signed it, in words. */
#ifndef CORETALLY_SAY_CORRECTION_SAY_H
#define CORETALLY_SAY_CORRECTION_SAY_H

#include "coretally/ask/signed.h"
#include "coretally/state/correction_roll.h"

/* "in force", "superseded by 4", "withdrawn by Ida Lindqvist 0f3a9c21bd: why". */
MUST_CHECK enum status correction_state_text(struct state *state, const struct correction_roll *roll,
                                             const struct correction *it, const char **out, struct err *err);

/* Who recorded it: "Mira Tamm 0f3a9c21bd 2026-03-08T08:00:00Z". */
MUST_CHECK enum status recorded_text(struct state *state, const struct correction *it, const char **out,
                                     struct err *err);

/* Who signed a correction and when, each with the commit of the signature and whether the correction has changed since:
 * "Ida Lindqvist 0f3a9c21bd 2026-03-08T08:00:00Z before it was withdrawn", with what was remarked where that is asked
 * for. *out NULL: nobody. */
MUST_CHECK enum status signed_text(struct state *state, const struct correction *it, const struct signed_all *by,
                                   bool with_remark, const char **out, struct err *err);

#endif
