/* SPDX-License-Identifier: MIT */
/* Cores added, amended and withdrawn. A target has the hole and the name of the core and, where the core is recorded,
 * the core as it is. */
#ifndef CORETALLY_ACT_CORE_H
#define CORETALLY_ACT_CORE_H

#include "coretally/act/draft.h"
#include "coretally/state/core_roll.h"
#include "coretally/state/former.h"

/* A core as it landed, with its sections. Without a datum its depths count from where those of the core above do.
 * STATUS_EXISTS where its number is that of another one. */
MUST_CHECK enum status core_add(struct state *state, const struct target *target, const struct core *typed,
                                struct draft *out, struct err *err);
/* changed: target->core with other readings. */
MUST_CHECK enum status core_amend(struct state *state, const struct target *target, const struct core *changed,
                                  struct draft *out, struct err *err);
/* The same by somebody who is sure of what is open: doubts that nobody kept, since they came with a join. They are kept
 * by this act, although nothing else may change. */
MUST_CHECK enum status core_keep(struct state *state, const struct target *target, const struct core *changed,
                                 const struct findings *open, struct draft *out, struct err *err);
MUST_CHECK enum status core_withdraw(struct state *state, const struct target *target, const char *reason,
                                     struct draft *out, struct err *err);

/* What a core that is to be added is to the registry. */
enum core_found {
    CORE_NEW,
    CORE_SAME,   /* recorded with the same readings */
    CORE_OTHER,  /* its number is that of a core with other readings */
    CORE_RENAMED /* recorded with the same readings, and given another name since */
};
struct core_sought {
    enum core_found found;
    struct core core;        /* the one that is recorded */
    enum core_former former; /* of a new one: CORE_FORMER_OTHER, core had its name before */
};
/* present: the core that has its number, or NULL. STATUS_RULE for a new one where samples of another core stayed behind
 * under its number. */
MUST_CHECK enum status core_seek(struct state *state, const struct target *target, const struct core *typed,
                                 const struct core *present, struct core_sought *out, struct err *err);

/* --- for acts on cores and their sections --- */

/* Hold the core as it shall be against its hole, its neighbours, its samples and itself as it was, and draft it.
 * Findings that it has already come first. */
MUST_CHECK enum status core_write(struct core_roll *roll, const struct target *target, const struct core *core,
                                  struct draft *out, struct err *err);

/* It is recorded, under this name. */
MUST_CHECK enum status core_present(struct state *state, const struct target *target, const struct core *core,
                                    struct draft *out, struct err *err);

/* The core leaves its place, for another number or (0) for good: what the one below it is doubted for with the one
 * above as its neighbour. Noted, and marked in lists from then on. */
MUST_CHECK enum status core_note_left(struct core_roll *roll, const struct target *target, int32_t to,
                                      struct text *notes, struct err *err);

#endif
