/* SPDX-License-Identifier: MIT */
/* What the commands that read a pump log from a file share: their options. */
#ifndef CORETALLY_CMD_LOG_ASKED_H
#define CORETALLY_CMD_LOG_ASKED_H

#include "coretally/intake/log_take.h"
#include "coretally/run/command.h"

/* --map, --set, --bridge, --gap, --format and --sure; the registry opened for reading, the hole of the first argument.
 * target lives as long as take. */
MUST_CHECK enum status log_open(struct run *run, const char *file, bool is_growing, struct target *target,
                                struct log_take *take, struct err *err);

#endif
