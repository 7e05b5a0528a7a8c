/* SPDX-License-Identifier: MIT */
/* explain for what was taken at the shaker. */
#ifndef CORETALLY_SAY_EXPLAIN_BAG_SAY_H
#define CORETALLY_SAY_EXPLAIN_BAG_SAY_H

#include "coretally/run/command.h"

/* The registry is open; the first argument names a bag. */
MUST_CHECK enum status explain_bag_say(struct run *run, struct err *err);

#endif
