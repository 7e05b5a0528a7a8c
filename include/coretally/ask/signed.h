/* SPDX-License-Identifier: MIT */
/* Who signed a correction, and whether it is still what was signed. */
#ifndef CORETALLY_ASK_SIGNED_H
#define CORETALLY_ASK_SIGNED_H

#include "coretally/ask/ask.h"
#include "coretally/domain/correction.h"

struct signed_by {
    const struct signature *signature;
    struct commit commit; /* that brought it */
    bool is_theirs;       /* the commit is by who signed; no command of ours writes another */
    bool is_same;         /* the correction reads as it did then */
};

struct signed_all {
    struct signed_by *items; /* in the order of signing */
    size_t count;
    size_t standing; /* how many of them signed it as it is */
};

MUST_CHECK enum status signed_find(struct state *state, const struct correction *it, struct signed_all *out,
                                   struct err *err);

#endif
