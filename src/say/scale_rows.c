/* SPDX-License-Identifier: MIT */
/* A thing on one scale after the other, a row each. */
#include "coretally/say/scale_rows.h"

#include <string.h>

void scale_columns(const struct run *run, struct column out[SCALE_COLUMNS])
{
    const char *unit = run_unit(run);
    const struct column columns[SCALE_COLUMNS] = {
        {"name", NULL, false}, {"scale", NULL, false}, {"method", NULL, false},
        {"top", unit, true},   {"bottom", unit, true}, {"mid", unit, true},
        {"low", unit, true},   {"high", unit, true},   {"note", NULL, false}};
    memcpy(out, columns, sizeof columns);
}

void scale_row(const char *name, const struct on_scale *it, struct cell out[SCALE_COLUMNS])
{
    const struct cell cells[SCALE_COLUMNS] = {cell_text(name),
                                              cell_text(it->word),
                                              cell_text(it->method),
                                              cell_length(it->top_um, 3),
                                              cell_length(it->bottom_um, 3),
                                              cell_length(it->mid_um, 3),
                                              cell_length(it->low_um, 3),
                                              cell_length(it->high_um, 3),
                                              cell_text(it->note)};
    memcpy(out, cells, sizeof cells);
}
