/* SPDX-License-Identifier: MIT */
/* One act, one commit: what it says, when it is redone, when it is refused. */
#include "scene.h"

#include <sys/stat.h>

static void says_the_act(void **state)
{
    struct scene *const scene = *state;
    char out[SCENE_TEXT_MAX];
    struct store *store = NULL;
    struct commit commit;
    char id[COMMIT_ID_MAX];
    bool made = false;
    struct act act = scene_act("core 12\nadded\x1b[31m");
    act.reason = "liner split\n\nmeasured again";
    const struct change change = {.path = "a/b/c.json", .bytes = {.data = "c\n", .len = 2}};
    scene_ok(scene, store_open(scene->registry, STORE_WRITE, NULL, &store, &scene->err));
    scene_ok(scene, store_append(store, &act, &change, 1, false, id, &made, &scene->err));
    assert_true(made);
    assert_string_equal(id, store_state(store));
    scene_must(scene, out,
               "git -C registry.git log -1 --format=%%s && git -C registry.git log -1 --format=%%B | "
               "git interpret-trailers --parse");
    assert_string_equal(out, "core 12 added [31m\nAct: core add\nStation: catwalk\n"
                             "Reason: liner split measured again\n");
    scene_ok(scene, store_commit(store, id, &scene->arena, &commit, &scene->err));
    assert_string_equal(commit.id, id);
    assert_string_equal(commit.line, "core 12 added [31m");
    assert_string_equal(commit.author, "Test Person");
    assert_string_equal(commit.station, "catwalk");
    assert_non_null(strstr(commit.reason, "measured again"));
    assert_int_equal(commit.when.utc_us, act.actor.when.utc_us);
    assert_int_equal(commit.when.offset_min, 330);
    id[8] = '\0';
    scene_ok(scene, store_commit(store, id, &scene->arena, &commit, &scene->err));
    assert_int_equal(store_commit(store, "0123456789", &scene->arena, &commit, &scene->err), STATUS_UNKNOWN);
    assert_int_not_equal(store_commit(store, "HEAD", &scene->arena, &commit, &scene->err), STATUS_OK);
    store_close(store);
    scene_fsck(scene, scene->registry);
}

static void makes_nothing_of_nothing(void **state)
{
    struct scene *const scene = *state;
    struct store *store = NULL;
    char before[COMMIT_ID_MAX];
    char id[COMMIT_ID_MAX];
    bool made = true;
    scene_ok(scene, store_open(scene->registry, STORE_WRITE, NULL, &store, &scene->err));
    (void)snprintf(before, sizeof before, "%s", store_state(store));
    scene_ok(scene, scene_append(scene, store, "expedition.json", "{}\n", "same again", id, &made));
    assert_false(made);
    assert_string_equal(id, before);
    store_close(store);
}

static void appends_twice_and_removes(void **state)
{
    struct scene *const scene = *state;
    struct store *store = NULL;
    char id[COMMIT_ID_MAX];
    bool made = false;
    scene_ok(scene, store_open(scene->registry, STORE_WRITE, NULL, &store, &scene->err));
    assert_null(scene_read(scene, store, "holes/a.json"));
    scene_ok(scene, scene_append(scene, store, "holes/a.json", "1\n", "one", id, &made));
    assert_string_equal(scene_read(scene, store, "holes/a.json"), "1\n");
    scene_ok(scene, scene_append(scene, store, "holes/a.json", "2\n", "two", id, &made));
    assert_string_equal(scene_read(scene, store, "holes/a.json"), "2\n");
    scene_ok(scene, scene_append(scene, store, "holes/a.json", NULL, "removed", id, &made));
    assert_true(made);
    assert_null(scene_read(scene, store, "holes/a.json"));
    scene_ok(scene, scene_append(scene, store, "holes/a.json", NULL, "removed again", id, &made));
    assert_false(made);
    store_close(store);
    scene_fsck(scene, scene->registry);
}

enum { BULK_FILES = 1200 };

static void appends_in_bulk(void **state)
{
    struct scene *const scene = *state;
    static const char text[] = "{\"core\": 1}\n";
    struct change changes[BULK_FILES];
    char paths[BULK_FILES][48];
    char out[SCENE_TEXT_MAX];
    char id[COMMIT_ID_MAX];
    bool made = false;
    struct store *store = NULL;
    for (int at = 0; at < BULK_FILES; at++) {
        (void)snprintf(paths[at], sizeof paths[at], "holes/H%d/cores/%04d.json", at % 10, at);
        changes[at] = (struct change){.path = paths[at], .bytes = {.data = text, .len = sizeof text - 1}};
    }
    const struct act act = scene_act("import of 1200 cores");
    scene_ok(scene, store_open(scene->registry, STORE_WRITE, NULL, &store, &scene->err));
    scene_ok(scene, store_append(store, &act, changes, BULK_FILES, true, id, &made, &scene->err));
    store_close(store);
    scene_must(scene, out, "git -C registry.git ls-tree -r main | wc -l && git -C registry.git rev-list main | wc -l");
    assert_string_equal(out, "1201\n2\n");
    scene_fsck(scene, scene->registry);
}

/* A git client pushes between the reading and the append: what was read decides. */
static void redoes_what_nothing_touched(void **state)
{
    struct scene *const scene = *state;
    struct store *store = NULL;
    struct names names;
    char out[SCENE_TEXT_MAX];
    char id[COMMIT_ID_MAX];
    bool made = false;
    scene_record(scene, scene->registry, "holes/A/1.json", "a\n", "a");
    scene_ok(scene, store_open(scene->registry, STORE_WRITE, NULL, &store, &scene->err));
    assert_null(scene_read(scene, store, "holes/B/1.json"));
    scene_ok(scene, store_list(store, "holes/A", &scene->arena, &names, &scene->err));
    scene_client_push(scene, "holes/A/1.json", "changed by another\\n", "contents are no listing");
    scene_ok(scene, scene_append(scene, store, "holes/B/1.json", "mine\n", "mine", id, &made));
    assert_true(made);
    assert_string_equal(scene_read(scene, store, "holes/A/1.json"), "changed by another\n");
    store_close(store);
    scene_must(scene, out, "git -C registry.git log --format=%%s");
    assert_string_equal(out, "mine\ncontents are no listing\na\nexpedition 901 started\n");
    scene_fsck(scene, scene->registry);
}

struct clash {
    const char *title;
    const char *read; /* NULL: nothing is read */
    const char *list;
    const char *write;
    const char *other; /* what the client changes */
};

static const struct clash clashes[] = {
    {"contents", "expedition.json", NULL, "x.json", "expedition.json"},
    {"absence", "holes/B/1.json", NULL, "x.json", "holes/B/1.json"},
    {"a listing", NULL, "holes", "x.json", "holes/C.json"},
    {"the listing of a folder that is not there", NULL, "nowhere", "x.json", "nowhere/C.json"},
    {"a path written without being read", NULL, NULL, "x.json", "x.json"},
};

static void refuses_what_another_touched(void **state)
{
    struct scene *const scene = *state;
    for (size_t which = 0; which < sizeof clashes / sizeof *clashes; which++) {
        const struct clash *const clash = &clashes[which];
        struct store *store = NULL;
        struct names names;
        char id[COMMIT_ID_MAX] = "untouched";
        bool made = false;
        char culprit[SCENE_TEXT_MAX];
        char line[100];
        char text[100];
        scene_ok(scene, store_open(scene->registry, STORE_WRITE, NULL, &store, &scene->err));
        if (clash->read)
            (void)scene_read(scene, store, clash->read);
        if (clash->list)
            scene_ok(scene, store_list(store, clash->list, &scene->arena, &names, &scene->err));
        (void)snprintf(line, sizeof line, "other act %zu", which);
        (void)snprintf(text, sizeof text, "other %zu\\n", which);
        scene_client_push(scene, clash->other, text, line);
        scene_must(scene, culprit, "git -C registry.git rev-parse main | cut -c1-10 | tr -d '\\n'");
        scene_client_push(scene, "innocent.json", text, "innocent act");
        const enum status status = scene_append(scene, store, clash->write, "mine\n", "mine", id, &made);
        if (status != STATUS_CONFLICT)
            fail_msg("%s: %s", clash->title, status_word(status));
        assert_string_equal(id, "untouched");
        if (!strstr(scene->err.reason, culprit) || !strstr(scene->err.reason, line) ||
            !strstr(scene->err.reason, "Client Person"))
            fail_msg("%s: the refusal names another act than %s: %s", clash->title, culprit, scene->err.reason);
        assert_true(*scene->err.hint);
        store_close(store);
    }
    scene_fsck(scene, scene->registry);
}

static void refuses_a_name_that_would_break_the_commit(void **state)
{
    static const char *const names[] = {"two\nlines", "with <angle>", "", "bell\a"};
    struct scene *const scene = *state;
    struct store *store = NULL;
    scene_ok(scene, store_open(scene->registry, STORE_WRITE, NULL, &store, &scene->err));
    for (size_t which = 0; which < sizeof names / sizeof *names; which++) {
        struct act act = scene_act("by whom");
        act.actor.name = names[which];
        char id[COMMIT_ID_MAX];
        bool made = false;
        const struct change change = {.path = "x.json", .bytes = {.data = names[which], .len = strlen(names[which])}};
        assert_int_equal(store_append(store, &act, &change, 1, false, id, &made, &scene->err), STATUS_INPUT);
    }
    store_close(store);
    scene_fsck(scene, scene->registry);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(says_the_act, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(makes_nothing_of_nothing, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(appends_twice_and_removes, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(appends_in_bulk, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(redoes_what_nothing_touched, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(refuses_what_another_touched, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(refuses_a_name_that_would_break_the_commit, scene_open, scene_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
