/* SPDX-License-Identifier: MIT */
/* The versions of a file under all the paths that it had: those of a core whose number was changed, and of a correction
 * that got another number when registries were joined. */
#ifndef CORETALLY_STATE_STAYS_H
#define CORETALLY_STATE_STAYS_H

#include "coretally/state/read.h"

/* As history_open, history_next, history_close (store.h), but that they end where another core had the number; any
 * other path has one stay alone. */
struct stays;
MUST_CHECK enum status stays_open(struct state *state, const char *path, struct stays **out, struct err *err);
MUST_CHECK enum status stays_next(struct stays *stays, struct arena *arena, struct commit *commit,
                                  char id[HASH_TEXT_MAX], bool *more, struct err *err);
/* Every act on every side, with the version that it came from on each line, as trail_next has them. */
MUST_CHECK enum status stays_next_act(struct stays *stays, struct arena *arena, struct trail_act *act, bool *more,
                                      struct err *err);
void stays_close(struct stays *stays);

#endif
