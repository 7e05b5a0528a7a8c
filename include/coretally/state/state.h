/* SPDX-License-Identifier: MIT */
/* One state of a registry, as read. A state has the store that stands at a commit, the arena in which what is read of
 * it lives, and what every answer needs besides: the expedition, the clock, how typed names are meant, and where notes
 * go. It is what the rooms above hand on: to name things (resolve.h), to find their extent and depth (span.h), to ask
 * for an earlier state or for one with an act tried on it. It knows no options and prints nothing.
 */
#ifndef CORETALLY_STATE_STATE_H
#define CORETALLY_STATE_STATE_H

#include "coretally/domain/name.h"
#include "coretally/record/field.h"
#include "coretally/store/registry.h"

/* Where notes go while an answer is worked out: lines for a person, beside the answer. */
struct sink {
    void (*take)(void *context, const char *text); /* one line end or more at its end, or a part of a line */
    void *context;
};

/* How a name that was typed is meant. */
struct naming {
    const char *option; /* the hole of --hole; NULL: not given */
    const char *hole;   /* that of CORETALLY_HOLE; NULL or "" */
    bool takes_option;  /* --hole may be given */
    bool is_acting;     /* an act is typed: it takes no name that its core no longer has */
};

/* What all states of one invocation share. */
struct state_shared {
    struct origin *origins;          /* origin.h: histories looked at so far */
    char former_told[NAME_TEXT_MAX]; /* former.h: the name of which it was said last */
};

struct state {
    struct store *store; /* NULL until it is opened */
    struct arena *arena;
    struct expedition expedition;
    struct instant now;
    struct naming naming;
    const struct sink *sink; /* NULL: notes are dropped */
    struct state_shared *shared;
};

/* A note, or a part of one, as it is to be read. */
void state_tell(const struct state *state, const char *format, ...) PRINTF_LIKE(2, 3);

/* How far a long answer has come: a note once a second after the first; total 0: not known. *next_ms begins as 0. */
void state_progress(const struct state *state, const char *what, size_t done, size_t total, int64_t *next_ms);

#endif
