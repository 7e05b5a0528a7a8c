/* SPDX-License-Identifier: MIT */
/* What keeper.c stands on: files of which something is doubted, as many as one walk along the history takes, and the
 * acts on what their doubts rest on (asked.c). */
#ifndef CORETALLY_VERIFY_ASKED_H
#define CORETALLY_VERIFY_ASKED_H

#include "parts.h"

/* An act on the files that a doubt rests on, the latest first. */
struct seen {
    struct commit commit;
    bool is_join;
    size_t line_count;
    char parents[TRAIL_LINES_MAX][COMMIT_ID_MAX];
    uint64_t touched;
};

struct asked {
    struct doubted_file file;
    uint64_t own;    /* bits of the paths that it has or had */
    uint64_t beside; /* and of those that its rules look at */
    bool *is_done;   /* of each doubt */
};

/* As many files as one trail takes. */
struct batch {
    struct verify *verify;
    struct state state; /* ends with the batch */
    const char *paths[TRAIL_PATHS_MAX];
    size_t path_count;
    struct asked *files;
    size_t file_count;
    struct seen *acts;
    size_t act_count;
    size_t act_room;
};

/* Files from one doubt on, as long as the paths of a trail suffice; *next: the first doubt that is left. */
MUST_CHECK enum status batch_fill(struct batch *batch, size_t *next, struct err *err);
/* The acts on their paths. */
MUST_CHECK enum status batch_walk(struct batch *batch, struct err *err);
/* Does the act say that it was kept against this rule? */
bool seen_keeps(const struct seen *act, enum rule rule);

#endif
