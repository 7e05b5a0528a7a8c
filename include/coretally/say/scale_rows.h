/* SPDX-License-Identifier: MIT */
/* A thing on one scale after the other, a row each. */
#ifndef CORETALLY_SAY_SCALE_ROWS_H
#define CORETALLY_SAY_SCALE_ROWS_H

#include "coretally/ask/on_scales.h"
#include "coretally/run/command.h"

enum { SCALE_COLUMNS = 9 };
void scale_columns(const struct run *run, struct column out[SCALE_COLUMNS]);
/* Without its name the row begins behind the first cell. */
void scale_row(const char *name, const struct on_scale *it, struct cell out[SCALE_COLUMNS]);

#endif
