/* SPDX-License-Identifier: MIT */
/* Labels of the thing that is traced, as sheets and in words. */
#ifndef CORETALLY_SAY_LABEL_TRACE_SAY_H
#define CORETALLY_SAY_LABEL_TRACE_SAY_H

#include "coretally/view/sheet.h"
#include "coretally/ask/label_trace.h"

/* Every label of the thing, a row each. */
MUST_CHECK enum status label_trace_rows(struct arena *arena, const struct label_report *report, struct sheet *out,
                                        struct err *err);

/* What moved it since the label in hand was printed, an act a row. */
MUST_CHECK enum status label_since_rows(struct arena *arena, const struct label_report *report, struct sheet *out,
                                        struct err *err);

/* What the labels in the hand are worth, a line each; nothing where there are none. */
void label_verdicts_add(const struct label_report *report, const struct name *name, struct text *out);

#endif
