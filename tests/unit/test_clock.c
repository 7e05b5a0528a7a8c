/* SPDX-License-Identifier: MIT */
/* Instants and zones: published conversions, forms accepted and refused, printing and reading back. */
#include "unit.h"

#include "coretally/base/clock.h"
#include "coretally/base/quantity.h"

static void published_times_convert(void **state)
{
    (void)state;
    static const struct {
        const char *typed;
        int32_t ship_zone_min;
        const char *utc;
        const char *source;
    } rows[] = {
        {"2009-08-14 09:32", -11 * 60, "2009-08-14T20:32:00Z", "Proc. IODP 323, Site U1344 (0932 h, UTC-11)"},
        {"2009-08-14T09:32:00-11:00", INT_NONE, "2009-08-14T20:32:00Z", "Proc. IODP 323, Site U1344 (0932 h, UTC-11)"},
        {"2012-07-11 20:45", -150, "2012-07-11T23:15:00Z", "Proc. IODP 342, Site U1408 (2045 h, UTC-2.5)"},
        {"2012-07-13 10:45", -150, "2012-07-13T13:15:00Z", "Proc. IODP 342, Site U1408 (1045 h, UTC-2.5)"},
        {"1985-04-12T23:20:50.52Z", INT_NONE, "1985-04-12T23:20:50.52Z", "RFC 3339 section 5.8"},
        {"1996-12-19T16:39:57-08:00", INT_NONE, "1996-12-20T00:39:57Z", "RFC 3339 section 5.8"},
        {"1970-01-01T00:00:00Z", INT_NONE, "1970-01-01T00:00:00Z", "POSIX.1, seconds since the epoch"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct instant instant;
        struct err err = {0};
        char text[INSTANT_TEXT_MAX];
        ROW(rows[at].typed, rows[at].source && rows[at].source[0]);
        ROW(rows[at].typed, instant_parse(rows[at].typed, rows[at].ship_zone_min, &instant, &err) == STATUS_OK);
        instant.offset_min = 0;
        instant_format(instant, text);
        ROW_TEXT(rows[at].typed, text, rows[at].utc);
    }
    /* 38.0 h between the two, printed as 1.6 days: Proc. IODP 342, Site U1408. */
    struct instant from;
    struct instant until;
    struct err err;
    assert_int_equal(instant_parse(rows[2].typed, -150, &from, &err), STATUS_OK);
    assert_int_equal(instant_parse(rows[3].typed, -150, &until, &err), STATUS_OK);
    assert_int_equal(until.utc_us - from.utc_us, INT64_C(38) * 3600 * 1000000);
}

static void forms_are_read(void **state)
{
    (void)state;
    static const struct {
        const char *typed;
        const char *printed; /* NULL: refused */
    } rows[] = {
        {"2026-03-01T04:12:30+05:30", "2026-03-01T04:12:30+05:30"},
        {"2026-03-01t04:12:30z", "2026-03-01T04:12:30Z"},
        {"2026-03-01 04:12 -0330", "2026-03-01T04:12:00-03:30"},
        {"2026-03-01 04:12", "2026-03-01T04:12:00+03:00"},
        {"2026-03-01 04:12  ", "2026-03-01T04:12:00+03:00"},
        {"2024-02-29T00:00:00.000001Z", "2024-02-29T00:00:00.000001Z"},
        {"2024-02-29T00:00:00.1234567Z", "2024-02-29T00:00:00.123456Z"},
        {"2000-02-29T23:59:59+14:00", "2000-02-29T23:59:59+14:00"},
        {"0001-01-01T00:00:00Z", "0001-01-01T00:00:00Z"},
        {"9999-12-31T23:59:59Z", "9999-12-31T23:59:59Z"},
        {"1969-12-31T23:59:59.5Z", "1969-12-31T23:59:59.5Z"},
        {"", NULL},
        {"yesterday", NULL},
        {"2026-02-29T00:00:00Z", NULL},
        {"1900-02-29T00:00:00Z", NULL},
        {"2026-13-01T00:00:00Z", NULL},
        {"2026-00-01T00:00:00Z", NULL},
        {"2026-04-31T00:00:00Z", NULL},
        {"2026-04-00T00:00:00Z", NULL},
        {"2026-03-01T24:00:00Z", NULL},
        {"2026-03-01T04:60:00Z", NULL},
        {"2026-03-01T04:12:60Z", NULL},
        {"2026-03-01T04:12:30.Z", NULL},
        {"2026-03-01T4:12:30Z", NULL},
        {"26-03-01T04:12:30Z", NULL},
        {"2026-03-01", NULL},
        {"2026-03-01T04:12:30-00:00", NULL},
        {"2026-03-01T04:12:30+05:40", NULL},
        {"2026-03-01T04:12:30Zx", NULL},
        {"2026-03-01T04:12:30 noon", NULL},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct instant instant = {.utc_us = 42};
        struct err err = {0};
        const enum status status = instant_parse(rows[at].typed, 180, &instant, &err);
        ROW(rows[at].typed, (status == STATUS_OK) == (rows[at].printed != NULL));
        if (status != STATUS_OK) {
            ROW(rows[at].typed, status == STATUS_INPUT && err.reason[0] && err.hint[0] && instant.utc_us == 42);
            continue;
        }
        char text[INSTANT_TEXT_MAX];
        instant_format(instant, text);
        ROW_TEXT(rows[at].typed, text, rows[at].printed);
    }
}

/* What may be typed, and what the time of a commit is told as; the limits are ours. */
static void years_have_an_end(void **state)
{
    (void)state;
    static const struct {
        const char *typed;
        bool taken;
    } rows[] = {
        {"1899-12-31T23:59:59Z", false},      {"1900-01-01T00:00:00Z", true},
        {"1900-01-01T00:00:00+01:00", false}, {"2105-12-31T23:59:59.999999Z", true},
        {"2105-12-31T23:59:59-01:00", false}, {"2106-01-01T00:00:00Z", false},
        {"0026-03-01T04:12:00Z", false},      {"9999-12-31T23:59:59Z", false},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct instant instant = {.utc_us = 42};
        struct err err = {0};
        const enum status status = instant_take(rows[at].typed, INT_NONE, &instant, &err);
        ROW(rows[at].typed, status == (rows[at].taken ? STATUS_OK : STATUS_INPUT));
        ROW(rows[at].typed, rows[at].taken == (instant.utc_us != 42));
        ROW(rows[at].typed, rows[at].taken || (strstr(err.reason, "1900 to 2105") && err.hint[0]));
    }
    char text[INSTANT_TEXT_MAX];
    instant_format(instant_from_seconds(INT64_MAX, 60), text);
    assert_string_equal(text, "9999-12-31T00:59:59+01:00");
    instant_format(instant_from_seconds(INT64_MIN, -60), text);
    assert_string_equal(text, "0000-01-01T23:00:00-01:00");
    instant_format(instant_from_seconds(1772338320, 0), text);
    assert_string_equal(text, "2026-03-01T04:12:00Z");
}

static void spans_are_said(void **state)
{
    (void)state;
    static const struct {
        int64_t minutes;
        const char *says;
    } rows[] = {{0, "0 min"},
                {119, "119 min"},
                {120, "2.0 h"},
                {-210, "3.5 h"},
                {48 * 60, "2 days"},
                {365 * 1440, "365 days"},
                {1826 * 1440, "5.0 years"}};
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        char text[SPAN_TEXT_MAX];
        span_format(rows[at].minutes * 60 * 1000000, text);
        ROW_TEXT(rows[at].says, text, rows[at].says);
    }
}

static void ships_time_wants_a_zone(void **state)
{
    (void)state;
    struct instant instant;
    struct err err = {0};
    assert_int_equal(instant_parse("2026-03-01 04:12", INT_NONE, &instant, &err), STATUS_INPUT);
    assert_non_null(strstr(err.reason, "no offset"));
}

static void zones_are_read(void **state)
{
    (void)state;
    static const struct {
        const char *typed;
        int32_t minutes; /* INT_NONE: refused */
        const char *printed;
    } rows[] = {
        {"Z", 0, "Z"},
        {"z", 0, "Z"},
        {"UTC", 0, "Z"},
        {"+00:00", 0, "Z"},
        {"+05:30", 330, "+05:30"},
        {"-0330", -210, "-03:30"},
        {"+05", 300, "+05:00"},
        {"+14:00", 840, "+14:00"},
        {"-14:00", -840, "-14:00"},
        {"+12:45", 765, "+12:45"},
        {"", INT_NONE, NULL},
        {"-00:00", INT_NONE, NULL},
        {"-00", INT_NONE, NULL},
        {"+14:15", INT_NONE, NULL},
        {"+5:30", INT_NONE, NULL},
        {"05:30", INT_NONE, NULL},
        {"+05:", INT_NONE, NULL},
        {"+05:3", INT_NONE, NULL},
        {"+05:300", INT_NONE, NULL},
        {"+05:20", INT_NONE, NULL},
        {"+99:00", INT_NONE, NULL},
        {"EST", INT_NONE, NULL},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        int32_t minutes = 7;
        struct err err = {0};
        const enum status status = zone_parse(rows[at].typed, &minutes, &err);
        if (rows[at].minutes == INT_NONE) {
            ROW(rows[at].typed, status == STATUS_INPUT && minutes == 7 && err.hint[0]);
            continue;
        }
        char text[ZONE_TEXT_MAX];
        ROW(rows[at].typed, status == STATUS_OK && minutes == rows[at].minutes);
        zone_format(minutes, text);
        ROW_TEXT(rows[at].typed, text, rows[at].printed);
    }
}

static void printing_and_reading_is_the_identity(void **state)
{
    (void)state;
    uint64_t seed = 3339;
    for (int round = 0; round < 20000; round++) {
        const struct instant instant = {
            .utc_us = random_within(&seed, INT64_C(-62135596800) + 86400, INT64_C(253402300799) - 86400) * 1000000 +
                      (round % 2 ? random_within(&seed, 0, 999999) : 0),
            .offset_min = (int32_t)random_within(&seed, -56, 56) * 15,
            .known = true};
        char text[INSTANT_TEXT_MAX];
        struct instant again;
        struct err err;
        instant_format(instant, text);
        ROW(text, instant_parse(text, INT_NONE, &again, &err) == STATUS_OK);
        ROW(text, again.utc_us == instant.utc_us && again.offset_min == instant.offset_min && again.known);
    }
    const struct instant now = instant_now();
    assert_true(now.known && now.utc_us > 0 && now.offset_min == 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published_times_convert),
        cmocka_unit_test(forms_are_read),
        cmocka_unit_test(years_have_an_end),
        cmocka_unit_test(spans_are_said),
        cmocka_unit_test(ships_time_wants_a_zone),
        cmocka_unit_test(zones_are_read),
        cmocka_unit_test(printing_and_reading_is_the_identity),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
