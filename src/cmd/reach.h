/* SPDX-License-Identifier: MIT */
/* What a change of corrections moves: the depths of a hole, and of the sidetracks that hang on it, with it and without
 * it, item by item. */
#ifndef CORETALLY_CMD_REACH_H
#define CORETALLY_CMD_REACH_H

#include "coretally/domain/reach.h"
#include "command.h"
#include "coretally/ask/label_things.h"

/* Goes through the whole hole; tells how far it got. With --brief through its cores alone. each (may be NULL) receives
 * a row a sample that moves. */
MUST_CHECK enum status reach_find(struct run *run, const struct target *target, const struct hole *without,
                                  const struct hole *with, enum correction_kind kind, struct sheet *each,
                                  struct reach *out, struct err *err);

/* Finds and reports it for a hole and its sidetracks, then the names of --watch; *out is that of the hole. --brief and
 * --each as typed. */
MUST_CHECK enum status reach_show(struct run *run, const struct target *target, const struct hole *without,
                                  const struct hole *with, enum correction_kind kind, struct reach *out,
                                  struct err *err);
extern const struct option reach_options[];

/* Labels of the same things in two states: those that show the depth of the first and not of the second, and the other
 * way. */
MUST_CHECK enum status reach_add_labels(struct state *state, const struct things *before, const struct things *after,
                                        struct reach *reach, struct err *err);

/* The same found, not told: the hole first, then its sidetracks. */
struct reach_part {
    char hole[HOLE_TEXT_MAX];
    struct reach reach;
};
MUST_CHECK enum status reach_holes(struct run *run, const struct target *target, const struct hole *without,
                                   const struct hole *with, enum correction_kind kind, struct reach_part **out,
                                   size_t *count, struct err *err);

/* Mean shift of what moved, to the micrometre; LENGTH_NONE for nothing. */
int64_t reach_mean(const struct reach_count *count);
/* A shift with its sign: "+9.620" for people, "9.620" for programs; "" for LENGTH_NONE. */
struct length_text reach_signed(const struct run *run, int64_t um);

/* "  901-U0012A-3H: 12.340 -> 13.340 m CSF-A (+1.000)", and what became of labels. */
void reach_say_name(struct run *run, const char *name, int64_t before_um, int64_t after_um, const char *scale);
void reach_say_labels(struct run *run, const char *hole, const struct reach *reach);

/* The report of something that moves bags alone. */
MUST_CHECK enum status reach_say(struct run *run, const char *hole, const struct reach *reach, struct err *err);

#endif
