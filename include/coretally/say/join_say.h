/* SPDX-License-Identifier: MIT */
/* What a join did beside taking both sides, told. */
#ifndef CORETALLY_SAY_JOIN_SAY_H
#define CORETALLY_SAY_JOIN_SAY_H

#include "coretally/join/join.h"
#include "coretally/run/command.h"

/* Things that got another number, fields with two values. there: stands at the join. */
MUST_CHECK enum status join_say(struct run *run, struct store *there, const struct joined *joined, struct err *err);

#endif
