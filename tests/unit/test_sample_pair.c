/* SPDX-License-Identifier: MIT */
/* Samples of two states paired: by key, by former keys, keys that were given anew. */
#include "unit.h"

#include <stdio.h>
#include <stdlib.h>

#include "coretally/domain/sample.h"

static struct sample make(int32_t section, int64_t top_cm, const char *was)
{
    return (struct sample){.section = section,
                           .half = HALF_WORKING,
                           .top_um = top_cm * CENTIMETRE,
                           .bottom_um = (top_cm + 2) * CENTIMETRE,
                           .was = was};
}

static const char *key_of(const struct sample *sample, char out[SAMPLE_KEY_MAX])
{
    (void)snprintf(out, SAMPLE_KEY_MAX, "-");
    if (sample)
        sample_key(sample, out);
    return out;
}

/* "before>after ..." */
static void expect(const char *row, struct sample *before, size_t before_count, struct sample *after,
                   size_t after_count)
{
    struct sample_pair pairs[16];
    char told[512] = "";
    if (before_count)
        qsort(before, before_count, sizeof *before, sample_order);
    if (after_count)
        qsort(after, after_count, sizeof *after, sample_order);
    const size_t count = sample_pairs_find(before, before_count, after, after_count, pairs);
    for (size_t at = 0; at < count; at++) {
        char keys[2][SAMPLE_KEY_MAX];
        const size_t used = strlen(told);
        (void)snprintf(told + used, sizeof told - used, "%s%s>%s", used ? " " : "", key_of(pairs[at].before, keys[0]),
                       key_of(pairs[at].after, keys[1]));
    }
    ROW_TEXT(row, told, row);
}

static void by_key_added_and_gone(void **state)
{
    (void)state;
    struct sample before[] = {make(1, 10, NULL), make(2, 20, NULL), make(3, 5, NULL)};
    struct sample after[] = {make(1, 10, NULL), make(2, 30, NULL), make(3, 5, NULL)};
    expect("1W,10-12>1W,10-12 ->2W,30-32 3W,5-7>3W,5-7 2W,20-22>-", before, 3, after, 3);
    expect("->1W,10-12 ->2W,30-32", NULL, 0, after, 2);
    expect("1W,10-12>- 2W,20-22>-", before, 2, NULL, 0);
    expect("", NULL, 0, NULL, 0);
}

static void renamed_is_the_same(void **state)
{
    (void)state;
    struct sample before[] = {make(1, 10, NULL), make(2, 20, NULL)};
    struct sample after[] = {make(1, 10, NULL), make(2, 30, "2W,20-22")};
    expect("1W,10-12>1W,10-12 2W,20-22>2W,30-32", before, 2, after, 2);
    struct sample later[] = {make(1, 10, NULL), make(2, 40, "2W,20-22 2W,30-32")};
    expect("1W,10-12>1W,10-12 2W,30-32>2W,40-42", after, 2, later, 2); /* from the state between */
    expect("1W,10-12>1W,10-12 2W,20-22>2W,40-42", before, 2, later, 2);
    expect("1W,10-12>1W,10-12 2W,40-42>2W,20-22", later, 2, before, 2); /* and backward */
}

static void a_key_given_anew_is_another(void **state)
{
    (void)state;
    struct sample before[] = {make(2, 20, NULL)};
    struct sample after[] = {make(2, 20, NULL), make(2, 30, "2W,20-22")};
    expect("->2W,20-22 2W,20-22>2W,30-32", before, 1, after, 2);
    expect("2W,30-32>2W,20-22 2W,20-22>-", after, 2, before, 1);
    struct sample later[] = {make(2, 20, NULL), make(2, 30, "2W,20-22"), make(2, 40, NULL)};
    expect("2W,20-22>2W,20-22 2W,30-32>2W,30-32 ->2W,40-42", after, 2, later, 3);
    struct sample two[] = {make(2, 20, NULL), make(2, 30, NULL)}; /* they change places, by way of a third */
    struct sample changed[] = {make(2, 20, "2W,30-32"), make(2, 30, "2W,20-22 2W,50-52")};
    expect("2W,30-32>2W,20-22 2W,20-22>2W,30-32", two, 2, changed, 2);
}

/* Whatever the keys tell, none is lost or doubled. */
static void each_is_paired_once(void **state)
{
    (void)state;
    uint64_t seed = 3;
    for (int round = 0; round < 500; round++) {
        struct sample before[8];
        struct sample after[8];
        struct sample_pair pairs[16];
        size_t counts[2] = {0, 0};
        static const char *const former[] = {"1W,0-2", "1W,10-12 1W,20-22", "1W,30-32", "1W,70-72"};
        for (int64_t at = 0; at < 8; at++) {
            const char *was = random_within(&seed, 0, 2) ? NULL : former[random_within(&seed, 0, 3)];
            if (random_within(&seed, 0, 1))
                before[counts[0]++] = make(1, at * 10, was);
            if (random_within(&seed, 0, 1))
                after[counts[1]++] = make(1, at * 10, random_within(&seed, 0, 1) ? was : NULL);
        }
        const size_t count = sample_pairs_find(before, counts[0], after, counts[1], pairs);
        size_t seen[2] = {0, 0};
        for (size_t at = 0; at < count; at++) {
            assert_true(pairs[at].before || pairs[at].after);
            for (size_t other = 0; other < at; other++) {
                assert_true(!pairs[at].before || pairs[at].before != pairs[other].before);
                assert_true(!pairs[at].after || pairs[at].after != pairs[other].after);
            }
            seen[0] += pairs[at].before != NULL;
            seen[1] += pairs[at].after != NULL;
        }
        assert_int_equal(seen[0], counts[0]);
        assert_int_equal(seen[1], counts[1]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(by_key_added_and_gone),
        cmocka_unit_test(renamed_is_the_same),
        cmocka_unit_test(a_key_given_anew_is_another),
        cmocka_unit_test(each_is_paired_once),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
