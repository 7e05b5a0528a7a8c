/* SPDX-License-Identifier: MIT */
/* Labels drawn on pages. The same job makes the same bytes on the same machine: times come from the job, nothing is
 * random.
 *
 * Drawing needs large libraries. They are kept in a module of their own, which is opened when the first label is
 * drawn, so that no other command waits for them.
 */
#ifndef CORETALLY_VIEW_LABEL_PAGE_H
#define CORETALLY_VIEW_LABEL_PAGE_H

#include "coretally/base/clock.h"
#include "coretally/view/layout.h"

/* What stands on one label. All texts are plain: no markup is read in them. */
struct label_face {
    const char *values[LABEL_FIELD_COUNT]; /* NULL or "": nothing there */
    const char *symbol;                    /* the text in the symbol; NULL: no symbol is drawn */
    bool has_top;                          /* draw the arrows of the layout */
};

enum page_format { PAGE_PDF, PAGE_SVG, PAGE_PNG };

/* Dots an inch of label printers and of what people scan with: coarser than 100 no symbol can be read, finer than 1200
 * nothing is gained. */
enum { LABEL_DPI_LEAST = 100, LABEL_DPI_MOST = 1200, LABEL_JOB_MAX = 100000 };

struct label_job {
    const struct layout *layout;
    const struct label_face *faces;
    size_t count;
    size_t start; /* place of the first label on the first sheet, row by row from 1 */
    double dpi;   /* PNG only */
    enum page_format format;
    bool is_proof;          /* PROOF across each label, and no symbol */
    struct instant created; /* stands in a PDF */
};

struct page_file {
    struct bytes bytes;
    size_t page; /* from 1 */
};

/* PDF: one file with all pages; SVG and PNG: one file a page. STATUS_INPUT: a text that could not be read any more in
 * the width it has, a symbol whose modules would be too small, a place that is not on the sheet. STATUS_SYSTEM: the
 * module could not be opened, or memory is short. */
MUST_CHECK enum status label_pages_draw(const struct label_job *job, struct arena *arena, struct page_file **out,
                                        size_t *count, struct err *err);

#endif
