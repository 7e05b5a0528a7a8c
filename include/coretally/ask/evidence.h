/* SPDX-License-Identifier: MIT */
/* What stands behind a correction, and whether a file that was attached to it is the one that was attached. */
#ifndef CORETALLY_ASK_EVIDENCE_H
#define CORETALLY_ASK_EVIDENCE_H

#include "coretally/ask/ask.h"
#include "coretally/domain/correction.h"

enum evidence {
    EVIDENCE_NONE,   /* none was given */
    EVIDENCE_WORDS,  /* words alone */
    EVIDENCE_INTACT, /* a file, whose bytes have the hash that the correction names */
    EVIDENCE_SPOILT, /* a file, whose bytes have not, or cannot be read */
    EVIDENCE_GONE    /* a file that is not there */
};
extern const char *const evidence_words[];

/* The bytes are read and hashed. */
MUST_CHECK enum status evidence_find(struct state *state, const struct correction *it, enum evidence *out,
                                     struct err *err);

#endif
