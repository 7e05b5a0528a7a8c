/* SPDX-License-Identifier: MIT */
/* Another number or letter for a core that is recorded. */
#ifndef CORETALLY_CMD_CORE_RENAME_H
#define CORETALLY_CMD_CORE_RENAME_H

#include "command.h"

/* core amend --name, the registry open to write: the core with its sections, samples and labels stands under the new
 * name, in one act. */
MUST_CHECK enum status core_rename(struct run *run, const char *wanted, struct err *err);

#endif
