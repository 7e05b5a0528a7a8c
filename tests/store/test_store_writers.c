/* SPDX-License-Identifier: MIT */
/* Many processes write one registry: no act and no update of a shared record is lost. */
#include "scene.h"

#include <sys/wait.h>

enum { WRITERS = 8, APPENDS = 200, SHARED_EACH = 4 };

/* Every SHARED_EACH-th act counts the shared record up, read and written in one opening. */
static enum status write_once(struct scene *scene, int writer, int number)
{
    struct store *store = NULL;
    char path[60] = "counter.json";
    char text[60];
    char id[COMMIT_ID_MAX];
    bool made = false;
    TRY(store_open(scene->registry, STORE_WRITE, NULL, &store, &scene->err));
    if (number % SHARED_EACH == 0) {
        struct bytes bytes;
        enum status status = store_read(store, path, &scene->arena, &bytes, &scene->err);
        if (status != STATUS_OK) {
            store_close(store);
            return status;
        }
        (void)snprintf(text, sizeof text, "%ld\n", (bytes.data ? strtol(bytes.data, NULL, 10) : 0) + 1);
    } else {
        (void)snprintf(path, sizeof path, "holes/W%d/cores/%04d.json", writer, number);
        (void)snprintf(text, sizeof text, "%d %d\n", writer, number);
    }
    const enum status status = scene_append(scene, store, path, text, "one of many", id, &made);
    store_close(store);
    return status == STATUS_OK && !made ? STATUS_RULE : status;
}

static int writer_run(struct scene *scene, int writer)
{
    for (int number = 0; number < APPENDS; number++)
        if (write_once(scene, writer, number) != STATUS_OK) {
            (void)fprintf(stderr, "writer %d, act %d: %s: %s\n", writer, number, scene->err.subject, scene->err.reason);
            return 1;
        }
    return 0;
}

static void no_act_is_lost(void **state)
{
    struct scene *const scene = *state;
    char out[SCENE_TEXT_MAX];
    char expected[100];
    for (int writer = 0; writer < WRITERS; writer++) {
        const pid_t child = fork();
        assert_true(child >= 0);
        if (child == 0)
            _exit(writer_run(scene, writer));
    }
    for (int writer = 0; writer < WRITERS; writer++) {
        int ended = 0;
        assert_true(wait(&ended) > 0);
        assert_true(WIFEXITED(ended));
        assert_int_equal(WEXITSTATUS(ended), 0);
    }
    scene_must(scene, out,
               "cd registry.git && git rev-list main | wc -l && git show main:counter.json && "
               "git ls-tree -r main holes | wc -l");
    (void)snprintf(expected, sizeof expected, "%d\n%d\n%d\n", WRITERS * APPENDS + 1, WRITERS * APPENDS / SHARED_EACH,
                   WRITERS * (APPENDS - APPENDS / SHARED_EACH));
    assert_string_equal(out, expected);
    scene_fsck(scene, scene->registry);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(no_act_is_lost, scene_open, scene_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
