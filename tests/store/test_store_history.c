/* SPDX-License-Identifier: MIT */
/* Versions of one path: the same commits as git log tells, and their bytes. */
#include "scene.h"

struct version {
    const char *line;
    const char *text; /* NULL: removed */
};

static void expect(struct scene *scene, const char *path, const struct version *versions, size_t count)
{
    struct store *store = NULL;
    struct history *history = NULL;
    struct commit commit;
    struct bytes bytes;
    bool more = true;
    scene_ok(scene, store_open(scene->registry, STORE_READ, NULL, &store, &scene->err));
    scene_ok(scene, history_open(store, path, &history, &scene->err));
    for (size_t at = 0; at < count; at++) {
        scene_ok(scene, history_next(history, &scene->arena, &commit, &bytes, &more, &scene->err));
        assert_true(more);
        assert_string_equal(commit.line, versions[at].line);
        if (versions[at].text)
            assert_string_equal(bytes.data, versions[at].text);
        else
            assert_null(bytes.data);
    }
    for (int again = 0; again < 2; again++) {
        scene_ok(scene, history_next(history, &scene->arena, &commit, &bytes, &more, &scene->err));
        assert_false(more);
    }
    history_close(history);
    store_close(store);
}

static void tells_versions_newest_first(void **state)
{
    static const struct version deep[] = {
        {"put back", "one\n"}, {"removed", NULL}, {"second", "two\n"}, {"first", "one\n"}};
    static const struct version root[] = {{"expedition 901 started", "{}\n"}};
    struct scene *const scene = *state;
    static const char path[] = "holes/A/cores/0001.json";
    scene_record(scene, scene->registry, "holes/A/cores/0002.json", "x\n", "before");
    scene_record(scene, scene->registry, path, "one\n", "first");
    scene_record(scene, scene->registry, "holes/A/cores/0002.json", "y\n", "beside");
    scene_record(scene, scene->registry, path, "two\n", "second");
    scene_record(scene, scene->registry, "other.json", "z\n", "elsewhere");
    scene_record(scene, scene->registry, path, NULL, "removed");
    scene_record(scene, scene->registry, path, "one\n", "put back");
    scene_record(scene, scene->registry, "other.json", "zz\n", "after");
    expect(scene, path, deep, sizeof deep / sizeof *deep);
    expect(scene, "expedition.json", root, 1);
}

static void tells_nothing_of_what_never_was(void **state)
{
    struct scene *const scene = *state;
    scene_record(scene, scene->registry, "other.json", "z\n", "elsewhere");
    expect(scene, "holes/never.json", NULL, 0);
}

static void agrees_with_git_log(void **state)
{
    struct scene *const scene = *state;
    char out[SCENE_TEXT_MAX];
    char told[SCENE_TEXT_MAX] = "";
    struct store *store = NULL;
    struct history *history = NULL;
    struct commit commit;
    struct bytes bytes;
    bool more = true;
    uint32_t mix = 12345;
    for (int step = 0; step < 60; step++) {
        char path[40];
        char text[40];
        mix = mix * 1664525u + 1013904223u;
        (void)snprintf(path, sizeof path, "h/%u/%u.json", (unsigned)(mix >> 28) % 2, (unsigned)(mix >> 24) % 3);
        (void)snprintf(text, sizeof text, "%d\n", step);
        scene_record(scene, scene->registry, path, text, text);
    }
    scene_must(scene, out, "git -C registry.git log --first-parent --format=%%H -- h/1/2.json");
    scene_ok(scene, store_open(scene->registry, STORE_READ, NULL, &store, &scene->err));
    scene_ok(scene, history_open(store, "h/1/2.json", &history, &scene->err));
    for (;;) {
        scene_ok(scene, history_next(history, &scene->arena, &commit, &bytes, &more, &scene->err));
        if (!more)
            break;
        (void)snprintf(told + strlen(told), sizeof told - strlen(told), "%s\n", commit.id);
    }
    assert_string_equal(told, out);
    history_close(history);
    store_close(store);
}

static void reads_a_clients_commit(void **state)
{
    struct scene *const scene = *state;
    struct store *store = NULL;
    struct commit commit;
    scene_client_push(scene, "x.json", "x\\n", "by hand");
    scene_ok(scene, store_open(scene->registry, STORE_READ, NULL, &store, &scene->err));
    scene_ok(scene, store_commit(store, store_state(store), &scene->arena, &commit, &scene->err));
    assert_string_equal(commit.line, "by hand");
    assert_string_equal(commit.author, "Client Person");
    assert_null(commit.station);
    assert_null(commit.reason);
    store_close(store);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(tells_versions_newest_first, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(tells_nothing_of_what_never_was, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(agrees_with_git_log, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(reads_a_clients_commit, scene_open, scene_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
