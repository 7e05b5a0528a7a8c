/* SPDX-License-Identifier: MIT */
/* The state that an act would make: read like any other, written nowhere, and what was told of it holds at the append.
 */
#include "scene.h"

static struct bytes text(const char *string)
{
    return (struct bytes){.data = string, .len = strlen(string)};
}

static const char *listing(struct scene *scene, struct store *store, const char *folder)
{
    struct names names = {0};
    struct text out;
    struct bytes bytes;
    scene_ok(scene, store_list(store, folder, &scene->arena, &names, &scene->err));
    text_init(&out, &scene->arena);
    for (size_t at = 0; at < names.count; at++)
        text_addf(&out, "%s ", names.items[at]);
    scene_ok(scene, text_done(&out, &bytes, &scene->err));
    return bytes.data;
}

static void shows_both_and_writes_nothing(void **state)
{
    struct scene *const scene = *state;
    char before[SCENE_TEXT_MAX];
    char after[SCENE_TEXT_MAX];
    char ids[2][2][HASH_TEXT_MAX];
    struct store *store = NULL;
    struct store *sides[2];
    const struct change changes[] = {{"holes/A/cores/0001.json", text("one, amended\n")},
                                     {"holes/A/cores/0003.json", text("three\n")},
                                     {"holes/A/cores/0002.json", {0}},
                                     {"holes/A/cores/0009.json", {0}}};
    scene_record(scene, scene->registry, "holes/A/cores/0001.json", "one\n", "core 1");
    scene_record(scene, scene->registry, "holes/A/cores/0002.json", "two\n", "core 2");
    scene_record(scene, scene->registry, "holes/B/hole.json", "b\n", "hole B");
    scene_must(scene, before,
               "find registry.git -type f -printf '%%p %%s\\n' | sort; git -C registry.git rev-parse main");
    scene_ok(scene, store_open(scene->registry, STORE_READ, NULL, &store, &scene->err));
    scene_ok(scene, store_try(store, changes, 4, sides, &scene->err));
    assert_string_equal(scene_read(scene, sides[0], "holes/A/cores/0001.json"), "one\n");
    assert_string_equal(scene_read(scene, sides[1], "holes/A/cores/0001.json"), "one, amended\n");
    assert_null(scene_read(scene, sides[0], "holes/A/cores/0003.json"));
    assert_string_equal(scene_read(scene, sides[1], "holes/A/cores/0003.json"), "three\n");
    assert_null(scene_read(scene, sides[1], "holes/A/cores/0002.json"));
    assert_string_equal(listing(scene, sides[0], "holes/A/cores"), "0001.json 0002.json ");
    assert_string_equal(listing(scene, sides[1], "holes/A/cores"), "0001.json 0003.json ");
    for (int side = 0; side < 2; side++) {
        scene_ok(scene, store_id(sides[side], "holes/A", ids[side][0], &scene->err));
        scene_ok(scene, store_id(sides[side], "holes/B", ids[side][1], &scene->err));
    }
    assert_string_not_equal(ids[0][0], ids[1][0]);
    assert_string_equal(ids[0][1], ids[1][1]);
    assert_string_equal(scene_read(scene, store, "holes/A/cores/0001.json"), "one\n");
    store_close(sides[0]);
    store_close(sides[1]);
    store_close(store);
    scene_must(scene, after,
               "find registry.git -type f -printf '%%p %%s\\n' | sort; git -C registry.git rev-parse main");
    assert_string_equal(before, after);
}

/* Somebody else records something between what was told and the append. */
static enum status append_after(struct scene *scene, const char *read, const char *listed, const char *pushed)
{
    struct store *store = NULL;
    struct store *sides[2];
    char id[COMMIT_ID_MAX];
    char hash[HASH_TEXT_MAX];
    bool made = false;
    struct names names = {0};
    const struct change change = {"holes/A/hole.json", text("amended\n")};
    const struct act act = scene_act("hole amended");
    scene_ok(scene, store_open(scene->registry, STORE_WRITE, NULL, &store, &scene->err));
    scene_ok(scene, store_try(store, &change, 1, sides, &scene->err));
    scene_ok(scene, store_id(sides[0], "", hash, &scene->err));
    if (read)
        (void)scene_read(scene, sides[0], read);
    if (listed)
        scene_ok(scene, store_list(sides[0], listed, &scene->arena, &names, &scene->err));
    store_close(sides[0]);
    store_close(sides[1]);
    scene_client_push(scene, pushed, "pushed\n", "by another");
    const enum status status = store_append(store, &act, &change, 1, false, id, &made, &scene->err);
    store_close(store);
    return status;
}

static void what_was_read_must_still_stand(void **state)
{
    struct scene *const scene = *state;
    scene_record(scene, scene->registry, "holes/A/hole.json", "a\n", "hole");
    scene_record(scene, scene->registry, "holes/A/cores/0001.json", "one\n", "core 1");
    assert_int_equal(append_after(scene, "holes/A/cores/0001.json", NULL, "holes/A/cores/0001.json"), STATUS_CONFLICT);
    assert_int_equal(append_after(scene, NULL, "holes/A/cores", "holes/A/cores/0002.json"), STATUS_CONFLICT);
    assert_int_equal(append_after(scene, "holes/A/cores/0001.json", "holes/A/cores", "holes/B/hole.json"), STATUS_OK);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(shows_both_and_writes_nothing, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(what_was_read_must_still_stand, scene_open, scene_close),
    };
    return cmocka_run_group_tests_name("store try", tests, NULL, NULL);
}
