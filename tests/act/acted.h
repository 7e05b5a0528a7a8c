/* SPDX-License-Identifier: MIT */
/* Drafts put down under the kind of act that they are. */
#ifndef CORETALLY_TESTS_ACTED_H
#define CORETALLY_TESTS_ACTED_H

#include "coretally/act/draft.h"
#include "rooms/scene.h"

/* draft_encode with the kind that fits what was drafted, and the reason that its record has; of will what is left. */
enum status acted_encode(struct room *room, const struct draft *draft, const struct will *will, struct act *act,
                         struct change **changes);
/* The line of its commit, kept against all doubt. settles: it decides about what is open. */
const char *acted_line(struct room *room, const struct draft *draft, bool settles);

#endif
