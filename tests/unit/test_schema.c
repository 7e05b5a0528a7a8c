/* SPDX-License-Identifier: MIT */
/* The committed JSON Schemas are those of the field tables. UPDATE=1 rewrites them. */
#include "random_record.h"

#include <stdio.h>
#include <stdlib.h>

#ifndef SCHEMA_FOLDER
#error "SCHEMA_FOLDER names the folder of the committed schemas"
#endif

static void committed_schemas_are_in_step(void **state)
{
    (void)state;
    for (const struct table *const *table = file_tables; *table; table++) {
        char path[1000];
        struct arena arena;
        struct err err = {0};
        struct text text;
        struct bytes schema;
        arena_init(&arena, 4 << 20);
        text_init(&text, &arena);
        record_schema(*table, &text);
        assert_int_equal(text_done(&text, &schema, &err), STATUS_OK);
        (void)snprintf(path, sizeof path, "%s/%s.schema.json", SCHEMA_FOLDER, (*table)->kind);
        if (getenv("UPDATE")) {
            FILE *file = fopen(path, "wb");
            assert_non_null(file);
            assert_int_equal(fwrite(schema.data, 1, schema.len, file), schema.len);
            assert_int_equal(fclose(file), 0);
        }
        FILE *file = fopen(path, "rb");
        if (!file)
            fail_msg("%s is not there: run this test with UPDATE=1", path);
        char *committed = NULL;
        assert_int_equal(arena_take(&arena, schema.len + 2, 1, &committed, &err), STATUS_OK);
        const size_t len = fread(committed, 1, schema.len + 1, file);
        assert_int_equal(fclose(file), 0);
        if (len != schema.len || memcmp(committed, schema.data, len) != 0)
            fail_msg("%s is out of step: run this test with UPDATE=1", path);
        arena_clear(&arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(committed_schemas_are_in_step)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
