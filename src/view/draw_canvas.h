/* SPDX-License-Identifier: MIT */
/* What the files of the module share: the page being drawn on, and the marks that are put on it. Lengths are points,
 * from the top left corner of the label; dots come in only where symbols are drawn. */
#ifndef CORETALLY_VIEW_DRAW_CANVAS_H
#define CORETALLY_VIEW_DRAW_CANVAS_H

#include <cairo.h>
#include <pango/pangocairo.h>

#include "coretally/view/label_page.h"

struct canvas {
    cairo_t *cairo;
    PangoLayout *pango;
    PangoFontDescription *font;
    struct arena *arena;
    double dpi;   /* 0: the page has no dots */
    bool is_mask; /* the page holds ink alone; white is where none is */
};

/* A place in points. */
struct place {
    double x;
    double y;
    double width;
    double height;
};

#define PT_PER_UM (72.0 / 25400.0)

static inline struct place box_place(const struct layout_box *box)
{
    return (struct place){(double)box->x_um * PT_PER_UM, (double)box->y_um * PT_PER_UM,
                          (double)box->width_um * PT_PER_UM, (double)box->height_um * PT_PER_UM};
}

/* draw_canvas.c: what is drawn next is black; is the colour of the paper. */
void canvas_ink(const struct canvas *canvas);
void canvas_paper(const struct canvas *canvas);
void canvas_fill_place(const struct canvas *canvas, struct place place);

/* draw_text.c */
MUST_CHECK enum status line_draw(const struct canvas *canvas, const struct layout_line *line,
                                 const struct label_face *face, struct err *err);
/* One word in the middle of a place, as large as fits; its outline alone where is_outline. */
void word_draw(const struct canvas *canvas, const char *word, struct place place, bool is_outline);

/* draw_symbol.c */
MUST_CHECK enum status symbol_draw(const struct canvas *canvas, const struct layout_symbol *symbol, const char *text,
                                   struct err *err);

/* draw_arrow.c */
void arrow_draw(const struct canvas *canvas, const struct layout_arrow *arrow);

/* draw_label.c: everything on one label whose top left corner is at x, y of the page. */
MUST_CHECK enum status label_draw(const struct canvas *canvas, const struct label_job *job,
                                  const struct label_face *face, double x, double y, struct err *err);

#endif
