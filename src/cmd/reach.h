/* SPDX-License-Identifier: MIT */
/* What a change of corrections moves: the depths of a hole with it and without it, item by item. */
#ifndef CORETALLY_CMD_REACH_H
#define CORETALLY_CMD_REACH_H

#include "coretally/domain/reach.h"
#include "command.h"

/* Target's hole, with other corrections in force: all standing ones of count. */
MUST_CHECK enum status reach_hole(struct run *run, const struct hole *hole, const struct correction *all, size_t count,
                                  struct hole *out, struct err *err);

/* Goes through the whole hole; tells how far it got. With --brief through its cores alone. */
MUST_CHECK enum status reach_find(struct run *run, const struct target *target, const struct hole *without,
                                  const struct hole *with, enum correction_kind kind, struct reach *out,
                                  struct err *err);

/* The report, and the depths of the names (separated by ';', NULL: none) before and after. */
MUST_CHECK enum status reach_say(struct run *run, const struct reach *reach, struct err *err);
MUST_CHECK enum status reach_say_names(struct run *run, const char *names, const struct hole *without,
                                       const struct hole *with, enum scale scale, struct err *err);

#endif
