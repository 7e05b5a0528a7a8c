/* SPDX-License-Identifier: MIT */
/* What a text may hold: asked where it comes in, and where it goes out.
 *
 * A flaw is a byte that is not UTF-8, or a character that commands instead of saying something: the control characters
 * C0 and C1 and DEL; the embeddings, overrides and isolates that turn the direction of writing (U+202A to U+202E,
 * U+2066 to U+2069); line and paragraph separators (U+2028, U+2029); annotation marks (U+FFF9 to U+FFFB), tags (U+E0000
 * to U+E007F) and noncharacters. New text with a flaw is refused; what was recorded before, and what is only shown, is
 * shown so that it is seen. Ranges: The Unicode Standard, chapters 23.1 to 23.9. */
#ifndef CORETALLY_BASE_SHOWN_H
#define CORETALLY_BASE_SHOWN_H

#include <stdint.h>

#include "coretally/base/text.h"

struct text_flaw {
    size_t at;    /* offset in bytes */
    size_t len;   /* bytes of the character, or 1 */
    int position; /* the character, counted from 1 */
    uint32_t code;
    bool is_byte; /* not UTF-8: code is the byte */
};

/* The first flaw; false: there is none. has_lines: tabs and line ends are none. */
bool text_find_flaw(const char *data, size_t len, bool has_lines, struct text_flaw *out);

/* One line of text that is to be recorded. STATUS_INPUT names the field, the character and its place. */
MUST_CHECK enum status text_check(const char *field, const char *string, struct err *err);

enum shown_form {
    SHOWN_PEOPLE, /* <U+202E>, <byte 93> */
    SHOWN_JSON    /* inside of a JSON string: \u202e, \ufffd */
};

/* A flaw in its form: at most SHOWN_MAX bytes, NUL included. */
enum { SHOWN_MAX = 16 };
void text_flaw_format(const struct text_flaw *flaw, enum shown_form form, char out[SHOWN_MAX]);

/* The text with its flaws so that they are seen. */
void text_add_shown(struct text *text, const char *data, size_t len, bool has_lines);

#endif
