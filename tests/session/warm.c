/* SPDX-License-Identifier: MIT */
/* The program kept warm: its libraries are loaded. Commands of a session come with the arguments, environment, folder,
 * limits and streams of hand_over.c, which is called coretally there and waits for the end. Nearly all are run in this
 * process by dispatch, one after the other: a fork costs ten times what a command does, under the sanitizers most of
 * all. What reads a stream, writes to a pipe that another program reads, or has limits of its own is a fork of this
 * process, and main itself, linked in as coretally_main.
 *
 *     warm SOCKET     until its standard input ends */
#include <errno.h>
#include <fcntl.h>
#include <git2.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <sys/wait.h>
#include <unistd.h>

#include "dispatch.h"
#include "warm.h"

#define COMMANDS_MAX 64 /* at once: a pipe of commands, or some in the background */

extern char **environ;
int coretally_main(int argc, char **argv);

struct running {
    pid_t process;
    int client;
};

struct warm {
    struct running running[COMMANDS_MAX];
    size_t count;
    int streams[3]; /* its own, while a command has their places */
};

static _Noreturn void stop(const char *what)
{
    (void)fprintf(stderr, "warm: %s: %s\n", what, strerror(errno));
    exit(125);
}

/* What the client sends: its three streams ride on the first byte. */
static bool take(int client, struct handed *handed, int *streams, char *text)
{
    char control[CMSG_SPACE(3 * sizeof(int))] = {0};
    struct iovec part = {handed, sizeof *handed};
    struct msghdr message = {
        .msg_iov = &part, .msg_iovlen = 1, .msg_control = control, .msg_controllen = sizeof control};
    if (recvmsg(client, &message, MSG_WAITALL | MSG_CMSG_CLOEXEC) != (ssize_t)sizeof *handed)
        return false;
    const struct cmsghdr *sent = CMSG_FIRSTHDR(&message);
    if (!sent || sent->cmsg_len != CMSG_LEN(3 * sizeof(int)) || handed->size > TEXT_MAX)
        return false;
    memcpy(streams, CMSG_DATA(sent), 3 * sizeof(int));
    return recv(client, text, handed->size, MSG_WAITALL) == (ssize_t)handed->size;
}

/* count strings that follow one another, as a list that ends with NULL. */
static char **list_of(char **at, size_t count)
{
    char **list = calloc(count + 1, sizeof *list);
    if (!list)
        stop("memory");
    for (size_t n = 0; n < count; n++) {
        list[n] = *at;
        *at += strlen(*at) + 1;
    }
    return list;
}

/* Where git's settings lie is found in the environment once, when libgit2 begins: here it began in another one. */
static void git_settings_anew(void)
{
    static const git_config_level_t levels[] = {GIT_CONFIG_LEVEL_PROGRAMDATA, GIT_CONFIG_LEVEL_SYSTEM,
                                                GIT_CONFIG_LEVEL_XDG, GIT_CONFIG_LEVEL_GLOBAL};
    for (size_t at = 0; at < sizeof levels / sizeof levels[0]; at++)
        if (git_libgit2_opts(GIT_OPT_SET_SEARCH_PATH, levels[at], NULL) != 0)
            stop("git's settings");
}

/* The client's place is taken: its streams, folder and environment. The arguments. */
static char **settle_in(const struct handed *handed, const int *streams, char *text)
{
    (void)umask(handed->mask);
    for (int at = 0; at < 3; at++)
        if (dup2(streams[at], at) < 0)
            stop("a stream");
    char *next = text;
    const char *folder = next;
    next += strlen(next) + 1;
    if (chdir(folder) != 0)
        stop(folder);
    char **arguments = list_of(&next, handed->arguments);
    environ = list_of(&next, handed->variables);
    git_settings_anew();
    return arguments;
}

static _Noreturn void run_in_fork(const struct handed *handed, const int *streams, char *text)
{
    for (int at = 0; at < RLIMIT_NLIMITS; at++)
        (void)setrlimit((__rlimit_resource_t)at, &handed->limits[at]);
    char **arguments = settle_in(handed, streams, text);
    for (int at = 0; at < 3; at++)
        (void)close(streams[at]);
    const int code = coretally_main((int)handed->arguments, arguments);
    (void)fflush(NULL);
    _exit(code); /* nothing of the process that it was forked from has to be tidied up */
}

static const char *environment_of_client(void *context, const char *variable)
{
    (void)context;
    return getenv(variable);
}

/* As main does, on streams of its own. The status that wait() would give. */
static int run_here(const struct handed *handed, const int *streams, char *text)
{
    char **own = environ;
    char **arguments = settle_in(handed, streams, text);
    FILE *files[3];
    for (int at = 0; at < 3; at++)
        if (!(files[at] = fdopen(streams[at], at == 0 ? "r" : "w")))
            stop("a stream");
    (void)setvbuf(files[1], NULL, _IOLBF, 0);
    (void)setvbuf(files[2], NULL, _IONBF, 0);
    (void)signal(SIGXFSZ, SIG_IGN);
    (void)signal(SIGPIPE, SIG_IGN); /* of a pipe that hears both streams nobody reads what would be said of it */
    const int code = dispatch((int)handed->arguments, (const char *const *)arguments, environment_of_client, NULL, text,
                              files[0], files[1], files[2]);
    for (int at = 0; at < 3; at++)
        (void)fclose(files[at]);
    (void)signal(SIGXFSZ, SIG_DFL);
    (void)signal(SIGPIPE, SIG_DFL);
    free(arguments);
    free(environ);
    environ = own;
    return W_EXITCODE(code, 0);
}

static bool is_same(const struct stat *one, const struct stat *other)
{
    return one->st_dev == other->st_dev && one->st_ino == other->st_ino;
}

/* Nothing to read, and what is said goes where the session hears it, or into a file: nobody has to run meanwhile. */
static bool can_run_here(const struct handed *handed, const int *streams)
{
    struct stat nothing;
    struct stat found[3];
    for (int at = 0; at < RLIMIT_NLIMITS; at++) {
        struct rlimit limit;
        if (getrlimit((__rlimit_resource_t)at, &limit) != 0 || limit.rlim_cur != handed->limits[at].rlim_cur ||
            limit.rlim_max != handed->limits[at].rlim_max)
            return false;
    }
    for (int at = 0; at < 3; at++)
        if (fstat(streams[at], &found[at]) != 0 ||
            (fcntl(streams[at], F_GETFL) & O_ACCMODE) == (at == 0 ? O_WRONLY : O_RDONLY))
            return false;
    return stat("/dev/null", &nothing) == 0 && is_same(&nothing, &found[0]) &&
           (S_ISREG(found[1].st_mode) || is_same(&nothing, &found[1]) || is_same(&found[1], &found[2]));
}

static void fork_for(struct warm *warm, int client, int listener, const sigset_t *signals, const struct handed *handed,
                     const int *streams, char *text)
{
    const pid_t process = fork();
    if (process < 0 || warm->count == COMMANDS_MAX)
        stop("another command");
    if (process == 0) {
        (void)prctl(PR_SET_PDEATHSIG, SIGKILL);
        (void)signal(SIGCHLD, SIG_DFL);
        (void)sigprocmask(SIG_SETMASK, signals, NULL);
        for (size_t n = 0; n < warm->count; n++)
            (void)close(warm->running[n].client);
        (void)close(client);
        (void)close(listener);
        run_in_fork(handed, streams, text);
    }
    for (int at = 0; at < 3; at++)
        (void)close(streams[at]);
    warm->running[warm->count++] = (struct running){process, client};
}

static void begin(struct warm *warm, int listener, const sigset_t *signals)
{
    static char text[TEXT_MAX];
    struct handed handed;
    int streams[3];
    const int client = accept4(listener, NULL, NULL, SOCK_CLOEXEC);
    if (client < 0)
        return;
    if (!take(client, &handed, streams, text)) {
        (void)close(client);
    } else if (can_run_here(&handed, streams)) {
        const int status = run_here(&handed, streams, text);
        for (int at = 0; at < 3; at++)
            (void)dup2(warm->streams[at], at);
        (void)!write(client, &status, sizeof status);
        (void)close(client);
    } else {
        fork_for(warm, client, listener, signals, &handed, streams, text);
    }
}

static void end(struct warm *warm, size_t n, int status)
{
    (void)!write(warm->running[n].client, &status, sizeof status);
    (void)close(warm->running[n].client);
    warm->running[n] = warm->running[--warm->count];
}

static void reap(struct warm *warm)
{
    int status;
    pid_t process;
    while ((process = waitpid(-1, &status, WNOHANG)) > 0)
        for (size_t n = 0; n < warm->count; n++)
            if (warm->running[n].process == process) {
                end(warm, n, status);
                break;
            }
}

/* False when nobody needs this process any more. A client that is gone takes its command with it. */
static bool attend(struct warm *warm, int listener, const sigset_t *signals)
{
    struct pollfd waited[COMMANDS_MAX + 2] = {{STDIN_FILENO, POLLIN, 0}, {listener, POLLIN, 0}};
    for (size_t n = 0; n < warm->count; n++)
        waited[n + 2] = (struct pollfd){warm->running[n].client, POLLRDHUP, 0};
    const int ready = ppoll(waited, (nfds_t)warm->count + 2, NULL, signals);
    if (ready < 0 && errno != EINTR)
        stop("waiting");
    if (ready > 0) {
        for (size_t n = 0; n < warm->count; n++)
            if (waited[n + 2].revents)
                (void)kill(warm->running[n].process, SIGTERM);
        if (waited[0].revents)
            return false;
        if (waited[1].revents)
            begin(warm, listener, signals);
    }
    reap(warm);
    return true;
}

static void heard(int signal)
{
    (void)signal; /* ppoll() comes back for it */
}

int main(int argc, char **argv)
{
    struct sockaddr_un address = {.sun_family = AF_UNIX};
    if (argc != 2 || strlen(argv[1]) >= sizeof address.sun_path)
        return 2;
    memcpy(address.sun_path, argv[1], strlen(argv[1]) + 1);
    (void)git_libgit2_init(); /* the certificates that it reads are half of the start of a command */

    sigset_t blocked;
    sigset_t signals;
    (void)sigemptyset(&blocked);
    (void)sigaddset(&blocked, SIGCHLD);
    (void)sigprocmask(SIG_BLOCK, &blocked, &signals);
    const struct sigaction action = {.sa_handler = heard, .sa_flags = SA_NOCLDSTOP};
    (void)sigaction(SIGCHLD, &action, NULL);

    const int listener = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
    if (listener < 0 || bind(listener, (const struct sockaddr *)&address, sizeof address) != 0 ||
        listen(listener, COMMANDS_MAX) != 0)
        stop(argv[1]);
    (void)printf("ready\n");
    (void)fflush(stdout);
    struct warm warm = {.count = 0};
    for (int at = 0; at < 3; at++)
        if ((warm.streams[at] = fcntl(at, F_DUPFD_CLOEXEC, 3)) < 0)
            stop("streams");
    while (attend(&warm, listener, &signals))
        continue;
    return 0;
}
