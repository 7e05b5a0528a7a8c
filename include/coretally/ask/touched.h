/* SPDX-License-Identifier: MIT */
/* The holes, cores and bags whose depths rest on what an act changes. Nothing is worked out here: an act that touches
 * nothing costs a look at its own files. */
#ifndef CORETALLY_ASK_TOUCHED_H
#define CORETALLY_ASK_TOUCHED_H

#include "coretally/ask/ask.h"

struct touched {
    char hole[HOLE_TEXT_MAX];
    bool whole;       /* everything in it: its own record changes, or that of a hole that it hangs on */
    bool way;         /* with it what it leaves, or where: TVD may move alone */
    bool bags;        /* what was taken at the shaker */
    uint32_t kinds;   /* a bit a kind of correction (1 << kind) that changes: its scale is looked at, too */
    int64_t since_us; /* bags that came up before do not move; INT64_MIN: any may */
    int32_t *cores;   /* where not the whole hole is touched */
    size_t core_count;
    size_t core_room;
};

/* with_corrections: those that change count, too. A command about to record one leaves them out, since it tells by
 * itself what they move. */
MUST_CHECK enum status touched_find(struct state *state, const struct change *changes, size_t count,
                                    bool with_corrections, struct touched **out, size_t *out_count, struct err *err);

#endif
