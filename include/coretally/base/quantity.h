/* SPDX-License-Identifier: MIT */
/* Numbers with units. Lengths and depths are whole micrometres in an int64, so
 * that millimetres, inches and feet are exact and sums are the same on every
 * machine. A bare number means the unit that the caller documents; a suffix
 * says otherwise: 105.2  105.2m  345.1ft  45cm  12.25in  900mm */
#ifndef CORETALLY_BASE_QUANTITY_H
#define CORETALLY_BASE_QUANTITY_H

#include <stdbool.h>
#include <stdint.h>

#include "coretally/base/text.h"

/* "Not recorded": a missing input is never 0. */
#define LENGTH_NONE INT64_MIN
#define INT_NONE INT32_MIN

/* The one list of length units: id, suffix, micrometres. International foot and inch
 * (1 ft = 0.3048 m, 1 in = 0.0254 m, by definition, NIST Special Publication 811, 2008, appendix B.8). */
#define LENGTH_UNIT_LIST(X)                                                                                            \
    X(M, "m", 1000000)                                                                                                 \
    X(CM, "cm", 10000)                                                                                                 \
    X(MM, "mm", 1000)                                                                                                  \
    X(FT, "ft", 304800)                                                                                                \
    X(IN, "in", 25400)

enum length_unit {
#define LENGTH_UNIT_ID(id, suffix, um) UNIT_##id,
    LENGTH_UNIT_LIST(LENGTH_UNIT_ID)
#undef LENGTH_UNIT_ID
        LENGTH_UNIT_COUNT
};

const char *length_unit_suffix(enum length_unit unit);

/* The unit with exactly this suffix; false when there is none. */
bool length_unit_find(const char *suffix, enum length_unit *out);

/* The unit that a typed length ends in; false when it is bare, or no length. */
bool length_typed_unit(const char *string, enum length_unit *out);

/* Decimal number with an optional unit suffix; beyond a micrometre it is rounded half away from zero.
 * STATUS_INPUT: not a number, unknown unit, beyond LENGTH_LIMIT_UM, decimal comma. */
MUST_CHECK enum status length_parse(const char *string, enum length_unit bare, int64_t *out_um, struct err *err);

/* Refuse a number typed with a comma; the hint has the number without: "1,20" is 1.20, "3,030.9" is 3030.9. */
enum status refuse_comma(const char *string, struct err *err);

/* A plain decimal number times 10^6, exactly; the whole of string up to len is used. False when it is not one
 * (also with more than 6 decimals that are not zero, unless round is set, or beyond LENGTH_LIMIT_UM). */
bool decimal_parse_micro(const char *string, size_t len, bool round, int64_t *out);

/* um in unit with exactly this many decimals, half away from zero. Room: LENGTH_TEXT_MAX. */
enum { LENGTH_TEXT_MAX = 40 };
void length_format(int64_t um, enum length_unit unit, int decimals, char out[LENGTH_TEXT_MAX]);

/* The same by value, for use inside one expression: length_text(um, UNIT_M, 3).text */
struct length_text {
    char text[LENGTH_TEXT_MAX];
};
struct length_text length_text(int64_t um, enum length_unit unit, int decimals);

/* um in unit with as few decimals as are exact (metres at most 6, the form stored in records; centimetres at most 4).
 */
void length_format_exact(int64_t um, enum length_unit unit, char out[LENGTH_TEXT_MAX]);

/* a * b / c, half away from zero; c > 0. Exact in 128 bits. */
int64_t length_scale(int64_t a_um, int64_t b, int64_t c);

/* A finite decimal number, no unit. STATUS_INPUT otherwise. */
MUST_CHECK enum status real_parse(const char *string, double *out, struct err *err);

#endif
