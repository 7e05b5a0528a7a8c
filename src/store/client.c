/* SPDX-License-Identifier: MIT */
/* Words for the git client, the environment that it gets, and what it says while it works. */
#include "client.h"

#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "program.h"

/* Of git rev-parse --local-env-vars, but for GIT_CONFIG_COUNT, by which a machine hands out who may enter: a registry
 * that calls us as its hook or alias means itself by them. And languages: what is heard is read. */
static const char *const unset[] = {"GIT_ALTERNATE_OBJECT_DIRECTORIES",
                                    "GIT_CONFIG",
                                    "GIT_OBJECT_DIRECTORY",
                                    "GIT_DIR",
                                    "GIT_WORK_TREE",
                                    "GIT_IMPLICIT_WORK_TREE",
                                    "GIT_GRAFT_FILE",
                                    "GIT_INDEX_FILE",
                                    "GIT_NO_REPLACE_OBJECTS",
                                    "GIT_REPLACE_REF_BASE",
                                    "GIT_PREFIX",
                                    "GIT_SHALLOW_FILE",
                                    "GIT_COMMON_DIR",
                                    "GIT_INTERNAL_SUPER_PREFIX",
                                    "GIT_QUARANTINE_PATH",
                                    "GIT_NAMESPACE",
                                    "LANGUAGE",
                                    NULL};

enum { PROGRESS_EVERY_S = 10, ENVIRONMENT_MAX = 32 };

struct ear {
    const struct client_call *call;
    struct text heard;
    time_t told_at;
};

static void config_free_at(git_config **config)
{
    git_config_free(*config);
}

static void buf_free_at(git_buf *buf)
{
    git_buf_dispose(buf);
}

static bool is_set(const struct store *store, const char *key)
{
    CLEANUP(config_free_at) git_config *config = NULL;
    CLEANUP(buf_free_at) git_buf value = {NULL, 0, 0};
    return git_repository_config(&config, store->repo) == 0 && git_config_get_string_buf(&value, config, key) == 0;
}

/* What nobody has decided otherwise. A line that is silent for five minutes is taken for cut, since it would be waited
 * for without end; and of the ways in which git speaks, those that run a program named in the address are left out. */
static void fill_environment(const struct client_call *call, const char *out[static ENVIRONMENT_MAX])
{
    const struct store *store = call->store;
    size_t at = 0;
    out[at++] = "LC_ALL";
    out[at++] = "C";
    out[at++] =
        "GIT_TRACE_PACKFILE"; /* what comes is counted; asked for progress, the other side would send that, too */
    out[at++] = "9";
    if (!getenv("GIT_ALLOW_PROTOCOL")) {
        out[at++] = "GIT_ALLOW_PROTOCOL";
        out[at++] = "file:git:http:https:ssh";
    }
    if (!getenv("GIT_HTTP_LOW_SPEED_LIMIT") && !is_set(store, "http.lowspeedlimit")) {
        out[at++] = "GIT_HTTP_LOW_SPEED_LIMIT";
        out[at++] = "1";
        out[at++] = "GIT_HTTP_LOW_SPEED_TIME";
        out[at++] = "300";
    }
    if (!getenv("GIT_SSH_COMMAND") && !getenv("GIT_SSH") && !is_set(store, "core.sshcommand")) {
        out[at++] = "GIT_SSH_COMMAND";
        out[at++] = "ssh -o ServerAliveInterval=30 -o ServerAliveCountMax=10";
    }
    for (const char *const *more = call->set; more && *more; more++) {
        assert(at < ENVIRONMENT_MAX - 1);
        out[at++] = *more;
    }
    out[at] = NULL;
}

static void hear(void *context, const char *line, bool passing)
{
    struct ear *ear = context;
    if (!passing)
        text_addf(&ear->heard, "%s\n", line);
}

static void count(void *context, int64_t bytes)
{
    struct ear *ear = context;
    const time_t now = time(NULL);
    if (!ear->call->store->talk || now < ear->told_at + PROGRESS_EVERY_S)
        return;
    ear->told_at = now;
    (void)fprintf(ear->call->store->talk, "received so far: %lld kB\n", (long long)(bytes / 1000));
}

enum status client_run(const struct client_call *call, struct arena *arena, struct client_end *out, struct err *err)
{
    static const char *const always[] = {"-c", "core.fsync=all",         "-c", "gc.auto=0",
                                         "-c", "maintenance.auto=false", "-c", "fetch.fsckObjects=true"};
    const char *words[CLIENT_WORDS_MAX + 16];
    const char *set[ENVIRONMENT_MAX];
    char place[PATH_TEXT_MAX + 16];
    size_t used = 0;
    struct ear ear = {.call = call, .told_at = time(NULL)};
    struct program_end end = {.is_there = false};
    (void)snprintf(place, sizeof place, "--git-dir=%s", call->store->gitdir);
    words[used++] = "git";
    words[used++] = "-C"; /* paths of remotes begin where git itself would begin */
    words[used++] = call->store->work_tree[0] ? call->store->work_tree : call->store->gitdir;
    words[used++] = place;
    for (size_t at = 0; at < sizeof always / sizeof *always; at++)
        words[used++] = always[at];
    for (size_t at = 0; call->words[at]; at++) {
        assert(at < CLIENT_WORDS_MAX);
        words[used++] = call->words[at];
    }
    words[used] = NULL;
    fill_environment(call, set);
    text_init(&ear.heard, arena);
    text_add(&ear.heard, "");
    const struct program program = {.words = words,
                                    .unset = unset,
                                    .set = set,
                                    .in = call->in,
                                    .out = call->out,
                                    .hear = hear,
                                    .count = count,
                                    .context = &ear};
    TRY(program_run(&program, arena, &end, err));
    struct bytes heard = {0};
    TRY(text_done(&ear.heard, &heard, err));
    *out = (struct client_end){.is_there = end.is_there,
                               .code = end.code,
                               .signal = end.signal,
                               .said = end.said,
                               .heard = heard.data ? heard.data : "",
                               .said_bytes = end.said_bytes,
                               .taken_bytes = end.counted};
    return STATUS_OK;
}

enum status client_need(const struct client_call *call, const char *what, struct arena *arena, struct client_end *out,
                        struct err *err)
{
    TRY(client_run(call, arena, out, err));
    if (out->is_there)
        return STATUS_OK;
    err_set(err, STATUS_SYSTEM, "git", "no git client is installed here; %s needs one", what);
    return err_hint(err, "install the package git; a registry in a folder is joined without it: coretally join FOLDER");
}
