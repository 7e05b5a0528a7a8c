/* SPDX-License-Identifier: MIT */
/* The acts that changed one depth, one after the other back in time. */
#ifndef CORETALLY_ASK_PAST_WALK_H
#define CORETALLY_ASK_PAST_WALK_H

#include "coretally/ask/past.h"
#include "coretally/store/walk.h"

/* An act, and the thing after it and before it (not there, before the first) on the line of the act. All of it lives
 * during the call alone. A join is a step for each of its two lines where the thing was another there. */
struct past_step {
    const struct commit *commit;
    bool is_join;      /* nobody's act; its cause names the last act of the line: "joined, on the side of 8ab686eafe" */
    const char *cause; /* "correction 1 of U0012A (tally)", "core amended" */
    const struct moment *newer;
    const struct moment *older;
};

typedef enum status past_visit(struct state *state, void *context, const struct past_step *step, struct err *err);

/* Acts of all lines that led here, each before those that it stands on, else the latest first; back to the act that
 * recorded the thing; or to states of this history, as store_heads gives them, whose own acts are left out (NULL:
 * none).
 */
MUST_CHECK enum status past_walk(struct state *state, const struct past *past, const struct commits *since,
                                 past_visit *visit, void *context, struct err *err);

#endif
