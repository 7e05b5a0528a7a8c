/* SPDX-License-Identifier: MIT */
/* Pages of labels as files: written beside their place first, moved there when the act is recorded. */
#ifndef CORETALLY_CMD_LABEL_FILES_H
#define CORETALLY_CMD_LABEL_FILES_H

#include "coretally/view/label_page.h"
#include "coretally/run/command.h"

struct label_files {
    const char *path; /* as typed, or of our own making; "-" for standard output */
    enum page_format format;
    struct page_file *pages;
    size_t count;
    const char **besides; /* where each page is, written and synced, until it is kept; NULL before */
};

/* Where the pages go, and in which format: by --out. */
MUST_CHECK enum status label_files_plan(struct run *run, struct label_files *out, struct err *err);

/* Refused where a page would go over what is there; over a file it may with --replace. */
MUST_CHECK enum status label_files_check(const struct run *run, const struct label_files *files, struct err *err);
/* All pages beside their places; nothing is left there where it fails. */
MUST_CHECK enum status label_files_write(struct run *run, struct label_files *files, struct err *err);
/* Move them to their places, and say where they are; or take away again what was written. */
MUST_CHECK enum status label_files_keep(struct run *run, const struct label_files *files, struct err *err);
void label_files_drop(const struct label_files *files);

#endif
