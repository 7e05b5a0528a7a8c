/* SPDX-License-Identifier: MIT */
/* The arena: zeroed, aligned, grown by copying, refused past its ceiling with nothing changed. */
#include "unit.h"

#include <stdalign.h>

#include "coretally/base/arena.h"
#include "coretally/base/limits.h"

static void memory_is_zeroed_and_aligned(void **state)
{
    (void)state;
    struct arena arena;
    struct err err;
    arena_init(&arena, 1 << 20);
    for (size_t size = 0; size < 300; size++) {
        unsigned char *taken = NULL;
        assert_int_equal(arena_take(&arena, size, 1, &taken, &err), STATUS_OK);
        assert_non_null(taken);
        assert_int_equal((uintptr_t)taken % alignof(max_align_t), 0);
        for (size_t at = 0; at < size; at++)
            assert_int_equal(taken[at], 0);
        memset(taken, 0xAA, size);
    }
    arena_clear(&arena);
    assert_int_equal(arena.used, 0);
    arena_clear(&arena);
}

static void copies_end_in_nul(void **state)
{
    (void)state;
    struct arena arena;
    struct err err;
    arena_init(&arena, 4096);
    const char *copy = NULL;
    assert_int_equal(arena_copy(&arena, "U0012A-rest", 6, &copy, &err), STATUS_OK);
    assert_string_equal(copy, "U0012A");
    assert_int_equal(arena_copy(&arena, NULL, 0, &copy, &err), STATUS_OK);
    assert_string_equal(copy, "");
    arena_clear(&arena);
}

static void arrays_grow_and_keep_their_items(void **state)
{
    (void)state;
    struct arena arena;
    struct err err;
    arena_init(&arena, 1 << 20);
    int64_t *items = NULL;
    size_t room = 0;
    for (size_t count = 0; count < 5000; count++) {
        assert_int_equal(arena_grow(&arena, &items, count, &room, sizeof *items, &err), STATUS_OK);
        assert_true(room > count);
        items[count] = (int64_t)count * 7;
    }
    for (size_t at = 0; at < 5000; at++)
        assert_int_equal(items[at], (int64_t)at * 7);
    arena_clear(&arena);
}

static void the_ceiling_is_met_exactly(void **state)
{
    (void)state;
    struct arena arena;
    struct err err = {0};
    char *out = NULL;
    arena_init(&arena, 64);
    assert_int_equal(arena_take(&arena, 1, 64, &out, &err), STATUS_OK);
    char *const before = out;
    assert_int_equal(arena_take(&arena, 1, 1, &out, &err), STATUS_SYSTEM);
    assert_ptr_equal(out, before);
    assert_string_equal(err.subject, "memory");
    assert_non_null(strstr(err.reason, "ceiling 64"));
    assert_int_equal(arena_take(&arena, SIZE_MAX / 2, 3, &out, &err), STATUS_SYSTEM);
    assert_int_equal(arena_take(&arena, 1, SIZE_MAX, &out, &err), STATUS_SYSTEM);
    const char *copy = "untouched";
    assert_int_equal(arena_copy(&arena, "abc", 3, &copy, &err), STATUS_SYSTEM);
    assert_string_equal(copy, "untouched");
    size_t room = 0;
    assert_int_equal(arena_grow(&arena, &out, 0, &room, 8, &err), STATUS_SYSTEM);
    assert_int_equal(room, 0);
    arena_clear(&arena);
}

static void the_limit_of_a_command_is_refused_before_it_is_taken(void **state)
{
    (void)state;
    struct arena arena;
    struct err err = {0};
    char *out = NULL;
    arena_init(&arena, ARENA_LIMIT_BYTES);
    assert_int_equal(arena_take(&arena, ARENA_LIMIT_BYTES + 1, 1, &out, &err), STATUS_SYSTEM);
    assert_null(out);
    arena_clear(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(memory_is_zeroed_and_aligned),
        cmocka_unit_test(copies_end_in_nul),
        cmocka_unit_test(arrays_grow_and_keep_their_items),
        cmocka_unit_test(the_ceiling_is_met_exactly),
        cmocka_unit_test(the_limit_of_a_command_is_refused_before_it_is_taken),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
