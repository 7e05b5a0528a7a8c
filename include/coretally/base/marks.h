/* SPDX-License-Identifier: MIT */
/* Marks of print that look like plain ones: word processors, chat programs and PDFs put them where a keyboard has
 * '-', '"', '0' or a blank. The eye takes them for something plain, so a refusal must name
 * them. */
#ifndef CORETALLY_BASE_MARKS_H
#define CORETALLY_BASE_MARKS_H

#include <stdbool.h>
#include <stddef.h>

#include "coretally/base/err.h"

struct mark {
    char as_typed[8]; /* the character, UTF-8 */
    const char *kind; /* "a long dash" */
    char plain;       /* what a keyboard gives for it; 0 for nothing */
    size_t len;       /* bytes */
};

/* Does the text begin with a mark of print? */
bool mark_at(const char *text, struct mark *out);

/* The text with plain characters for marks of print, and without quotes of print around or in it; cut to size. */
void marks_plain(const char *text, char *out, size_t size);

/* Of a refusal of this word: where the word has a mark of print, it is the reason, and the hint has the word without.
 * Returns err->status. */
enum status err_marks(struct err *err, const char *word);

#endif
