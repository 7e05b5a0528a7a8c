/* SPDX-License-Identifier: MIT */
/* The program: hands the real arguments, environment and streams to dispatch. */
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
    const int code =
        dispatch(argc, (const char *const *)argv, environment_of_process, NULL, folder, stdin, stdout, stderr);
    /* A full disk behind stdout must not pass for success. */
    if ((fflush(stdout) != 0 || ferror(stdout)) && code == 0) {
        (void)fprintf(stderr, "coretally: output: could not be written; an act, if this was one, has been recorded\n");
        return status_exit_code(STATUS_SYSTEM);
    }
    return code;
}
