/* SPDX-License-Identifier: MIT */
/* What verify found, told; and git's hook, which asks it. */
#ifndef CORETALLY_CMD_VERIFY_SAY_H
#define CORETALLY_CMD_VERIFY_SAY_H

#include "command.h"
#include "coretally/verify/verify.h"

/* Begins a look at the registry at path. */
MUST_CHECK enum status verify_begin(struct run *run, const char *path, struct verify *out, struct err *err);

/* Rows, what was looked at, and the answer: STATUS_DAMAGED for anything worse than a doubt. */
MUST_CHECK enum status verify_say(struct run *run, struct verify *verify, struct err *err);

MUST_CHECK enum status verify_hook(struct run *run, const char *kind, struct err *err);
extern const char hook_text[];

#endif
