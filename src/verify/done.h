/* SPDX-License-Identifier: MIT */
/* Between commit.c and done.c: what the commit under the eyes did, gathered file by file. */
#ifndef CORETALLY_VERIFY_DONE_H
#define CORETALLY_VERIFY_DONE_H

#include "coretally/kind/deed.h"
#include "parts.h"

enum { DONE_FILES_MAX = 1000 }; /* a composite table has a file for each hole; nothing else comes near */

struct verify_done {
    struct verify *verify;
    const struct act_told *act;
    struct state before; /* the commit */
    struct deed deed;
    bool keeps;  /* records must last until the end; else each may go with its file */
    bool is_cut; /* it cannot be judged: no kind, or a file that cannot be read, which is told */
};

void verify_done_begin(struct verify *verify, const struct act_told *act, size_t files, struct verify_done *out);
MUST_CHECK enum status verify_done_add(struct verify_done *done, const struct place_known *place, const void *older,
                                       const void *newer, struct err *err);
/* A new file that is not decoded here: what it holds is counted. */
MUST_CHECK enum status verify_done_count(struct verify_done *done, const struct place_known *place, struct bytes bytes,
                                         struct err *err);
/* A new file that is left to the state but for what the act did. */
MUST_CHECK enum status verify_done_decode(struct verify_done *done, const struct place_known *place, struct bytes bytes,
                                          struct err *err);
/* A file that is looked at in another way, or is gone: both versions are read. */
MUST_CHECK enum status verify_done_read(struct verify_done *done, const struct place_known *place,
                                        const struct difference *it, struct err *err);
/* A file could not be read, which was told. */
void verify_done_cut(struct verify_done *done);
MUST_CHECK enum status verify_done_end(struct verify_done *done, struct err *err);
void verify_done_close(struct verify_done *done);

#endif
