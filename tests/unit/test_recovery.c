/* SPDX-License-Identifier: MIT */
/* Recovery, held to the published rows. */
#include "unit.h"

#include "coretally/domain/recovery.h"
#include "parts.h"

static void recovery_as_published(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        int64_t advance_cm;
        int64_t recovered_cm;
        int decimals;        /* of the printed figure */
        const char *printed; /* tolerance: none, it must be the same text */
        const char *two_decimals;
        const char *source;
    } rows[] = {
        {"U1344 APC, 87 cores", 78180, 79110, 1, "101.2", "101.19", "Proc. IODP 323, Site U1344"},
        {"U1344 XCB, 52 cores", 48990, 38410, 1, "78.4", "78.40", "Proc. IODP 323, Site U1344"},
        {"U1344 all", 127170, 117520, 1, "92.4", "92.41", "Proc. IODP 323, Site U1344"},
        {"U1408A", 24650, 24392, 0, "99", "98.95", "Proc. IODP 342, Site U1408"},
        {"U1408B", 21450, 22409, 0, "104", "104.47", "Proc. IODP 342, Site U1408"},
        {"U1314B", 27950, 28536, 1, "102.1", "102.10", "daily report, Expedition 306, 9 April 2005"},
        {"1256D 206R-208R", 960, 40, 1, "4.2", "4.17", "daily report, Expedition 312, 10 December 2005"},
        {"1256D 197R-198R", 380, 53, 1, "13.9", "13.95", "daily report, Expedition 312, 2 December 2005"},
        {"1256D 88R-92R", 3360, 511, 1, "15.2", "15.21", "daily report, Expedition 309, 24 July 2005"},
        {"1256D 216R-220R", 2170, 405, 0, "19", "18.66", "daily report, Expedition 312, 14 December 2005"},
        {"908A", 34460, 31396, 0, "91", "91.11", "ODP Leg 151 log processing notes (penetration)"},
        {"1103A", 36270, 4450, 1, "12.3", "12.27", "ODP Leg 178 log processing notes (penetration)"},
        {"nothing recovered", 960, 0, 1, "0.0", "0.00", "arithmetic"},
        {"a third", 300, 100, 4, "33.3333", "33.33", "arithmetic"},
        {"half up", 800, 1, 1, "0.1", "0.13", "arithmetic: 0.125 is rounded away from zero"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        char text[RECOVERY_TEXT_MAX];
        ROW(rows[at].what, rows[at].source && rows[at].source[0]);
        recovery_format(rows[at].recovered_cm * CENTIMETRE, rows[at].advance_cm * CENTIMETRE, rows[at].decimals, text);
        ROW_TEXT(rows[at].what, text, rows[at].printed);
        recovery_format(rows[at].recovered_cm * CENTIMETRE, rows[at].advance_cm * CENTIMETRE, 2, text);
        ROW_TEXT(rows[at].what, text, rows[at].two_decimals);
    }
    /* The sums of the two rows above are the third: Proc. IODP 323, Site U1344. */
    assert_int_equal(rows[0].advance_cm + rows[1].advance_cm, rows[2].advance_cm);
    assert_int_equal(rows[0].recovered_cm + rows[1].recovered_cm, rows[2].recovered_cm);
}

static void no_advance_is_no_percentage(void **state)
{
    (void)state;
    char text[RECOVERY_TEXT_MAX];
    recovery_format(METRE, 0, 1, text);
    assert_string_equal(text, "n/a");
    recovery_format(METRE, -METRE, 1, text);
    assert_string_equal(text, "n/a");
    recovery_format(LENGTH_NONE, METRE, 1, text);
    assert_string_equal(text, "n/a");
    recovery_format(METRE, LENGTH_NONE, 1, text);
    assert_string_equal(text, "n/a");
}

static void totals_are_ratios_of_sums(void **state)
{
    (void)state;
    struct recovery total = {0};
    struct core core = part_core(0, 10 * METRE, NULL, 0);
    core.recovered_um = 10 * METRE;
    recovery_add(&total, &core);
    core.bottom_um = METRE;
    core.recovered_um = 0;
    recovery_add(&total, &core);
    core.bottom_um = 0; /* no advance, counted with what it recovered */
    core.recovered_um = METRE;
    recovery_add(&total, &core);
    core.advance_by = ADVANCE_UNKNOWN;
    recovery_add(&total, &core);
    core.type = 'W';
    recovery_add(&total, &core);
    assert_int_equal(total.cores, 3);
    assert_int_equal(total.unknown, 1);
    assert_int_equal(total.wide, 1);
    assert_int_equal(total.advance_um, 11 * METRE);
    char text[RECOVERY_TEXT_MAX];
    recovery_format(total.recovered_um, total.advance_um, 1, text);
    assert_string_equal(text, "100.0");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(recovery_as_published),
        cmocka_unit_test(no_advance_is_no_percentage),
        cmocka_unit_test(totals_are_ratios_of_sums),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
