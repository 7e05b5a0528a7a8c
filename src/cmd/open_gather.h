/* SPDX-License-Identifier: MIT */
/* What waits for a decision: fields that two sides set to different values, what the rules say of what came together,
 * labels with a number that another thing has. */
#ifndef CORETALLY_CMD_OPEN_GATHER_H
#define CORETALLY_CMD_OPEN_GATHER_H

#include "coretally/say/open_say.h"

/* Of one hole; of the expedition and these holes. */
MUST_CHECK enum status open_gather_hole(struct run *run, const struct target *hole, struct open_say *say,
                                        struct err *err);
MUST_CHECK enum status open_gather(struct run *run, const struct names *holes, struct open_say *say, struct err *err);

#endif
