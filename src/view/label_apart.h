/* SPDX-License-Identifier: MIT */
/* Drawing in a process of its own. */
#ifndef CORETALLY_VIEW_LABEL_APART_H
#define CORETALLY_VIEW_LABEL_APART_H

#include "coretally/view/label_page.h"

typedef enum status pages_drawer(const struct label_job *job, struct arena *arena, struct page_file **out,
                                 size_t *count, struct err *err);

/* What draw does, done in a child: its status, its error, its pages in the arena. STATUS_SYSTEM where the child ended
 * before it was done. draw prints nothing and changes nothing but what it hands back. */
MUST_CHECK enum status draw_apart(pages_drawer *draw, const struct label_job *job, struct arena *arena,
                                  struct page_file **out, size_t *count, struct err *err);

#endif
