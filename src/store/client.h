/* SPDX-License-Identifier: MIT */
/* The installed git client, where there is one: it speaks over networks, packs what it sends, and goes on where it
 * knows something already. It works on the registry of a store, with settings that bring everything to disk. */
#ifndef CORETALLY_STORE_CLIENT_H
#define CORETALLY_STORE_CLIENT_H

#include "internal.h"

struct client_call {
    const struct store *store;
    const char *const *words; /* behind "git" and what is set for all; ends with NULL */
    const char *other;        /* whom it speaks with, for refusals */
    int out;                  /* as in program.h */
    const char *in;           /* the same */
    const char *const *set;   /* name, value, ... of its environment beside what is set for all; NULL: no more */
};

struct client_end {
    bool is_there;       /* false: no client is installed */
    int code;            /* 0: it succeeded */
    int signal;          /* that ended it */
    struct bytes said;   /* its standard output */
    const char *heard;   /* its standard error, lines; "" */
    int64_t said_bytes;  /* of all of that */
    int64_t taken_bytes; /* of the pack that it took in; 0: nothing had to come */
};

enum { CLIENT_WORDS_MAX = 32 };

MUST_CHECK enum status client_run(const struct client_call *call, struct arena *arena, struct client_end *out,
                                  struct err *err);

/* The same, and STATUS_SYSTEM without a client: what it would be needed for. */
MUST_CHECK enum status client_need(const struct client_call *call, const char *what, struct arena *arena,
                                   struct client_end *out, struct err *err);

/* What went wrong, in one sentence with what to do: made of what the client said (client_words.c). */
MUST_CHECK enum status client_refuse(const struct client_call *call, const struct client_end *end, struct err *err);

#endif
