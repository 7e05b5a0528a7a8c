/* SPDX-License-Identifier: MIT */
/* Flaws of texts: found, refused, shown. */
#include "coretally/base/shown.h"

#include <stdio.h>
#include <string.h>

/* The code point of a well-formed sequence of len bytes. */
static uint32_t code_of(const char *data, size_t len)
{
    const unsigned char *bytes = (const unsigned char *)data;
    if (len == 1)
        return bytes[0];
    uint32_t code = bytes[0] & (0xFFU >> (len + 1));
    for (size_t at = 1; at < len; at++)
        code = code << 6 | (bytes[at] & 0x3F);
    return code;
}

static bool is_within(uint32_t code, uint32_t first, uint32_t last)
{
    return code >= first && code <= last;
}

static bool commands(uint32_t code)
{
    return code < 0x20 || is_within(code, 0x7F, 0x9F) || is_within(code, 0x2028, 0x202E) ||
           is_within(code, 0x2066, 0x2069) || is_within(code, 0xFFF9, 0xFFFB) || is_within(code, 0xFDD0, 0xFDEF) ||
           (code & 0xFFFE) == 0xFFFE || is_within(code, 0xE0000, 0xE007F);
}

bool text_find_flaw(const char *data, size_t len, bool has_lines, struct text_flaw *out)
{
    int position = 1;
    for (size_t at = 0; at < len; position++) {
        for (; at < len && data[at] >= 0x20 && data[at] < 0x7F; at++) /* most of it */
            position++;
        if (at == len)
            return false;
        const size_t step = data[at] ? utf8_step(data + at, len - at) : 1;
        const uint32_t code = step ? code_of(data + at, step) : (unsigned char)data[at];
        const bool ends_line =
            code == '\n' || code == '\t' || (code == '\r' && (at + 1 == len || data[at + 1] == '\n'));
        if (!step || (commands(code) && !(has_lines && ends_line))) {
            *out = (struct text_flaw){at, step ? step : 1, position, code, step == 0};
            return true;
        }
        at += step;
    }
    return false;
}

enum status text_check(const char *field, const char *string, struct err *err)
{
    struct text_flaw flaw;
    if (!text_find_flaw(string, strlen(string), false, &flaw))
        return STATUS_OK;
    if (flaw.is_byte) {
        err_set(err, STATUS_INPUT, field, "byte %zu is not UTF-8 text: %02X", flaw.at + 1, (unsigned)flaw.code);
        return err_hint(err, "type it anew, or save the file as UTF-8");
    }
    err_set(err, STATUS_INPUT, field,
            "character %d is U+%04X, a control character; a text is one line of visible characters", flaw.position,
            (unsigned)flaw.code);
    return err_hint(err, "type the text without it");
}

void text_flaw_format(const struct text_flaw *flaw, enum shown_form form, char out[SHOWN_MAX])
{
    if (form == SHOWN_PEOPLE)
        (void)snprintf(out, SHOWN_MAX, flaw->is_byte ? "<byte %02X>" : "<U+%04X>", (unsigned)(flaw->code & 0x1FFFFF));
    else if (flaw->is_byte)
        (void)snprintf(out, SHOWN_MAX, "\\ufffd");
    else if (flaw->code < 0x10000)
        (void)snprintf(out, SHOWN_MAX, "\\u%04x", (unsigned)(flaw->code & 0xFFFF));
    else /* a surrogate pair, RFC 8259 section 7 */
        (void)snprintf(out, SHOWN_MAX, "\\u%04x\\u%04x", (unsigned)(0xD7C0 + (flaw->code >> 10)) & 0xFFFF,
                       (unsigned)(0xDC00 + (flaw->code & 0x3FF)) & 0xFFFF);
}

void text_add_shown(struct text *text, const char *data, size_t len, bool has_lines)
{
    struct text_flaw flaw;
    while (text_find_flaw(data, len, has_lines, &flaw)) {
        char form[SHOWN_MAX];
        text_flaw_format(&flaw, SHOWN_PEOPLE, form);
        text_add_bytes(text, data, flaw.at);
        text_add(text, form);
        data += flaw.at + flaw.len;
        len -= flaw.at + flaw.len;
    }
    text_add_bytes(text, data, len);
}
