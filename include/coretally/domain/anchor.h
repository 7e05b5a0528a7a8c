/* SPDX-License-Identifier: MIT */
/* Anchors: what left a registry and names a state of it, so that the history can be held against it later. Found in
 * any text, line by line:
 *
 *     901-U0012A-12H-3W:45-47*K 104.450/104.470 CSF-A 0F3A9C21BD      the text of a symbol, also inside a line
 *     state 0f3a9c21bd of the registry                                "state" or "commit" and its digits, whatever
 *     <th>state</th><td>0f3a9c...</td>                                marks of HTML or JSON stand between
 *     0f3a9c21bd                                                      digits alone on a line
 *     when,commit / 2026-03-05,0f3a9c...                              a column of that name in a table (CSV)
 */
#ifndef CORETALLY_DOMAIN_ANCHOR_H
#define CORETALLY_DOMAIN_ANCHOR_H

#include "coretally/domain/label.h"

enum { ANCHOR_DIGITS_MIN = 7, ANCHOR_DIGITS_MAX = 40 };

enum anchor_kind {
    ANCHOR_STATE,
    ANCHOR_LABEL,
    ANCHOR_UNREADABLE /* it begins as the text of a symbol, and does not go on as one */
};

struct anchor {
    enum anchor_kind kind;
    char text[SYMBOL_TEXT_MAX]; /* as it stands there; digits in lower case */
    char why[ERR_REASON_MAX];   /* of what is unreadable; "" */
};

/* A text being gone through. */
struct anchor_reader {
    const char *line;
    size_t len;
    size_t at;
    size_t cell;      /* of a table: the next one to look at */
    size_t number;    /* of the line */
    uint64_t columns; /* bit N: column N of a table holds commits */
    bool is_begun;    /* this line, as a whole and by its cells, was looked at */
};

/* Are these the digits of a commit, by themselves? */
bool anchor_is_digits(const char *text, size_t len);

/* The next line, with or without its end; it stays where it is until anchor_next says false. */
void anchor_line(struct anchor_reader *reader, const char *line, size_t len);
bool anchor_next(struct anchor_reader *reader, struct anchor *out);

#endif
