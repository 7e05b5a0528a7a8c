/* SPDX-License-Identifier: MIT */
/* The schedule of coming samples. */
#ifndef CORETALLY_CMD_LAG_SCHEDULE_H
#define CORETALLY_CMD_LAG_SCHEDULE_H

#include "lag_hole.h"

/* A table of the next count samples as of the last row of hole->log. step_um LENGTH_NONE: the plan of the hole. */
MUST_CHECK enum status lag_schedule_show(struct run *run, struct lag_hole *hole, int64_t step_um, int32_t count,
                                         struct err *err);

#endif
