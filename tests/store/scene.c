/* SPDX-License-Identifier: MIT */
/* The scene of the store's tests: folders, environment, the git client. */
#include "scene.h"

#include <sys/wait.h>

static void environment_pin(const char *folder)
{
    static const char *const pinned[][2] = {{"GIT_AUTHOR_NAME", "Client Person"},
                                            {"GIT_AUTHOR_EMAIL", "client@ship.example"},
                                            {"GIT_COMMITTER_NAME", "Client Person"},
                                            {"GIT_COMMITTER_EMAIL", "client@ship.example"},
                                            {"GIT_CONFIG_NOSYSTEM", "1"},
                                            {"GIT_TERMINAL_PROMPT", "0"},
                                            {"LC_ALL", "C"},
                                            {"TZ", "UTC"}};
    for (size_t which = 0; which < sizeof pinned / sizeof *pinned; which++)
        assert_int_equal(setenv(pinned[which][0], pinned[which][1], 1), 0);
    assert_int_equal(setenv("HOME", folder, 1), 0);
    assert_int_equal(unsetenv("XDG_CONFIG_HOME"), 0);
}

struct act scene_act(const char *line)
{
    return (struct act){.line = line,
                        .kind = "core add",
                        .actor = {.name = "Test Person",
                                  .mail = "person@ship.example",
                                  .station = "catwalk",
                                  .when = {.utc_us = 1772338350LL * 1000000, .offset_min = 330, .known = true}}};
}

int scene_open(void **state)
{
    struct scene *const scene = calloc(1, sizeof *scene);
    assert_non_null(scene);
    const char *const base = getenv("TMPDIR");
    (void)snprintf(scene->folder, sizeof scene->folder, "%.400s/coretally-store-XXXXXX",
                   base && *base ? base : P_tmpdir);
    assert_non_null(mkdtemp(scene->folder));
    (void)snprintf(scene->registry, sizeof scene->registry, "%s/registry.git", scene->folder);
    environment_pin(scene->folder);
    arena_init(&scene->arena, (size_t)256 << 20);
    const struct act act = scene_act("expedition 901 started");
    const struct change change = {.path = "expedition.json", .bytes = {.data = "{}\n", .len = 3}};
    char id[COMMIT_ID_MAX];
    scene_ok(scene, store_create(scene->registry, &act, &change, 1, id, &scene->err));
    *state = scene;
    return 0;
}

int scene_close(void **state)
{
    struct scene *const scene = *state;
    char out[SCENE_TEXT_MAX];
    (void)scene_run(scene, out, "chmod -R u+w . && rm -rf -- \"$PWD\"");
    arena_clear(&scene->arena);
    free(scene);
    return 0;
}

void scene_ok(struct scene *scene, enum status status)
{
    if (status != STATUS_OK)
        fail_msg("%s: %s: %s (%s)", status_word(status), scene->err.subject, scene->err.reason, scene->err.hint);
}

enum status scene_append(struct scene *scene, struct store *store, const char *path, const char *text, const char *line,
                         char id[COMMIT_ID_MAX], bool *made)
{
    const struct act act = scene_act(line);
    const struct change change = {.path = path, .bytes = {.data = text, .len = text ? strlen(text) : 0}};
    return store_append(store, &act, &change, 1, false, id, made, &scene->err);
}

void scene_record(struct scene *scene, const char *registry, const char *path, const char *text, const char *line)
{
    struct store *store = NULL;
    char id[COMMIT_ID_MAX];
    bool made = false;
    scene_ok(scene, store_open(registry, STORE_WRITE, NULL, &store, &scene->err));
    scene_ok(scene, scene_append(scene, store, path, text, line, id, &made));
    assert_true(made);
    store_close(store);
}

static int run(const struct scene *scene, char out[SCENE_TEXT_MAX], const char *format, va_list args)
{
    char asked[4096];
    char command[6000];
    const int len = vsnprintf(asked, sizeof asked, format, args);
    assert_true(len > 0 && (size_t)len < sizeof asked);
    (void)snprintf(command, sizeof command, "cd '%s' && { %s; } 2>&1", scene->folder, asked);
    FILE *const pipe = popen(command, "r");
    assert_non_null(pipe);
    const size_t got = fread(out, 1, SCENE_TEXT_MAX - 1, pipe);
    out[got] = '\0';
    char rest[4096];
    while (fread(rest, 1, sizeof rest, pipe) > 0)
        ;
    const int ended = pclose(pipe);
    return WIFEXITED(ended) ? WEXITSTATUS(ended) : 128;
}

int scene_run(struct scene *scene, char out[SCENE_TEXT_MAX], const char *format, ...)
{
    va_list args;
    va_start(args, format);
    const int code = run(scene, out, format, args);
    va_end(args);
    return code;
}

void scene_must(struct scene *scene, char out[SCENE_TEXT_MAX], const char *format, ...)
{
    va_list args;
    va_start(args, format);
    const int code = run(scene, out, format, args);
    va_end(args);
    if (code != 0)
        fail_msg("exit %d of \"%s\": %s", code, format, out);
}

void scene_client_push(struct scene *scene, const char *path, const char *text, const char *line)
{
    char out[SCENE_TEXT_MAX];
    scene_must(scene, out,
               "rm -rf client && git clone -q registry.git client && cd client && mkdir -p \"$(dirname '%s')\" && "
               "printf '%s' > '%s' && git add -A && git commit -q -m '%s' && git push -q origin HEAD",
               path, text, path, line);
}

void scene_fsck(struct scene *scene, const char *git_folder)
{
    char out[SCENE_TEXT_MAX];
    scene_must(scene, out, "git -C '%s' fsck --strict --no-dangling --no-progress", git_folder);
    assert_string_equal(out, "");
}

const char *scene_read(struct scene *scene, struct store *store, const char *path)
{
    struct bytes bytes;
    scene_ok(scene, store_read(store, path, &scene->arena, &bytes, &scene->err));
    return bytes.data;
}
