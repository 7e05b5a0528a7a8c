/* SPDX-License-Identifier: MIT */
/* A second person stands by what an act did. Corrections are signed as they stand (act/correction.h); any other act
 * that changed what depths rest on is signed here, by its commit. */
#ifndef CORETALLY_ACT_SIGN_H
#define CORETALLY_ACT_SIGN_H

#include "coretally/act/draft.h"
#include "coretally/domain/signature.h"

/* typed: the digits of the commit of the act. signature: name, mail and remark of whoever signs; the time is given to
 * it. STATUS_UNKNOWN for a commit that is not in the history of the state; STATUS_RULE for a join, to whoever did the
 * act or had git write it, and for an act that only printed, signed or recorded a correction. */
MUST_CHECK enum status act_sign(struct state *state, const char *typed, const struct signature *signature,
                                struct draft *out, struct err *err);

#endif
