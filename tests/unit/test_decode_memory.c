/* SPDX-License-Identifier: MIT */
/* Memory that cJSON does not get is no damage of the text: each of its allocations fails in turn. */
#include "unit.h"

#include <cjson/cJSON.h>
#include <errno.h>
#include <stdlib.h>

#include "coretally/record/field.h"

static const char text[] =
    "{\"format\":1,\"kind\":\"core\",\"hole\":\"U0012A\",\"number\":3,\"type\":\"H\",\"top_m\":3100,"
    "\"datum\":\"rig-floor\",\"sections\":[{\"section\":\"1\",\"liner_m\":1.5},{\"section\":\"CC\"}],"
    "\"remark\":\"\\u00b5m\"}";

static int left; /* allocations until one fails */

static void *take(size_t size)
{
    if (left-- > 0)
        return malloc(size);
    errno = ENOMEM;
    return NULL;
}

static enum status decode(const char *bytes, struct err *err)
{
    struct arena arena;
    struct core core;
    arena_init(&arena, 1 << 20);
    const enum status status = record_decode(&core_table, (struct bytes){bytes, strlen(bytes)}, &arena, &core, err);
    arena_clear(&arena);
    return status;
}

static void refused_memory_is_told(void **state)
{
    (void)state;
    cJSON_Hooks hooks = {.malloc_fn = take, .free_fn = free};
    struct err err = {0};
    int refused = 0;
    cJSON_InitHooks(&hooks);
    for (;; refused++) {
        left = refused;
        if (decode(text, &err) == STATUS_OK)
            break;
        assert_int_equal(err.status, STATUS_SYSTEM);
        assert_string_equal(err.subject, "memory");
    }
    cJSON_InitHooks(NULL);
    assert_in_range(refused, 20, 100);
}

/* What was refused once leaves nothing behind that would hide damage. */
static void bad_text_stays_damaged(void **state)
{
    (void)state;
    struct err err = {0};
    errno = ENOMEM;
    assert_int_equal(decode("{\"format\":1,}", &err), STATUS_DAMAGED);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(refused_memory_is_told),
                                       cmocka_unit_test(bad_text_stays_damaged)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
