/* SPDX-License-Identifier: MIT */
/* What verify found, told. */
#ifndef CORETALLY_SAY_VERIFY_SAY_H
#define CORETALLY_SAY_VERIFY_SAY_H

#include "coretally/run/command.h"
#include "coretally/verify/verify.h"

/* Rows, what was looked at, and the answer: STATUS_DAMAGED for anything worse than a doubt. */
MUST_CHECK enum status verify_say(struct run *run, struct verify *verify, struct err *err);

#endif
