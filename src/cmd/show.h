/* SPDX-License-Identifier: MIT */
/* Showing one record, or every version that it had. */
#ifndef CORETALLY_CMD_SHOW_H
#define CORETALLY_CMD_SHOW_H

#include "command.h"

/* A computed length shown below the fields. */
struct extra {
    const char *name;
    const char *meaning;
    int64_t um;
};

/* The same in words; text NULL: nothing is known. */
struct extra_words {
    const char *name;
    const char *meaning;
    const char *text;
};

extern const struct option history_options[];

typedef const void *pick_part(const void *record, const void *key);

/* Fields, a line each, then the extras, then the commit that put the record there. */
MUST_CHECK enum status show_record(struct run *run, const char *name, const char *path, const struct table *table,
                                   pick_part *pick, const void *key, const struct table *part, const void *record,
                                   const struct extra *extras, size_t extra_count, struct err *err);

/* With words in the place of lengths. */
MUST_CHECK enum status show_record_words(struct run *run, const char *name, const char *path, const struct table *table,
                                         const void *record, const struct extra_words *words, struct err *err);

/* With both. */
MUST_CHECK enum status show_record_both(struct run *run, const char *name, const char *path, const struct table *table,
                                        const void *record, const struct extra *extras, size_t extra_count,
                                        const struct extra_words *words, struct err *err);

/* Every version, newest first: commit, who, when, why, and the fields that it changed. */
MUST_CHECK enum status show_history(struct run *run, const char *path, const struct table *table, pick_part *pick,
                                    const void *key, const struct table *part, struct err *err);

#endif
