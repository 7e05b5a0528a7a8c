/* SPDX-License-Identifier: MIT */
/* Cells made and printed. */
#include "coretally/view/cell.h"

#include <assert.h>
#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "coretally/domain/recovery.h"

enum { COMMIT_DIGITS = 10 };

struct cell cell_nothing(void)
{
    return (struct cell){.kind = CELL_NOTHING};
}

static struct cell text_of(enum cell_kind kind, const char *text, int bytes)
{
    if (!text || !*text)
        return cell_nothing();
    return (struct cell){.kind = (uint8_t)kind, .more = bytes, .text = text};
}

struct cell cell_text(const char *text)
{
    return text_of(CELL_TEXT, text, 0);
}

struct cell cell_cut(const char *text, int bytes)
{
    return text_of(CELL_TEXT, text, bytes);
}

struct cell cell_commit(const char *id)
{
    return text_of(CELL_TEXT, id, COMMIT_DIGITS);
}

struct cell cell_commit_whole(const char *id)
{
    return text_of(CELL_COMMIT, id, 0);
}

static struct cell length_of(int64_t um, unsigned unit, int decimals, enum cell_sign sign)
{
    if (um == LENGTH_NONE)
        return cell_nothing();
    return (struct cell){
        .kind = CELL_LENGTH, .sign = (uint8_t)sign, .unit = (uint8_t)unit, .decimals = (uint8_t)decimals, .whole = um};
}

struct cell cell_length(int64_t um, int decimals)
{
    return length_of(um, LENGTH_UNIT_COUNT, decimals, SIGN_OF_LESS);
}

struct cell cell_length_in(int64_t um, enum length_unit unit, int decimals)
{
    return length_of(um, unit, decimals, SIGN_OF_LESS);
}

struct cell cell_shift(int64_t um, int decimals)
{
    return length_of(um, LENGTH_UNIT_COUNT, decimals, SIGN_OF_MORE);
}

struct cell cell_step(int64_t um, int decimals)
{
    return length_of(um, LENGTH_UNIT_COUNT, decimals, SIGN_OF_ALL);
}

struct cell cell_number(int32_t number)
{
    return number == INT_NONE ? cell_nothing() : (struct cell){.kind = CELL_NUMBER, .whole = number};
}

struct cell cell_count(size_t count)
{
    return (struct cell){.kind = CELL_NUMBER, .whole = (int64_t)count};
}

struct cell cell_amount(double amount, int decimals)
{
    if (isnan(amount))
        return cell_nothing();
    return (struct cell){.kind = CELL_AMOUNT, .decimals = (uint8_t)decimals, .real = amount};
}

struct cell cell_real(double amount)
{
    return isnan(amount) ? cell_nothing() : (struct cell){.kind = CELL_REAL, .real = amount};
}

struct cell cell_micro(int64_t micro)
{
    return micro == LENGTH_NONE ? cell_nothing() : (struct cell){.kind = CELL_MICRO, .whole = micro};
}

struct cell cell_recovery(int64_t recovered_um, int64_t advance_um)
{
    enum { DECIMALS = 1 };
    const int64_t tenths = recovery_percent(recovered_um, advance_um, DECIMALS);
    if (tenths == LENGTH_NONE)
        return (struct cell){.kind = CELL_UNDEFINED};
    return (struct cell){.kind = CELL_DECIMAL, .decimals = DECIMALS, .whole = tenths};
}

struct cell cell_instant(struct instant instant)
{
    if (!instant.known)
        return cell_nothing();
    return (struct cell){.kind = CELL_INSTANT, .more = instant.offset_min, .whole = instant.utc_us};
}

bool cell_is_nothing(const struct cell *cell)
{
    return cell->kind == CELL_NOTHING;
}

bool cell_is_number(const struct cell *cell)
{
    switch ((enum cell_kind)cell->kind) {
    case CELL_LENGTH:
    case CELL_NUMBER:
    case CELL_REAL:
    case CELL_DECIMAL:
    case CELL_MICRO:
        return true;
    case CELL_AMOUNT:
        return isfinite(cell->real);
    case CELL_NOTHING:
    case CELL_TEXT:
    case CELL_COMMIT:
    case CELL_UNDEFINED:
    case CELL_INSTANT:
        break;
    }
    return false;
}

static void add_length(const struct cell *cell, const char *suffix, struct text *out)
{
    enum length_unit unit = (enum length_unit)cell->unit;
    const bool has_unit = unit != LENGTH_UNIT_COUNT || (suffix && length_unit_find(suffix, &unit));
    assert(has_unit);
    text_add(out, length_text(cell->whole, unit, cell->decimals).text);
}

/* A whole number of 10^-decimals that is not negative. */
static void add_decimal(const struct cell *cell, struct text *out)
{
    int64_t power = 1;
    for (int digit = 0; digit < cell->decimals; digit++)
        power *= 10;
    text_addf(out, "%" PRId64 ".%0*" PRId64, cell->whole / power, cell->decimals, cell->whole % power);
}

static void add_text(const struct cell *cell, int bytes, struct text *out)
{
    text_add_bytes(out, cell->text, bytes ? strnlen(cell->text, (size_t)bytes) : strlen(cell->text));
}

void cell_add_plain(const struct cell *cell, const char *unit, struct text *out)
{
    char digits[LENGTH_TEXT_MAX];
    char time[INSTANT_TEXT_MAX];
    switch ((enum cell_kind)cell->kind) {
    case CELL_NOTHING:
    case CELL_UNDEFINED:
        break;
    case CELL_TEXT:
    case CELL_COMMIT:
        add_text(cell, cell->more, out);
        break;
    case CELL_LENGTH:
        add_length(cell, unit, out);
        break;
    case CELL_NUMBER:
        text_addf(out, "%" PRId64, cell->whole);
        break;
    case CELL_AMOUNT:
        text_addf(out, "%.*f", cell->decimals, cell->real);
        break;
    case CELL_REAL:
        text_add_real(out, cell->real);
        break;
    case CELL_DECIMAL:
        add_decimal(cell, out);
        break;
    case CELL_MICRO: /* a length of as many micrometres has the same digits in metres */
        length_format_exact(cell->whole, UNIT_M, digits);
        text_add(out, digits);
        break;
    case CELL_INSTANT:
        instant_format((struct instant){.utc_us = cell->whole, .offset_min = cell->more, .known = true}, time);
        text_add(out, time);
        break;
    }
}

void cell_add_people(const struct cell *cell, const char *unit, struct text *out)
{
    const bool has_plus = cell->sign == SIGN_OF_ALL ? cell->whole >= 0 : cell->sign == SIGN_OF_MORE && cell->whole > 0;
    if (cell->kind == CELL_UNDEFINED)
        text_add(out, "n/a");
    else if (cell->kind == CELL_COMMIT)
        add_text(cell, COMMIT_DIGITS, out);
    else {
        text_add(out, cell->kind == CELL_LENGTH && has_plus ? "+" : "");
        cell_add_plain(cell, unit, out);
    }
}
