/* SPDX-License-Identifier: MIT */
/* Another number or letter for a core that is recorded. */
#ifndef CORETALLY_CMD_CORE_RENAME_H
#define CORETALLY_CMD_CORE_RENAME_H

#include "command.h"

/* core amend --name, the registry open to write: the core with its sections, samples and labels stands under the new
 * name, in one act. */
MUST_CHECK enum status core_rename(struct run *run, const char *wanted, struct err *err);

/* A core as it is typed anew: was one of these readings recorded under this name, and has another now? *is_there: it
 * was said that it is recorded. What fits in part goes into findings. */
MUST_CHECK enum status core_former_check(struct run *run, const struct target *target, const struct core *typed,
                                         bool *is_there, struct findings *findings, struct err *err);

#endif
