/* SPDX-License-Identifier: MIT */
/* Working in a clone that has a work tree: touched files follow, a person's changes stay. */
#include "scene.h"

#include "internal.h"

static int clone_open(void **state)
{
    if (scene_open(state) != 0)
        return -1;
    struct scene *const scene = *state;
    char out[SCENE_TEXT_MAX];
    scene_record(scene, scene->registry, "holes/A.json", "a\n", "a");
    scene_record(scene, scene->registry, "holes/B.json", "b\n", "b");
    scene_must(scene, out, "git clone -q registry.git clone");
    return 0;
}

/* Appends in the clone; returns what was said to the person. */
static void append(struct scene *scene, const char *path, const char *text, char said[SCENE_TEXT_MAX])
{
    char clone[700];
    char id[COMMIT_ID_MAX];
    bool made = false;
    struct store *store = NULL;
    memset(said, 0, SCENE_TEXT_MAX);
    FILE *const talk = fmemopen(said, SCENE_TEXT_MAX, "w");
    assert_non_null(talk);
    (void)snprintf(clone, sizeof clone, "%s/clone", scene->folder);
    scene_ok(scene, store_open(clone, STORE_WRITE, talk, &store, &scene->err));
    scene_ok(scene, scene_append(scene, store, path, text, "in the clone", id, &made));
    assert_true(made);
    store_close(store);
    (void)fclose(talk);
}

static void files_follow(void **state)
{
    struct scene *const scene = *state;
    char said[SCENE_TEXT_MAX];
    char out[SCENE_TEXT_MAX];
    append(scene, "holes/A.json", "a2\n", said);
    assert_string_equal(said, "");
    append(scene, "holes/new/C.json", "c\n", said);
    assert_string_equal(said, "");
    scene_must(scene, out, "git -C clone status --porcelain && cat clone/holes/A.json clone/holes/new/C.json");
    assert_string_equal(out, "a2\nc\n");
    append(scene, "holes/B.json", NULL, said);
    assert_string_equal(said, "");
    scene_must(scene, out, "git -C clone status --porcelain && git -C clone ls-files && ls clone/holes");
    assert_string_equal(out, "expedition.json\nholes/A.json\nholes/new/C.json\nA.json\nnew\n");
    scene_must(scene, out, "git -C clone push -q origin HEAD");
    scene_fsck(scene, "clone");
}

static void a_changed_file_stays(void **state)
{
    struct scene *const scene = *state;
    char said[SCENE_TEXT_MAX];
    char out[SCENE_TEXT_MAX];
    scene_must(scene, out, "echo by hand > clone/holes/A.json; echo mine > clone/holes/D.json");
    append(scene, "holes/A.json", "a2\n", said);
    assert_non_null(strstr(said, "holes/A.json"));
    append(scene, "holes/D.json", "d\n", said);
    assert_non_null(strstr(said, "holes/D.json"));
    scene_must(scene, out, "cat clone/holes/A.json clone/holes/D.json && git -C clone status --porcelain");
    assert_string_equal(out, "by hand\nmine\n M holes/A.json\n M holes/D.json\n");
}

static void a_staged_change_stays(void **state)
{
    struct scene *const scene = *state;
    char said[SCENE_TEXT_MAX];
    char out[SCENE_TEXT_MAX];
    scene_must(scene, out, "echo staged > clone/holes/A.json; git -C clone add -A");
    append(scene, "holes/A.json", "a2\n", said);
    assert_non_null(strstr(said, "holes/A.json"));
    scene_must(scene, out, "cat clone/holes/A.json && git -C clone show :holes/A.json");
    assert_string_equal(out, "staged\nstaged\n");
}

/* A link in the work tree must not carry our writing out of it. */
static void a_link_is_not_followed(void **state)
{
    struct scene *const scene = *state;
    char said[SCENE_TEXT_MAX];
    char out[SCENE_TEXT_MAX];
    scene_must(scene, out,
               "mkdir outside && printf 'a\\n' > outside/A.json && rm -r clone/holes && "
               "ln -s ../outside clone/holes");
    append(scene, "holes/A.json", "a2\n", said);
    assert_non_null(strstr(said, "holes/A.json"));
    scene_must(scene, out, "cat outside/A.json && ls outside");
    assert_string_equal(out, "a\nA.json\n");
}

static void a_dead_index_lock_is_cleared(void **state)
{
    struct scene *const scene = *state;
    char clone[700];
    char id[COMMIT_ID_MAX];
    char said[SCENE_TEXT_MAX] = "";
    char out[SCENE_TEXT_MAX];
    bool made = false;
    struct store *store = NULL;
    scene_must(scene, out, "touch clone/.git/index.lock");
    FILE *const talk = fmemopen(said, sizeof said, "w");
    assert_non_null(talk);
    (void)snprintf(clone, sizeof clone, "%s/clone/.git", scene->folder);
    scene_ok(scene, store_open(clone, STORE_WRITE, talk, &store, &scene->err));
    store->foreign_wait_ms = 150;
    scene_ok(scene, scene_append(scene, store, "holes/A.json", "a2\n", "in the clone", id, &made));
    store_close(store);
    (void)fclose(talk);
    assert_non_null(strstr(said, "index.lock"));
    scene_must(scene, out, "git -C clone status --porcelain");
    assert_string_equal(out, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(files_follow, clone_open, scene_close),
        cmocka_unit_test_setup_teardown(a_changed_file_stays, clone_open, scene_close),
        cmocka_unit_test_setup_teardown(a_staged_change_stays, clone_open, scene_close),
        cmocka_unit_test_setup_teardown(a_link_is_not_followed, clone_open, scene_close),
        cmocka_unit_test_setup_teardown(a_dead_index_lock_is_cleared, clone_open, scene_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
