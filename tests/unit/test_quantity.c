/* SPDX-License-Identifier: MIT */
/* Numbers with units: exact reading, printing half away from zero, and what is refused. */
#include "unit.h"

#include <math.h>

#include "coretally/base/limits.h"
#include "coretally/base/quantity.h"

static void lengths_are_read(void **state)
{
    (void)state;
    static const struct {
        const char *typed;
        enum length_unit bare;
        int64_t um; /* LENGTH_NONE: refused */
        const char *says;
    } rows[] = {
        {"105.2", UNIT_M, 105200000, NULL},
        {"105.2m", UNIT_CM, 105200000, NULL},
        {"45", UNIT_CM, 450000, NULL},
        {" 45 cm", UNIT_M, 450000, NULL},
        {"345.1ft", UNIT_M, 105186480, NULL},
        {"1ft", UNIT_M, 304800, NULL},
        {"12.25in", UNIT_M, 311150, NULL},
        {"900mm", UNIT_M, 900000, NULL},
        {"-3.5", UNIT_M, -3500000, NULL},
        {"+3.5", UNIT_M, 3500000, NULL},
        {".5", UNIT_M, 500000, NULL},
        {"0.0000004", UNIT_M, 0, NULL},
        {"0.0000005", UNIT_M, 1, NULL},
        {"-0.0000005", UNIT_M, -1, NULL},
        {"30000", UNIT_M, LENGTH_LIMIT_UM, NULL},
        {"-30000", UNIT_M, -LENGTH_LIMIT_UM, NULL},
        {"30000.000001", UNIT_M, LENGTH_NONE, "30000 m"},
        {"99999999999999999999", UNIT_M, LENGTH_NONE, "30000 m"},
        {"9999999999999999999999999", UNIT_M, LENGTH_NONE, "not a length"},
        {"105,2", UNIT_M, LENGTH_NONE, "comma"},
        {"", UNIT_M, LENGTH_NONE, "not a length"},
        {"-", UNIT_M, LENGTH_NONE, "not a length"},
        {".", UNIT_M, LENGTH_NONE, "not a length"},
        {"5.", UNIT_M, LENGTH_NONE, "not a length"},
        {"abc", UNIT_M, LENGTH_NONE, "not a length"},
        {"1.2.3", UNIT_M, LENGTH_NONE, "not a unit"},
        {"12 fathoms", UNIT_M, LENGTH_NONE, "not a unit"},
        {"12M", UNIT_M, LENGTH_NONE, "not a unit"},
        {"1e3", UNIT_M, LENGTH_NONE, "not a unit"},
        {"0x10", UNIT_M, LENGTH_NONE, "not a unit"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        int64_t um = 77;
        struct err err = {0};
        const enum status status = length_parse(rows[at].typed, rows[at].bare, &um, &err);
        if (rows[at].um == LENGTH_NONE) {
            ROW(rows[at].typed, status == STATUS_INPUT && um == 77 && err.hint[0]);
            ROW(rows[at].typed, strstr(err.reason, rows[at].says) != NULL);
        } else
            ROW(rows[at].typed, status == STATUS_OK && um == rows[at].um);
    }
}

static void units_are_by_definition(void **state)
{
    (void)state;
    static const char source[] = "NIST Special Publication 811 (2008), appendix B.8";
    static const struct {
        const char *typed;
        int64_t um;
        const char *source;
    } rows[] = {
        {"1 ft", 304800, source},          {"1 in", 25400, source},          {"12 in", 304800, source},
        {"1000 mm", 1000000, "SI prefix"}, {"100 cm", 1000000, "SI prefix"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        int64_t um = 0;
        struct err err;
        ROW(rows[at].typed, rows[at].source && rows[at].source[0]);
        ROW(rows[at].typed, length_parse(rows[at].typed, UNIT_M, &um, &err) == STATUS_OK && um == rows[at].um);
    }
    for (int unit = 0; unit < LENGTH_UNIT_COUNT; unit++) {
        enum length_unit found = UNIT_M;
        assert_true(length_unit_find(length_unit_suffix((enum length_unit)unit), &found));
        assert_int_equal(found, unit);
    }
    enum length_unit found = UNIT_FT;
    assert_false(length_unit_find("yd", &found));
    assert_int_equal(found, UNIT_FT);
}

static void lengths_print(void **state)
{
    (void)state;
    static const struct {
        int64_t um;
        enum length_unit unit;
        int decimals;
        const char *text;
        const char *exact;
    } rows[] = {
        {0, UNIT_M, 2, "0.00", "0"},
        {105200000, UNIT_M, 2, "105.20", "105.2"},
        {105200000, UNIT_M, 0, "105", "105.2"},
        {500000, UNIT_M, 0, "1", "0.5"},
        {-500000, UNIT_M, 0, "-1", "-0.5"},
        {-400000, UNIT_M, 0, "0", "-0.4"},
        {5000, UNIT_M, 2, "0.01", "0.005"},
        {-5000, UNIT_M, 2, "-0.01", "-0.005"},
        {-4999, UNIT_M, 2, "0.00", "-0.004999"},
        {1, UNIT_M, 6, "0.000001", "0.000001"},
        {105186480, UNIT_FT, 1, "345.1", "105.18648"},
        {311150, UNIT_IN, 2, "12.25", "0.31115"},
        {450000, UNIT_CM, 1, "45.0", "0.45"},
        {100000000, UNIT_M, 0, "100", "100"},
        {LENGTH_LIMIT_UM, UNIT_MM, 6, "30000000.000000", "30000"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        char text[LENGTH_TEXT_MAX];
        length_format(rows[at].um, rows[at].unit, rows[at].decimals, text);
        ROW_TEXT(rows[at].text, text, rows[at].text);
        ROW_TEXT(rows[at].text, length_text(rows[at].um, rows[at].unit, rows[at].decimals).text, rows[at].text);
        length_format_exact(rows[at].um, UNIT_M, text);
        ROW_TEXT(rows[at].exact, text, rows[at].exact);
    }
}

static void exact_text_reads_back_equal(void **state)
{
    (void)state;
    uint64_t seed = 1;
    for (int round = 0; round < 20000; round++) {
        const int64_t um = random_within(&seed, -LENGTH_LIMIT_UM, LENGTH_LIMIT_UM);
        char text[LENGTH_TEXT_MAX];
        int64_t again = 0;
        struct err err;
        length_format_exact(um, UNIT_M, text);
        ROW(text, length_parse(text, UNIT_M, &again, &err) == STATUS_OK && again == um);
        ROW(text, decimal_parse_micro(text, strlen(text), false, &again) && again == um);
    }
}

static void decimals_are_exact_or_refused(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        bool round;
        bool taken;
        int64_t micro;
    } rows[] = {
        {"1.5", false, true, 1500000},
        {"1.0000000", false, true, 1000000},
        {"1.0000001", false, false, 0},
        {"1.0000005", true, true, 1000001},
        {"30000", false, true, LENGTH_LIMIT_UM},
        {"30000.1", false, false, 0},
        {"-30000.1", false, false, 0},
        {"", false, false, 0},
        {"1x", false, false, 0},
        {"1 ", false, false, 0},
        {"99999999999999999999999", false, false, 0},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        int64_t micro = 0;
        ROW(rows[at].text,
            decimal_parse_micro(rows[at].text, strlen(rows[at].text), rows[at].round, &micro) == rows[at].taken);
        ROW(rows[at].text, micro == rows[at].micro);
    }
}

static void scaling_is_half_away_from_zero(void **state)
{
    (void)state;
    assert_int_equal(length_scale(1, 1, 2), 1);
    assert_int_equal(length_scale(-1, 1, 2), -1);
    assert_int_equal(length_scale(1, 1, 3), 0);
    assert_int_equal(length_scale(2, 1, 3), 1);
    assert_int_equal(length_scale(LENGTH_LIMIT_UM, LENGTH_LIMIT_UM, LENGTH_LIMIT_UM), LENGTH_LIMIT_UM);
}

static void reals_are_read(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        double value; /* NAN: refused */
    } rows[] = {
        {"12", 12},   {"7.5", 7.5}, {"-7.5", -7.5}, {"1.5e3", 1500}, {"2E-3", 0.002}, {".5", .5},
        {"", NAN},    {"nan", NAN}, {"inf", NAN},   {"1e999", NAN},  {"0x10", NAN},   {"1e", NAN},
        {"1e+", NAN}, {"7,5", NAN}, {" 1", NAN},    {"1 ", NAN},     {"1e5x", NAN},   {"--1", NAN},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        double value = 77;
        struct err err = {0};
        const enum status status = real_parse(rows[at].text, &value, &err);
        if (isnan(rows[at].value))
            ROW(rows[at].text, status == STATUS_INPUT && value == 77 && err.hint[0]);
        else
            ROW(rows[at].text, status == STATUS_OK && value == rows[at].value);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lengths_are_read),
        cmocka_unit_test(units_are_by_definition),
        cmocka_unit_test(lengths_print),
        cmocka_unit_test(exact_text_reads_back_equal),
        cmocka_unit_test(decimals_are_exact_or_refused),
        cmocka_unit_test(scaling_is_half_away_from_zero),
        cmocka_unit_test(reals_are_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
