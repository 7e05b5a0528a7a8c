/* SPDX-License-Identifier: MIT */
/* Growing text, and the printers of JSON strings, CSV cells and doubles. */
#include "coretally/base/text.h"

#include <assert.h>
#include <float.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void text_init(struct text *text, struct arena *arena)
{
    *text = (struct text){.arena = arena};
}

/* Room for len more bytes and a NUL; false (and failed) when there is none. */
static bool text_reserve(struct text *text, size_t len)
{
    if (text->failed)
        return false;
    if (text->data && len < text->room - text->len)
        return true;
    size_t wanted = text->room ? text->room * 2 : 256;
    while (wanted - text->len <= len)
        wanted *= 2;
    char *grown = NULL;
    struct err ignored;
    if (arena_take(text->arena, wanted, 1, &grown, &ignored) != STATUS_OK) {
        text->failed = true;
        return false;
    }
    assert(grown);
    if (text->data)
        memcpy(grown, text->data, text->len);
    text->data = grown;
    text->room = wanted;
    return true;
}

void text_add_bytes(struct text *text, const char *data, size_t len)
{
    if (!text_reserve(text, len))
        return;
    if (len)
        memcpy(text->data + text->len, data, len);
    text->len += len;
    text->data[text->len] = '\0';
}

void text_add(struct text *text, const char *string)
{
    text_add_bytes(text, string, strlen(string));
}

void text_addf(struct text *text, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    va_list again;
    va_copy(again, args);
    const int len = vsnprintf(NULL, 0, format, args);
    va_end(args);
    if (len < 0)
        text->failed = true;
    else if (text_reserve(text, (size_t)len)) {
        (void)vsnprintf(text->data + text->len, (size_t)len + 1, format, again);
        text->len += (size_t)len;
    }
    va_end(again);
}

void text_add_json(struct text *text, const char *string)
{
    text_add(text, "\"");
    for (const char *at = string; *at; at++) {
        const unsigned char c = (unsigned char)*at;
        if (c == '"' || c == '\\')
            text_addf(text, "\\%c", c);
        else if (c == '\n')
            text_add(text, "\\n");
        else if (c == '\t')
            text_add(text, "\\t");
        else if (c == '\r')
            text_add(text, "\\r");
        else if (c == '\b')
            text_add(text, "\\b");
        else if (c == '\f')
            text_add(text, "\\f");
        else if (c < 0x20)
            text_addf(text, "\\u%04x", c);
        else
            text_add_bytes(text, at, 1);
    }
    text_add(text, "\"");
}

void text_add_csv(struct text *text, const char *string)
{
    if (!strpbrk(string, ",\"\r\n")) {
        text_add(text, string);
        return;
    }
    text_add(text, "\"");
    for (const char *at = string; *at; at++)
        text_add_bytes(text, *at == '"' ? "\"\"" : at, *at == '"' ? 2 : 1);
    text_add(text, "\"");
}

/* One more in the last digit of "d.ddde..."; false when that would carry. */
static bool raise_last_digit(char *shortest)
{
    char *last = strchr(shortest, 'e') - 1;
    if (*last == '9' || *last == '.')
        return false;
    (*last)++;
    return true;
}

/* The fewest digits that read back equal: 15 always fit a decimal of so many, but for the subnormal ones, where fewer
 * may do. Below a power of two doubles lie closer than above, so the nearest decimal may miss where the next one hits.
 */
static void shortest_format(double magnitude, char *out, size_t size)
{
    for (int precision = magnitude < DBL_MIN ? 1 : 15; precision <= 17; precision++) {
        (void)snprintf(out, size, "%.*e", precision - 1, magnitude);
        if (strtod(out, NULL) == magnitude || (raise_last_digit(out) && strtod(out, NULL) == magnitude))
            return;
    }
}

/* ECMAScript Number::toString, ECMA-262 section 6.1.6.1.20, as RFC 8785 section 3.2.2.3 asks: with
 * digits d1..dk and decimal point after n digits, plain notation for -7 < n <= 21, else exponent. */
void text_add_real(struct text *text, double value)
{
    if (value == 0) { /* also -0 */
        text_add(text, "0");
        return;
    }
    char shortest[40];
    shortest_format(fabs(value), shortest, sizeof shortest);
    char digits[24];
    int count = 0;
    for (const char *at = shortest; *at && *at != 'e'; at++)
        if (*at >= '0' && *at <= '9')
            digits[count++] = *at;
    while (count > 1 && digits[count - 1] == '0')
        count--;
    const int point = (int)strtol(strchr(shortest, 'e') + 1, NULL, 10) + 1;
    if (value < 0)
        text_add(text, "-");
    if (point > 21 || point <= -6) {
        text_add_bytes(text, digits, 1);
        if (count > 1) {
            text_add(text, ".");
            text_add_bytes(text, digits + 1, (size_t)count - 1);
        }
        text_addf(text, "e%+d", point - 1);
        return;
    }
    if (point <= 0)
        text_add(text, "0.");
    for (int zero = point; zero < 0; zero++)
        text_add(text, "0");
    for (int at = 0; at < count || at < point; at++) {
        if (at == point && point > 0)
            text_add(text, ".");
        text_add_bytes(text, at < count ? digits + at : "0", 1);
    }
}

enum status text_done(struct text *text, struct bytes *out, struct err *err)
{
    if (!text->failed && !text->data)
        text_add(text, "");
    if (text->failed)
        return err_set(err, STATUS_SYSTEM, "memory", "could not hold the text being written");
    *out = (struct bytes){.data = text->data, .len = text->len};
    return STATUS_OK;
}

size_t utf8_step(const char *string, size_t len)
{
    const unsigned char *data = (const unsigned char *)string;
    if (data[0] == 0)
        return 0;
    if (data[0] < 0x80)
        return 1;
    const size_t need = data[0] >= 0xF0 ? 4 : data[0] >= 0xE0 ? 3 : 2;
    if (data[0] < 0xC2 || data[0] > 0xF4 || need > len)
        return 0;
    for (size_t at = 1; at < need; at++)
        if ((data[at] & 0xC0) != 0x80)
            return 0;
    const bool bad = (data[0] == 0xE0 && data[1] < 0xA0) || (data[0] == 0xED && data[1] > 0x9F) ||
                     (data[0] == 0xF0 && data[1] < 0x90) || (data[0] == 0xF4 && data[1] > 0x8F);
    return bad ? 0 : need;
}

bool utf8_is_valid(const char *data, size_t len, size_t *at)
{
    for (size_t done = 0; done < len;) {
        const size_t step = utf8_step(data + done, len - done);
        if (!step) {
            *at = done;
            return false;
        }
        done += step;
    }
    return true;
}

void text_make_printable(char *string)
{
    for (; *string; string++)
        if ((unsigned char)*string < 0x20 || *string == 0x7F)
            *string = '?';
}

char *text_trim(char *string)
{
    while (*string == ' ' || *string == '\t')
        string++;
    for (size_t len = strlen(string); len && strchr(" \t\r\n", string[len - 1]); len--)
        string[len - 1] = '\0';
    return string;
}

void text_cut_remark(char *line)
{
    for (char *mark = strchr(line, '#'); mark; mark = strchr(mark + 1, '#'))
        if (mark == line || mark[-1] == ' ' || mark[-1] == '\t') {
            *mark = '\0';
            return;
        }
}
