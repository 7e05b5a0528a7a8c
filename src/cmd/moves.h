/* SPDX-License-Identifier: MIT */
/* What an act moves, told before it is recorded: the state without it against the state with it, by what compare does
 * with any two states. Costs grow with what the act touches (touched.h). */
#ifndef CORETALLY_CMD_MOVES_H
#define CORETALLY_CMD_MOVES_H

#include "compare.h"

/* For commands of USE_MOVING; nothing for others. Says nothing where nothing moves, but for a word in a dry run. */
MUST_CHECK enum status moves_tell(struct run *run, const struct change *changes, size_t count, struct err *err);

/* --- inside --- */

/* A hole on one scale. */
struct moves_part {
    char hole[HOLE_TEXT_MAX];
    const char *bag_scale; /* as printed */
    struct reach reach;
};

/* The sentences, then the rows of --each (NULL: not asked for). */
MUST_CHECK enum status moves_say(struct run *run, const struct moves_part *parts, size_t count,
                                 const struct sheet *each, struct err *err); /* moves_say.c */

/* The names of --watch in both states. */
MUST_CHECK enum status moves_watch(struct run *run, struct store *const stores[2], struct err *err);

#endif
