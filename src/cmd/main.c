/* SPDX-License-Identifier: MIT */
/* The program: hands the real arguments, environment and streams to dispatch; ends it where memory is refused. */
#include <fcntl.h>
#include <malloc.h>
#include <signal.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "coretally/run/command.h"
#include "dispatch.h"

#if defined(__has_feature)
#if __has_feature(address_sanitizer)
#define HAS_OWN_ALLOCATOR
#endif
#endif
#if !defined(__GLIBC__) || defined(__SANITIZE_ADDRESS__)
#define HAS_OWN_ALLOCATOR
#endif

/* Memory that is refused ends the program, here and nowhere else. Of the libraries under it, libgit2's own, OpenSSL's
 * start and glib's do not survive a refusal: they end by a signal, with a code of their own, or with words about a
 * damaged object. The C library calls these in place of its own (its manual: "Replacing malloc"), for all libraries.
 * Whatever is locked is released by the end of the process, and the branch is moved in one step or not at all. */
#ifndef HAS_OWN_ALLOCATOR
/* NOLINTBEGIN(bugprone-reserved-identifier,cert-dcl37-c,cert-dcl51-cpp): the names of the C library */
extern void *__libc_malloc(size_t size);
extern void *__libc_calloc(size_t count, size_t size);
extern void *__libc_realloc(void *old, size_t size);
/* NOLINTEND(bugprone-reserved-identifier,cert-dcl37-c,cert-dcl51-cpp) */

static _Noreturn void end_without_memory(size_t size)
{
    char words[320];
    const int len =
        snprintf(words, sizeof words,
                 "coretally: memory: not enough: %zu more bytes were refused\n  end other programs, or ask for "
                 "less at once; if this was an act, look whether it is recorded before you type it again\n",
                 size);
    (void)!write(STDERR_FILENO, words, (size_t)len);
    _exit(status_exit_code(STATUS_SYSTEM));
}

void *malloc(size_t size)
{
    void *taken = __libc_malloc(size);
    if (!taken)
        end_without_memory(size);
    return taken;
}

void *calloc(size_t count, size_t size)
{
    void *taken = __libc_calloc(count, size);
    if (!taken)
        end_without_memory(size && count > SIZE_MAX / size ? SIZE_MAX : count * size);
    return taken;
}

void *realloc(void *old, size_t size)
{
    void *taken = __libc_realloc(old, size);
    if (!taken && size) /* of no bytes it is free() */
        end_without_memory(size);
    return taken;
}
#endif

static const char *environment_of_process(void *context, const char *variable)
{
    (void)context;
    return getenv(variable);
}

/* A stream that came closed: its number must not fall to the next file that is opened, for what is said would be
 * written into that one. False also where it is open, but not for what it is for. */
static bool stream_hold(int stream, int wanted)
{
    const int flags = fcntl(stream, F_GETFL);
    if (flags >= 0)
        return (flags & O_ACCMODE) == wanted || (flags & O_ACCMODE) == O_RDWR;
    const int held = open("/dev/null", wanted); /* the lowest number that is free, which is this one */
    if (held > stream)
        (void)close(held);
    return false;
}

int main(int argc, char **argv)
{
    char folder[PATH_TEXT_MAX];
#ifdef __GLIBC__
    /* A whole pass takes and frees the memory of one core over and over; giving the pages back each time was a third of
     * it, measured over a million samples. */
    (void)mallopt(M_TRIM_THRESHOLD, 256 << 20);
    (void)mallopt(M_MMAP_THRESHOLD, 256 << 20);
#endif
    (void)setvbuf(stdout, NULL, _IOLBF, 0); /* notes and data keep their order where both go to one place */
    if (!getcwd(folder, sizeof folder))
        folder[0] = '\0';
    (void)signal(SIGXFSZ, SIG_IGN);            /* a file that may not grow is a write that fails, and is told */
    (void)stream_hold(STDIN_FILENO, O_RDONLY); /* nothing to read: a command that wants it says so */
    const bool is_heard = stream_hold(STDOUT_FILENO, O_WRONLY);
    (void)stream_hold(STDERR_FILENO, O_WRONLY); /* notes are not heard; the exit code tells */
    if (!is_heard) {
        (void)fprintf(stderr,
                      "coretally: output: standard output is closed, so there is nowhere to answer; nothing was "
                      "done\n  type it again with an output, for example: coretally ... > answer.txt\n");
        return status_exit_code(STATUS_SYSTEM);
    }
    return dispatch(argc, (const char *const *)argv, environment_of_process, NULL, folder, stdin, stdout, stderr);
}
