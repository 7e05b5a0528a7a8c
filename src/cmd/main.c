/* SPDX-License-Identifier: MIT */
/* The program: hands the real arguments, environment and streams to dispatch. */
#include <fcntl.h>
#include <malloc.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "command.h"

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
