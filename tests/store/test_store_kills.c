/* SPDX-License-Identifier: MIT */
/* Writers killed at random instants: what was acknowledged is there, the repository is whole, and the next act needs
 * nobody's help. */
#include "scene.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>

#include "internal.h"

enum { KILLS = 60, KILLS_LONG = 200, WRITERS = 3, STALE_MS = 60, SECONDS_MOST = 55 };

/* Each acknowledgement is one write to a file opened for appending, so that a kill cuts none in two. */
static _Noreturn void writer_run(struct scene *scene, int acks)
{
    for (int number = 0;; number++) {
        struct store *store = NULL;
        char path[60];
        char text[60];
        char id[COMMIT_ID_MAX];
        bool made = false;
        (void)snprintf(path, sizeof path, "holes/K%ld/%04d.json", (long)getpid() % 16, number % 50);
        (void)snprintf(text, sizeof text, "%ld %d\n", (long)getpid(), number);
        if (store_open(scene->registry, STORE_WRITE, NULL, &store, &scene->err) != STATUS_OK)
            break;
        store->foreign_wait_ms = STALE_MS;
        if (scene_append(scene, store, path, text, "until killed", id, &made) != STATUS_OK)
            break;
        store_close(store);
        id[COMMIT_ID_MAX - 1] = '\n';
        if (write(acks, id, COMMIT_ID_MAX) != COMMIT_ID_MAX)
            break;
    }
    (void)fprintf(stderr, "a writer was refused: %s: %s\n", scene->err.subject, scene->err.reason);
    _exit(1);
}

static pid_t writer_start(struct scene *scene, int acks)
{
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0)
        writer_run(scene, acks);
    return child;
}

static void writer_kill(pid_t writer)
{
    int ended = 0;
    assert_int_equal(kill(writer, SIGKILL), 0);
    assert_int_equal(waitpid(writer, &ended, 0), writer);
    if (!WIFSIGNALED(ended))
        fail_msg("a writer ended by itself, exit %d", WEXITSTATUS(ended));
}

static void the_registry_survives_its_writers(void **state)
{
    struct scene *const scene = *state;
    char path[700];
    char out[SCENE_TEXT_MAX];
    pid_t writers[WRITERS];
    const time_t start = time(NULL);
    const unsigned seed = (unsigned)start;
    unsigned mix = seed;
    (void)snprintf(path, sizeof path, "%s/acks", scene->folder);
    const int acks = open(path, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0666);
    assert_true(acks >= 0);
    for (int which = 0; which < WRITERS; which++)
        writers[which] = writer_start(scene, acks);
    const int wanted = getenv("TESTS_LONG") ? KILLS_LONG : KILLS;
    int kills = 0;
    for (; kills < wanted && time(NULL) - start < SECONDS_MOST; kills++) {
        mix = mix * 1664525u + 1013904223u;
        (void)usleep(40000 + (mix >> 8) % 120000);
        const int which = kills % WRITERS;
        writer_kill(writers[which]);
        writers[which] = writer_start(scene, acks);
    }
    for (int which = 0; which < WRITERS; which++)
        writer_kill(writers[which]);
    struct store *store = NULL;
    char id[COMMIT_ID_MAX];
    bool made = false;
    scene_ok(scene, store_open(scene->registry, STORE_WRITE, NULL, &store, &scene->err));
    store->foreign_wait_ms = STALE_MS;
    scene_ok(scene, scene_append(scene, store, "after.json", "after\n", "after all of them", id, &made));
    assert_true(made);
    store_close(store);
    print_message("seed %u: %d kills\n", seed, kills);
    scene_must(scene, out,
               "sort -u acks > acked && git -C registry.git rev-list main | sort > there && "
               "comm -23 acked there | wc -l && [ $(wc -l < acked) -gt 50 ] && "
               "find registry.git -name '*.lock*' ! -name coretally.lock | wc -l");
    assert_string_equal(out, "0\n0\n");
    scene_must(scene, out, "wc -l < acked; wc -l < there");
    print_message("acknowledged and commits: %s", out);
    scene_fsck(scene, scene->registry);
    (void)close(acks);
}

/* What was left is old enough when nobody can be at it any more; only what our writers leave is taken. */
static void sweeps_what_was_left(void **state)
{
    struct scene *const scene = *state;
    char out[SCENE_TEXT_MAX];
    struct store *store = NULL;
    scene_must(scene, out,
               "cd registry.git/objects && echo half > tmp_object_git2_Old001 && echo half > tmp_object_git2_Young1 && "
               "echo half > tmp_obj_OldGit && echo half > 12/tmp_object_git2_Other1 && mkdir tmp_object_git2_Folder && "
               "touch -d '61 minutes ago' tmp_object_git2_Old001 tmp_obj_OldGit 12/tmp_object_git2_Other1 "
               "tmp_object_git2_Folder && "
               "touch -d '59 minutes ago' tmp_object_git2_Young1");
    scene_ok(scene, store_open(scene->registry, STORE_READ, NULL, &store, &scene->err));
    store_close(store);
    scene_must(scene, out, "test -f registry.git/objects/tmp_object_git2_Old001");
    scene_record(scene, scene->registry, "holes/A/hole.json", "{}", "a hole");
    scene_must(scene, out,
               "cd registry.git/objects && test ! -e tmp_object_git2_Old001 && test -f tmp_object_git2_Young1 && "
               "test -f tmp_obj_OldGit && test -f 12/tmp_object_git2_Other1 && test -d tmp_object_git2_Folder");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(the_registry_survives_its_writers, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(sweeps_what_was_left, scene_open, scene_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
