/* SPDX-License-Identifier: MIT */
/* The signatures under acts, as a state has them. Corrections have theirs beside them (correction_roll.h). */
#ifndef CORETALLY_STATE_ACT_SIGNATURES_H
#define CORETALLY_STATE_ACT_SIGNATURES_H

#include "coretally/domain/signature.h"
#include "coretally/state/record_at.h"

/* Those under the act of a commit, by its whole id; an empty set where nobody signed. */
MUST_CHECK enum status state_act_signatures(struct state *state, const char *act, struct act_signature_set *out,
                                            struct err *err);

/* One of them, as a record. */
struct record_at record_of_act_signature(const char *act, const struct signature *signature);

#endif
