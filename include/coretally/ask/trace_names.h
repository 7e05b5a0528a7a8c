/* SPDX-License-Identifier: MIT */
/* A long list of names, each to what it spans: a core is looked up once, and its samples are at hand by their keys. */
#ifndef CORETALLY_ASK_TRACE_NAMES_H
#define CORETALLY_ASK_TRACE_NAMES_H

#include "coretally/state/former.h"
#include "coretally/state/namesake.h"
#include "coretally/state/span.h"

struct traced_hole;

/* Zero but for the state before the first name. What it holds lives in the arena of the state. */
struct trace_names {
    struct state *state;
    struct traced_hole **holes;
    size_t count;
    size_t room;
    size_t last; /* found last: lists come in order */
    /* Of the name that was asked last: */
    struct former former;
    struct namesake namesake;
    struct label_text label; /* of the text of a symbol; is_symbol false: a plain name */
};

/* What a name spans, as span_read; must says that a sample must be recorded. */
MUST_CHECK enum status trace_names_span(struct trace_names *names, const char *typed, bool must, struct span *out,
                                        struct err *err);

/* Is the name that was asked last the text of a label that does not show where its span lies today? */
bool trace_names_is_stale(const struct trace_names *names, const struct span *span);

#endif
