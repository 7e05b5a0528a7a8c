/* SPDX-License-Identifier: MIT */
/* A row of a pump log from text to whole numbers. Ten million rows go through here, so plain numbers and times of the
 * same day as the row before take a short way. */
#include <ctype.h>
#include <string.h>
#include <strings.h>

#include "coretally/base/limits.h"
#include "log_mapper.h"

__extension__ typedef __int128 wide;

enum { DIGITS_MOST = 18, EXPONENT_MOST = 999 };

static const int64_t powers[DIGITS_MOST + 1] = {1,
                                                10,
                                                100,
                                                1000,
                                                10000,
                                                100000,
                                                1000000,
                                                10000000,
                                                100000000,
                                                1000000000,
                                                10000000000,
                                                100000000000,
                                                1000000000000,
                                                10000000000000,
                                                100000000000000,
                                                1000000000000000,
                                                10000000000000000,
                                                100000000000000000,
                                                1000000000000000000};

/* "e-3" at *at; moves past it. */
static bool take_exponent(const char **at, int *out)
{
    const char *start = *at + 1;
    const bool negative = *start == '-';
    int exponent = 0;
    start += *start == '-' || *start == '+';
    if (!isdigit((unsigned char)*start))
        return false;
    for (; isdigit((unsigned char)*start); start++)
        if (exponent <= EXPONENT_MOST)
            exponent = exponent * 10 + (*start - '0');
    *out = negative ? -exponent : exponent;
    *at = start;
    return true;
}

bool decimal_take(const char *text, struct decimal *out)
{
    const char *at = text;
    const bool negative = *at == '-';
    int64_t digits = 0;
    int count = 0; /* of digits that count */
    int places = 0;
    bool any = false;
    bool point = false;
    at += *at == '-' || *at == '+';
    for (;; at++) {
        if (*at == '.' && !point) {
            point = true;
            continue;
        }
        if (*at < '0' || *at > '9')
            break;
        any = true;
        if (count == DIGITS_MOST) {
            if (!point)
                return false;
            continue; /* beyond what is measured */
        }
        digits = digits * 10 + (*at - '0');
        count += digits != 0;
        places += point;
    }
    int exponent = 0;
    if (!any || ((*at == 'e' || *at == 'E') && !take_exponent(&at, &exponent)) || *at)
        return false;
    places -= exponent;
    for (; places < 0 && digits; places++)
        if (__builtin_mul_overflow(digits, 10, &digits))
            return false;
    for (; places > DIGITS_MOST && digits; places--)
        digits /= 10;
    *out = (struct decimal){.digits = negative ? -digits : digits, .places = digits ? places : 0};
    return true;
}

double decimal_value(const struct decimal *decimal)
{
    return (double)decimal->digits / (double)powers[decimal->places];
}

/* digits / 10^places * numerator / denominator, half away from zero; false when no cell holds it. */
static bool decimal_scale(const struct decimal *decimal, int64_t numerator, int64_t denominator, int64_t *out)
{
    int64_t product = 0;
    int64_t divisor = 0;
    if (!__builtin_mul_overflow(decimal->digits, numerator, &product) &&
        !__builtin_mul_overflow(powers[decimal->places], denominator, &divisor) && product < INT64_MAX / 2 &&
        product > -(INT64_MAX / 2) && divisor < INT64_MAX / 2) {
        *out = product >= 0 ? (product + divisor / 2) / divisor : -((-product + divisor / 2) / divisor);
        return true;
    }
    const wide wide_product = (wide)decimal->digits * numerator;
    const wide wide_divisor = (wide)powers[decimal->places] * denominator;
    const wide scaled = wide_product >= 0 ? (wide_product + wide_divisor / 2) / wide_divisor
                                          : -((-wide_product + wide_divisor / 2) / wide_divisor);
    if (scaled > powers[DIGITS_MOST] || scaled < -powers[DIGITS_MOST])
        return false;
    *out = (int64_t)scaled;
    return true;
}

static bool is_empty(const struct log_mapping *mapping, const char *text)
{
    for (size_t at = 0; at < mapping->empty_count; at++)
        if (strcasecmp(mapping->empties[at].text, text) == 0)
            return true;
    return text[strspn(text, " \t")] == '\0';
}

static bool is_empty_number(const struct log_mapping *mapping, const struct decimal *decimal)
{
    for (size_t at = 0; at < mapping->empty_count; at++)
        if (mapping->empties[at].is_number && mapping->empties[at].value == decimal_value(decimal))
            return true;
    return false;
}

static void name_cell(size_t line, const char *column, char out[ERR_SUBJECT_MAX])
{
    (void)snprintf(out, ERR_SUBJECT_MAX, "line %zu, column %.80s", line, column);
}

static enum status refuse_number(size_t line, const char *column, const char *text, struct err *err)
{
    char where[ERR_SUBJECT_MAX];
    name_cell(line, column, where);
    err_set(err, STATUS_INPUT, where, "'%.60s' is not a number", text);
    if (strchr(text, ','))
        return err_hint(err, "decimals are written with a point, not a comma");
    return err_hint(err,
                    "if it stands for an empty cell, say so in the mapping: empty = %.30s; a row of units below the "
                    "header is taken out first",
                    text);
}

/* The largest number that a column may hold, to either side. */
static int64_t cell_most(enum log_kind kind)
{
    switch (kind) {
    case LOG_BIT:
    case LOG_HOLE:
        return LENGTH_LIMIT_UM;
    case LOG_STROKES:
        return (int64_t)(LOG_STROKES_MOST * 1e3);
    case LOG_RATE:
        return (int64_t)(LOG_RATE_MOST * 1e3);
    case LOG_FLOW:
    case LOG_BOOSTER:
    case LOG_KIND_COUNT:
        break;
    }
    return (int64_t)(LOG_FLOW_MOST * 1e6);
}

static enum status refuse_size(const struct log_source *source, size_t line, const char *text, struct err *err)
{
    static const char *const words[LOG_KIND_COUNT + 1] = {"m is no depth",
                                                          "m is no depth",
                                                          "strokes is on no counter",
                                                          "strokes a minute is done by no pump",
                                                          "m3/min is pumped nowhere",
                                                          "m3/min is pumped nowhere",
                                                          "are too many"};
    const enum log_kind kind = source->channel.kind;
    const double unit = kind == LOG_STROKES || kind == LOG_RATE ? 1e3 : 1e6;
    char where[ERR_SUBJECT_MAX];
    name_cell(line, source->name, where);
    err_set(err, STATUS_INPUT, where, "'%.60s': more than %.0f %s", text, (double)cell_most(kind) / unit, words[kind]);
    return err_hint(err, "look at the unit in the mapping; if this number stands for an empty cell: empty = %.30s",
                    text);
}

static enum status take_cell(const struct log_mapping *mapping, const struct log_source *source, const char *text,
                             size_t line, int64_t *out, struct err *err)
{
    struct decimal decimal;
    int64_t value = 0;
    *out = LENGTH_NONE;
    if (!decimal_take(text, &decimal))
        return is_empty(mapping, text) ? STATUS_OK : refuse_number(line, source->name, text, err);
    if (is_empty_number(mapping, &decimal))
        return STATUS_OK;
    const int64_t most = cell_most(source->channel.kind);
    if (!decimal_scale(&decimal, source->numerator, source->denominator, &value) || value > most || value < -most)
        return refuse_size(source, line, text, err);
    *out = value;
    return STATUS_OK;
}

/* Two digits; false when they are none or too many. */
static bool two_digits(const char *at, int most, int *out)
{
    if (!isdigit((unsigned char)at[0]) || !isdigit((unsigned char)at[1]))
        return false;
    *out = (at[0] - '0') * 10 + at[1] - '0';
    return *out <= most;
}

enum { DATE_LEN = 10, CLOCK_LEN = 19 }; /* "2026-03-09", "2026-03-09T04:12:00" */

/* Since midnight, from the text of a time with its seconds; *zone points past it. */
static bool time_of_day(const char *text, int64_t *out_us, const char **zone)
{
    int hour = 0;
    int minute = 0;
    int second = 0;
    if (strnlen(text, CLOCK_LEN) < CLOCK_LEN || text[13] != ':' || text[16] != ':' || !strchr("Tt ", text[DATE_LEN]) ||
        !two_digits(text + 11, 23, &hour) || !two_digits(text + 14, 59, &minute) || !two_digits(text + 17, 59, &second))
        return false;
    *out_us = ((int64_t)hour * 3600 + minute * 60 + second) * 1000000;
    *zone = text + CLOCK_LEN;
    if (**zone != '.')
        return true;
    if (!isdigit((unsigned char)*++*zone))
        return false;
    for (int64_t unit_us = 100000; isdigit((unsigned char)**zone); (*zone)++, unit_us /= 10)
        *out_us += (**zone - '0') * unit_us;
    return true;
}

static enum status take_stamp(struct log_clock *clock, const char *text, int64_t *out, struct err *err)
{
    int64_t of_day_us = 0;
    const char *zone = NULL;
    const bool plain = time_of_day(text, &of_day_us, &zone);
    if (plain && memcmp(text, clock->day_text, DATE_LEN) == 0 && strcmp(zone, clock->zone_text) == 0) {
        *out = clock->midnight_us + of_day_us;
        return STATUS_OK;
    }
    struct instant instant;
    TRY(instant_parse(text, clock->zone_min, &instant, err));
    *out = instant.utc_us;
    if (plain && strlen(zone) < sizeof clock->zone_text) {
        memcpy(clock->day_text, text, DATE_LEN);
        (void)snprintf(clock->zone_text, sizeof clock->zone_text, "%s", zone);
        clock->midnight_us = instant.utc_us - of_day_us;
    }
    return STATUS_OK;
}

/* 1970-01-01 and 2200-01-01. */
#define ROW_LEAST_US ((int64_t)0)
#define ROW_MOST_US ((int64_t)84006 * DAY_US)

static enum status take_time(struct log_mapping *mapping, const char *text, size_t line, int64_t *out, struct err *err)
{
    struct log_clock *clock = &mapping->clock;
    char where[ERR_SUBJECT_MAX];
    struct err inner = {0};
    struct decimal decimal;
    int64_t utc_us = 0;
    name_cell(line, clock->name, where);
    if (is_empty(mapping, text))
        return err_set(err, STATUS_INPUT, where, "a row without its time");
    if (!clock->is_number) {
        if (take_stamp(clock, text, &utc_us, &inner) != STATUS_OK) {
            err_set(err, STATUS_INPUT, where, "'%.60s': %s", text, inner.reason);
            if (decimal_take(text, &decimal))
                return err_hint(err, "if this counts from an instant, say so: time = %.40s | s | 2026-03-09T00:00:00Z",
                                clock->name);
            return err_hint(err, "%s", inner.hint);
        }
    } else {
        if (!decimal_take(text, &decimal))
            return refuse_number(line, clock->name, text, err);
        if (is_empty_number(mapping, &decimal))
            return err_set(err, STATUS_INPUT, where, "a row without its time");
        if (!decimal_scale(&decimal, clock->unit_us, 1, &utc_us))
            utc_us = ROW_MOST_US;
        utc_us += clock->from_us;
    }
    if (utc_us < ROW_LEAST_US || utc_us >= ROW_MOST_US) {
        err_set(err, STATUS_INPUT, where, "'%.60s' lies outside the years 1970 to 2199", text);
        return err_hint(err, "look at the unit and the instant in the mapping: time = %.40s | s | 2026-03-09T00:00:00Z",
                        clock->name);
    }
    *out = utc_us;
    return STATUS_OK;
}

enum status log_cells(struct log_mapping *mapping, const char *const *row, size_t line, int64_t *cells, struct err *err)
{
    TRY(take_time(mapping, row[mapping->clock.column], line, &cells[0], err));
    for (size_t at = 0; at < mapping->count; at++) {
        const struct log_source *source = &mapping->sources[at];
        if (source->column == SIZE_MAX)
            cells[1 + at] = source->constant;
        else
            TRY(take_cell(mapping, source, row[source->column], line, &cells[1 + at], err));
    }
    return STATUS_OK;
}
