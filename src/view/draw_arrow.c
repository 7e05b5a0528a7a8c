/* SPDX-License-Identifier: MIT */
/* The arrow to the top of a section, with the word. It fills a square: the head, the shaft behind it, and the word
 * behind the shaft. */
#include "draw_canvas.h"

#include <math.h>

/* Parts of the square, along the way that the arrow points. */
#define HEAD 0.42
#define SHAFT 0.62
#define SHAFT_HALF_WIDTH 0.16

static void path_along(const struct canvas *canvas, const struct place *square, enum arrow_way way)
{
    static const double turns[] = {[ARROW_UP] = 0, [ARROW_RIGHT] = 1, [ARROW_DOWN] = 2, [ARROW_LEFT] = 3};
    static const double points[][2] = {{0, -0.5},
                                       {0.5, HEAD - 0.5},
                                       {SHAFT_HALF_WIDTH, HEAD - 0.5},
                                       {SHAFT_HALF_WIDTH, SHAFT - 0.5},
                                       {-SHAFT_HALF_WIDTH, SHAFT - 0.5},
                                       {-SHAFT_HALF_WIDTH, HEAD - 0.5},
                                       {-0.5, HEAD - 0.5}};
    cairo_new_path(canvas->cairo); /* a text leaves its place behind as the start of a path */
    cairo_save(canvas->cairo);
    cairo_translate(canvas->cairo, square->x + square->width / 2, square->y + square->height / 2);
    cairo_rotate(canvas->cairo, turns[way] * acos(0.0)); /* acos(0): a quarter of a turn */
    cairo_scale(canvas->cairo, square->width, square->height);
    for (size_t at = 0; at < sizeof points / sizeof *points; at++)
        cairo_line_to(canvas->cairo, points[at][0], points[at][1]);
    cairo_close_path(canvas->cairo);
    cairo_restore(canvas->cairo);
}

void arrow_draw(const struct canvas *canvas, const struct layout_arrow *arrow)
{
    const struct place square = box_place(&arrow->box);
    const double rest = (1 - SHAFT) * square.width;
    struct place word = square;
    if (arrow->way == ARROW_UP || arrow->way == ARROW_DOWN)
        word.height = rest;
    else
        word.width = rest;
    if (arrow->way == ARROW_UP)
        word.y += square.height - rest;
    if (arrow->way == ARROW_LEFT)
        word.x += square.width - rest;
    canvas_ink(canvas);
    path_along(canvas, &square, arrow->way);
    cairo_fill(canvas->cairo);
    word_draw(canvas, "TOP", word, false);
}
