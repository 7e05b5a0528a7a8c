/* SPDX-License-Identifier: MIT */
/* verify --against: what was printed earlier, held against the history. */
#ifndef CORETALLY_CMD_VERIFY_AGAINST_H
#define CORETALLY_CMD_VERIFY_AGAINST_H

#include "coretally/run/command.h"
#include "coretally/verify/verify.h"

/* verify->store stands at the state. Flaws, and what is told beside them. */
MUST_CHECK enum status verify_against(struct run *run, struct verify *verify, const char *typed, struct err *err);

#endif
