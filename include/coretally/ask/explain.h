/* SPDX-License-Identifier: MIT */
/* A depth link by link, from the driller's reading on, with the act behind each input. */
#ifndef CORETALLY_ASK_EXPLAIN_H
#define CORETALLY_ASK_EXPLAIN_H

#include "coretally/ask/source.h"
#include "coretally/state/span.h"

/* A link of the chain, or a section that the link above it counts with its curated length. */
struct explained {
    const struct depth_link *link;
    const struct section *section; /* NULL: the link itself */
    const char *rule;              /* of a link: what was done, with the number of its correction */
    const char *why;               /* and why that is; NULL: nothing to say */
    bool is_typed;                 /* an offset that was typed: no record stands behind it */
    struct source source;          /* none where is_typed, and where the sections follow with their own */
};

struct explanation {
    struct depth depth;
    struct explained *items;
    size_t count;
    size_t dropped; /* links that there was no room for */
};

/* Of the top of a span; scale: a drilled one where the span is a core without sections. The explanation points into the
 * span. */
MUST_CHECK enum status explain_depth(struct state *state, const struct span *span, enum scale scale,
                                     struct explanation *out, struct err *err);

#endif
