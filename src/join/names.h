/* SPDX-License-Identifier: MIT */
/* Names of cores under join: which core of one side is which of the other, and the list of renamings that tells it.
 * Inside the join room only. */
#ifndef CORETALLY_JOIN_NAMES_H
#define CORETALLY_JOIN_NAMES_H

#include "joining.h"

/* One core that a side touched or renamed. */
struct named_core {
    struct core_id ids[VERSION_COUNT]; /* number 0: not there */
    struct core_id id;                 /* in the join */
    const char *was;                   /* its former names in the join */
};

struct named_cores {
    const char *hole;
    struct renaming_set sets[VERSION_COUNT];
    struct renaming_set set; /* in the join */
    bool is_renamed;         /* one of the sides renamed */
    struct named_core *items;
    size_t count;
};

/* The cores whose files changed. */
MUST_CHECK enum status find_cores(struct joining *joining, const struct hole_files *files, struct named_cores *out,
                                  struct err *err);

#endif
