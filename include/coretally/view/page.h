/* SPDX-License-Identifier: MIT */
/* A report to read and print: headings, paragraphs, facts, tables, plots, commands; once gathered, rendered as plain
 * text or as one HTML page. The page needs nothing but itself: no script, no font, no picture from elsewhere; it says
 * so to the browser (Content-Security-Policy), which then asks nobody. What people typed is escaped, control characters
 * are shown as '?'. Equal contents give equal bytes. */
#ifndef CORETALLY_VIEW_PAGE_H
#define CORETALLY_VIEW_PAGE_H

#include "coretally/view/plot.h"
#include "coretally/view/sheet.h"

enum block_kind {
    BLOCK_HEADING,
    BLOCK_PARAGRAPH,
    BLOCK_CAUTION,
    BLOCK_FACTS, /* a sheet of two columns: what, and what it is */
    BLOCK_TABLE,
    BLOCK_PLOT,
    BLOCK_COMMANDS, /* lines to type */
    BLOCK_FRAME     /* where blocks stand on a wide page; level is a page_frame; a text has none */
};

/* What is to be seen without turning the page: set closer; in it two columns beside each other, where there is room. */
enum page_frame { FRAME_FIRST, FRAME_PAIR, FRAME_NEXT, FRAME_PAIR_END, FRAME_REST };

struct block {
    enum block_kind kind;
    int level;        /* of a heading: 1 to 3; of a frame: enum page_frame */
    const char *text; /* NULL: no caption */
    const struct sheet *sheet;
    const struct plot *plot;
};

struct page {
    struct arena *arena;
    const char *title;
    const char *footer;
    struct block *blocks;
    size_t count;
    size_t room;
};

/* title and footer are kept, not copied. */
void page_init(struct page *page, struct arena *arena, const char *title, const char *footer);

/* Texts are copied; sheets and plots must outlive the page. */
MUST_CHECK enum status page_add_heading(struct page *page, int level, const char *text, struct err *err);
MUST_CHECK enum status page_add_text(struct page *page, enum block_kind kind, const char *text, struct err *err);
MUST_CHECK enum status page_add_sheet(struct page *page, enum block_kind kind, const char *caption,
                                      const struct sheet *sheet, struct err *err);
MUST_CHECK enum status page_add_frame(struct page *page, enum page_frame frame, struct err *err);
MUST_CHECK enum status page_add_plot(struct page *page, const char *caption, const struct plot *plot, struct err *err);

void page_render_text(const struct page *page, struct text *out);
void page_render_html(const struct page *page, struct text *out);

/* Text with what HTML reserves written as references, control characters as '?'. Inside the view. */
void text_add_html(struct text *text, const char *string);
void text_add_html_bytes(struct text *text, const char *string, size_t len);

#endif
