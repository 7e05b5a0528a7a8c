/* SPDX-License-Identifier: MIT */
/* Numbers with units: parsing and printing without a detour through doubles. */
#include "coretally/base/quantity.h"

#include <ctype.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/base/marks.h"

__extension__ typedef __int128 wide;

static const struct {
    const char *suffix;
    int64_t um;
} unit_rows[LENGTH_UNIT_COUNT] = {
#define LENGTH_UNIT_ROW(id, suffix, um) [UNIT_##id] = {suffix, um},
    LENGTH_UNIT_LIST(LENGTH_UNIT_ROW)
#undef LENGTH_UNIT_ROW
};

const char *length_unit_suffix(enum length_unit unit)
{
    return unit_rows[unit].suffix;
}

bool length_unit_find(const char *suffix, enum length_unit *out)
{
    for (int unit = 0; unit < LENGTH_UNIT_COUNT; unit++)
        if (strcmp(suffix, unit_rows[unit].suffix) == 0) {
            *out = (enum length_unit)unit;
            return true;
        }
    return false;
}

/* number / divisor, half away from zero; divisor > 0. */
static wide divide_half_away(wide number, wide divisor)
{
    const wide half = divisor / 2;
    return number >= 0 ? (number + half) / divisor : -((-number + half) / divisor);
}

int64_t length_scale(int64_t a_um, int64_t b, int64_t c)
{
    return (int64_t)divide_half_away((wide)a_um * b, c);
}

enum { DIGITS_MAX = 24 };

/* The length of the decimal number at string: [+-] digits [. digits], at least one digit; 0 when there is none.
 * *out = number * factor * 10^-power as an exact fraction numerator / 10^places. */
static size_t decimal_scan(const char *string, size_t len, wide *digits, int *places)
{
    size_t at = 0;
    const bool negative = at < len && string[at] == '-';
    if (at < len && (string[at] == '-' || string[at] == '+'))
        at++;
    int count = 0;
    bool point = false;
    *digits = 0;
    *places = 0;
    for (; at < len; at++) {
        if (string[at] == '.' && !point) {
            point = true;
            continue;
        }
        if (!isdigit((unsigned char)string[at]))
            break;
        if (++count > DIGITS_MAX)
            return 0;
        *digits = *digits * 10 + (string[at] - '0');
        *places += point;
    }
    if (count == 0 || string[at - 1] == '.')
        return 0;
    if (negative)
        *digits = -*digits;
    return at;
}

static wide power_of_ten(int places)
{
    wide power = 1;
    while (places-- > 0)
        power *= 10;
    return power;
}

bool decimal_parse_micro(const char *string, size_t len, bool round, int64_t *out)
{
    wide digits = 0;
    int places = 0;
    if (decimal_scan(string, len, &digits, &places) != len || len == 0)
        return false;
    const wide power = power_of_ten(places);
    if (digits / power > LENGTH_LIMIT_UM || -digits / power > LENGTH_LIMIT_UM)
        return false;
    const wide micro = divide_half_away(digits * 1000000, power);
    if (!round && micro * power != digits * 1000000)
        return false;
    if (micro > LENGTH_LIMIT_UM || micro < -LENGTH_LIMIT_UM)
        return false;
    *out = (int64_t)micro;
    return true;
}

enum status refuse_comma(const char *string, struct err *err)
{
    char meant[ERR_HINT_MAX / 2];
    const bool has_point = strchr(string, '.') != NULL;
    const bool is_decimal = !has_point && strchr(string, ',') == strrchr(string, ',');
    size_t used = 0;
    for (const char *at = string; *at && used + 1 < sizeof meant; at++)
        if (*at != ',' || is_decimal)
            meant[used++] = (char)(*at == ',' ? '.' : *at);
    meant[used] = '\0';
    err_set(err, STATUS_INPUT, string,
            is_decimal ? "decimals are written with a point, not a comma" : "thousands are typed without a comma");
    return err_hint(err, "type %s", meant);
}

bool length_typed_unit(const char *string, enum length_unit *out)
{
    wide digits = 0;
    int places = 0;
    string += strspn(string, " ");
    const size_t used = decimal_scan(string, strlen(string), &digits, &places);
    return used && length_unit_find(string + used + strspn(string + used, " "), out);
}

enum status length_parse(const char *string, enum length_unit bare, int64_t *out_um, struct err *err)
{
    const char *start = string;
    while (*start == ' ')
        start++;
    wide digits = 0;
    int places = 0;
    const size_t used = decimal_scan(start, strlen(start), &digits, &places);
    if (used == 0) {
        err_set(err, STATUS_INPUT, string, "this is not a length");
        err_hint(err, "type a number and, if it is not in %s, its unit: 105.2  345.1ft  45cm  12.25in",
                 unit_rows[bare].suffix);
        return err_marks(err, string);
    }
    const char *suffix = start + used;
    if (*suffix == ',')
        return refuse_comma(string, err);
    while (*suffix == ' ')
        suffix++;
    enum length_unit unit = bare;
    if (*suffix && !length_unit_find(suffix, &unit)) {
        err_set(err, STATUS_INPUT, string, "'%s' is not a unit of length", suffix);
        err_hint(err, "units are m, cm, mm, ft and in; a bare number means %s", unit_rows[bare].suffix);
        return err_marks(err, string);
    }
    const wide um = divide_half_away(digits * unit_rows[unit].um, power_of_ten(places));
    if (um > LENGTH_LIMIT_UM || um < -LENGTH_LIMIT_UM) {
        err_set(err, STATUS_INPUT, string, "no hole has a depth or length of more than %d m",
                (int)(LENGTH_LIMIT_UM / 1000000));
        return err_hint(err, "look for a lost decimal point or a wrong unit");
    }
    *out_um = (int64_t)um;
    return STATUS_OK;
}

void length_format(int64_t um, enum length_unit unit, int decimals, char out[LENGTH_TEXT_MAX])
{
    const wide power = power_of_ten(decimals);
    const wide scaled = divide_half_away((wide)um * power, unit_rows[unit].um);
    const wide magnitude = scaled < 0 ? -scaled : scaled;
    const char *sign = scaled < 0 ? "-" : "";
    const int64_t whole = (int64_t)(magnitude / power);
    const int64_t rest = (int64_t)(magnitude % power);
    if (decimals == 0)
        (void)snprintf(out, LENGTH_TEXT_MAX, "%s%" PRId64, sign, whole);
    else
        (void)snprintf(out, LENGTH_TEXT_MAX, "%s%" PRId64 ".%0*" PRId64, sign, whole, decimals, rest);
}

struct length_text length_text(int64_t um, enum length_unit unit, int decimals)
{
    struct length_text out;
    length_format(um, unit, decimals, out.text);
    return out;
}

void length_format_exact(int64_t um, enum length_unit unit, char out[LENGTH_TEXT_MAX])
{
    static const int places[LENGTH_UNIT_COUNT] = {
        [UNIT_M] = 6, [UNIT_CM] = 4, [UNIT_MM] = 3, [UNIT_FT] = 9, [UNIT_IN] = 9};
    length_format(um, unit, places[unit], out);
    size_t len = strlen(out);
    while (out[len - 1] == '0')
        len--;
    if (out[len - 1] == '.')
        len--;
    out[len] = '\0';
}

enum status real_parse(const char *string, double *out, struct err *err)
{
    wide digits = 0;
    int places = 0;
    const size_t len = strlen(string);
    const size_t used = decimal_scan(string, len, &digits, &places);
    size_t end = used;
    if (used && (string[end] == 'e' || string[end] == 'E')) { /* 1.5e3 is a number too */
        end++;
        if (string[end] == '+' || string[end] == '-')
            end++;
        if (!isdigit((unsigned char)string[end]))
            end = 0;
        while (end && isdigit((unsigned char)string[end]))
            end++;
    }
    const double value = used ? strtod(string, NULL) : 0;
    if (end != len || len == 0 || !isfinite(value)) {
        if (strchr(string, ','))
            return refuse_comma(string, err);
        err_set(err, STATUS_INPUT, string, "this is not a number");
        err_hint(err, "type digits with a decimal point, such as 12 or 7.5");
        return err_marks(err, string);
    }
    *out = value;
    return STATUS_OK;
}
