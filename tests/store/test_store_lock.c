/* SPDX-License-Identifier: MIT */
/* Waiting for another writer, and clearing what a dead one left. */
#include "scene.h"

#include <sys/wait.h>

#include "internal.h"

static void waits_and_says_for_whom(void **state)
{
    struct scene *const scene = *state;
    struct store *store = NULL;
    scene_ok(scene, store_open(scene->registry, STORE_WRITE, NULL, &store, &scene->err));
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        char said[4096] = "";
        char holder[40];
        struct store *mine = NULL;
        FILE *const talk = fmemopen(said, sizeof said, "w");
        (void)snprintf(holder, sizeof holder, "%ld on ", (long)getppid());
        (void)close(store->lock_fd); /* an inherited copy would keep the parent's lock alive */
        const enum status status = store_open(scene->registry, STORE_WRITE, talk, &mine, &scene->err);
        (void)fclose(talk);
        _exit(status != STATUS_OK ? 2 : !strstr(said, "waiting") ? 3 : !strstr(said, holder) ? 4 : 0);
    }
    (void)usleep(1500000);
    char out[SCENE_TEXT_MAX];
    scene_must(scene, out, "cat registry.git/coretally.lock");
    assert_non_null(strstr(out, " on "));
    lock_release(store);
    int ended = 0;
    assert_int_equal(waitpid(child, &ended, 0), child);
    assert_true(WIFEXITED(ended));
    assert_int_equal(WEXITSTATUS(ended), 0);
    store_close(store);
}

static void readers_do_not_wait(void **state)
{
    struct scene *const scene = *state;
    struct store *writer = NULL;
    struct store *reader = NULL;
    scene_ok(scene, store_open(scene->registry, STORE_WRITE, NULL, &writer, &scene->err));
    scene_ok(scene, store_open(scene->registry, STORE_READ, NULL, &reader, &scene->err));
    store_close(reader);
    store_close(writer);
}

/* 0 and 41 bytes are what killed writers were seen to leave. */
static void clears_a_dead_writers_lock(void **state)
{
    static const char *const leavings[] = {"", "0123456789012345678901234567890123456789\n"};
    struct scene *const scene = *state;
    for (size_t which = 0; which < sizeof leavings / sizeof *leavings; which++) {
        char out[SCENE_TEXT_MAX];
        char said[4096] = "";
        char text[20];
        char id[COMMIT_ID_MAX];
        bool made = false;
        struct store *store = NULL;
        scene_must(scene, out, "printf '%s' > registry.git/refs/heads/main.lock", leavings[which]);
        FILE *const talk = fmemopen(said, sizeof said, "w");
        assert_non_null(talk);
        scene_ok(scene, store_open(scene->registry, STORE_WRITE, talk, &store, &scene->err));
        store->foreign_wait_ms = 150;
        (void)snprintf(text, sizeof text, "%zu\n", which);
        scene_ok(scene, scene_append(scene, store, "x.json", text, "after a death", id, &made));
        assert_true(made);
        store_close(store);
        (void)fclose(talk);
        assert_non_null(strstr(said, "main.lock"));
        scene_must(scene, out, "find registry.git -name '*.lock*' -o -name '*stale*'");
        assert_string_equal(out, "registry.git/coretally.lock\n");
    }
    scene_fsck(scene, scene->registry);
}

static void leaves_a_living_clients_lock(void **state)
{
    struct scene *const scene = *state;
    char out[SCENE_TEXT_MAX];
    char said[4096] = "";
    char id[COMMIT_ID_MAX];
    bool made = false;
    struct store *store = NULL;
    /* Written to every 50 ms for half a second, then taken away by its owner. */
    scene_must(scene, out,
               "touch registry.git/refs/heads/main.lock; (for i in 1 2 3 4 5 6 7 8 9 10; do sleep 0.05; "
               "touch registry.git/refs/heads/main.lock; done; rm registry.git/refs/heads/main.lock) "
               ">/dev/null 2>&1 & true");
    FILE *const talk = fmemopen(said, sizeof said, "w");
    assert_non_null(talk);
    scene_ok(scene, store_open(scene->registry, STORE_WRITE, talk, &store, &scene->err));
    store->foreign_wait_ms = 400;
    scene_ok(scene, scene_append(scene, store, "x.json", "x\n", "after a client", id, &made));
    assert_true(made);
    store_close(store);
    (void)fclose(talk);
    assert_string_equal(said, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(waits_and_says_for_whom, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(readers_do_not_wait, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(clears_a_dead_writers_lock, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(leaves_a_living_clients_lock, scene_open, scene_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
