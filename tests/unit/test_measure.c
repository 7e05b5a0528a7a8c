/* SPDX-License-Identifier: MIT */
/* Amounts with units: every unit against its definition, bare numbers, and what is refused. */
#include "unit.h"

#include <math.h>
#include <stdio.h>

#include "coretally/base/measure.h"

/* Worked out here from what defines them, so that a slip in the table does not repeat itself. */
#define INCH 0.0254
#define FOOT 0.3048
#define GALLON (231 * INCH * INCH * INCH)
#define BARREL (9702 * INCH * INCH * INCH)
#define POUND 0.45359237
#define GRAVITY 9.80665

static const char nist[] = "NIST Special Publication 811 (2008), appendix B.8";
static const char prefix[] = "SI prefix";
static const char name[] = "another name of the unit";
static const char hour[] = "1 h = 60 min = 3600 s";

static const struct definition {
    enum measure measure;
    const char *unit;
    double factor;
    const char *source;
} definitions[] = {
    {MEASURE_VOLUME, "m3", 1, prefix},
    {MEASURE_VOLUME, "l", 0.001, "1 l = 1 dm3"},
    {MEASURE_VOLUME, "bbl", BARREL, nist},
    {MEASURE_VOLUME, "gal", GALLON, nist},
    {MEASURE_VOLUME, "ft3", FOOT *FOOT *FOOT, nist},
    {MEASURE_FLOW, "m3/min", 1, prefix},
    {MEASURE_FLOW, "m3/h", 1.0 / 60, hour},
    {MEASURE_FLOW, "m3/s", 60, hour},
    {MEASURE_FLOW, "l/min", 0.001, "1 l = 1 dm3"},
    {MEASURE_FLOW, "l/s", 0.06, hour},
    {MEASURE_FLOW, "gpm", GALLON, nist},
    {MEASURE_FLOW, "gal/min", GALLON, nist},
    {MEASURE_FLOW, "bbl/min", BARREL, nist},
    {MEASURE_FLOW, "bpm", BARREL, name},
    {MEASURE_OUTPUT, "m3/stk", 1, prefix},
    {MEASURE_OUTPUT, "l/stk", 0.001, "1 l = 1 dm3"},
    {MEASURE_OUTPUT, "bbl/stk", BARREL, nist},
    {MEASURE_OUTPUT, "gal/stk", GALLON, nist},
    {MEASURE_RATE, "spm", 1, name},
    {MEASURE_RATE, "stk/min", 1, name},
    {MEASURE_RATE, "1/min", 1, name},
    {MEASURE_SPEED, "m/min", 1, prefix},
    {MEASURE_SPEED, "m/s", 60, hour},
    {MEASURE_SPEED, "m/h", 1.0 / 60, hour},
    {MEASURE_SPEED, "ft/min", FOOT, nist},
    {MEASURE_SPEED, "ft/s", FOOT * 60, nist},
    {MEASURE_SPEED, "ft/h", FOOT / 60, nist},
    {MEASURE_DENSITY, "kg/m3", 1, prefix},
    {MEASURE_DENSITY, "g/cm3", 1000, prefix},
    {MEASURE_DENSITY, "lb/gal", POUND / GALLON, nist},
    {MEASURE_DENSITY, "ppg", POUND / GALLON, name},
    {MEASURE_VISCOSITY, "mPa.s", 1, prefix},
    {MEASURE_VISCOSITY, "cP", 1, nist},
    {MEASURE_VISCOSITY, "Pa.s", 1000, prefix},
    {MEASURE_STRESS, "Pa", 1, prefix},
    {MEASURE_STRESS, "lbf/100ft2", POUND *GRAVITY / (100 * FOOT * FOOT), nist},
    {MEASURE_TIME, "s", 1, prefix},
    {MEASURE_TIME, "min", 60, hour},
    {MEASURE_TIME, "h", 3600, hour},
    {MEASURE_PERCENT, "%", 1, name},
    {MEASURE_PERCENT, "pct", 1, name},
    {MEASURE_MASS, "g", 1, prefix},
    {MEASURE_MASS, "kg", 1000, prefix},
    {MEASURE_SIZE, "m", 1, prefix},
    {MEASURE_SIZE, "cm", 0.01, prefix},
    {MEASURE_SIZE, "mm", 0.001, prefix},
    {MEASURE_SIZE, "in", INCH, nist},
    {MEASURE_RATIO, "1", 1, name},
    {MEASURE_FORCE, "kN", 1, prefix},
    {MEASURE_FORCE, "N", 0.001, prefix},
    {MEASURE_FORCE, "lbf", POUND *GRAVITY / 1000, nist},
    {MEASURE_FORCE, "klbf", POUND *GRAVITY, nist},
    {MEASURE_AREA, "mm2", 1, prefix},
    {MEASURE_AREA, "cm2", 100, prefix},
    {MEASURE_AREA, "in2", INCH *INCH * 1e6, nist},
    {MEASURE_LINEAR, "kg/m", 1, prefix},
    {MEASURE_LINEAR, "lb/ft", POUND / FOOT, nist},
    {MEASURE_MODULUS, "GPa", 1, prefix},
    {MEASURE_MODULUS, "MPa", 0.001, prefix},
    {MEASURE_MODULUS, "psi", POUND *GRAVITY / (INCH * INCH * 1e9), nist},
    {MEASURE_WARMTH, "K", 1, prefix},
    {MEASURE_WARMTH, "C", 1, "a rise of 1 C is one of 1 K"},
    {MEASURE_WARMTH, "F", 5.0 / 9, nist},
    {MEASURE_EXPANSION, "um/m/K", 1, prefix},
    {MEASURE_EXPANSION, "1/K", 1e6, prefix},
    {MEASURE_ANGLE, "deg", 1, name},
    {MEASURE_SMALL, "cm3", 1, prefix},
    {MEASURE_SMALL, "ml", 1, "1 l = 1 dm3"},
    {MEASURE_SMALL, "cc", 1, name},
    {MEASURE_SMALL, "l", 1000, "1 l = 1 dm3"},
};

/* Relative; a few last bits. */
static bool is_near(double value, double expected)
{
    return fabs(value - expected) <= 1e-14 * fabs(expected);
}

static void units_are_by_definition(void **state)
{
    (void)state;
    for (size_t at = 0; at < COUNT_OF(definitions); at++) {
        const struct definition *row = &definitions[at];
        char typed[40];
        double factor = 0;
        double value = 0;
        struct err err;
        ROW(row->unit, row->source && row->source[0]);
        ROW(row->unit, measure_find(row->measure, row->unit, &factor) && is_near(factor, row->factor));
        /* 2.51/min would be 2.51 of something: a unit that begins with a digit stands apart */
        (void)snprintf(typed, sizeof typed, "2.5%s%s", row->unit[0] == '1' ? " " : "", row->unit);
        ROW(typed, measure_parse(typed, row->measure, &value, &err) == STATUS_OK && is_near(value, 2.5 * row->factor));
        (void)snprintf(typed, sizeof typed, " -2.5 %s ", row->unit);
        ROW(typed, measure_parse(typed, row->measure, &value, &err) == STATUS_OK && is_near(value, -2.5 * row->factor));
        ROW(typed, measure_parse_in("2.5", row->measure, row->unit, &value, &err) == STATUS_OK);
        ROW(typed, is_near(value, 2.5 * row->factor));
    }
    assert_true(is_near(CUBIC_METRES_PER_BARREL, BARREL) && is_near(BARREL, 42 * GALLON));
    assert_true(is_near(CUBIC_METRES_PER_GALLON, GALLON));
    assert_true(is_near(CUBIC_METRES_PER_CUBIC_FOOT, FOOT * FOOT * FOOT));
}

/* The hint of a refusal lists what there is; the table above must name the same, so that no unit goes unchecked. */
static void no_unit_is_missing_above(void **state)
{
    (void)state;
    for (int measure = MEASURE_NONE + 1; measure < MEASURE_COUNT; measure++) {
        char listed[ERR_HINT_MAX] = "type one of ";
        double value = 77;
        struct err err = {0};
        for (size_t at = 0; at < COUNT_OF(definitions); at++)
            if ((int)definitions[at].measure == measure) {
                const size_t used = strlen(listed);
                const bool first = strcmp(definitions[at].unit, measure_unit((enum measure)measure)) == 0;
                (void)snprintf(listed + used, sizeof listed - used, "%s%s", first ? "" : ", ", definitions[at].unit);
            }
        const size_t used = strlen(listed);
        (void)snprintf(listed + used, sizeof listed - used, "; a bare number means %s",
                       measure_unit((enum measure)measure));
        assert_int_equal(measure_parse("1 furlong", (enum measure)measure, &value, &err), STATUS_INPUT);
        assert_string_equal(err.hint, listed);
        assert_non_null(strstr(err.reason, "furlong"));
        assert_true(value == 77);
    }
    double factor = 77;
    assert_string_equal(measure_unit(MEASURE_NONE), "");
    assert_false(measure_find(MEASURE_NONE, "m3", &factor));
    assert_true(factor == 77);
}

static void bare_numbers_have_a_unit(void **state)
{
    (void)state;
    static const struct {
        enum measure measure;
        const char *unit;
    } rows[] = {
        {MEASURE_VOLUME, "m3"},        {MEASURE_FLOW, "m3/min"},   {MEASURE_OUTPUT, "m3/stk"}, {MEASURE_RATE, "spm"},
        {MEASURE_SPEED, "m/min"},      {MEASURE_DENSITY, "kg/m3"}, {MEASURE_STRESS, "Pa"},     {MEASURE_TIME, "s"},
        {MEASURE_VISCOSITY, "mPa.s"},  {MEASURE_PERCENT, "%"},     {MEASURE_MASS, "g"},        {MEASURE_SIZE, "m"},
        {MEASURE_RATIO, "1"},          {MEASURE_SMALL, "cm3"},     {MEASURE_FORCE, "kN"},      {MEASURE_AREA, "mm2"},
        {MEASURE_LINEAR, "kg/m"},      {MEASURE_MODULUS, "GPa"},   {MEASURE_WARMTH, "K"},      {MEASURE_ANGLE, "deg"},
        {MEASURE_EXPANSION, "um/m/K"},
    };
    assert_int_equal(COUNT_OF(rows), MEASURE_COUNT - 1);
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        double value = 0;
        struct err err;
        ROW_TEXT(rows[at].unit, measure_unit(rows[at].measure), rows[at].unit);
        ROW(rows[at].unit, measure_parse("12.5", rows[at].measure, &value, &err) == STATUS_OK && value == 12.5);
    }
}

static void amounts_are_read(void **state)
{
    (void)state;
    static const struct {
        const char *typed;
        enum measure measure;
        const char *bare;
        double value; /* NAN: refused */
        const char *says;
    } rows[] = {
        {"300 gpm", MEASURE_FLOW, "m3/min", 300 * GALLON, NULL},
        {"300GPM", MEASURE_FLOW, "m3/min", 300 * GALLON, NULL},
        {"7.14bbl/min", MEASURE_FLOW, "m3/min", 7.14 * BARREL, NULL},
        {"1.5e3", MEASURE_FLOW, "l/min", 1.5, NULL},
        {"1.5e-3 m3/s", MEASURE_FLOW, "l/min", 0.09, NULL},
        {"2.5", MEASURE_FLOW, "l/min", 0.0025, NULL},
        {"0", MEASURE_VOLUME, "m3", 0, NULL},
        {".5", MEASURE_VOLUME, "m3", 0.5, NULL},
        {"+4", MEASURE_VOLUME, "m3", 4, NULL},
        {"97 %", MEASURE_PERCENT, "%", 97, NULL},
        {"10 lb/gal", MEASURE_DENSITY, "kg/m3", 10 * POUND / GALLON, NULL},
        {"13cp", MEASURE_VISCOSITY, "mPa.s", 13, NULL},
        {"10 lbf/100ft2", MEASURE_STRESS, "Pa", 10 * POUND * GRAVITY / (100 * FOOT * FOOT), NULL},
        {"230000 lbf", MEASURE_FORCE, "kN", 230 * POUND * GRAVITY, NULL},
        {"230KLBF", MEASURE_FORCE, "kN", 230 * POUND * GRAVITY, NULL},
        {"3.009 in2", MEASURE_AREA, "mm2", 3.009 * INCH * INCH * 1e6, NULL},
        {"30e6 psi", MEASURE_MODULUS, "GPa", 0.03 * POUND * GRAVITY / (INCH * INCH), NULL},
        {"147.5F", MEASURE_WARMTH, "K", 147.5 * 5 / 9, NULL},
        {"1.245e-5 1/K", MEASURE_EXPANSION, "um/m/K", 12.45, NULL},
        {"", MEASURE_VOLUME, "m3", NAN, "not an amount"},
        {"   ", MEASURE_VOLUME, "m3", NAN, "not an amount"},
        {"m3", MEASURE_VOLUME, "m3", NAN, "not an amount"},
        {"-", MEASURE_VOLUME, "m3", NAN, "not an amount"},
        {"1.2.3", MEASURE_VOLUME, "m3", NAN, "not an amount"},
        {"1-2", MEASURE_VOLUME, "m3", NAN, "not an amount"},
        {"nan", MEASURE_VOLUME, "m3", NAN, "not an amount"},
        {"inf", MEASURE_VOLUME, "m3", NAN, "not an amount"},
        {"1e999", MEASURE_VOLUME, "m3", NAN, "not an amount"},
        {"0.0000000000000000000000000000000000000000000000000000000000000001", MEASURE_VOLUME, "m3", NAN,
         "not an amount"},
        {"1,5", MEASURE_VOLUME, "m3", NAN, "a point, not a comma"},
        {"2.51/min", MEASURE_RATE, "spm", NAN, "not a unit"},
        {"0x10", MEASURE_VOLUME, "m3", NAN, "not a unit"},
        {"1e", MEASURE_VOLUME, "m3", NAN, "not a unit"},
        {"5 gpm", MEASURE_VOLUME, "m3", NAN, "'gpm' is not a unit"},
        {"5 bbl", MEASURE_FLOW, "m3/min", NAN, "'bbl' is not a unit"},
        {"5 m3/min/min", MEASURE_FLOW, "m3/min", NAN, "not a unit"},
        {"5 m3 /min", MEASURE_FLOW, "m3/min", NAN, "not a unit"},
        {"5 m3/minnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnn", MEASURE_FLOW, "m3/min", NAN, "not a unit"},
        {"5", MEASURE_FLOW, "bbl", NAN, "not a unit"},
        {"230000 lb", MEASURE_FORCE, "kN", NAN, "'lb' is not a unit"},
        {"23.52 lb", MEASURE_LINEAR, "kg/m", NAN, "'lb' is not a unit"},
        {"30e6 lbf/in2", MEASURE_MODULUS, "GPa", NAN, "not a unit"},
        {"15 rad", MEASURE_ANGLE, "deg", NAN, "not a unit"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        double value = 77;
        struct err err = {0};
        const enum status status = measure_parse_in(rows[at].typed, rows[at].measure, rows[at].bare, &value, &err);
        if (!isnan(rows[at].value)) {
            ROW(rows[at].typed, status == STATUS_OK && fabs(value - rows[at].value) <= 1e-14 * rows[at].value);
            continue;
        }
        ROW(rows[at].typed, status == STATUS_INPUT && err.status == STATUS_INPUT && value == 77);
        ROW(rows[at].typed, err.hint[0] && strstr(err.reason, rows[at].says) != NULL);
    }
}

/* A factor must not make a number of infinity. */
static void what_overflows_is_refused(void **state)
{
    (void)state;
    double value = 77;
    struct err err = {0};
    assert_int_equal(measure_parse("1e308 g/cm3", MEASURE_DENSITY, &value, &err), STATUS_INPUT);
    assert_true(value == 77 && err.hint[0]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(units_are_by_definition),   cmocka_unit_test(no_unit_is_missing_above),
        cmocka_unit_test(bare_numbers_have_a_unit),  cmocka_unit_test(amounts_are_read),
        cmocka_unit_test(what_overflows_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
