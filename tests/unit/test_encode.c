/* SPDX-License-Identifier: MIT */
/* Records to canonical JSON: equal records give equal bytes, and reading back loses nothing. */
#include "random_record.h"

#include <math.h>

#include "coretally/base/limits.h"

static void encode_decode_encode_is_the_identity(void **state)
{
    (void)state;
    uint64_t seed = 5;
    for (const struct table *const *table = file_tables; *table; table++)
        for (int round = 0; round < 400; round++) {
            struct arena arena;
            struct err err = {0};
            struct bytes first;
            struct bytes second;
            arena_init(&arena, 64 << 20);
            const void *record = random_new(*table, &seed, TEXTS_ANY, &arena);
            void *again = random_new(*table, &seed, TEXTS_ANY, &arena);
            assert_int_equal(record_validate(*table, record, "random", &err), STATUS_OK);
            assert_int_equal(record_encode(*table, record, &arena, &first, &err), STATUS_OK);
            if (record_decode(*table, first, &arena, again, &err) != STATUS_OK)
                fail_msg("%s: %s in %s", err.subject, err.reason, first.data);
            assert_true(record_is_equal(*table, record, again));
            assert_int_equal(record_encode(*table, again, &arena, &second, &err), STATUS_OK);
            ROW_TEXT((*table)->kind, second.data, first.data);
            arena_clear(&arena);
        }
}

static void the_form_is_canonical(void **state)
{
    (void)state;
    struct arena arena;
    struct err err = {0};
    struct bytes out;
    arena_init(&arena, 1 << 20);
    struct section sections[2];
    record_init(&section_table, &sections[0]);
    sections[0].number = 1;
    sections[0].curated_um = 1500000;
    record_init(&section_table, &sections[1]);
    sections[1].number = SECTION_CATCHER;
    sections[1].curated_um = 123456;
    struct core core;
    record_init(&core_table, &core);
    core.hole = "U0012A";
    core.number = 3;
    core.type = 'H';
    core.top_um = 3100000000;
    core.datum = DATUM_RIG_FLOOR;
    core.sections = sections;
    core.section_count = 2;
    assert_int_equal(record_encode(&core_table, &core, &arena, &out, &err), STATUS_OK);
    assert_string_equal(out.data, "{\n\"format\":1,\n\"kind\":\"core\",\n\"hole\":\"U0012A\",\n\"number\":3,\n"
                                  "\"type\":\"H\",\n\"top_m\":3100,\n\"datum\":\"rig-floor\",\n\"sections\":[\n"
                                  "{\"section\":\"1\",\"curated_m\":1.5},\n"
                                  "{\"section\":\"CC\",\"curated_m\":0.123456}\n]\n}\n");
    struct text text;
    text_init(&text, &arena);
    record_print(&section_table, &sections[0], &text);
    assert_int_equal(text_done(&text, &out, &err), STATUS_OK);
    assert_string_equal(out.data, "{\"section\":\"1\",\"curated_m\":1.5}");
    arena_clear(&arena);
}

static void a_record_past_the_limit_of_a_file_is_refused(void **state)
{
    (void)state;
    struct arena arena;
    struct err err = {0};
    arena_init(&arena, (size_t)1 << 30);
    char *remark = NULL;
    const size_t remark_size = 1 << 20;
    assert_int_equal(arena_take(&arena, remark_size, 1, &remark, &err), STATUS_OK);
    memset(remark, 'x', remark_size - 1);
    const size_t count = RECORD_BYTES_MAX / remark_size + 1;
    struct sample *samples = NULL;
    assert_int_equal(arena_take(&arena, count, sizeof *samples, &samples, &err), STATUS_OK);
    for (size_t at = 0; at < count; at++) {
        record_init(&sample_table, &samples[at]);
        samples[at].remark = remark;
    }
    const struct sample_set set = {.hole = "U0012A", .core = 1, .samples = samples, .sample_count = count};
    struct bytes out = {.len = 77};
    assert_int_equal(record_encode(&sample_set_table, &set, &arena, &out, &err), STATUS_INPUT);
    assert_int_equal(out.len, 77);
    assert_non_null(strstr(err.reason, "67108864"));
    arena_clear(&arena);
}

static void short_memory_is_reported(void **state)
{
    (void)state;
    struct arena arena;
    struct err err = {0};
    struct bytes out;
    arena_init(&arena, 100);
    struct expedition expedition;
    record_init(&expedition_table, &expedition);
    expedition.number = "901";
    assert_int_equal(record_encode(&expedition_table, &expedition, &arena, &out, &err), STATUS_SYSTEM);
    arena_clear(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(encode_decode_encode_is_the_identity),
        cmocka_unit_test(the_form_is_canonical),
        cmocka_unit_test(a_record_past_the_limit_of_a_file_is_refused),
        cmocka_unit_test(short_memory_is_reported),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
