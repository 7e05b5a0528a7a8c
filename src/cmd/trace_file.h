/* SPDX-License-Identifier: MIT */
/* Trace a whole table of names (cmd_trace.c has the command). */
#ifndef CORETALLY_CMD_TRACE_FILE_H
#define CORETALLY_CMD_TRACE_FILE_H

#include "coretally/run/command.h"

/* Row by row from a CSV file ("-": standard input) to the output. STATUS_UNKNOWN at the end where names were not found.
 */
MUST_CHECK enum status trace_file(struct run *run, const char *path, struct err *err);

#endif
