/* SPDX-License-Identifier: MIT */
/* Everything that is known of one thing by its name: what it is, where it sits, and which corrections moved it. Its
 * depths are those of its span (state/span.h) or of the bag (state/bag.h). */
#ifndef CORETALLY_ASK_TRACE_H
#define CORETALLY_ASK_TRACE_H

#include "coretally/state/bag.h"
#include "coretally/state/span.h"

/* A correction that moved it: how far, on the first scale that shows it; and the act that recorded it. */
struct trace_moved {
    const struct correction *correction;
    const struct hole *hole; /* that it belongs to */
    enum scale scale;
    int64_t amount_um;
    struct commit commit;
};

struct trace {
    char name[NAME_TEXT_MAX];     /* as printed */
    const struct span *span;      /* a core, section, place or sample; NULL: a bag */
    const struct bag_target *bag; /* NULL: none */
    struct trace_moved *moved;
    size_t moved_count;
    /* Of a span: */
    struct core core;    /* with the top and bottom of its run as they are taken today */
    int64_t core_top_um; /* DRF; LENGTH_NONE: not known */
    int64_t core_bottom_um;
    int64_t section_start_um;    /* below the top of the core; LENGTH_NONE: not known, or a core */
    const struct sample *sample; /* the recorded one of this name; NULL */
    const struct sample **parts; /* standing sub-samples of it */
    size_t part_count;
};

/* typed: as it is to be named in a refusal; name: as resolved from it. */
MUST_CHECK enum status trace_look(struct state *state, const char *typed, const struct name *name, struct trace *out,
                                  struct err *err);

#endif
