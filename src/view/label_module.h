/* SPDX-License-Identifier: MIT */
/* What the module that draws offers to label_page.c: one object, found by its name. */
#ifndef CORETALLY_VIEW_LABEL_MODULE_H
#define CORETALLY_VIEW_LABEL_MODULE_H

#include "coretally/view/label_page.h"

#define LABEL_MODULE_FILE "coretally_draw.so"
#define LABEL_MODULE_OBJECT "label_module"

struct label_module {
    const char *version; /* of the program that it was built with */
    size_t job_size;     /* and a second look at whether both mean the same job */
    enum status (*draw)(const struct label_job *job, struct arena *arena, struct page_file **out, size_t *count,
                        struct err *err);
};

#endif
