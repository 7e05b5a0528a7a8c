/* SPDX-License-Identifier: MIT */
/* Growing text and its printers, held to the published rows of RFC 8785, RFC 4180 and RFC 3629. */
#include "unit.h"

#include <math.h>
#include <stdlib.h>

#include "coretally/base/text.h"

static void numbers_print_as_published(void **state)
{
    (void)state;
    static const char appendix[] = "RFC 8785 appendix B";
    static const char sample[] = "RFC 8785 section 3.2.2, sample object";
    static const char own[] = "ECMA-262 section 6.1.6.1.20, fewest digits; value worked out by hand: 2^-44";
    static const struct {
        uint64_t bits;
        const char *typed; /* where not NULL: read this instead of bits */
        const char *expected;
        const char *source;
    } rows[] = {
        {0x0000000000000000, NULL, "0", appendix},
        {0x8000000000000000, NULL, "0", appendix},
        {0x0000000000000001, NULL, "5e-324", appendix},
        {0x8000000000000001, NULL, "-5e-324", appendix},
        {0x7fefffffffffffff, NULL, "1.7976931348623157e+308", appendix},
        {0xffefffffffffffff, NULL, "-1.7976931348623157e+308", appendix},
        {0x4340000000000000, NULL, "9007199254740992", appendix},
        {0xc340000000000000, NULL, "-9007199254740992", appendix},
        {0x4430000000000000, NULL, "295147905179352830000", appendix},
        {0x44b52d02c7e14af5, NULL, "9.999999999999997e+22", appendix},
        {0x44b52d02c7e14af6, NULL, "1e+23", appendix},
        {0x44b52d02c7e14af7, NULL, "1.0000000000000001e+23", appendix},
        {0x444b1ae4d6e2ef4e, NULL, "999999999999999700000", appendix},
        {0x444b1ae4d6e2ef4f, NULL, "999999999999999900000", appendix},
        {0x444b1ae4d6e2ef50, NULL, "1e+21", appendix},
        {0x3eb0c6f7a0b5ed8c, NULL, "9.999999999999997e-7", appendix},
        {0x3eb0c6f7a0b5ed8d, NULL, "0.000001", appendix},
        {0x41b3de4355555553, NULL, "333333333.3333332", appendix},
        {0x41b3de4355555554, NULL, "333333333.33333325", appendix},
        {0x41b3de4355555555, NULL, "333333333.3333333", appendix},
        {0x41b3de4355555556, NULL, "333333333.3333334", appendix},
        {0x41b3de4355555557, NULL, "333333333.33333343", appendix},
        {0xbecbf647612f3696, NULL, "-0.0000033333333333333333", appendix},
        {0x43143ff3c1cb0959, NULL, "1424953923781206.2", appendix},
        {0, "333333333.33333329", "333333333.3333333", sample},
        {0, "1E30", "1e+30", sample},
        {0, "4.50", "4.5", sample},
        {0, "2e-3", "0.002", sample},
        {0, "0.000000000000000000000000001", "1e-27", sample},
        {0x3d30000000000000, NULL, "5.684341886080802e-14", own},
    };
    struct arena arena;
    arena_init(&arena, 1 << 20);
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        ROW(rows[at].expected, rows[at].source && rows[at].source[0]);
        double value = 0;
        memcpy(&value, &rows[at].bits, sizeof value);
        if (rows[at].typed)
            value = strtod(rows[at].typed, NULL);
        struct text text;
        struct bytes out;
        struct err err;
        text_init(&text, &arena);
        text_add_real(&text, value);
        assert_int_equal(text_done(&text, &out, &err), STATUS_OK);
        ROW_TEXT(rows[at].expected, out.data, rows[at].expected);
    }
    arena_clear(&arena);
}

static void every_number_reads_back_equal(void **state)
{
    (void)state;
    uint64_t seed = 8785;
    struct arena arena;
    struct err err;
    arena_init(&arena, 64 << 20);
    for (int round = 0; round < 20000; round++) {
        const uint64_t bits = random_next(&seed);
        double value = 0;
        memcpy(&value, &bits, sizeof value);
        if (!isfinite(value))
            continue;
        struct text text;
        struct bytes out;
        text_init(&text, &arena);
        text_add_real(&text, value);
        assert_int_equal(text_done(&text, &out, &err), STATUS_OK);
        if (strtod(out.data, NULL) != value)
            fail_msg("%a printed as %s", value, out.data);
    }
    arena_clear(&arena);
}

static void strings_are_escaped(void **state)
{
    (void)state;
    static const struct {
        const char *plain;
        const char *json;
        const char *csv;
    } rows[] = {
        {"", "\"\"", ""},
        {"sand", "\"sand\"", "sand"},
        {"a \"b\"\\", "\"a \\\"b\\\"\\\\\"", "\"a \"\"b\"\"\\\""},
        {"x,y", "\"x,y\"", "\"x,y\""},
        {"one\ntwo\r", "\"one\\ntwo\\r\"", "\"one\ntwo\r\""},
        {"\t\b\f\x01\x1f", "\"\\t\\b\\f\\u0001\\u001f\"", "\t\b\f\x01\x1f"},
        {"\xC2\xB5m / \x7f", "\"\xC2\xB5m / \x7f\"", "\xC2\xB5m / \x7f"},
    };
    struct arena arena;
    struct err err;
    arena_init(&arena, 1 << 20);
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct text text;
        struct bytes out;
        text_init(&text, &arena);
        text_add_json(&text, rows[at].plain);
        assert_int_equal(text_done(&text, &out, &err), STATUS_OK);
        ROW_TEXT(rows[at].plain, out.data, rows[at].json);
        text_init(&text, &arena);
        text_add_csv(&text, rows[at].plain);
        assert_int_equal(text_done(&text, &out, &err), STATUS_OK);
        ROW_TEXT(rows[at].plain, out.data, rows[at].csv);
    }
    arena_clear(&arena);
}

static void text_grows_and_counts(void **state)
{
    (void)state;
    struct arena arena;
    struct err err;
    arena_init(&arena, 1 << 20);
    struct text text;
    struct bytes out;
    text_init(&text, &arena);
    for (int at = 0; at < 2000; at++)
        text_addf(&text, "%04d", at);
    text_add_bytes(&text, "\0end", 4);
    assert_int_equal(text_done(&text, &out, &err), STATUS_OK);
    assert_int_equal(out.len, 8004);
    assert_memory_equal(out.data + 7996, "1999\0end", 9);
    arena_clear(&arena);
}

static void failure_is_sticky(void **state)
{
    (void)state;
    struct arena arena;
    struct err err = {0};
    arena_init(&arena, 300);
    struct text text;
    struct bytes out = {.len = 77};
    text_init(&text, &arena);
    for (int at = 0; at < 100; at++)
        text_add(&text, "0123456789");
    text_add(&text, "");
    assert_int_equal(text_done(&text, &out, &err), STATUS_SYSTEM);
    assert_int_equal(out.len, 77);
    arena_clear(&arena);
}

static void utf8_is_judged(void **state)
{
    (void)state;
    static const char source[] = "RFC 3629 section 4";
    static const struct {
        const char *data;
        size_t len;
        bool valid;
        size_t at;
        const char *source;
    } rows[] = {
        {"", 0, true, 0, source},
        {"core", 4, true, 0, source},
        {"\xC3\xA9\xE2\x80\x93\xF0\x9F\x9A\xA2", 9, true, 0, source},
        {"a\0b", 3, false, 1, "ours: NUL is refused"},
        {"ab\x80", 3, false, 2, source},
        {"\xC0\xAF", 2, false, 0, source},
        {"\xC1\xBF", 2, false, 0, source},
        {"x\xE0\x9F\xBF", 4, false, 1, source},
        {"\xED\xA0\x80", 3, false, 0, source},
        {"\xF0\x8F\xBF\xBF", 4, false, 0, source},
        {"\xF4\x90\x80\x80", 4, false, 0, source},
        {"\xF5\x80\x80\x80", 4, false, 0, source},
        {"ab\xE2\x80", 4, false, 2, source},
        {"ab\xC3(", 4, false, 2, source},
    };
    for (size_t row = 0; row < COUNT_OF(rows); row++) {
        size_t at = 0;
        ROW(rows[row].data, rows[row].source && rows[row].source[0]);
        ROW(rows[row].data, utf8_is_valid(rows[row].data, rows[row].len, &at) == rows[row].valid);
        ROW(rows[row].data, rows[row].valid || at == rows[row].at);
    }
}

static void texts_are_made_fit_in_place(void **state)
{
    (void)state;
    char blanks[] = " \t a b \r\n";
    char none[] = "  ";
    char remark[] = "top = No#1 # the first";
    char only[] = "# all of it";
    char no_remark[] = "top = No#1";
    char odd[] = "a\x1b[31m\x7f\nb";
    assert_string_equal(text_trim(blanks), "a b");
    assert_string_equal(text_trim(none), "");
    text_cut_remark(remark);
    assert_string_equal(remark, "top = No#1 ");
    text_cut_remark(only);
    assert_string_equal(only, "");
    text_cut_remark(no_remark);
    assert_string_equal(no_remark, "top = No#1");
    text_make_printable(odd);
    assert_string_equal(odd, "a?[31m??b");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_print_as_published),  cmocka_unit_test(every_number_reads_back_equal),
        cmocka_unit_test(strings_are_escaped),         cmocka_unit_test(text_grows_and_counts),
        cmocka_unit_test(failure_is_sticky),           cmocka_unit_test(utf8_is_judged),
        cmocka_unit_test(texts_are_made_fit_in_place),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
