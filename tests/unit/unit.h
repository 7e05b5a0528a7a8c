/* SPDX-License-Identifier: MIT */
/* What every unit test needs: cmocka, whose header wants four others before it, refusals that name the row of a
 * table, and a seeded generator whose numbers are the same on every machine. */
#ifndef CORETALLY_TESTS_UNIT_H
#define CORETALLY_TESTS_UNIT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

/* An assertion about one row of a table; row is its text in the message. */
#define ROW(row, condition)                                                                                            \
    do {                                                                                                               \
        if (!(condition))                                                                                              \
            fail_msg("row '%s': %s", (row), #condition);                                                               \
    } while (0)
#define ROW_TEXT(row, actual, expected)                                                                                \
    do {                                                                                                               \
        if (strcmp((actual), (expected)) != 0)                                                                         \
            fail_msg("row '%s': got '%s', expected '%s'", (row), (actual), (expected));                                \
    } while (0)

/* SplitMix64 (Steele, Lea, Flood 2014; constants from memory): any seed will do. */
static inline uint64_t random_next(uint64_t *state)
{
    uint64_t mixed = (*state += UINT64_C(0x9E3779B97F4A7C15));
    mixed = (mixed ^ (mixed >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    mixed = (mixed ^ (mixed >> 27)) * UINT64_C(0x94D049BB133111EB);
    return mixed ^ (mixed >> 31);
}

/* Low and high are both drawn. */
static inline int64_t random_within(uint64_t *state, int64_t low, int64_t high)
{
    return low + (int64_t)(random_next(state) % ((uint64_t)(high - low) + 1));
}

#define METRE INT64_C(1000000)
#define CENTIMETRE INT64_C(10000)

#endif
