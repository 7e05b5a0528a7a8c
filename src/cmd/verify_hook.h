/* SPDX-License-Identifier: MIT */
/* A look at a registry begun with the acts that there are, and git's hook, which asks for one. */
#ifndef CORETALLY_CMD_VERIFY_HOOK_H
#define CORETALLY_CMD_VERIFY_HOOK_H

#include "coretally/run/command.h"
#include "coretally/verify/verify.h"

/* Begins a look at the registry at path. */
MUST_CHECK enum status verify_begin(struct run *run, const char *path, struct verify *out, struct err *err);

/* What a push would move, as git's hook of that kind tells it on the input. */
MUST_CHECK enum status verify_hook(struct run *run, const char *kind, struct err *err);
extern const char hook_text[];

#endif
