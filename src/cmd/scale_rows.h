/* SPDX-License-Identifier: MIT */
/* A name on one scale after the other, a row each: core, section, sample, place or bag. */
#ifndef CORETALLY_CMD_SCALE_ROWS_H
#define CORETALLY_CMD_SCALE_ROWS_H

#include "coretally/state/bag.h"
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

/* A name on one scale. */
struct scale_row {
    enum scale scale;
    const char *word; /* MRF for DRF, MSF for DSF where it is a bag */
    bool has_top;
    struct cell cells[SCALE_COLUMNS];
};
typedef enum status scale_row_take(void *context, const struct scale_row *row, struct err *err);

/* Each of the scales that are asked for. A bag has the drilled ones. */
MUST_CHECK enum status scale_rows_each(struct run *run, const struct scales *asked, const char *typed,
                                       scale_row_take *take, void *context, struct err *err);
/* Of what was found already. */
MUST_CHECK enum status scale_rows_of_span(const struct span *span, const struct scales *asked, scale_row_take *take,
                                          void *context, struct err *err);
MUST_CHECK enum status scale_rows_of_bag(struct run *run, const struct bag_target *at, const struct scales *asked,
                                         scale_row_take *take, void *context, struct err *err);
/* The same as rows of a sheet of scale_columns. */
MUST_CHECK enum status scale_rows_add(struct run *run, const struct scales *asked, const char *typed,
                                      struct sheet *sheet, struct err *err);

#endif
