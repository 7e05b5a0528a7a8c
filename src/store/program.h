/* SPDX-License-Identifier: MIT */
/* Another program, run without a shell: its words as they are, an environment that says nothing of ours, what it says
 * heard while it runs. It ends when this process ends, and keeps nothing of ours open, least of all the lock. */
#ifndef CORETALLY_STORE_PROGRAM_H
#define CORETALLY_STORE_PROGRAM_H

#include <stdint.h>

#include "coretally/base/text.h"

/* A line of its standard error. passing: it ends in CR, so the next one stands in its place. */
typedef void program_hear(void *context, const char *line, bool passing);
/* How many bytes it has written to COUNTED so far. */
typedef void program_count(void *context, int64_t bytes);

enum { SAID_BYTES_MAX = 1 << 20, COUNTED = 9 /* a stream of its own, whose bytes are counted and dropped */ };

struct program {
    const char *const *words; /* the first is looked for on the PATH; ends with NULL */
    const char *const *unset; /* names that its environment is not to have; ends with NULL */
    const char *const *set;   /* name, value, name, value; ends with NULL */
    const char *in;           /* what it reads, a few lines; NULL: nothing */
    int out;                  /* where its standard output goes; -1: into said */
    program_hear *hear;
    program_count *count; /* NULL: it has no such stream */
    void *context;
};

struct program_end {
    bool is_there; /* false: there is no such program, and nothing was run */
    int code;      /* 0: it says that it succeeded; -1: a signal ended it */
    int signal;
    struct bytes said;  /* its standard output, the first SAID_BYTES_MAX of it */
    int64_t said_bytes; /* of all of it */
    int64_t counted;
};

/* Waits for its end. STATUS_SYSTEM: it could not be started although it is there. */
MUST_CHECK enum status program_run(const struct program *program, struct arena *arena, struct program_end *out,
                                   struct err *err);

#endif
