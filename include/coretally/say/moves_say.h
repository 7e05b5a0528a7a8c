/* SPDX-License-Identifier: MIT */
/* What an act moves (ask/moves.h), told before it is recorded. */
#ifndef CORETALLY_SAY_MOVES_SAY_H
#define CORETALLY_SAY_MOVES_SAY_H

#include "coretally/run/command.h"

/* For commands of USE_MOVING; nothing for others. Says nothing where nothing moves, but for a word in a dry run; then
 * the names of --watch. */
MUST_CHECK enum status moves_tell(struct run *run, const struct change *changes, size_t count, struct err *err);

#endif
