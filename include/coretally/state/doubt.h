/* SPDX-License-Identifier: MIT */
/* What the rules say of records as they stand in a state, and the words of it that records, commits and lists carry. */
#ifndef CORETALLY_STATE_DOUBT_H
#define CORETALLY_STATE_DOUBT_H

#include "coretally/state/core_roll.h"
#include "coretally/state/resolve.h"

/* What a commit says before the rules that its act was kept against. */
#define KEPT_AGAINST "kept against doubt: "

/* The words of what was doubted, or taken and kept, each once, separated by a space; NULL for none. */
MUST_CHECK enum status findings_words(const struct findings *findings, struct arena *arena, const char **out,
                                      struct err *err);

/* The words of what is kept, as often as it is; NULL for none. */
MUST_CHECK enum status findings_kept(const struct findings *findings, enum keeping keeping, struct arena *arena,
                                     const char **out, struct err *err);

/* Does a recorded time lie after the newest act of the state? */
MUST_CHECK enum status time_doubt(struct state *state, enum rule rule, const char *what, struct instant at,
                                  int64_t slack_us, struct findings *findings, struct err *err);

/* What the rules find of a core as it stands among its neighbours, those of the roll of its hole; whatever day it is.
 * Nothing of a withdrawn one. */
MUST_CHECK enum status core_doubts(struct core_roll *roll, const struct target *target, const struct core *core,
                                   struct findings *findings, struct err *err);

/* What an act is asked about: the rules of a core among its neighbours, but for the one numbered left_out (0: none),
 * and compared with the clock. */
MUST_CHECK enum status core_asked(struct core_roll *roll, const struct target *target, const struct core *core,
                                  int32_t left_out, struct findings *findings, struct err *err);

/* "kept: advance-long deck-order", after what is noted before; NULL where there is neither. Of one section, or all. */
enum { SECTIONS_ALL = -1 };
MUST_CHECK enum status core_kept(struct state *state, const struct findings *findings, int32_t section,
                                 const char *before, const char **out, struct err *err);

#endif
