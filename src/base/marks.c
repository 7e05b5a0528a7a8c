/* SPDX-License-Identifier: MIT */
/* Marks of print and what is meant by them. Names of characters: The Unicode Standard, code charts. */
#include "coretally/base/marks.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

static const struct {
    uint32_t first;
    uint32_t last;
    const char *kind;
    char plain; /* 0: none */
} rows[] = {
    {0x00A0, 0x00A0, "a no-break space", ' '},
    {0x00B7, 0x00B7, "a raised dot", '.'},
    {0x00D7, 0x00D7, "a multiplication sign", 'x'},
    {0x0410, 0x0410, "a Cyrillic letter", 'A'},
    {0x0412, 0x0412, "a Cyrillic letter", 'B'},
    {0x0415, 0x0415, "a Cyrillic letter", 'E'},
    {0x041A, 0x041A, "a Cyrillic letter", 'K'},
    {0x041C, 0x041C, "a Cyrillic letter", 'M'},
    {0x041D, 0x041D, "a Cyrillic letter", 'H'},
    {0x041E, 0x041E, "a Cyrillic letter", 'O'},
    {0x0420, 0x0420, "a Cyrillic letter", 'P'},
    {0x0421, 0x0421, "a Cyrillic letter", 'C'},
    {0x0422, 0x0422, "a Cyrillic letter", 'T'},
    {0x0425, 0x0425, "a Cyrillic letter", 'X'},
    {0x2000, 0x200A, "a typographic space", ' '},
    {0x200B, 0x200D, "a zero-width space", 0},
    {0x2010, 0x2011, "a typographic hyphen", '-'},
    {0x2012, 0x2015, "a long dash", '-'},
    {0x2018, 0x201B, "a curly quote", 0},
    {0x201C, 0x201F, "a curly quote", 0},
    {0x202F, 0x202F, "a no-break space", ' '},
    {0x2032, 0x2033, "a prime", 0},
    {0x205F, 0x205F, "a typographic space", ' '},
    {0x2060, 0x2060, "a zero-width space", 0},
    {0x2212, 0x2212, "a typographic minus sign", '-'},
    {0x3000, 0x3000, "a wide space", ' '},
    {0xFE58, 0xFE58, "a long dash", '-'},
    {0xFE63, 0xFE63, "a typographic hyphen", '-'},
    {0xFEFF, 0xFEFF, "a zero-width space", 0},
    {0xFF01, 0xFF5E, "a wide character", 0},
};

/* The code point of a two or three byte sequence, which all marks of print are; 0 else. */
static uint32_t code_at(const unsigned char *at, size_t *len)
{
    if ((at[0] & 0xE0) == 0xC0 && (at[1] & 0xC0) == 0x80) {
        *len = 2;
        return (uint32_t)(at[0] & 0x1F) << 6 | (at[1] & 0x3F);
    }
    if ((at[0] & 0xF0) == 0xE0 && (at[1] & 0xC0) == 0x80 && (at[2] & 0xC0) == 0x80) {
        *len = 3;
        return (uint32_t)(at[0] & 0x0F) << 12 | (uint32_t)(at[1] & 0x3F) << 6 | (at[2] & 0x3F);
    }
    return 0;
}

bool mark_at(const char *text, struct mark *out)
{
    size_t len = 0;
    const uint32_t code = code_at((const unsigned char *)text, &len);
    for (size_t at = 0; code && at < sizeof rows / sizeof rows[0]; at++)
        if (code >= rows[at].first && code <= rows[at].last) {
            *out = (struct mark){.kind = rows[at].kind, .plain = rows[at].plain, .len = len};
            if (code >= 0xFF01) /* the wide twins of ASCII stand in its order, from '!' on */
                out->plain = (char)('!' + (code - 0xFF01));
            memcpy(out->as_typed, text, len);
            return true;
        }
    return false;
}

void marks_plain(const char *text, char *out, size_t size)
{
    size_t used = 0;
    struct mark mark;
    while (*text && used + 1 < size) {
        const bool is_mark = mark_at(text, &mark);
        const char plain = (char)(is_mark ? mark.plain : *text);
        if (plain)
            out[used++] = plain;
        text += is_mark ? mark.len : 1;
    }
    out[used] = '\0';
}

enum status err_marks(struct err *err, const char *word)
{
    struct mark mark;
    char plain[ERR_HINT_MAX / 2];
    char subject[ERR_SUBJECT_MAX];
    int position = 1;
    for (const char *at = word; *at; at++) {
        if (mark_at(at, &mark)) {
            marks_plain(word, plain, sizeof plain);
            (void)snprintf(subject, sizeof subject, "%s", err->subject);
            err_set(err, err->status, subject, "'%s' at character %d is %s", mark.as_typed, position, mark.kind);
            return err_hint(err, "type %s", plain);
        }
        position += ((unsigned char)*at & 0xC0) != 0x80;
    }
    return err->status;
}
