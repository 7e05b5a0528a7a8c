/* SPDX-License-Identifier: MIT */
/* Who signed an act. Corrections are signed as they stand (signed.h). */
#ifndef CORETALLY_ASK_ACT_SIGNED_H
#define CORETALLY_ASK_ACT_SIGNED_H

#include "coretally/ask/signed.h"

/* act: the whole id of its commit. An act cannot change, so each signature is_same; is_theirs where its commit is by
 * who signed, who neither did the act nor had git write it. None costs one look at a path. */
MUST_CHECK enum status act_signed(struct state *state, const char *act, struct signed_all *out, struct err *err);
/* Those whose signature stands, in words: "Ida Lindqvist, Aino Brandt"; NULL: nobody. */
MUST_CHECK enum status act_signed_by(struct state *state, const char *act, const char **out, struct err *err);

#endif
