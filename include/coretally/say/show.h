/* SPDX-License-Identifier: MIT */
/* Showing one record, or every version that it had. */
#ifndef CORETALLY_SAY_SHOW_H
#define CORETALLY_SAY_SHOW_H

#include "coretally/run/command.h"

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

/* What is shown below the fields. */
struct below {
    const struct extra *extras;
    size_t extra_count;
    const struct extra_words *words;
    size_t word_count;
};

extern const struct option history_options[];

/* Fields, a line each, then what stands below them (NULL: nothing), then the commit that put the record there. */
MUST_CHECK enum status show_record(struct run *run, const char *name, const struct record_at *at,
                                   const struct below *below, struct err *err);

/* Every version, newest first: commit, who, when, why, and the fields that it changed. */
MUST_CHECK enum status show_history(struct run *run, const struct record_at *at, struct err *err);

/* What an amendment changed, a line a field, on the output. */
MUST_CHECK enum status run_say_changes(struct run *run, const struct table *part, const void *newer, const void *older,
                                       struct err *err);

#endif
