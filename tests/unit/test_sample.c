/* SPDX-License-Identifier: MIT */
/* Keys of samples, their order in a core, and finding one by its key. */
#include "unit.h"

#include <stdlib.h>

#include "coretally/base/limits.h"
#include "parts.h"

static void keys_name_a_sample(void **state)
{
    (void)state;
    static const struct {
        struct sample sample;
        const char *key;
    } rows[] = {
        {{.section = 3, .half = HALF_WORKING, .top_um = 450000, .bottom_um = 470000}, "3W,45-47"},
        {{.section = 3, .half = HALF_ARCHIVE, .top_um = 455000, .bottom_um = 470001}, "3A,45.5-47.0001"},
        {{.section = SECTION_CATCHER, .top_um = 50000, .bottom_um = 70000, .ordinal = 2}, "CC,5-7#2"},
        {{.section = 0, .half = HALF_WHOLE, .top_um = 0, .bottom_um = 100000}, "0WR,0-10"},
        {{.section = 1, .ordinal = 1, .top_um = 0, .bottom_um = 0}, "1,0-0"},
        {{.section = 3, .of = "3W,45-47", .number = 1}, "3W,45-47/1"},
        {{.section = 3, .of = "3W,45-47#2/1/9", .number = 12}, "3W,45-47#2/1/9/12"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        char key[SAMPLE_KEY_MAX];
        sample_key(&rows[at].sample, key);
        ROW_TEXT(rows[at].key, key, rows[at].key);
        ROW(key, sample_find(&rows[at].sample, 1, key) == &rows[at].sample);
    }
    assert_null(sample_find(&rows[0].sample, 1, "3W,45-48"));
    assert_null(sample_find(NULL, 0, "3W,45-47"));
}

static void long_keys_are_cut_not_overrun(void **state)
{
    (void)state;
    char of[400];
    memset(of, 'k', sizeof of - 1);
    of[sizeof of - 1] = '\0';
    const struct sample sample = {.of = of, .number = 1};
    char key[SAMPLE_KEY_MAX];
    sample_key(&sample, key);
    assert_int_equal(strlen(key), SAMPLE_KEY_MAX - 1);
}

static void order_is_total(void **state)
{
    (void)state;
    /* Already in order: each must come before all that follow. */
    const struct sample sorted[] = {
        {.section = 1, .top_um = 1, .bottom_um = 2},
        {.section = 1, .top_um = 1, .bottom_um = 2, .ordinal = 2},
        {.section = 1, .top_um = 1, .bottom_um = 2, .half = HALF_WORKING},
        {.section = 1, .top_um = 1, .bottom_um = 3},
        {.section = 1, .top_um = 2, .bottom_um = 2},
        {.section = 1, .of = "1,1-2", .number = 1},
        {.section = 1, .of = "1,1-2", .number = 10},
        {.section = 1, .of = "1,1-2/1", .number = 1},
        {.section = 2},
        {.section = SECTION_CATCHER},
    };
    for (size_t a = 0; a < COUNT_OF(sorted); a++)
        for (size_t b = 0; b < COUNT_OF(sorted); b++) {
            const int order = sample_order(&sorted[a], &sorted[b]);
            assert_int_equal((order > 0) - (order < 0), (a > b) - (a < b));
        }
}

static void former_keys_are_found(void **state)
{
    (void)state;
    const struct sample samples[] = {{.section = 1, .was = "1W,45-47 1W,46-48#2"}, {.section = 2}};
    assert_ptr_equal(sample_find_former(samples, 2, "1W,45-47"), &samples[0]);
    assert_ptr_equal(sample_find_former(samples, 2, "1W,46-48#2"), &samples[0]);
    assert_null(sample_find_former(samples, 2, "1W,46-48"));
    assert_null(sample_find_former(samples, 2, "W,45-47"));
    assert_null(sample_find_former(samples, 2, "2"));
}

static void further_samples_are_counted(void **state)
{
    (void)state;
    struct sample samples[] = {part_sample(1, HALF_WORKING, 45, 47), part_sample(1, HALF_WORKING, 45, 47),
                               part_sample(1, HALF_ARCHIVE, 45, 47), part_sample(1, HALF_NONE, 0, 0)};
    samples[1].ordinal = 5;
    samples[1].withdrawn = "lost"; /* its number is not given out again */
    samples[3].of = "1W,45-47";
    samples[3].number = 3;
    assert_int_equal(sample_next_number(samples, 4, &samples[0]), 6);
    assert_int_equal(sample_next_number(samples, 4, &samples[2]), 2);
    assert_int_equal(sample_next_number(samples, 4, &samples[3]), 4);
    const struct sample other = part_sample(2, HALF_WORKING, 45, 47);
    assert_int_equal(sample_next_number(samples, 4, &other), 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(keys_name_a_sample),
        cmocka_unit_test(long_keys_are_cut_not_overrun),
        cmocka_unit_test(order_is_total),
        cmocka_unit_test(former_keys_are_found),
        cmocka_unit_test(further_samples_are_counted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
