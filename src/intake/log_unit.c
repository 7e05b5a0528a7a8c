/* SPDX-License-Identifier: MIT */
/* Units of the columns of a pump log, and constants that stand for a column. */
#include <ctype.h>
#include <math.h>
#include <string.h>
#include <strings.h>

#include "coretally/intake/log_words.h"
#include "log_mapper.h"

const char *log_units(enum log_kind kind)
{
    switch (kind) {
    case LOG_BIT:
    case LOG_HOLE:
        return "m, ft, cm, mm or in";
    case LOG_STROKES:
        return "stk, or none";
    case LOG_RATE:
        return "spm, stk/min, or none";
    case LOG_FLOW:
    case LOG_BOOSTER:
        return "m3/min, m3/h, m3/s, l/min, l/s, gal/min, gpm or bbl/min";
    case LOG_KIND_COUNT:
        break;
    }
    return "";
}

static int64_t common_divisor(int64_t a, int64_t b)
{
    while (b) {
        const int64_t rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

/* A factor of measure.h as a fraction; all of them are exact to a millionth of the cell's unit, but for thirds. */
static void set_factor(double factor, struct log_source *out)
{
    const int64_t numerator = (int64_t)llround(factor * 1e6);
    const int64_t divisor = common_divisor(numerator, 1000000);
    out->numerator = numerator / divisor;
    out->denominator = 1000000 / divisor;
}

static const int64_t unit_um[LENGTH_UNIT_COUNT] = {
#define LENGTH_UNIT_UM(id, suffix, um) [UNIT_##id] = um,
    LENGTH_UNIT_LIST(LENGTH_UNIT_UM)
#undef LENGTH_UNIT_UM
};

/* "F" is how LAS files are used to write feet. */
static bool find_length(const char *unit, bool las, struct log_source *out)
{
    char lower[8];
    size_t len = 0;
    enum length_unit found = UNIT_M;
    for (; unit[len] && len + 1 < sizeof lower; len++)
        lower[len] = (char)tolower((unsigned char)unit[len]);
    lower[len] = '\0';
    if (unit[len] || !(length_unit_find(lower, &found) || (las && strcmp(lower, "f") == 0)))
        return false;
    if (las && strcmp(lower, "f") == 0)
        found = UNIT_FT;
    out->numerator = unit_um[found];
    out->denominator = 1;
    return true;
}

static bool is_one_of(const char *unit, const char *const *words)
{
    for (; *words; words++)
        if (strcasecmp(unit, *words) == 0)
            return true;
    return false;
}

bool log_unit_find(enum log_kind kind, const char *unit, bool las, struct log_source *out)
{
    static const char *const strokes[] = {"", "stk", "stks", "stroke", "strokes", NULL};
    double factor = 1;
    switch (kind) {
    case LOG_BIT:
    case LOG_HOLE:
        return find_length(unit, las, out);
    case LOG_STROKES:
        if (!is_one_of(unit, strokes))
            return false;
        set_factor(1000, out);
        return true;
    case LOG_RATE:
        if (*unit && !measure_find(MEASURE_RATE, unit, &factor))
            return false;
        set_factor(factor * 1000, out);
        return true;
    case LOG_FLOW:
    case LOG_BOOSTER:
        if (!measure_find(MEASURE_FLOW, unit, &factor))
            return false;
        set_factor(factor * 1e6, out);
        return true;
    case LOG_KIND_COUNT:
        break;
    }
    return false;
}

bool log_time_unit_find(const char *unit, int64_t *unit_us)
{
    static const struct {
        const char *words[4];
        int64_t us;
    } rows[] = {{{"s", "sec", NULL}, 1000000},
                {{"ms", NULL}, 1000},
                {{"min", NULL}, MINUTE_US},
                {{"h", "hr", "hour", NULL}, 60 * MINUTE_US},
                {{"d", "day", "days", NULL}, DAY_US}};
    for (size_t at = 0; at < sizeof rows / sizeof rows[0]; at++)
        if (is_one_of(unit, rows[at].words)) {
            *unit_us = rows[at].us;
            return true;
        }
    return false;
}

enum status log_constant(const char *typed, struct log_source *source, struct err *err)
{
    const enum log_kind kind = source->channel.kind;
    char field[LOG_FIELD_MAX];
    double value = 0;
    log_field(&source->channel, field);
    if (kind != LOG_RATE && kind != LOG_FLOW && kind != LOG_BOOSTER) {
        err_set(err, STATUS_INPUT, field, "a %s cannot be a constant: '%.40s'",
                kind == LOG_STROKES ? "counter" : "depth", typed);
        return err_hint(err, "what can be: rate PUMP = \"80\", flow = \"2.5 m3/min\", booster = \"0\"");
    }
    TRY(measure_parse(typed, kind == LOG_RATE ? MEASURE_RATE : MEASURE_FLOW, &value, err));
    const double most = kind == LOG_RATE ? LOG_RATE_MOST : LOG_FLOW_MOST;
    if (!(value >= 0 && value <= most))
        return err_set(err, STATUS_INPUT, field, "%.40s lies outside 0 to %g %s", typed, most,
                       measure_unit(kind == LOG_RATE ? MEASURE_RATE : MEASURE_FLOW));
    source->constant = (int64_t)llround(value * (kind == LOG_RATE ? 1e3 : 1e6));
    source->column = SIZE_MAX;
    return STATUS_OK;
}
