/* SPDX-License-Identifier: MIT */
/* How two states are typed, and what differs between them (ask/compare.h) as rows. */
#ifndef CORETALLY_SAY_COMPARE_SAY_H
#define CORETALLY_SAY_COMPARE_SAY_H

#include "coretally/run/command.h"
#include "coretally/ask/compare.h"

enum { COMPARE_COLUMNS = 13, COMPARE_EACH_COLUMNS = 8 };

/* A row a hole and kind of thing. */
void compare_columns(const struct run *run, struct column out[COMPARE_COLUMNS]);
MUST_CHECK enum status compare_rows_add(struct sheet *sheet, const struct compare_rows *rows, struct err *err);

/* A row a thing: compare_each_add is what takes them, its context the struct. Not copied once it is filled. */
struct compare_each {
    struct column columns[COMPARE_EACH_COLUMNS];
    struct sheet sheet;
};
void compare_each_init(const struct run *run, struct compare_each *out);
enum status compare_each_add(void *context, const struct compare_change *change, struct err *err);

/* Compares two states as typed (NULL: where the registry stands); ids: the commits that they are. */
MUST_CHECK enum status compare_typed(struct run *run, const char *const typed[2], const struct compare_asked *asked,
                                     struct compare_rows *out, char ids[2][COMMIT_ID_MAX], struct err *err);

#endif
