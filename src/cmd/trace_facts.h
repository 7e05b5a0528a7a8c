/* SPDX-License-Identifier: MIT */
/* What a thing is and where it sits, a fact a line. */
#ifndef CORETALLY_CMD_TRACE_FACTS_H
#define CORETALLY_CMD_TRACE_FACTS_H

#include "coretally/view/sheet.h"
#include "coretally/state/span.h"
#include "command.h"

/* A line of two columns, unless the value is empty; the text begins anew. */
MUST_CHECK enum status trace_add_fact(struct sheet *sheet, const char *what, struct text *value, struct err *err);

/* Core, section, interval, and what is recorded of the sample. */
MUST_CHECK enum status trace_span_facts(struct run *run, const struct span *span, struct sheet *sheet, struct err *err);

#endif
