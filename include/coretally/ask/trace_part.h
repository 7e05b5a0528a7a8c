/* SPDX-License-Identifier: MIT */
/* Part of a name, where it names one thing only. */
#ifndef CORETALLY_ASK_TRACE_PART_H
#define CORETALLY_ASK_TRACE_PART_H

#include "coretally/state/resolve.h"

/* The whole name of what was typed in part: without its hole, its half, or the lower end of its interval; as text and
 * resolved. What is whole already, or is nothing in part, comes back as typed. STATUS_INPUT lists what it could be. */
MUST_CHECK enum status trace_part(struct state *state, const char *typed, const char **out, struct name *name,
                                  struct err *err);

#endif
