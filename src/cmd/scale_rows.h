/* SPDX-License-Identifier: MIT */
/* A name on one scale after the other, a row each: core, section, sample, place or bag. */
#ifndef CORETALLY_CMD_SCALE_ROWS_H
#define CORETALLY_CMD_SCALE_ROWS_H

#include "coretally/state/span.h"
#include "command.h"

/* The scales that are asked for; by_scale false: none by name. */
struct scales {
    bool by_scale;
    enum scale first;
    enum scale last;
};

enum { SCALE_COLUMNS = 9 };
void scale_columns(const struct run *run, struct column out[SCALE_COLUMNS]);

/* A bag has the drilled scales, by their words for mud: MRF, MSF. */
MUST_CHECK enum status scale_rows_add(struct run *run, const struct scales *asked, const char *typed,
                                      struct sheet *sheet, struct err *err);

#endif
