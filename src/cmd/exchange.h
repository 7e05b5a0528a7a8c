/* SPDX-License-Identifier: MIT */
/* What joining and sending share: the other registry found and held against this one, its acts brought and joined, and
 * what is said of it. */
#ifndef CORETALLY_CMD_EXCHANGE_H
#define CORETALLY_CMD_EXCHANGE_H

#include "coretally/run/command.h"
#include "coretally/join/join.h"
#include "coretally/store/exchange.h"

/* Opens the registry to read, and finds the other; typed NULL: origin. STATUS_RULE where it is another expedition's, as
 * far as that shows before anything is brought. */
MUST_CHECK enum status exchange_open(struct run *run, const char *typed, struct other *out, struct err *err);

/* Before a network is waited for. */
void exchange_say_waiting(struct run *run, const struct other *other);

/* Brings what the other has, says it, and joins it, unless it is a dry run. */
MUST_CHECK enum status exchange_join(struct run *run, const struct other *other, struct err *err);

/* The two must have a commit in common. */
MUST_CHECK enum status exchange_check(struct run *run, const struct other *other, const char *tip, struct err *err);

/* Rows of acts: the last of them, unless --each wants all. */
MUST_CHECK enum status exchange_say_acts(struct run *run, const struct commits *commits, const char *head,
                                         int64_t bytes, struct err *err);

/* How many of them are acts: a join is none. */
MUST_CHECK enum status exchange_count(struct run *run, const struct commits *commits, size_t *out, struct err *err);

/* "640 bytes", "4.2 kB", "1.3 MB" */
enum { SIZE_TEXT_MAX = 32 };
void size_text(int64_t bytes, char out[SIZE_TEXT_MAX]);

#endif
