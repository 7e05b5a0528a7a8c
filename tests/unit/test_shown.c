/* SPDX-License-Identifier: MIT */
/* What a text may hold: flaws found, refused and shown. Ranges from The Unicode Standard, chapter 23. */
#include "unit.h"

#include <stdio.h>
#include <string.h>

#include "coretally/base/shown.h"

static size_t put_utf8(uint32_t code, char out[5])
{
    size_t len = 0;
    if (code < 0x80)
        out[len++] = (char)code;
    else if (code < 0x800) {
        out[len++] = (char)(0xC0 | code >> 6);
        out[len++] = (char)(0x80 | (code & 0x3F));
    } else if (code < 0x10000) {
        out[len++] = (char)(0xE0 | code >> 12);
        out[len++] = (char)(0x80 | (code >> 6 & 0x3F));
        out[len++] = (char)(0x80 | (code & 0x3F));
    } else {
        out[len++] = (char)(0xF0 | code >> 18);
        out[len++] = (char)(0x80 | (code >> 12 & 0x3F));
        out[len++] = (char)(0x80 | (code >> 6 & 0x3F));
        out[len++] = (char)(0x80 | (code & 0x3F));
    }
    out[len] = '\0';
    return len;
}

/* Every code point there is: its flaw, or none. */
static void every_code_point_is_judged(void **state)
{
    (void)state;
    for (uint32_t code = 0; code <= 0x10FFFF; code++) {
        const bool is_surrogate = code >= 0xD800 && code <= 0xDFFF;
        const bool is_control = code < 0x20 || (code >= 0x7F && code <= 0x9F);
        const bool is_direction = (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069);
        const bool is_line = code == 0x2028 || code == 0x2029;
        const bool is_other = (code >= 0xFFF9 && code <= 0xFFFB) || (code >= 0xFDD0 && code <= 0xFDEF) ||
                              (code & 0xFFFF) >= 0xFFFE || (code >= 0xE0000 && code <= 0xE007F);
        const bool is_flaw = is_surrogate || is_control || is_direction || is_line || is_other;
        char text[8] = "ab";
        struct text_flaw flaw;
        const size_t len = put_utf8(code, text + 2);
        if (text_find_flaw(text, len + 2, false, &flaw) != is_flaw)
            fail_msg("U+%04X", (unsigned)code);
        if (!is_flaw)
            continue;
        assert_int_equal(flaw.at, 2);
        assert_int_equal(flaw.position, 3);
        assert_true(flaw.is_byte == is_surrogate);
        assert_int_equal(flaw.code, is_surrogate ? 0xED : code);
        assert_int_equal(flaw.len, is_surrogate ? 1 : len);
        assert_true(text_find_flaw(text, len + 2, true, &flaw) ==
                    (code != '\n' && code != '\t' && code != '\r')); /* CR at the end belongs to a line end */
    }
}

static void flaws_are_shown(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        bool has_lines;
        const char *shown;
    } rows[] = {
        {"plain", false, "plain"},
        {"", false, ""},
        {"caf\xC3\xA9", false, "caf\xC3\xA9"},
        {"a\x1B[2Jb", false, "a<U+001B>[2Jb"},
        {"a\nb\tc", false, "a<U+000A>b<U+0009>c"},
        {"a\nb\tc", true, "a\nb\tc"},
        {"a\r\nb\rc", true, "a\r\nb<U+000D>c"},
        {"\xC2\x9B"
         "31m",
         true, "<U+009B>31m"},
        {"x\xE2\x80\xAEy", true, "x<U+202E>y"},
        {"x\xFFy\xC3", true, "x<byte FF>y<byte C3>"},
        {"\xF3\xA0\x80\x81", true, "<U+E0001>"},
        {"\xED\xA0\x80", true, "<byte ED><byte A0><byte 80>"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct arena arena;
        struct text text;
        struct bytes out;
        struct err err = {0};
        arena_init(&arena, 1 << 16);
        text_init(&text, &arena);
        text_add_shown(&text, rows[at].text, strlen(rows[at].text), rows[at].has_lines);
        assert_int_equal(text_done(&text, &out, &err), STATUS_OK);
        ROW_TEXT(rows[at].shown, out.data, rows[at].shown);
        arena_clear(&arena);
    }
    static const struct {
        struct text_flaw flaw;
        const char *json;
    } json[] = {{{.code = 0x1B}, "\\u001b"},
                {{.code = 0x202E}, "\\u202e"},
                {{.code = 0xFF, .is_byte = true}, "\\ufffd"},
                {{.code = 0xE0001}, "\\udb40\\udc01"},
                {{.code = 0x10FFFF}, "\\udbff\\udfff"}};
    for (size_t at = 0; at < COUNT_OF(json); at++) {
        char out[SHOWN_MAX];
        text_flaw_format(&json[at].flaw, SHOWN_JSON, out);
        ROW_TEXT(json[at].json, out, json[at].json);
    }
}

static void flaws_are_refused(void **state)
{
    (void)state;
    struct err err = {0};
    assert_int_equal(text_check("remark", "see \xE2\x80\x9Clog 4\xE2\x80\x9D", &err), STATUS_OK);
    assert_int_equal(text_check("remark", "caf\xC3\xA9 \xE2\x80\xAE!", &err), STATUS_INPUT);
    assert_string_equal(err.subject, "remark");
    assert_non_null(strstr(err.reason, "character 6 is U+202E"));
    assert_int_equal(text_check("remark", "M\xFCller", &err), STATUS_INPUT);
    assert_non_null(strstr(err.reason, "byte 2 is not UTF-8 text: FC"));
    assert_int_equal(text_check("remark", "two\nlines", &err), STATUS_INPUT);
    assert_non_null(strstr(err.reason, "character 4 is U+000A"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_code_point_is_judged),
        cmocka_unit_test(flaws_are_shown),
        cmocka_unit_test(flaws_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
