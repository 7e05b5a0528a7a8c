/* SPDX-License-Identifier: MIT */
/* The files of an audit: the page, and the list of moves beside it, row by row as they are found. */
#ifndef CORETALLY_CMD_AUDIT_FILES_H
#define CORETALLY_CMD_AUDIT_FILES_H

#include "coretally/ask/moved.h"
#include "coretally/run/command.h"
#include "coretally/store/file.h"

enum { MOVES_COLUMNS = 14 };
struct audit_files {
    struct run *run;
    const char *page; /* NULL: to standard output */
    bool is_html;
    const char *moves; /* NULL: none */
    char page_beside[FILE_PATH_MAX];
    char moves_beside[FILE_PATH_MAX];
    int fd; /* of the moves; -1: not open */
    struct column columns[MOVES_COLUMNS];
    struct arena arena; /* of the rows that are not written yet */
    struct sheet sheet;
    bool is_begun;
    size_t rows;
};

/* By --out and --moves: what may be written is asked before the long work. */
MUST_CHECK enum status audit_files_plan(struct run *run, struct audit_files *out, struct err *err);
MUST_CHECK enum status audit_files_begin(struct audit_files *files, struct err *err);
/* One thing that moved (moved_asked.take); context: the files. */
MUST_CHECK enum status audit_files_take(void *context, const struct moved_act *act, const struct compare_change *change,
                                        struct err *err);
/* Both into their places, and told. */
MUST_CHECK enum status audit_files_end(struct audit_files *files, struct bytes page, struct err *err);
/* In every case at last: what did not get to its place is taken away. */
void audit_files_drop(struct audit_files *files);

#endif
