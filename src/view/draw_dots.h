/* SPDX-License-Identifier: MIT */
/* Pages of dots, and PNG files of them. */
#ifndef CORETALLY_VIEW_DRAW_DOTS_H
#define CORETALLY_VIEW_DRAW_DOTS_H

#include <cairo.h>

#include "coretally/base/text.h"

/* A page without ink. STATUS_INPUT when it has more dots than can be drawn. */
MUST_CHECK enum status dots_create(double width_pt, double height_pt, double dpi, cairo_surface_t **out,
                                   struct err *err);

/* The page as PNG, black and white, with its resolution in it. The page is used up. */
cairo_status_t dots_write(cairo_surface_t *surface, double dpi, struct text *out);

#endif
