/* SPDX-License-Identifier: MIT */
/* A thing that has a name on one scale after the other: core, section, sample, place or bag. */
#ifndef CORETALLY_ASK_ON_SCALES_H
#define CORETALLY_ASK_ON_SCALES_H

#include "coretally/ask/ask.h"
#include "coretally/state/bag.h"
#include "coretally/state/span.h"

struct on_scale {
    enum scale scale;
    const char *word;   /* MRF for DRF, MSF for DSF where it is a bag */
    const char *method; /* by which the scale is made here */
    int64_t top_um;     /* as typed: of a core kept upside down the lower one. LENGTH_NONE: not known */
    int64_t bottom_um;
    int64_t mid_um;
    int64_t low_um; /* the bounds of both */
    int64_t high_um;
    const char *note; /* why there is none, or what it must not be read without; NULL */
};

struct on_scales {
    char name[NAME_TEXT_MAX];
    bool is_bag; /* the caution of the lag goes with it */
    struct on_scale items[SCALE_COUNT];
    size_t count;
};

/* From the first scale to the last, by a typed name. A bag has the drilled ones. */
MUST_CHECK enum status on_scales_find(struct state *state, const char *typed, enum scale first, enum scale last,
                                      struct on_scales *out, struct err *err);
/* The same of what was found already. */
void on_scales_of_span(const struct span *span, enum scale first, enum scale last, struct on_scales *out);
MUST_CHECK enum status on_scales_of_bag(struct state *state, const struct bag_target *at, enum scale first,
                                        enum scale last, struct on_scales *out, struct err *err);

#endif
