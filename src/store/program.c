/* SPDX-License-Identifier: MIT */
/* A program run by fork and exec, heard over two pipes. */
#define _GNU_SOURCE /* pipe2 */
#include "program.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

enum { LINE_MAX_BYTES = 4096, READ_MAX = 16384, LOOK_MS = 100 };
enum { SAID, HEARD, COUNT, FAILED, GIVEN, PIPES, LISTENED = FAILED };

struct pipes {
    int ends[PIPES][2];
};

/* What comes over the pipes, while it comes. */
struct listener {
    const struct program *program;
    struct text said;
    int64_t said_bytes;
    int64_t counted;
    char line[LINE_MAX_BYTES];
    size_t len;
    bool is_returned; /* a CR stood behind it */
};

static void close_one(int *fd)
{
    if (*fd >= 0)
        (void)close(*fd);
    *fd = -1;
}

/* Above COUNTED, which takes whatever has its place: who starts us may leave any number of streams open. */
static bool pipe_open(int ends[2])
{
    int low[2];
    if (pipe2(low, O_CLOEXEC) != 0)
        return false;
    for (int end = 0; end < 2; end++)
        ends[end] = fcntl(low[end], F_DUPFD_CLOEXEC, COUNTED + 1);
    const int reason = errno;
    close_one(&low[0]);
    close_one(&low[1]);
    errno = reason;
    return ends[0] >= 0 && ends[1] >= 0;
}

static void pipes_close_at(struct pipes *pipes)
{
    for (int at = SAID; at < PIPES; at++)
        for (int end = 0; end < 2; end++)
            close_one(&pipes->ends[at][end]);
}

static enum status refuse_start(const char *name, int reason, struct err *err)
{
    return err_set(err, STATUS_SYSTEM, name, "could not be started: %s", strerror(reason));
}

/* The child until it is the other program. What it cannot do it tells over the pipe that exec closes. */
static _Noreturn void become(const struct program *program, const struct pipes *pipes, pid_t parent)
{
    const int in = program->in ? pipes->ends[GIVEN][0] : open("/dev/null", O_RDONLY | O_CLOEXEC);
    const int out = program->out >= 0 ? program->out : pipes->ends[SAID][1];
    int reason = 0;
    (void)signal(SIGPIPE, SIG_DFL); /* what we ignore it would, too */
    (void)signal(SIGXFSZ, SIG_DFL);
    (void)prctl(PR_SET_PDEATHSIG, SIGTERM);
    if (getppid() != parent)
        _exit(1); /* it ended before it could be told to us */
    for (const char *const *name = program->unset; *name; name++)
        (void)unsetenv(*name);
    for (const char *const *name = program->set; *name; name += 2)
        (void)setenv(name[0], name[1], 1);
    if (dup2(in, STDIN_FILENO) >= 0 && dup2(out, STDOUT_FILENO) >= 0 &&
        dup2(pipes->ends[HEARD][1], STDERR_FILENO) >= 0 &&
        (!program->count || dup2(pipes->ends[COUNT][1], COUNTED) >= 0)) /* last: in or out may have had its place */
        (void)execvp(program->words[0], (char *const *)(uintptr_t)program->words);
    reason = errno;
    (void)!write(pipes->ends[FAILED][1], &reason, sizeof reason);
    _exit(1);
}

static void end_line(struct listener *listener, bool passing)
{
    const size_t len = listener->len;
    listener->len = 0;
    listener->is_returned = false;
    if (!len)
        return;
    listener->line[len] = '\0';
    listener->program->hear(listener->program->context, listener->line, passing);
}

/* A line ends with LF, with CR LF as ssh has it, or with CR where the next one takes its place. */
static void hear(struct listener *listener, const char *bytes, size_t len)
{
    for (size_t at = 0; at < len; at++) {
        if (listener->is_returned && bytes[at] != '\n')
            end_line(listener, true);
        if (bytes[at] == '\n')
            end_line(listener, false);
        else if (bytes[at] == '\r')
            listener->is_returned = true;
        else if (listener->len < sizeof listener->line - 1)
            listener->line[listener->len++] = bytes[at];
    }
}

/* One piece of what stands in the pipe; false at its end. */
static bool take(struct listener *listener, int fd, int which)
{
    char bytes[READ_MAX];
    const ssize_t len = read(fd, bytes, sizeof bytes);
    if (len < 0)
        return errno == EINTR || errno == EAGAIN;
    if (len == 0)
        return false;
    if (which == HEARD)
        hear(listener, bytes, (size_t)len);
    else if (which == SAID) {
        if (listener->said_bytes < SAID_BYTES_MAX)
            text_add_bytes(&listener->said, bytes, (size_t)len);
        listener->said_bytes += len;
    } else {
        listener->counted += len;
        listener->program->count(listener->program->context, listener->counted);
    }
    return true;
}

/* Until all pipes end, or the program did: what it started may live on and hold them open. */
static void listen(struct listener *listener, struct pipes *pipes, pid_t child, int *ended)
{
    bool is_over = false;
    for (bool is_open = true; is_open;) {
        struct pollfd looks[LISTENED];
        is_open = false;
        for (int at = 0; at < LISTENED; at++) {
            looks[at] = (struct pollfd){.fd = pipes->ends[at][0], .events = POLLIN};
            is_open = is_open || looks[at].fd >= 0;
        }
        const int came = is_open ? poll(looks, LISTENED, is_over ? 0 : LOOK_MS) : 0;
        for (int at = 0; came > 0 && at < LISTENED; at++)
            if (looks[at].revents && !take(listener, looks[at].fd, at))
                close_one(&pipes->ends[at][0]);
        if (came == 0 && is_over)
            return;
        if (came == 0 && is_open)
            is_over = waitpid(child, ended, WNOHANG) == child;
    }
    while (!is_over && waitpid(child, ended, 0) < 0 && errno == EINTR)
        ;
}

static enum status run(const struct program *program, struct listener *listener, struct pipes *pipes,
                       struct program_end *out, struct err *err)
{
    const pid_t parent = getpid();
    int reason = 0;
    int ended = 0;
    const pid_t child = fork();
    if (child == 0)
        become(program, pipes, parent);
    if (child < 0)
        return refuse_start(program->words[0], errno, err);
    if (program->in) /* shorter than what a pipe holds */
        (void)!write(pipes->ends[GIVEN][1], program->in, strlen(program->in));
    close_one(&pipes->ends[GIVEN][0]);
    for (int at = SAID; at < PIPES; at++)
        close_one(&pipes->ends[at][1]);
    ssize_t told = 0;
    while ((told = read(pipes->ends[FAILED][0], &reason, sizeof reason)) < 0 && errno == EINTR)
        ;
    if (told == (ssize_t)sizeof reason) {
        while (waitpid(child, &ended, 0) < 0 && errno == EINTR)
            ;
        if (reason != ENOENT)
            return refuse_start(program->words[0], reason, err);
        *out = (struct program_end){.is_there = false};
        return STATUS_OK;
    }
    listen(listener, pipes, child, &ended);
    *out = (struct program_end){.is_there = true, .code = WIFEXITED(ended) ? WEXITSTATUS(ended) : -1};
    out->signal = WIFSIGNALED(ended) ? WTERMSIG(ended) : 0;
    return STATUS_OK;
}

enum status program_run(const struct program *program, struct arena *arena, struct program_end *out, struct err *err)
{
    CLEANUP(pipes_close_at) struct pipes pipes;
    struct listener listener = {.program = program};
    struct program_end end = {.is_there = false};
    memset(&pipes, -1, sizeof pipes);
    text_init(&listener.said, arena);
    for (int at = SAID; at < PIPES; at++)
        if (!pipe_open(pipes.ends[at]))
            return refuse_start(program->words[0], errno, err);
    TRY(run(program, &listener, &pipes, &end, err));
    hear(&listener, "\n", 1);
    TRY(text_done(&listener.said, &end.said, err));
    end.said_bytes = listener.said_bytes;
    end.counted = listener.counted;
    *out = end;
    return STATUS_OK;
}
