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
    char id[HASH_TEXT_MAX];
    bool more = true;
    scene_ok(scene, store_open(scene->registry, STORE_READ, NULL, &store, &scene->err));
    scene_ok(scene, history_open(store, path, &history, &scene->err));
    for (size_t at = 0; at < count; at++) {
        scene_ok(scene, history_next(history, &scene->arena, &commit, id, &more, &scene->err));
        assert_true(more);
        assert_string_equal(commit.line, versions[at].line);
        if (!versions[at].text) {
            assert_string_equal(id, "");
            continue;
        }
        scene_ok(scene, history_bytes(store, id, path, &scene->arena, &bytes, &scene->err));
        assert_string_equal(bytes.data, versions[at].text);
    }
    for (int again = 0; again < 2; again++) {
        scene_ok(scene, history_next(history, &scene->arena, &commit, id, &more, &scene->err));
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
    char id[HASH_TEXT_MAX];
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
        scene_ok(scene, history_next(history, &scene->arena, &commit, id, &more, &scene->err));
        if (!more)
            break;
        (void)snprintf(told + strlen(told), sizeof told - strlen(told), "%s\n", commit.id);
    }
    assert_string_equal(told, out);
    history_close(history);
    store_close(store);
}

/* Which commits git log tells for any of these, and which of them each commit touched. */
static void a_trail_agrees_with_git_log(void **state)
{
    static const char *const paths[] = {"h/1/2.json", "h/0", "h/never.json"};
    struct scene *const scene = *state;
    char out[SCENE_TEXT_MAX];
    char told[SCENE_TEXT_MAX] = "";
    char single[2][SCENE_TEXT_MAX] = {"", ""};
    struct store *store = NULL;
    struct trail *trail = NULL;
    struct commit commit;
    uint32_t mix = 4321;
    for (int step = 0; step < 60; step++) {
        char path[40];
        char text[40];
        mix = mix * 1664525u + 1013904223u;
        (void)snprintf(path, sizeof path, "%s/%u/%u.json", (mix >> 20) % 3 ? "h" : "elsewhere",
                       (unsigned)(mix >> 28) % 2, (unsigned)(mix >> 24) % 3);
        (void)snprintf(text, sizeof text, "%d\n", step);
        scene_record(scene, scene->registry, path, text, text);
    }
    scene_record(scene, scene->registry, "h/1/2.json", NULL, "removed");
    scene_ok(scene, store_open(scene->registry, STORE_READ, NULL, &store, &scene->err));
    scene_ok(scene, trail_open(store, paths, 3, &trail, &scene->err));
    for (;;) {
        struct trail_act act = {.line_count = 0};
        bool more = false;
        scene_ok(scene, trail_next(trail, &scene->arena, &act, &more, &scene->err));
        if (!more)
            break;
        commit = act.commit;
        const uint64_t touched = act.touched;
        assert_int_equal(touched & ~(uint64_t)3, 0);
        assert_int_equal(act.line_count, 1);
        (void)snprintf(told + strlen(told), sizeof told - strlen(told), "%s\n", commit.id);
        for (int at = 0; at < 2; at++)
            if (touched & (UINT64_C(1) << at))
                (void)snprintf(single[at] + strlen(single[at]), sizeof single[at] - strlen(single[at]), "%s\n",
                               commit.id);
    }
    scene_must(scene, out, "git -C registry.git log --first-parent --format=%%H -- h/1/2.json h/0");
    assert_string_equal(told, out);
    for (int at = 0; at < 2; at++) {
        scene_must(scene, out, "git -C registry.git log --first-parent --format=%%H -- %s", paths[at]);
        assert_string_equal(single[at], out);
        assert_true(strlen(out) > 41);
    }
    trail_close(trail);
    store_close(store);
}

static void stands_beside_at_another_state(void **state)
{
    struct scene *const scene = *state;
    char first[SCENE_TEXT_MAX];
    char id[HASH_TEXT_MAX];
    struct store *store = NULL;
    struct store *beside = NULL;
    scene_record(scene, scene->registry, "h/x.json", "one\n", "first");
    scene_must(scene, first, "git -C registry.git rev-parse HEAD");
    first[strcspn(first, "\n")] = '\0';
    scene_record(scene, scene->registry, "h/x.json", "two\n", "second");
    scene_ok(scene, store_open(scene->registry, STORE_READ, NULL, &store, &scene->err));
    scene_ok(scene, store_open_beside(store, first, &beside, &scene->err));
    assert_string_equal(store_state(beside), first);
    assert_string_equal(scene_read(scene, beside, "h/x.json"), "one\n");
    assert_string_equal(scene_read(scene, store, "h/x.json"), "two\n");
    scene_ok(scene, store_id(beside, "h/x.json", id, &scene->err));
    scene_must(scene, first, "git -C registry.git rev-parse HEAD~1:h/x.json");
    assert_int_equal(strncmp(first, id, strlen(id)), 0);
    scene_ok(scene, store_id(beside, "h", id, &scene->err));
    scene_must(scene, first, "git -C registry.git rev-parse HEAD~1:h");
    assert_int_equal(strncmp(first, id, strlen(id)), 0);
    scene_ok(scene, store_id(beside, "h/y.json", id, &scene->err));
    assert_string_equal(id, "");
    store_close(beside);
    assert_int_equal(store_open_beside(store, "0000000000", &beside, &scene->err), STATUS_UNKNOWN);
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
    assert_non_null(strchr(commit.mail, '@'));
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
        cmocka_unit_test_setup_teardown(a_trail_agrees_with_git_log, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(stands_beside_at_another_state, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(reads_a_clients_commit, scene_open, scene_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
