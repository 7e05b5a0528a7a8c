/* SPDX-License-Identifier: MIT */
/* What may stand at a path, and that nothing but a file is opened, nor waited for. */
#include "scene.h"

#include <fcntl.h>
#include <sys/stat.h>

#include "coretally/store/file.h"

struct want {
    const char *made;   /* how the shell makes what stands at "it" */
    int flags;          /* added to O_RDONLY */
    enum status status; /* STATUS_OK: it opens */
    const char *reason; /* a part of it */
};

static const struct want wants[] = {
    {"echo text > it", 0, STATUS_OK, ""},
    {"echo text > other && ln -s other it", 0, STATUS_OK, ""},
    {"echo text > other && ln -s other it", O_NOFOLLOW, STATUS_INPUT, "this is a symbolic link, not a file"},
    {"ln -s nowhere it", O_NOFOLLOW | O_CREAT, STATUS_INPUT, "this is a symbolic link"},
    {"true", 0, STATUS_UNKNOWN, "No such file"},
    {"true", O_CREAT | O_EXCL, STATUS_OK, ""},
    {"echo text > it", O_CREAT | O_EXCL, STATUS_EXISTS, "exists"},
    {"ln -s nowhere it", O_CREAT | O_EXCL | O_NOFOLLOW, STATUS_EXISTS, "exists"},
    {"mkdir it", 0, STATUS_INPUT, "this is a folder, not a file"},
    {"mkfifo it", 0, STATUS_INPUT, "this is a pipe, not a file"},
    {"mkfifo it", O_WRONLY, STATUS_INPUT, "this is a pipe, not a file"},
    {"mkfifo other && ln -s other it", 0, STATUS_INPUT, "this is a pipe, not a file"},
    {"ln -s /dev/zero it", 0, STATUS_INPUT, "this is a device, not a file"},
    {"python3 -c 'import socket; socket.socket(socket.AF_UNIX).bind(\"it\")'", 0, STATUS_INPUT, "this is a socket"},
    {"ln -s it it", 0, STATUS_SYSTEM, "symbolic links"},
};

static void opens_files_alone(void **state)
{
    struct scene *const scene = *state;
    char path[700];
    char out[SCENE_TEXT_MAX];
    (void)snprintf(path, sizeof path, "%s/it", scene->folder);
    (void)alarm(20); /* a wait is a failure */
    for (size_t at = 0; at < sizeof wants / sizeof *wants; at++) {
        int fd = -1;
        scene_must(scene, out, "rm -rf it other && %s", wants[at].made);
        const enum status status = file_open_regular(path, O_RDONLY | wants[at].flags, 0666, &fd, &scene->err);
        if (status != wants[at].status || (status != STATUS_OK && !strstr(scene->err.reason, wants[at].reason)))
            fail_msg("%s, flags %o: %s: %s", wants[at].made, (unsigned)wants[at].flags, status_word(status),
                     scene->err.reason);
        assert_int_equal(fd >= 0, status == STATUS_OK);
        if (fd < 0)
            continue;
        assert_int_equal(fcntl(fd, F_GETFL) & O_NONBLOCK, 0);
        assert_int_equal(fcntl(fd, F_GETFD) & FD_CLOEXEC, FD_CLOEXEC);
        assert_int_equal(close(fd), 0);
    }
    (void)alarm(0);
}

/* A file is emptied once it is known to be one. */
static void empties_what_it_opened(void **state)
{
    struct scene *const scene = *state;
    char path[700];
    char out[SCENE_TEXT_MAX];
    int fd = -1;
    struct stat info;
    (void)snprintf(path, sizeof path, "%s/it", scene->folder);
    scene_must(scene, out, "echo text > it");
    scene_ok(scene, file_open_regular(path, O_WRONLY | O_TRUNC, 0666, &fd, &scene->err));
    assert_int_equal(fstat(fd, &info), 0);
    assert_int_equal(info.st_size, 0);
    assert_int_equal(close(fd), 0);
}

/* Text that a shell hands over as /dev/fd/N is read; a pipe with a name is not waited for. */
static void takes_a_pipe_that_was_handed_over(void **state)
{
    struct scene *const scene = *state;
    char path[700];
    char out[SCENE_TEXT_MAX] = "";
    int ends[2];
    FILE *file = NULL;
    assert_int_equal(pipe(ends), 0);
    assert_int_equal(write(ends[1], "text", 4), 4);
    assert_int_equal(close(ends[1]), 0);
    (void)snprintf(path, sizeof path, "/dev/fd/%d", ends[0]);
    assert_int_equal(file_open_read(path, &file, &scene->err), STATUS_INPUT);
    scene_ok(scene, file_open_typed(path, &file, &scene->err));
    assert_int_equal(fread(out, 1, sizeof out, file), 4);
    assert_string_equal(out, "text");
    assert_int_equal(fclose(file), 0);
    assert_int_equal(close(ends[0]), 0);
    (void)snprintf(path, sizeof path, "%s/it", scene->folder);
    scene_must(scene, out, "mkfifo it");
    (void)alarm(20);
    assert_int_equal(file_open_typed(path, &file, &scene->err), STATUS_INPUT);
    assert_non_null(strstr(scene->err.hint, "<("));
    assert_int_equal(file_open_typed("/dev/zero", &file, &scene->err), STATUS_INPUT);
    (void)alarm(0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(opens_files_alone, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(empties_what_it_opened, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(takes_a_pipe_that_was_handed_over, scene_open, scene_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
