/* SPDX-License-Identifier: MIT */
/* Holes and cores that a long list of names asks for, each read once and kept with its samples at hand by their keys.
 */
#ifndef CORETALLY_CMD_TRACE_CACHE_H
#define CORETALLY_CMD_TRACE_CACHE_H

#include "coretally/state/former.h"
#include "coretally/state/span.h"

struct trace_slot {
    const char *key; /* NULL: free */
    const struct sample *sample;
};

struct trace_core {
    struct target target;     /* hole, core and samples; its name that of the core */
    struct trace_slot *slots; /* present and former keys; a power of two, at most half full */
    size_t slot_count;
};

struct trace_hole {
    struct target target;
    struct renaming_set renamed;
    struct trace_core *cores[CORE_NUMBER_MAX + 1]; /* NULL: not asked for yet */
};

struct trace_cache {
    struct state *state;
    struct trace_hole **holes;
    size_t count;
    size_t room;
    size_t last;          /* found last: lists come in order */
    struct former former; /* of the name that was asked last */
};

/* What a name spans, as span_read; must says that a sample must be recorded. */
MUST_CHECK enum status trace_cache_span(struct trace_cache *cache, const char *typed, bool must, struct span *out,
                                        struct err *err);

#endif
