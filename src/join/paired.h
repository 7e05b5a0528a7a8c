/* SPDX-License-Identifier: MIT */
/* The samples of a core under join. Inside the join room only. */
#ifndef CORETALLY_JOIN_PAIRED_H
#define CORETALLY_JOIN_PAIRED_H

#include "joining.h"

struct paired {
    const struct sample *base;
    const struct sample *sides[SIDES_MAX];
    const struct sample *created; /* as both recorded it */
    size_t parent;                /* of a sub-sample; SIZE_MAX: none, or not found */
    int deep;
    bool has_given_way; /* this join gave it another number, or what it was taken from */
    struct sample joined;
};

struct paired_samples {
    const struct core_files *core;
    struct sample_set sets[VERSION_COUNT];
    bool there[VERSION_COUNT];
    struct paired *items;
    size_t count;
    struct spot_at spots[SIDES_MAX];
    struct paired **scratch; /* room for all */
};

/* former.c: as formers_believed. */
MUST_CHECK enum status sample_formers_believed(struct joining *joining, struct paired_samples *pieces, int side,
                                               struct err *err);
/* The act that gave it the key which it has on this side, or had before a join renumbered it. */
MUST_CHECK enum status piece_recorder(struct joining *joining, struct paired_samples *pieces, int side,
                                      const struct sample *sample, struct blamed *out, struct err *err);
/* Ordinals and numbers of sub-samples, where two have the same; sub-samples go where their parents went. */
MUST_CHECK enum status number_pieces(struct joining *joining, struct paired_samples *pieces, struct err *err);

#endif
