/* SPDX-License-Identifier: MIT */
/* Links of the chain of depth (domain/depth.h): the act behind a link, and what the link says. */
#ifndef CORETALLY_ASK_LINK_H
#define CORETALLY_ASK_LINK_H

#include "coretally/ask/ask.h"
#include "coretally/domain/depth.h"

/* The commit that recorded the correction of a link, or the seafloor that it took. */
MUST_CHECK enum status link_commit(struct state *state, const struct depth_link *link, struct commit *out,
                                   struct err *err);

/* What a link says of a core (0: of none): its rule, with the number of its correction; and why that is, NULL where it
 * has none. */
MUST_CHECK enum status link_words(struct state *state, const struct depth_link *link, int32_t core, const char **rule,
                                  const char **why, struct err *err);

#endif
