/* SPDX-License-Identifier: MIT */
/* Marks of print: found, told, and what is typed instead. Code points from the charts of The Unicode Standard. */
#include "unit.h"

#include <stdio.h>
#include <string.h>

#include "coretally/base/clock.h"
#include "coretally/base/marks.h"
#include "coretally/base/measure.h"
#include "coretally/base/quantity.h"

static void marks_are_found(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        const char *kind; /* NULL: none */
        char plain;
    } rows[] = {
        {"\xE2\x80\x93", "a long dash", '-'},              /* U+2013 */
        {"\xE2\x80\x94x", "a long dash", '-'},             /* U+2014 */
        {"\xE2\x88\x92", "a typographic minus sign", '-'}, /* U+2212 */
        {"\xE2\x80\x90", "a typographic hyphen", '-'},     /* U+2010 */
        {"\xE2\x80\x98", "a curly quote", 0},              /* U+2018 */
        {"\xE2\x80\x9D", "a curly quote", 0},              /* U+201D */
        {"\xC2\xA0", "a no-break space", ' '},             /* U+00A0 */
        {"\xE2\x80\xAF", "a no-break space", ' '},         /* U+202F */
        {"\xE2\x80\x8B", "a zero-width space", 0},         /* U+200B */
        {"\xEF\xBC\x91", "a wide character", '1'},         /* U+FF11 */
        {"\xEF\xBC\x8D", "a wide character", '-'},         /* U+FF0D */
        {"\xEF\xBD\x9E", "a wide character", '~'},         /* U+FF5E */
        {"\xC3\x97", "a multiplication sign", 'x'},        /* U+00D7 */
        {"\xD0\x9D", "a Cyrillic letter", 'H'},            /* U+041D */
        {"-", NULL, 0},
        {"\"", NULL, 0},
        {"", NULL, 0},
        {"\xC3\xA9", NULL, 0}, /* U+00E9 */
        {"\xE2\x80", NULL, 0},
        {"\xE2", NULL, 0},
        {"\x93", NULL, 0},
        {"\xF0\x9F\x92\x8E", NULL, 0}, /* U+1F48E */
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct mark mark;
        ROW(rows[at].text, mark_at(rows[at].text, &mark) == (rows[at].kind != NULL));
        if (!rows[at].kind)
            continue;
        ROW_TEXT(rows[at].text, mark.kind, rows[at].kind);
        ROW(rows[at].text, mark.plain == rows[at].plain && mark.len == strlen(mark.as_typed));
    }
    char plain[8];
    marks_plain("\xE2\x80\x9C"
                "1\xE2\x80\x93"
                "2\xC2\xA0"
                "cm\xE2\x80\x9D",
                plain, sizeof plain);
    assert_string_equal(plain, "1-2 cm");
    marks_plain("123456789", plain, sizeof plain);
    assert_string_equal(plain, "1234567");
}

/* A number, a time, an offset: refused with the mark in the sentence, and the word without it in the hint. */
static void refusals_name_the_mark(void **state)
{
    (void)state;
    static const struct {
        char what; /* Length, Real, Measure, Instant, Zone */
        const char *typed;
        const char *reason;
        const char *hint;
    } rows[] = {
        {'L',
         "\xE2\x80\x9C"
         "9.43\xE2\x80\x9D",
         "at character 1 is a curly quote", "type 9.43"},
        {'L',
         "9\xE2\x80\x93"
         "43",
         "at character 2 is a long dash", "type 9-43"},
        {'L',
         "\xE2\x88\x92"
         "9",
         "at character 1 is a typographic minus sign", "type -9"},
        {'L', "9.43\xC2\xA0m", "at character 5 is a no-break space", "type 9.43 m"},
        {'L', "\xEF\xBC\x99.43", "'\xEF\xBC\x99' at character 1 is a wide character", "type 9.43"},
        {'L',
         "9\xC2\xB7"
         "43",
         "a raised dot", "type 9.43"},
        {'L', "1,20", "decimals are written with a point", "type 1.20"},
        {'L', "1,20m", "decimals are written with a point", "type 1.20m"},
        {'L', "3,030.9", "thousands are typed", "type 3030.9"},
        {'L', "3,030,000", "thousands are typed", "type 3030000"},
        {'L', "9.43 leagues", "'leagues' is not a unit", "units are m"},
        {'R', "7,5", "decimals are written with a point", "type 7.5"},
        {'R',
         "\xE2\x88\x92"
         "7",
         "a typographic minus sign", "type -7"},
        {'M', "7,5cm3", "decimals are written with a point", "type 7.5cm3"},
        {'M',
         "7\xC2\xA0"
         "cm3",
         "a no-break space", "type 7 cm3"},
        {'M',
         "\xE2\x80\x98"
         "7\xE2\x80\x99",
         "a curly quote", "type 7"},
        {'I',
         "2026\xE2\x80\x93"
         "03\xE2\x80\x93"
         "01 04:12Z",
         "at character 5 is a long dash", "type 2026-03-01 04:12Z"},
        {'Z',
         "\xE2\x88\x92"
         "03:00",
         "a typographic minus sign", "type -03:00"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct err err = {0};
        int64_t um = 0;
        int32_t zone = 0;
        double value = 0;
        struct instant instant;
        const char *typed = rows[at].typed;
        const enum status status = rows[at].what == 'L'   ? length_parse(typed, UNIT_M, &um, &err)
                                   : rows[at].what == 'R' ? real_parse(typed, &value, &err)
                                   : rows[at].what == 'M' ? measure_parse(typed, MEASURE_SMALL, &value, &err)
                                   : rows[at].what == 'I' ? instant_parse(typed, 0, &instant, &err)
                                                          : zone_parse(typed, &zone, &err);
        ROW(typed, status == STATUS_INPUT);
        ROW_TEXT(typed, err.subject, typed);
        if (!strstr(err.reason, rows[at].reason) || strncmp(err.hint, rows[at].hint, strlen(rows[at].hint)) != 0)
            fail_msg("%s: %s / %s", typed, err.reason, err.hint);
    }
    struct err err = {0};
    err_set(&err, STATUS_INPUT, "word", "as it was");
    err_hint(&err, "a hint");
    assert_int_equal(err_marks(&err, "caf\xC3\xA9"), STATUS_INPUT);
    assert_string_equal(err.reason, "as it was");
    assert_string_equal(err.hint, "a hint");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(marks_are_found),
        cmocka_unit_test(refusals_name_the_mark),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
