/* SPDX-License-Identifier: MIT */
/* Units of amounts, and amounts as typed. */
#include "coretally/base/measure.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "coretally/base/marks.h"
#include "coretally/base/quantity.h"

/* lb/gal and lbf/100 ft2 from the pound (0.45359237 kg), the gallon, standard gravity (9.80665 m/s2) and the foot. */
#define KG_M3_PER_LB_GAL (0.45359237 / CUBIC_METRES_PER_GALLON)
#define PA_PER_LBF_100FT2 (0.45359237 * 9.80665 / (100 * 0.3048 * 0.3048))

/* The first row of a measure is the unit inside, and that of bare numbers. */
static const struct {
    enum measure measure;
    const char *unit;
    double factor;
} rows[] = {
    {MEASURE_VOLUME, "m3", 1},
    {MEASURE_VOLUME, "l", 1e-3},
    {MEASURE_VOLUME, "bbl", CUBIC_METRES_PER_BARREL},
    {MEASURE_VOLUME, "gal", CUBIC_METRES_PER_GALLON},
    {MEASURE_VOLUME, "ft3", CUBIC_METRES_PER_CUBIC_FOOT},
    {MEASURE_FLOW, "m3/min", 1},
    {MEASURE_FLOW, "m3/h", 1.0 / 60},
    {MEASURE_FLOW, "m3/s", 60},
    {MEASURE_FLOW, "l/min", 1e-3},
    {MEASURE_FLOW, "l/s", 0.06},
    {MEASURE_FLOW, "gpm", CUBIC_METRES_PER_GALLON},
    {MEASURE_FLOW, "gal/min", CUBIC_METRES_PER_GALLON},
    {MEASURE_FLOW, "bbl/min", CUBIC_METRES_PER_BARREL},
    {MEASURE_FLOW, "bpm", CUBIC_METRES_PER_BARREL},
    {MEASURE_OUTPUT, "m3/stk", 1},
    {MEASURE_OUTPUT, "l/stk", 1e-3},
    {MEASURE_OUTPUT, "bbl/stk", CUBIC_METRES_PER_BARREL},
    {MEASURE_OUTPUT, "gal/stk", CUBIC_METRES_PER_GALLON},
    {MEASURE_RATE, "spm", 1},
    {MEASURE_RATE, "stk/min", 1},
    {MEASURE_RATE, "1/min", 1},
    {MEASURE_SPEED, "m/min", 1},
    {MEASURE_SPEED, "m/s", 60},
    {MEASURE_SPEED, "m/h", 1.0 / 60},
    {MEASURE_SPEED, "ft/min", 0.3048},
    {MEASURE_SPEED, "ft/s", 18.288},
    {MEASURE_SPEED, "ft/h", 0.3048 / 60},
    {MEASURE_DENSITY, "kg/m3", 1},
    {MEASURE_DENSITY, "g/cm3", 1000},
    {MEASURE_DENSITY, "lb/gal", KG_M3_PER_LB_GAL},
    {MEASURE_DENSITY, "ppg", KG_M3_PER_LB_GAL},
    {MEASURE_VISCOSITY, "mPa.s", 1},
    {MEASURE_VISCOSITY, "cP", 1},
    {MEASURE_VISCOSITY, "Pa.s", 1000},
    {MEASURE_STRESS, "Pa", 1},
    {MEASURE_STRESS, "lbf/100ft2", PA_PER_LBF_100FT2},
    {MEASURE_TIME, "s", 1},
    {MEASURE_TIME, "min", 60},
    {MEASURE_TIME, "h", 3600},
    {MEASURE_PERCENT, "%", 1},
    {MEASURE_PERCENT, "pct", 1},
    {MEASURE_MASS, "g", 1},
    {MEASURE_MASS, "kg", 1000},
    {MEASURE_SIZE, "m", 1},
    {MEASURE_SIZE, "cm", 0.01},
    {MEASURE_SIZE, "mm", 0.001},
    {MEASURE_SIZE, "in", 0.0254},
    {MEASURE_RATIO, "1", 1},
    {MEASURE_FORCE, "kN", 1},
    {MEASURE_FORCE, "N", 1e-3},
    {MEASURE_FORCE, "lbf", 0.45359237 * 9.80665e-3},
    {MEASURE_FORCE, "klbf", 0.45359237 * 9.80665},
    {MEASURE_AREA, "mm2", 1},
    {MEASURE_AREA, "cm2", 100},
    {MEASURE_AREA, "in2", 25.4 * 25.4},
    {MEASURE_LINEAR, "kg/m", 1},
    {MEASURE_LINEAR, "lb/ft", 0.45359237 / 0.3048},
    {MEASURE_MODULUS, "GPa", 1},
    {MEASURE_MODULUS, "MPa", 1e-3},
    {MEASURE_MODULUS, "psi", 0.45359237 * 9.80665 / (0.0254 * 0.0254) * 1e-9},
    {MEASURE_WARMTH, "K", 1},
    {MEASURE_WARMTH, "C", 1},
    {MEASURE_WARMTH, "F", 5.0 / 9},
    {MEASURE_EXPANSION, "um/m/K", 1},
    {MEASURE_EXPANSION, "1/K", 1e6},
    {MEASURE_ANGLE, "deg", 1},
    {MEASURE_SMALL, "cm3", 1},
    {MEASURE_SMALL, "ml", 1},
    {MEASURE_SMALL, "cc", 1},
    {MEASURE_SMALL, "l", 1000},
};

enum { ROW_COUNT = sizeof rows / sizeof rows[0] };

const char *measure_unit(enum measure measure)
{
    for (size_t at = 0; at < ROW_COUNT; at++)
        if (rows[at].measure == measure)
            return rows[at].unit;
    return "";
}

bool measure_find(enum measure measure, const char *unit, double *factor)
{
    for (size_t at = 0; at < ROW_COUNT; at++)
        if (rows[at].measure == measure && strcasecmp(rows[at].unit, unit) == 0) {
            *factor = rows[at].factor;
            return true;
        }
    return false;
}

static enum status refuse_unit(const char *string, const char *unit, enum measure measure, const char *bare,
                               struct err *err)
{
    char known[160] = "";
    for (size_t at = 0; at < ROW_COUNT; at++)
        if (rows[at].measure == measure) {
            const size_t used = strlen(known);
            (void)snprintf(known + used, sizeof known - used, "%s%s", used ? ", " : "", rows[at].unit);
        }
    err_set(err, STATUS_INPUT, string, "'%.40s' is not a unit that fits here", unit);
    err_hint(err, "type one of %s; a bare number means %s", known, bare);
    return err_marks(err, string);
}

enum status measure_parse_in(const char *string, enum measure measure, const char *bare, double *out, struct err *err)
{
    char number[64];
    if (strchr(string, ','))
        return refuse_comma(string, err);
    const char *start = string + strspn(string, " ");
    size_t len = strspn(start, "+-.0123456789");
    /* 1.5e3 is a number; the e of another word is not */
    if ((start[len] == 'e' || start[len] == 'E') && start[len + 1 + strspn(start + len + 1, "+-")] >= '0' &&
        start[len + 1 + strspn(start + len + 1, "+-")] <= '9')
        len += 1 + strspn(start + len + 1, "+-0123456789");
    (void)snprintf(number, sizeof number, "%.*s", (int)(len < sizeof number ? len : 0), start);
    double value = 0;
    struct err inner = {0};
    if (real_parse(number, &value, &inner) != STATUS_OK) {
        err_set(err, STATUS_INPUT, string, "this is not an amount");
        err_hint(err, "type a number and, if it is not in %s, its unit", bare);
        return err_marks(err, string);
    }
    char unit[32];
    const char *suffix = start + len;
    suffix += strspn(suffix, " ");
    (void)snprintf(unit, sizeof unit, "%.31s", *suffix ? suffix : bare);
    for (size_t end = strlen(unit); end > 0 && unit[end - 1] == ' '; end--)
        unit[end - 1] = '\0';
    double factor = 1;
    if (strlen(suffix) >= sizeof unit || !measure_find(measure, unit, &factor))
        return refuse_unit(string, suffix, measure, bare, err);
    if (!isfinite(value * factor)) {
        err_set(err, STATUS_INPUT, string, "this is too large for an amount");
        return err_hint(err, "check the number");
    }
    *out = value * factor;
    return STATUS_OK;
}

enum status measure_parse(const char *string, enum measure measure, double *out, struct err *err)
{
    return measure_parse_in(string, measure, measure_unit(measure), out, err);
}
