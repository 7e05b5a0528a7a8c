/* SPDX-License-Identifier: MIT */
/* What a correction and an act are signed by alike. Inside the act room only. */
#ifndef CORETALLY_ACT_SIGNING_H
#define CORETALLY_ACT_SIGNING_H

#include "coretally/act/draft.h"
#include "coretally/domain/signature.h"

struct signatures {
    struct signature *items;
    size_t count;
};

/* The one by this person, of the same contents; NULL. */
const struct signature *signing_find(const struct signatures *all, const struct signature *like);
/* A list of its own with one more at its end. */
MUST_CHECK enum status signing_append(struct state *state, struct signatures *all, const struct signature *added,
                                      struct err *err);
/* "NAME was signed by WHO, WHEN": it is recorded already. */
MUST_CHECK enum status signing_present(struct state *state, struct draft *draft, const char *name,
                                       const struct signature *present, struct err *err);

#endif
