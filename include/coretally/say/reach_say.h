/* SPDX-License-Identifier: MIT */
/* The report of what a change of corrections moves (ask/reach.h). */
#ifndef CORETALLY_SAY_REACH_SAY_H
#define CORETALLY_SAY_REACH_SAY_H

#include "coretally/run/command.h"
#include "coretally/ask/reach.h"

/* Finds and reports what the change of first moves in its hole and the sidetracks of that, then the names of --watch;
 * its reach is filled. alone: the same against none of those whose place it took, told behind it; NULL. --brief and
 * --each as typed. */
MUST_CHECK enum status reach_show(struct run *run, struct reach_part *first, const struct reach_part *alone,
                                  struct err *err);

/* A row of counts beside those of reach_words. */
extern const char reach_runs_word[];
bool reach_count_is_any(const struct reach_count *count);

/* The columns moved, least, greatest, mean, lost and found of a count. */
enum { REACH_CELLS = 6 };
void reach_cells(const struct reach_count *count, struct cell out[REACH_CELLS]);

/* "core 2H by +9.630 m: +9.620 tally slip (correction 2), +0.010 stretch of the pipe (correction 1)"; nothing where a
 * shift is what the correction says. */
void reach_made_add(const struct run *run, const struct reach_part *part, struct text *out);
extern const struct option reach_options[];

/* The next of names by ';', as in --watch; false: there is none. *names may be NULL. */
bool watch_next(const char **names, char out[NAME_TEXT_MAX]);

/* A shift with its sign: "+9.620" for people, "9.620" for programs; "" for LENGTH_NONE. */
struct length_text reach_signed(const struct run *run, int64_t um);

/* "  901-U0012A-3H: 12.340 -> 13.340 m CSF-A (+1.000)", and what became of labels. */
void reach_say_name(struct run *run, const struct watched *watched);
void reach_say_labels(struct run *run, const char *hole, const struct reach *reach);

/* The report of something that moves bags alone. */
MUST_CHECK enum status reach_say(struct run *run, const char *hole, const struct reach *reach, struct err *err);

#endif
