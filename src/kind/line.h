/* SPDX-License-Identifier: MIT */
/* Parts of line.c: line_record.c has the lines of single records, line_core.c those of what is in cores, line_said.c
 * what a change tells of a line that the act alone knows. */
#ifndef CORETALLY_KIND_LINE_H
#define CORETALLY_KIND_LINE_H

#include "parts.h"

/* --- line_record.c; what: "", " amended", " withdrawn" --- */

void line_add_hole(const struct hole *hole, const char *what, struct text *out);
void line_add_bag(const struct deed *deed, const struct place_known *place, const struct bag *bag, const char *what,
                  struct text *out);
void line_add_numbered(const struct table *part, const char *hole, const void *item, const char *what,
                       struct text *out);
MUST_CHECK enum status line_add_correction(const struct deed *deed, const struct touch *touch, struct text *out,
                                           struct err *err);
/* "Section 901-U0020A-2H-2 settled: curated 1.47 m". */
MUST_CHECK enum status line_add_settled(const struct deed *deed, const struct touch *touch, struct text *out,
                                        struct err *err);

/* --- line_core.c --- */

void line_add_core(const struct deed *deed, const struct core *core, const char *what, struct text *out);
void line_add_section(const struct deed *deed, const struct core *core, const struct section *section, const char *what,
                      struct text *out);
MUST_CHECK enum status line_add_sample(const struct deed *deed, const struct touch *touch, const char *what,
                                       struct text *out, struct err *err);
MUST_CHECK enum status line_add_renaming(const struct deed *deed, const struct touch *touch, struct text *out,
                                         struct err *err);

/* --- line_said.c: does the line tell what was done? wanted: how it should begin --- */

enum { LINE_WANTED_MAX = 200 };
bool line_tells_rows(const struct deed *deed, const struct touch *touch, const char *line,
                     char wanted[LINE_WANTED_MAX]);
bool line_tells_withdrawn(const struct touch *touch, size_t days, const char *line, char wanted[LINE_WANTED_MAX]);
MUST_CHECK enum status line_tells_labels(const struct deed *deed, const struct touch *touch, size_t count,
                                         const char *line, char wanted[LINE_WANTED_MAX], bool *out, struct err *err);
bool line_tells_import(const struct touch *touch, size_t count, const char *line, char wanted[LINE_WANTED_MAX]);

#endif
