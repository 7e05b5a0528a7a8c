/* SPDX-License-Identifier: MIT */
/* Another number or letter for a core that is recorded: its record, samples and labels stand under the new name, in one
 * act. */
#ifndef CORETALLY_ACT_CORE_RENAME_H
#define CORETALLY_ACT_CORE_RENAME_H

#include "coretally/act/draft.h"
#include "coretally/domain/renaming.h"
#include "coretally/state/stayed.h"

/* What was drafted, for who tells it. */
struct renamed {
    const char *hole;
    struct core_id from;
    struct core_id to;
    struct stayed stayed; /* what stayed behind under the new number, and is its own again */
    size_t labels;        /* which show the old name */
};

/* typed: the core as it is called; wanted: "13H", "U0012A-13H", "13" (the letter stays), "X" (the number stays).
 * renamed is filled with a change. STATUS_EXISTS where the number is taken, with the way to free it. */
MUST_CHECK enum status core_rename(struct state *state, const char *typed, const char *wanted, struct renamed *renamed,
                                   struct draft *out, struct err *err);

#endif
