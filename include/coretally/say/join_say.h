/* SPDX-License-Identifier: MIT */
/* What a join did beside taking both sides, told. */
#ifndef CORETALLY_SAY_JOIN_SAY_H
#define CORETALLY_SAY_JOIN_SAY_H

#include "coretally/join/join.h"
#include "coretally/run/command.h"

/* Things that got another number, fields with two values, corrections that act twice since. there: stands at the join;
 * before: the commit at which this registry stood. */
struct join_told {
    struct store *there;
    const char *before;
    const struct joined *joined;
};
MUST_CHECK enum status join_say(struct run *run, const struct join_told *told, struct err *err);

#endif
