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
    bool is_sure;       /* --sure: a name that two things had means the one that has it */
};

/* Records read and decoded, by the id that git has of their bytes: the same in every state of a registry. cache.c */
struct cache {
    const struct cache *below; /* what an outer state has read; NULL */
    struct arena *arena;
    struct cached **slots; /* NULL: free; a power of two, at most half full */
    size_t room;
    size_t count;
};

struct state;

/* Open fields of the holes that were read. open_note.c */
struct open_shelf {
    enum status (*tell)(struct state *state, const char *path, struct err *err); /* of the record that was read */
    struct open_hole *holes;
    size_t count;
    size_t room;
};

/* What all states of one invocation share. */
struct state_shared {
    struct arena *arena;               /* of the outermost state */
    struct cache cache;                /* of the same */
    struct day_shelf *days;            /* log.h: days of the pump log that were read */
    struct origin *origins;            /* origin.h: histories looked at so far */
    struct open_shelf open;            /* of the state that the invocation answers from */
    char former_told[NAME_TEXT_MAX];   /* former.h: the name of which it was said last */
    char namesake_told[NAME_TEXT_MAX]; /* namesake.h: the same */
};

struct state {
    struct store *store; /* NULL until it is opened */
    struct arena *arena;
    struct expedition expedition;
    struct instant now;
    struct naming naming;
    const struct sink *sink; /* NULL: notes are dropped */
    struct cache *cache;
    struct open_shelf *open; /* open.h: whose notes are told; NULL in a state beside the one that is asked */
    bool is_edited;          /* an act changes what was read: it is given copies of its own */
    struct state_shared *shared;
    struct arena own; /* of a nested state: arena points to it */
    struct cache own_cache;
};

/* A state without a store yet. What it reads lives in arena and ends with it. */
void state_init(struct state *state, struct state_shared *shared, struct arena *arena, const struct sink *sink);

/* Ends what all states of the invocation share, and closes the store. */
void state_clear(struct state *state);

/* A state inside another, to be left before that one ends. What is worked out in it dies when it is left, and so does
 * what is read in it for the first time; what the outer state has read is at hand. A loop that goes through a hole core
 * by core nests for each core, so that memory does not grow with the hole. Never copied. */
void state_nest(const struct state *outer, struct state *inner);
/* The same, but that what is read stays: the states of a history share most of what they hold. */
void state_nest_results(const struct state *outer, struct state *inner);
void state_leave(struct state *inner);

/* The same registry where another store stands: an earlier state, or an act tried on it. Lives in the arena of state.
 * Nothing is edited there. */
void state_at(const struct state *state, struct store *store, struct state *out);

/* A note, or a part of one, as it is to be read. */
void state_tell(const struct state *state, const char *format, ...) PRINTF_LIKE(2, 3);

/* How far a long answer has come: a note once a second after the first; total 0: not known. *next_ms begins as 0. */
void state_progress(const struct state *state, const char *what, size_t done, size_t total, int64_t *next_ms);

#endif
