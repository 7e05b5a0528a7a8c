/* SPDX-License-Identifier: MIT */
/* Amounts with units, other than lengths: volumes, flows, densities. Inside
 * each is a double in the first unit of its row; typed, a bare number means
 * that unit and a suffix says otherwise: 2.5  2.5m3/min  300gpm  7.14bbl/min
 *
 * 1 bbl = 42 gal (US) = 9702 in3, 1 ft = 0.3048 m, 1 lb = 0.45359237 kg by definition (NIST Special Publication 811,
 * 2008, appendix B.8).
 */
#ifndef CORETALLY_BASE_MEASURE_H
#define CORETALLY_BASE_MEASURE_H

#include <stdbool.h>

#include "coretally/base/err.h"

enum measure {
    MEASURE_NONE,
    MEASURE_VOLUME,    /* m3 */
    MEASURE_FLOW,      /* m3/min */
    MEASURE_OUTPUT,    /* m3 a stroke */
    MEASURE_RATE,      /* strokes a minute */
    MEASURE_SPEED,     /* m/min */
    MEASURE_DENSITY,   /* kg/m3 */
    MEASURE_VISCOSITY, /* mPa.s */
    MEASURE_STRESS,    /* Pa */
    MEASURE_TIME,      /* s */
    MEASURE_PERCENT,   /* % */
    MEASURE_MASS,      /* g */
    MEASURE_SMALL,     /* cm3: what a sample holds */
    MEASURE_SIZE,      /* m: a cutting */
    MEASURE_RATIO,     /* 1 */
    MEASURE_FORCE,     /* kN */
    MEASURE_AREA,      /* mm2 */
    MEASURE_LINEAR,    /* kg/m: weight of pipe */
    MEASURE_MODULUS,   /* GPa */
    MEASURE_WARMTH,    /* K: a rise of temperature */
    MEASURE_EXPANSION, /* um/m/K */
    MEASURE_ANGLE,     /* deg */
    MEASURE_COUNT
};

#define CUBIC_METRES_PER_BARREL 0.158987294928
#define CUBIC_METRES_PER_GALLON 0.003785411784
#define CUBIC_METRES_PER_CUBIC_FOOT 0.028316846592

/* The unit of a bare number: "m3/min". */
const char *measure_unit(enum measure measure);

/* The factor from a unit to the first one of its row; false when the measure has no such unit. "gpm" is gal/min. */
bool measure_find(enum measure measure, const char *unit, double *factor);

/* A decimal number with an optional unit. STATUS_INPUT: not a number, or a unit of something else; the hint lists the
 * units. */
MUST_CHECK enum status measure_parse(const char *string, enum measure measure, double *out, struct err *err);

/* Like measure_parse, with the unit of a bare number chosen by the caller (a column's). */
MUST_CHECK enum status measure_parse_in(const char *string, enum measure measure, const char *bare, double *out,
                                        struct err *err);

#endif
