/* SPDX-License-Identifier: MIT */
/* Making, finding, opening and reading a registry; who acts. */
#include "scene.h"

#include <sys/stat.h>

static void creates_a_bare_repository(void **state)
{
    struct scene *const scene = *state;
    char out[SCENE_TEXT_MAX];
    scene_fsck(scene, scene->registry);
    scene_must(scene, out, "git -C registry.git log --format='%%s|%%an|%%ai'");
    assert_string_equal(out, "expedition 901 started|Test Person|2026-03-01 09:42:30 +0530\n");
    scene_must(scene, out,
               "git -C registry.git config core.bare && git -C registry.git config core.fsync && "
               "cat registry.git/HEAD && ls -d registry.git/objects/[0-9a-f][0-9a-f] | wc -l && ls");
    assert_string_equal(out, "true\nall\nref: refs/heads/main\n256\nregistry.git\n");
}

static void refuses_what_is_there(void **state)
{
    static const char *const taken[] = {"taken-file", "taken-folder", "taken-link"};
    struct scene *const scene = *state;
    char out[SCENE_TEXT_MAX];
    scene_must(scene, out, "touch taken-file && mkdir taken-folder && ln -s nowhere taken-link");
    for (size_t which = 0; which < sizeof taken / sizeof *taken; which++) {
        char path[700];
        char id[COMMIT_ID_MAX] = "untouched";
        const struct act act = scene_act("again");
        const struct change change = {.path = "expedition.json", .bytes = {.data = "{}\n", .len = 3}};
        (void)snprintf(path, sizeof path, "%s/%s", scene->folder, taken[which]);
        assert_int_equal(store_create(path, &act, &change, 1, id, &scene->err), STATUS_EXISTS);
        assert_string_equal(id, "untouched");
    }
    scene_must(scene, out, "ls");
    assert_string_equal(out, "registry.git\ntaken-file\ntaken-folder\ntaken-link\n");
}

static void removes_what_a_killed_creation_left(void **state)
{
    struct scene *const scene = *state;
    char out[SCENE_TEXT_MAX];
    char path[700];
    char id[COMMIT_ID_MAX];
    /* A process number beyond what Linux hands out (PID_MAX_LIMIT is 4194304, proc(5)): nobody's. */
    scene_must(scene, out, "mkdir -p next.git.part-9999999/objects && touch next.git.part-9999999/HEAD");
    (void)snprintf(path, sizeof path, "%s/next.git", scene->folder);
    const struct act act = scene_act("second");
    const struct change change = {.path = "expedition.json", .bytes = {.data = "{}\n", .len = 3}};
    scene_ok(scene, store_create(path, &act, &change, 1, id, &scene->err));
    scene_must(scene, out, "ls");
    assert_string_equal(out, "next.git\nregistry.git\n");
}

static void leaves_nothing_after_a_refusal(void **state)
{
    struct scene *const scene = *state;
    char out[SCENE_TEXT_MAX];
    char path[700];
    char id[COMMIT_ID_MAX];
    struct act act = scene_act("unsigned");
    act.actor.name = "bad\nname";
    const struct change change = {.path = "expedition.json", .bytes = {.data = "{}\n", .len = 3}};
    (void)snprintf(path, sizeof path, "%s/refused.git", scene->folder);
    assert_int_not_equal(store_create(path, &act, &change, 1, id, &scene->err), STATUS_OK);
    scene_must(scene, out, "ls");
    assert_string_equal(out, "registry.git\n");
}

static void finds_upward_and_by_name(void **state)
{
    struct scene *const scene = *state;
    char out[SCENE_TEXT_MAX];
    char found[PATH_TEXT_MAX];
    char deep[700];
    scene_must(scene, out, "mkdir -p a/b/c && git init -q a/b && git -C a/b commit -q --allow-empty -m other");
    (void)snprintf(deep, sizeof deep, "%s/a/b/c", scene->folder);
    scene_ok(scene, store_find(NULL, deep, found, &scene->err)); /* past a repository that is no registry */
    struct store *store = NULL;
    scene_ok(scene, store_open(found, STORE_READ, NULL, &store, &scene->err));
    assert_string_equal(scene_read(scene, store, "expedition.json"), "{}\n");
    store_close(store);
    scene_ok(scene, store_find(NULL, scene->registry, found, &scene->err));
    scene_ok(scene, store_find(scene->folder, deep, found, &scene->err));
    scene_ok(scene, store_find(scene->registry, "/", found, &scene->err));
    assert_int_equal(store_find(deep, scene->folder, found, &scene->err), STATUS_UNKNOWN);
    assert_int_equal(store_find(NULL, "/", found, &scene->err), STATUS_UNKNOWN);
    assert_non_null(strstr(scene->err.reason, "no registry here"));
    assert_non_null(strstr(scene->err.hint, "coretally start 901 --title \"...\""));
}

static void refuses_what_is_no_registry(void **state)
{
    struct scene *const scene = *state;
    struct store *store = NULL;
    assert_int_equal(store_open(scene->folder, STORE_READ, NULL, &store, &scene->err) == STATUS_OK, 0);
    assert_null(store);
    assert_int_not_equal(store_open("/nonexistent", STORE_WRITE, NULL, &store, &scene->err), STATUS_OK);
    assert_null(store);
}

static void reads_and_lists(void **state)
{
    struct scene *const scene = *state;
    struct store *store = NULL;
    struct names names;
    scene_record(scene, scene->registry, "holes/U0012A/hole.json", "hole\n", "hole");
    scene_record(scene, scene->registry, "holes/U0012A/cores/0001.json", "core\n", "core");
    scene_record(scene, scene->registry, "holes.json", "beside\n", "sorts before holes/");
    scene_ok(scene, store_open(scene->registry, STORE_READ, NULL, &store, &scene->err));
    assert_string_equal(scene_read(scene, store, "holes/U0012A/cores/0001.json"), "core\n");
    assert_null(scene_read(scene, store, "holes/U0012A/cores/0002.json"));
    assert_null(scene_read(scene, store, "holes/U0099Z/hole.json"));
    scene_ok(scene, store_list(store, "", &scene->arena, &names, &scene->err));
    assert_int_equal(names.count, 3);
    assert_string_equal(names.items[0], "expedition.json");
    assert_string_equal(names.items[1], "holes.json");
    assert_string_equal(names.items[2], "holes/");
    scene_ok(scene, store_list(store, "holes/U0012A", &scene->arena, &names, &scene->err));
    assert_int_equal(names.count, 2);
    assert_string_equal(names.items[0], "cores/");
    scene_ok(scene, store_list(store, "holes/U0099Z", &scene->arena, &names, &scene->err));
    assert_int_equal(names.count, 0);
    store_close(store);
}

static void refuses_a_record_past_the_limit(void **state)
{
    struct scene *const scene = *state;
    char out[SCENE_TEXT_MAX];
    struct store *store = NULL;
    struct bytes bytes = {.len = 7};
    /* RECORD_BYTES_MAX is 64 MiB; one byte more, put there by a git client. */
    scene_must(scene, out,
               "git clone -q registry.git client && cd client && truncate -s 67108865 big.json && "
               "git add -A && git commit -q -m big && git push -q origin HEAD");
    scene_ok(scene, store_open(scene->registry, STORE_READ, NULL, &store, &scene->err));
    assert_int_equal(store_read(store, "big.json", &scene->arena, &bytes, &scene->err), STATUS_DAMAGED);
    assert_int_equal(bytes.len, 7);
    assert_non_null(strstr(scene->err.reason, "67108865"));
    store_close(store);
}

static void tells_damage(void **state)
{
    struct scene *const scene = *state;
    char out[SCENE_TEXT_MAX];
    struct store *store = NULL;
    struct bytes bytes;
    scene_must(scene, out,
               "cd registry.git && o=$(git rev-parse main:expedition.json) && "
               "f=objects/$(echo $o | cut -c1-2)/$(echo $o | cut -c3-) && chmod u+w $f && echo rot > $f");
    scene_ok(scene, store_open(scene->registry, STORE_READ, NULL, &store, &scene->err));
    assert_int_equal(store_read(store, "expedition.json", &scene->arena, &bytes, &scene->err), STATUS_DAMAGED);
    store_close(store);
}

static const char *variable_read(void *context, const char *variable)
{
    const char *const *const pairs = context;
    for (size_t at = 0; pairs[at]; at += 2)
        if (strcmp(pairs[at], variable) == 0)
            return pairs[at + 1];
    return NULL;
}

static void knows_who_acts(void **state)
{
    struct scene *const scene = *state;
    char out[SCENE_TEXT_MAX];
    struct store *store = NULL;
    struct actor actor = {0};
    const char *none[] = {NULL};
    const char *both[] = {"GIT_AUTHOR_NAME", "Env Person", "GIT_AUTHOR_EMAIL", "env@ship.example", NULL};
    scene_ok(scene, store_open(scene->registry, STORE_READ, NULL, &store, &scene->err));
    assert_int_equal(store_actor(store, variable_read, none, &scene->arena, &actor, &scene->err), STATUS_INPUT);
    assert_null(actor.name);
    assert_non_null(strstr(scene->err.hint, "git config --global user.name"));
    scene_ok(scene, store_actor(store, variable_read, both, &scene->arena, &actor, &scene->err));
    assert_string_equal(actor.name, "Env Person");
    assert_string_equal(actor.mail, "env@ship.example");
    assert_true(*actor.station);
    store_close(store);
    scene_must(scene, out,
               "git -C registry.git config user.name 'Config Person' && "
               "git -C registry.git config user.email config@ship.example && "
               "git -C registry.git config coretally.station 'core lab'");
    scene_ok(scene, store_open(scene->registry, STORE_READ, NULL, &store, &scene->err));
    scene_ok(scene, store_actor(store, variable_read, none, &scene->arena, &actor, &scene->err));
    assert_string_equal(actor.name, "Config Person");
    assert_string_equal(actor.station, "core lab");
    scene_ok(scene, store_actor(NULL, variable_read, both, &scene->arena, &actor, &scene->err));
    store_close(store);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(creates_a_bare_repository, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(refuses_what_is_there, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(removes_what_a_killed_creation_left, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(leaves_nothing_after_a_refusal, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(finds_upward_and_by_name, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(refuses_what_is_no_registry, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(reads_and_lists, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(refuses_a_record_past_the_limit, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(tells_damage, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(knows_who_acts, scene_open, scene_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
