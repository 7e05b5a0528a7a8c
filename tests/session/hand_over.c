/* SPDX-License-Identifier: MIT */
/* Stands in a session under the name coretally and hands over what it was called with to the warm process at the socket
 * that WARM_SOCKET names; ends as that ends. Without WARM_SOCKET, or with a stream that came closed, which cannot be
 * handed over, it becomes the real program. */
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <sys/wait.h>
#include <unistd.h>

#include "warm.h"

extern char **environ;

static _Noreturn void stop(const char *what)
{
    (void)fprintf(stderr, "hand_over: %s: %s\n", what, strerror(errno));
    exit(125);
}

static char text[TEXT_MAX];

static size_t put(size_t at, const char *words)
{
    const size_t size = strlen(words) + 1;
    if (size > sizeof text - at) {
        errno = E2BIG;
        stop("arguments and environment");
    }
    memcpy(text + at, words, size);
    return at + size;
}

static int reach(const char *path)
{
    struct sockaddr_un address = {.sun_family = AF_UNIX};
    const int server = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
    if (server < 0 || strlen(path) >= sizeof address.sun_path)
        stop(path);
    memcpy(address.sun_path, path, strlen(path) + 1);
    if (connect(server, (const struct sockaddr *)&address, sizeof address) != 0)
        stop(path);
    return server;
}

static void hand_over(int server, const struct handed *handed)
{
    const int streams[3] = {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO};
    char control[CMSG_SPACE(sizeof streams)] = {0};
    struct iovec part = {(void *)(uintptr_t)handed, sizeof *handed};
    struct msghdr message = {
        .msg_iov = &part, .msg_iovlen = 1, .msg_control = control, .msg_controllen = sizeof control};
    struct cmsghdr *first = CMSG_FIRSTHDR(&message);
    first->cmsg_level = SOL_SOCKET;
    first->cmsg_type = SCM_RIGHTS;
    first->cmsg_len = CMSG_LEN(sizeof streams);
    memcpy(CMSG_DATA(first), streams, sizeof streams);
    if (sendmsg(server, &message, 0) != (ssize_t)sizeof *handed)
        stop("handing over");
    for (size_t at = 0; at < handed->size;) {
        const ssize_t sent = write(server, text + at, handed->size - at);
        if (sent < 0)
            stop("handing over");
        at += (size_t)sent;
    }
}

/* As the command ended, so ends this one: by the same signal, where it was one. */
static int end_as(int status)
{
    if (!WIFSIGNALED(status))
        return WEXITSTATUS(status);
    const struct rlimit none = {0, 0};
    (void)setrlimit(RLIMIT_CORE, &none);
    (void)signal(WTERMSIG(status), SIG_DFL);
    (void)raise(WTERMSIG(status));
    return 128 + WTERMSIG(status);
}

int main(int argc, char **argv)
{
    const char *socket_path = getenv("WARM_SOCKET");
    bool is_whole = socket_path != NULL;
    for (int stream = 0; stream < 3; stream++)
        is_whole &= fcntl(stream, F_GETFD) >= 0;
    if (!is_whole) {
        (void)execv(REAL_PROGRAM, argv);
        stop(REAL_PROGRAM);
    }
    char folder[4096];
    if (!getcwd(folder, sizeof folder)) {
        (void)execv(REAL_PROGRAM, argv);
        stop(REAL_PROGRAM);
    }
    struct handed handed;
    memset(&handed, 0, sizeof handed);
    handed.arguments = (size_t)argc;
    handed.size = put(0, folder);
    for (int at = 0; at < argc; at++)
        handed.size = put(handed.size, argv[at]);
    for (char **variable = environ; *variable; variable++, handed.variables++)
        handed.size = put(handed.size, *variable);
    handed.mask = umask(0);
    for (int at = 0; at < RLIMIT_NLIMITS; at++)
        (void)getrlimit((__rlimit_resource_t)at, &handed.limits[at]);
    const int server = reach(socket_path);
    hand_over(server, &handed);
    int status;
    if (recv(server, &status, sizeof status, MSG_WAITALL) != (ssize_t)sizeof status)
        stop("the end of the command");
    return end_as(status);
}
