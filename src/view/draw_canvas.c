/* SPDX-License-Identifier: MIT */
/* Ink and paper. Pages of dots are masks of ink, an eighth of the memory of colours; on the others white is a colour.
 */
#include "draw_canvas.h"

void canvas_ink(const struct canvas *canvas)
{
    cairo_set_operator(canvas->cairo, CAIRO_OPERATOR_OVER);
    cairo_set_source_rgb(canvas->cairo, 0, 0, 0);
}

void canvas_paper(const struct canvas *canvas)
{
    if (canvas->is_mask)
        cairo_set_operator(canvas->cairo, CAIRO_OPERATOR_DEST_OUT);
    else
        cairo_set_source_rgb(canvas->cairo, 1, 1, 1);
}

void canvas_fill_place(const struct canvas *canvas, struct place place)
{
    cairo_rectangle(canvas->cairo, place.x, place.y, place.width, place.height);
    cairo_fill(canvas->cairo);
}
