/* SPDX-License-Identifier: MIT */
/* The strict look at JSON before it is parsed (RFC 8259): position and reason. */
#include "unit.h"

#include <stdio.h>

#include "coretally/base/limits.h"
#include "scan.h"

static void text_is_judged(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        int byte; /* 0: accepted; the parser judges the structure */
        const char *reason;
    } rows[] = {
        {"", 0, ""},
        {"{}", 0, ""},
        {" {\"a\" : [1, -2.5, 1e5, 0.1E-7, true, false, null]}\r\n", 0, ""},
        {"{\"\\\"\\\\\\/\\b\\f\\n\\r\\t\\u00e9\":0}", 0, ""},
        {"[01]", 2, "leading zero"},
        {"[-]", 2, "without digits"},
        {"[-01]", 2, "leading zero"},
        {"[1.]", 2, "ends in a point"},
        {"[1.e5]", 2, "ends in a point"},
        {"[1e]", 2, "empty exponent"},
        {"[1e+]", 2, "empty exponent"},
        {"[.5]", 2, "outside strings"},
        {"[+5]", 2, "outside strings"},
        {"[NaN]", 2, "outside strings"},
        {"{'a':1}", 2, "outside strings"},
        {"\xEF\xBB\xBF{}", 1, "outside strings"},
        {"{\x01}", 2, "outside strings"},
        {"{\x0B}", 2, "outside strings"},
        {"[\"a", 2, "without an end"},
        {"[\"a\\", 2, "without an end"},
        {"[\"\\u12", 2, "without an end"},
        {"[\"\\x\"]", 2, "unknown escape"},
        {"[\"\\u12g4\"]", 2, "broken \\u escape"},
        {"[\"\\u0000\"]", 2, "escaped NUL"},
        {"[\"a\nb\"]", 2, "control character"},
        {"[\"a\tb\"]", 2, "control character"},
        {"{} {}", 4, "after the end"},
        {"{}x", 3, "after the end"},
        {"{}]", 3, "after the end"},
        {"{\"a\":\"\x80\"}", 7, "UTF-8"},
        {"[[[[[[[[1]]]]]]]]", 0, ""},
        {"[[[[[[[[[1]]]]]]]]]", JSON_NESTING_MAX + 1, "nesting"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct err err = {0};
        char byte[20];
        const enum status status = json_scan((struct bytes){rows[at].text, strlen(rows[at].text)}, "core", &err);
        ROW(rows[at].text, (status == STATUS_OK) == (rows[at].byte == 0));
        if (status == STATUS_OK)
            continue;
        (void)snprintf(byte, sizeof byte, "byte %d", rows[at].byte);
        ROW(rows[at].text, status == STATUS_DAMAGED && strcmp(err.subject, "core") == 0);
        if (strncmp(err.reason, byte, strlen(byte)) != 0 || !strstr(err.reason, rows[at].reason))
            fail_msg("%s: %s (expected %s, %s)", rows[at].text, err.reason, byte, rows[at].reason);
    }
    struct err err;
    assert_int_equal(json_scan((struct bytes){"{}\0", 3}, "core", &err), STATUS_DAMAGED);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(text_is_judged)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
