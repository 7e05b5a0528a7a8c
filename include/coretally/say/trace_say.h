/* SPDX-License-Identifier: MIT */
/* What a traced thing is, where it sits, and what moved it, as rows. */
#ifndef CORETALLY_SAY_TRACE_SAY_H
#define CORETALLY_SAY_TRACE_SAY_H

#include "coretally/run/command.h"
#include "coretally/ask/trace.h"

/* A fact a row: of a core, section, place or sample, or of a bag. */
MUST_CHECK enum status trace_facts_add(struct run *run, const struct trace *trace, struct sheet *sheet,
                                       struct err *err);

/* A correction a row, with the act that recorded it. */
MUST_CHECK enum status trace_moved_add(struct run *run, const struct trace *trace, struct sheet *sheet,
                                       struct err *err);

#endif
