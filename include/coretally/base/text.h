/* SPDX-License-Identifier: MIT */
/* A growing piece of text in an arena. Failure is sticky: add as much as you
 * like, ask text_done once at the end. */
#ifndef CORETALLY_BASE_TEXT_H
#define CORETALLY_BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#include "coretally/base/arena.h"

struct text {
    struct arena *arena;
    char *data; /* NUL-terminated once anything was added */
    size_t len;
    size_t room;
    bool failed;
};

/* A run of bytes that somebody else owns. data is NULL for "absent". */
struct bytes {
    const char *data;
    size_t len;
};

void text_init(struct text *text, struct arena *arena);
void text_add(struct text *text, const char *string);
void text_add_bytes(struct text *text, const char *data, size_t len);
void text_addf(struct text *text, const char *format, ...) PRINTF_LIKE(2, 3);

/* string as a JSON string with its quotes (RFC 8259; control characters as RFC 8785 prints them). */
void text_add_json(struct text *text, const char *string);

/* string as one CSV cell (RFC 4180: quoted when it holds a comma, quote or line end). */
void text_add_csv(struct text *text, const char *string);

/* A double as RFC 8785 (ECMAScript) prints it: shortest digits that read back equal. value must be finite. */
void text_add_real(struct text *text, double value);

/* The finished text, or STATUS_SYSTEM if any addition failed. */
MUST_CHECK enum status text_done(struct text *text, struct bytes *out, struct err *err);

/* Length of the well-formed character at string (RFC 3629 section 4), of len bytes at most 4; 0 when there is none. */
size_t utf8_step(const char *string, size_t len);

/* Is this well-formed UTF-8 without NUL? *at receives the offset of the first bad byte. */
bool utf8_is_valid(const char *data, size_t len, size_t *at);

/* Blanks and line ends off both ends, in place; the start of what is left. */
char *text_trim(char *string);

/* A '#' at the start or behind a blank begins a remark, which is cut off in place; "No#" is none. */
void text_cut_remark(char *line);

/* What came from outside is shown, but it does not command the terminal: control characters become '?'. */
void text_make_printable(char *string);

#endif
