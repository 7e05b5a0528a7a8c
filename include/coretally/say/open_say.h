/* SPDX-License-Identifier: MIT */
/* What is open, told: blocks for people, rows for programs. */
#ifndef CORETALLY_SAY_OPEN_SAY_H
#define CORETALLY_SAY_OPEN_SAY_H

#include "coretally/ask/waiting.h"
#include "coretally/run/command.h"

struct open_say {
    struct run *run;
    struct sheet sheet; /* for programs */
    struct text text;   /* for people */
    size_t points;
    struct waiting_list waiting;
};

void open_say_begin(struct run *run, struct open_say *out);
/* A field with all that is claimed of it, and what to type. */
MUST_CHECK enum status open_say_point(struct open_say *say, const struct open_point *point, struct err *err);
/* What waits besides, behind the points. */
MUST_CHECK enum status open_say_waiting(struct open_say *say, struct err *err);
/* The same, printed, and how much it is. */
MUST_CHECK enum status open_say_end(struct open_say *say, struct err *err);

#endif
