/* SPDX-License-Identifier: MIT */
/* Another number or letter for a core that is recorded. */
#ifndef CORETALLY_CMD_CORE_RENAME_H
#define CORETALLY_CMD_CORE_RENAME_H

#include "command.h"

/* core amend --name, the registry open to write: the core with its sections, samples and labels stands under the new
 * name, in one act. */
MUST_CHECK enum status core_rename(struct run *run, const char *wanted, struct err *err);

/* A core as it is typed anew against the one that had its name last and has another now (out). Same: every reading that
 * is typed is recorded under that other name. */
enum core_former { CORE_FORMER_NONE, CORE_FORMER_SAME, CORE_FORMER_OTHER };
MUST_CHECK enum status core_former_find(struct run *run, const char *hole, const struct core *typed, struct core *out,
                                        enum core_former *found, struct err *err);

#endif
