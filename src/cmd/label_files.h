/* SPDX-License-Identifier: MIT */
/* Pages of labels as files: written beside their place first, moved there when the act is recorded. */
#ifndef CORETALLY_CMD_LABEL_FILES_H
#define CORETALLY_CMD_LABEL_FILES_H

#include "coretally/view/label_page.h"
#include "command.h"

struct label_files {
    const char *path; /* as typed, or of our own making; "-" for standard output */
    enum page_format format;
    struct page_file *pages;
    size_t count;
};

/* Where the pages go, and in which format: by --out. Refused where a file is there already, unless --sure. */
MUST_CHECK enum status label_files_plan(struct run *run, struct label_files *out, struct err *err);

/* All pages beside their places; nothing is left there where it fails. */
MUST_CHECK enum status label_files_write(struct run *run, const struct label_files *files, struct err *err);
/* Move them to their places, and say where they are; or take them away again. */
MUST_CHECK enum status label_files_keep(struct run *run, const struct label_files *files, struct err *err);
void label_files_drop(const struct run *run, const struct label_files *files);

#endif
