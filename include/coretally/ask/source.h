/* SPDX-License-Identifier: MIT */
/* The act behind something that an answer rests on: which commit, by whom, when. */
#ifndef CORETALLY_ASK_SOURCE_H
#define CORETALLY_ASK_SOURCE_H

#include "coretally/ask/ask.h"
#include "coretally/state/record_at.h"

struct source {
    char id[COMMIT_ID_MAX]; /* "": none */
    const char *author;
    struct instant when;
};

/* What is shown of a commit, in the arena of the state. */
MUST_CHECK enum status source_of_commit(struct state *state, const struct commit *commit, struct source *out,
                                        struct err *err);

/* Since which act a record reads as it does (origin.h). */
MUST_CHECK enum status source_find(struct state *state, const struct record_at *at, const char *const *only,
                                   struct source *out, struct err *err);

#endif
