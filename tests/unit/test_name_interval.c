/* SPDX-License-Identifier: MIT */
/* Intervals as people type them: the unit, and which end is up. */
#include "unit.h"

#include <string.h>

#include "coretally/domain/name.h"
#include "parts.h"

static void intervals_go_down_and_share_a_unit(void **state)
{
    (void)state;
    static const struct {
        const char *typed;
        int64_t top_um;
        int64_t bottom_um;
        const char *says; /* NULL: taken */
    } rows[] = {
        {"46-47", 46 * CENTIMETRE, 47 * CENTIMETRE, NULL},
        {"  46 - 47 cm ", 46 * CENTIMETRE, 47 * CENTIMETRE, NULL},
        {"0.46-0.47m", 46 * CENTIMETRE, 47 * CENTIMETRE, NULL},
        {"460mm-470", 46 * CENTIMETRE, 47 * CENTIMETRE, NULL},
        {"46-46", 46 * CENTIMETRE, 46 * CENTIMETRE, NULL}, /* no length: doubted by the rules, not here */
        {"47-46", 0, 0, "the interval 47-46 cm is upside down"},
        {"470-460mm", 0, 0, "the interval 47-46 cm is upside down"},
        {"0.47m-46cm", 0, 0, "the interval 47-46 cm is upside down"},
        {"46", 0, 0, "an interval has two ends"},
        {"46-47#2", 0, 0, "an interval has two ends"},
        {"46-", 0, 0, "centimetres from the section top"},
        {"46-47furlong", 0, 0, "'furlong' is not a unit of length"},
        {"46k-47m", 0, 0, "'k' is not a unit of length"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct err err = {0};
        int64_t top_um = 7;
        int64_t bottom_um = 7;
        const enum status status = interval_parse(rows[at].typed, &top_um, &bottom_um, &err);
        ROW(rows[at].typed, status == (rows[at].says ? STATUS_INPUT : STATUS_OK));
        if (rows[at].says) {
            ROW(rows[at].typed, top_um == 7 && bottom_um == 7 && err.hint[0]);
            if (!strstr(err.reason, rows[at].says))
                fail_msg("%s: %s", rows[at].typed, err.reason);
        } else
            ROW(rows[at].typed, top_um == rows[at].top_um && bottom_um == rows[at].bottom_um);
    }
    static const struct {
        const char *typed;
        bool is_taken;
    } names[] = {{"U0012A-6X-2W,60-20", false}, {"U0012A-6X-2W,200-60mm#2/1", false},
                 {"U0012A-6X-2W,20-60", true},  {"U0012A-6X-2W,60-60", true},
                 {"U0012A-6X-2W,60", true},     {"U0012A-6X", true}};
    for (size_t at = 0; at < COUNT_OF(names); at++) {
        struct name name;
        struct err err = {0};
        assert_int_equal(name_parse(names[at].typed, &name, &err), STATUS_OK);
        ROW(names[at].typed,
            name_check_order(&name, names[at].typed, &err) == (names[at].is_taken ? STATUS_OK : STATUS_INPUT));
    }
}

static void letters_that_look_like_digits_are_named(void **state)
{
    (void)state;
    static const struct {
        const char *typed;
        const char *reason; /* NULL: it is taken */
        const char *meant;
    } rows[] = {
        {"U0O12A-2H", "'O' at character 3 is a letter", "U0012A-2H"},
        {"U0012A-I2H-3W,45-47", "'I' at character 8 is a letter", "U0012A-12H-3W,45-47"},
        {"U0012A-l2H-3W,45-47", "'l' at character 8 is a letter", "U0012A-12H-3W,45-47"},
        {"UO012A-I2H-3W,4O-47", "'O' at character 2 is a letter", "U0012A-12H-3W,40-47"},
        {"U0012A-BAGI2", "'I' at character 11 is a letter", "U0012A-BAG12"},
        {"U0012O-2I-3W", NULL, NULL}, /* hole O and type I: letters belong there */
        {"U0012A-OOPS", "'O' at character 8: expected", NULL},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct name name;
        struct err err = {0};
        const enum status status = name_parse(rows[at].typed, &name, &err);
        ROW(rows[at].typed, status == (rows[at].reason ? STATUS_INPUT : STATUS_OK));
        if (!rows[at].reason)
            continue;
        if (!strstr(err.reason, rows[at].reason) || (rows[at].meant && !strstr(err.hint, rows[at].meant)))
            fail_msg("%s: %s / %s", rows[at].typed, err.reason, err.hint);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(intervals_go_down_and_share_a_unit),
        cmocka_unit_test(letters_that_look_like_digits_are_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
