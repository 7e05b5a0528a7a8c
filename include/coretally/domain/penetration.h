/* SPDX-License-Identifier: MIT */
/* Penetration: how deep a hole went, and what of it was cored, drilled or washed without coring, or carries no record.
 */
#ifndef CORETALLY_DOMAIN_PENETRATION_H
#define CORETALLY_DOMAIN_PENETRATION_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum bored_as {
    BORED_CORED,
    BORED_UNCORED,  /* drilled without coring, or washed */
    BORED_NO_BOTTOM /* a run whose bottom is not known: bottom_um is its top */
};

/* What the bit went through in one run; depths along the hole, below one datum. */
struct bored {
    int64_t top_um;
    int64_t bottom_um;
    enum bored_as as;
};

struct penetration {
    int64_t top_um;    /* counted from here */
    int64_t bottom_um; /* the deepest that anything reached, or the end of the range; top_um where nothing did */
    int64_t cored_um;
    int64_t uncored_um;    /* drilled or washed, and not cored as well */
    int64_t open_um;       /* where runs without a known bottom begin: down to the next record */
    int64_t unrecorded_um; /* neither cored nor recorded as drilled */
    size_t gap_count;      /* of what is unrecorded */
    int64_t gap_top_um;    /* the first of these gaps */
    int64_t gap_bottom_um;
    bool is_least; /* the deepest is a run whose bottom is not known: it went deeper by what is not known */
};

/* From where the hole begins (the seafloor, or the kickoff of a sidetrack) to the deepest bottom; of it what lies from
 * top_um to bottom_um (INT64_MIN, INT64_MAX: all). What several runs went through counts once, and as cored if one of
 * them was. The four parts add up to bottom_um - top_um exactly. items are put in order. (Common practice, no source:
 * total penetration is the depth of the hole, whatever the bit did on the way.) */
void penetration_sum(struct bored *items, size_t count, int64_t begin_um, int64_t top_um, int64_t bottom_um,
                     struct penetration *out);

#endif
