/* SPDX-License-Identifier: MIT */
/* The act behind something that an answer rests on. */
#include "coretally/ask/source.h"

#include <string.h>

#include "coretally/state/origin.h"

enum status source_of_commit(struct state *state, const struct commit *commit, struct source *out, struct err *err)
{
    (void)snprintf(out->id, sizeof out->id, "%s", commit->id);
    out->when = commit->when;
    return arena_copy(state->arena, commit->author, strlen(commit->author), &out->author, err);
}

enum status source_find(struct state *state, const struct record_at *at, const char *const *only, struct source *out,
                        struct err *err)
{
    struct commit commit = {0};
    TRY(origin_find(state, at, only, &commit, err));
    return source_of_commit(state, &commit, out, err);
}
