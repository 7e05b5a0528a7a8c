/* SPDX-License-Identifier: MIT */
/* Regular files, and nothing else, by a path that may lead to anything. */
#include "coretally/store/file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdbool.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* What stands there in place of a file. */
static const char *kind_words(mode_t mode)
{
    switch (mode & S_IFMT) {
    case S_IFDIR:
        return "a folder";
    case S_IFIFO:
        return "a pipe";
    case S_IFSOCK:
        return "a socket";
    case S_IFLNK:
        return "a symbolic link";
    default:
        return "a device";
    }
}

static enum status refuse_kind(const char *path, mode_t mode, struct err *err)
{
    return err_set(err, STATUS_INPUT, path, "this is %s, not a file", kind_words(mode));
}

static enum status refuse_open(const char *path, int reason, struct err *err)
{
    const enum status status = reason == ENOENT || reason == ENOTDIR ? STATUS_UNKNOWN
                               : reason == EEXIST                    ? STATUS_EXISTS
                                                                     : STATUS_SYSTEM;
    return err_set(err, status, path, "could not open this file: %s", strerror(reason));
}

/* A pipe that no path leads to but /dev/fd, or a terminal: the other end was there when this process began. */
static bool is_handed(int fd, mode_t mode)
{
    char name[40];
    char leads[16] = "";
    if (S_ISCHR(mode))
        return isatty(fd) == 1;
    (void)snprintf(name, sizeof name, "/proc/self/fd/%d", fd);
    return S_ISFIFO(mode) && readlink(name, leads, sizeof leads - 1) > 0 && strncmp(leads, "pipe:", 5) == 0;
}

/* Looked at before, so that no device is opened, and after, since another may stand there by then. */
static enum status open_checked(const char *path, int flags, mode_t mode, bool handed, int *out, struct err *err)
{
    struct stat info;
    const bool there = (flags & O_NOFOLLOW ? lstat(path, &info) : stat(path, &info)) == 0;
    if (there && flags & O_EXCL)
        return refuse_open(path, EEXIST, err);
    if (there && !S_ISREG(info.st_mode) && !(handed && (S_ISFIFO(info.st_mode) || S_ISCHR(info.st_mode))))
        return refuse_kind(path, info.st_mode, err);
    const int fd = open(path, (flags & ~O_TRUNC) | O_CLOEXEC | O_NONBLOCK | O_NOCTTY, mode);
    if (fd < 0)
        return refuse_open(path, errno, err);
    const bool known = fstat(fd, &info) == 0;
    if (known && !S_ISREG(info.st_mode) && !(handed && is_handed(fd, info.st_mode))) {
        (void)close(fd);
        return refuse_kind(path, info.st_mode, err);
    }
    /* From here on reading waits as it does for any other file. */
    const int set = fcntl(fd, F_GETFL);
    if (!known || set < 0 || fcntl(fd, F_SETFL, set & ~O_NONBLOCK) != 0 || (flags & O_TRUNC && ftruncate(fd, 0) != 0)) {
        const int reason = errno;
        (void)close(fd);
        return refuse_open(path, reason, err);
    }
    *out = fd;
    return STATUS_OK;
}

enum status file_open_regular(const char *path, int flags, mode_t mode, int *out, struct err *err)
{
    return open_checked(path, flags, mode, false, out, err);
}

static enum status open_stream(const char *path, bool handed, FILE **out, struct err *err)
{
    int fd = -1;
    TRY(open_checked(path, O_RDONLY, 0, handed, &fd, err));
    FILE *file = fdopen(fd, "rb");
    if (!file) {
        const int reason = errno;
        (void)close(fd);
        return refuse_open(path, reason, err);
    }
    *out = file;
    return STATUS_OK;
}

enum status file_open_read(const char *path, FILE **out, struct err *err)
{
    return open_stream(path, false, out, err);
}

enum status file_open_typed(const char *path, FILE **out, struct err *err)
{
    const enum status status = open_stream(path, true, out, err);
    if (status == STATUS_INPUT)
        return err_hint(err, "name a file of text; for what another program prints, type  <(PROGRAM)");
    return status;
}
