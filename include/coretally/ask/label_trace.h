/* SPDX-License-Identifier: MIT */
/* Labels of the one thing that is traced: which were printed, whether the one in the hand still shows its depth, and
 * what happened since. */
#ifndef CORETALLY_ASK_LABEL_TRACE_H
#define CORETALLY_ASK_LABEL_TRACE_H

#include "coretally/ask/label_since.h"
#include "coretally/ask/label_things.h"

struct traced_label {
    const struct label *label;
    struct label_now now;
    bool is_in_hand; /* it was scanned */
};

/* The label in the hand: the scanned one, recorded or not; else a stale one among the newest; else the newest. */
struct label_hand {
    const char *thing; /* its name today */
    struct label label;
    bool is_recorded;
    struct label_now now;
    const struct label *recorded; /* its record; NULL: none */
    const struct label *twin;     /* another record that the scanned text fits as well: the same copy was printed on two
                                   * sides that were joined since; NULL */
    const struct label *fresh;    /* of a stale one: a copy on its scale that shows what it should; NULL: none does */
};

/* Steps are told to the millimetre, labels as they were printed, and acts of two sides that were joined move together
 * what each by itself does not: what is left, so that all rows add up to what is said of the label. */
struct label_rest {
    const char *why; /* NULL: nothing is left */
    int64_t top_um;
    int64_t bottom_um;
};

struct label_report {
    struct traced_label *labels; /* every label of the thing, the newest last */
    size_t label_count;
    struct label_hand *hands; /* one; of a section named without its half, one of each half that has labels */
    size_t hand_count;
    const struct label_hand *stale; /* the first that is; NULL */
    struct since_acts since;        /* what moved the thing since that one was printed */
    struct label_rest rest;         /* what they do not add up to */
};

/* typed: as scanned or typed; name: as resolved. Where the acts since cannot be read, the rest is there. */
MUST_CHECK enum status label_report(struct state *state, const char *typed, const struct name *name,
                                    struct label_report *out, struct err *err);

#endif
