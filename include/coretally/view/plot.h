/* SPDX-License-Identifier: MIT */
/* Shift against depth, drawn as SVG: a bar an interval at its shift, steps between them, depth downward. */
#ifndef CORETALLY_VIEW_PLOT_H
#define CORETALLY_VIEW_PLOT_H

#include <stdint.h>

#include "coretally/base/quantity.h"

struct plot_bar {
    const char *name;
    int64_t top_um;
    int64_t bottom_um; /* LENGTH_NONE: a point */
    int64_t shift_um;
};

struct plot {
    const char *title;  /* for those who cannot see it */
    const char *across; /* what the axes are, without unit */
    const char *down;
    enum length_unit unit;
    const struct plot_bar *bars; /* in order of depth */
    size_t count;
};

/* Marks of an axis: round numbers in the unit, at most so many, the first at or below least, the last at or above most.
 */
struct plot_axis {
    int64_t first_um;
    int64_t step_um;
    int count;
    int decimals;
};
struct plot_axis plot_axis_find(int64_t least_um, int64_t most_um, enum length_unit unit, int most_marks);

/* An svg element, 360 wide; it grows with its place. Nothing with no bars. */
void plot_render_svg(const struct plot *plot, struct text *out);

#endif
