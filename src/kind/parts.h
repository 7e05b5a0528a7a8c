/* SPDX-License-Identifier: MIT */
/* What the files of this room share: deed.c finds what was done, judge.c holds it against the table of kind.c, line.c
 * says it. */
#ifndef CORETALLY_KIND_PARTS_H
#define CORETALLY_KIND_PARTS_H

#include "coretally/kind/deed.h"

/* --- fault.c --- */

/* What no act of the kind does; path and item may be "". */
MUST_CHECK enum status deed_fault(struct deed *deed, const char *path, const char *item, struct err *err,
                                  const char *format, ...) PRINTF_LIKE(5, 6);
/* Did it change this field of the record? */
bool touch_amends(const struct touch *touch, const struct field *field);
/* "amended" */
const char *touch_word(enum done done);
bool touch_is(const struct allowed *allowed, const struct touch *touch);
/* A field of text of a record; NULL: it has none, or it is left out. */
const char *touch_text(const struct table *table, const char *name, const void *record);

/* A new record begins with nothing behind it. */
MUST_CHECK enum status deed_hold_new(struct deed *deed, const struct touch *touch, struct err *err);
/* Does it give a core another name? */
bool deed_renames(const struct deed *deed);

/* --- judge_printed.c --- */

/* A label or a signature that was appended. */
void deed_hold_printed(struct deed *deed, const struct touch *touch);

/* --- judge.c, judge_open.c, judge_whole.c --- */

/* Each record that it touched; finds the form of the kind. */
MUST_CHECK enum status deed_judge(struct deed *deed, struct err *err);
/* The contradiction that it took away; NULL: none. */
const struct contradiction *deed_decides(const struct deed *deed);
MUST_CHECK enum status deed_hold_open(struct deed *deed, const struct touch *touch, struct err *err);

/* --- line.c --- */

/* Is this what the commit of such an act says? A line that the act alone knows is held where it can be. */
MUST_CHECK enum status deed_line_holds(struct deed *deed, const char *line, bool *out, const char **wanted,
                                       struct err *err);

#endif
