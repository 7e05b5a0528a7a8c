/* SPDX-License-Identifier: MIT */
/* A well from a file: JSON as stored, or CSV with a row a bore or part. */
#ifndef CORETALLY_INTAKE_WELL_FILE_H
#define CORETALLY_INTAKE_WELL_FILE_H

#include <stdio.h>

#include "coretally/base/arena.h"
#include "coretally/domain/well.h"

struct well_file {
    struct geometry *states;
    size_t state_count;
    bool is_whole; /* JSON: everything that a state may say; CSV: bores and string */
};

/* States in order of time, at least one. CSV: a state begins where the cell of the column "from" changes; without that
 * column all rows are one state, whose from is not known. "-" is in, standard input. */
MUST_CHECK enum status well_file_read(struct arena *arena, FILE *in, const char *path, int32_t ship_zone_min,
                                      struct well_file *out, struct err *err);

#endif
