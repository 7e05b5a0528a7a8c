/* SPDX-License-Identifier: MIT */
/* Making files: beside their place, synced, then moved into it without going over anything. */
#define _GNU_SOURCE /* renameat2 */
#include "coretally/store/file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { NAMES_TRIED_MAX = 100 };

/* What a person would call it. */
static const char *kind_word(mode_t mode)
{
    return S_ISREG(mode)   ? "a file"
           : S_ISDIR(mode) ? "a folder"
           : S_ISLNK(mode) ? "a link to another place"
                           : "a pipe or a device";
}

enum status file_check_free(const char *path, bool replace, struct err *err)
{
    struct stat there;
    if (lstat(path, &there) != 0 || (replace && S_ISREG(there.st_mode)))
        return STATUS_OK;
    return err_set(err, STATUS_EXISTS, path, "there is %s of this name already", kind_word(there.st_mode));
}

enum status file_sync_folder(const char *path, struct err *err)
{
    char folder[FILE_PATH_MAX];
    const char *slash = strrchr(path, '/');
    const int len = !slash ? 1 : slash == path ? 1 : (int)(slash - path);
    (void)snprintf(folder, sizeof folder, "%.*s", len, slash ? path : ".");
    const int fd = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    /* EINVAL: a file system that does not sync folders, and needs no such thing */
    const bool synced = fd >= 0 && (fsync(fd) == 0 || errno == EINVAL);
    const int reason = errno;
    if (fd >= 0)
        (void)close(fd);
    return synced ? STATUS_OK
                  : err_set(err, STATUS_SYSTEM, folder, "could not bring this folder to disk: %s", strerror(reason));
}

enum status file_open_beside(const char *path, char beside[FILE_PATH_MAX], int *fd, struct err *err)
{
    enum status status = STATUS_EXISTS;
    for (int tried = 0; status == STATUS_EXISTS && tried < NAMES_TRIED_MAX; tried++) {
        char number[16] = "";
        if (tried)
            (void)snprintf(number, sizeof number, "-%d", tried);
        if (snprintf(beside, FILE_PATH_MAX, "%s.part-%ld%s", path, (long)getpid(), number) >= FILE_PATH_MAX)
            return err_set(err, STATUS_INPUT, path, "this path is longer than %d bytes", FILE_PATH_MAX - 64);
        status = file_open_regular(beside, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW, 0666, fd, err);
    }
    if (status == STATUS_OK)
        return STATUS_OK;
    const char *reason = strrchr(err->reason, ':'); /* "could not open this file: No space left on device" */
    return err_set(err, STATUS_SYSTEM, path, "could not be made%s", reason ? reason : "");
}

static bool write_all(int fd, struct bytes bytes)
{
    for (size_t at = 0; at < bytes.len;) {
        const ssize_t written = write(fd, bytes.data + at, bytes.len - at);
        if (written < 0 && errno != EINTR)
            return false;
        at += written > 0 ? (size_t)written : 0;
    }
    return true;
}

enum status file_close_beside(const char *path, const char *beside, int fd, bool is_written, struct err *err)
{
    enum status status = is_written ? STATUS_OK : err->status;
    if (is_written && fsync(fd) != 0)
        status = err_set(err, STATUS_SYSTEM, path, "could not be written: %s", strerror(errno));
    if (close(fd) != 0 && status == STATUS_OK)
        status = err_set(err, STATUS_SYSTEM, path, "could not be written: %s", strerror(errno));
    if (status == STATUS_OK)
        status = file_sync_folder(beside, err);
    if (status != STATUS_OK)
        (void)unlink(beside);
    return status;
}

enum status file_write_beside(const char *path, struct bytes bytes, char beside[FILE_PATH_MAX], struct err *err)
{
    int fd = -1;
    TRY(file_open_beside(path, beside, &fd, err));
    const bool written = write_all(fd, bytes);
    if (!written)
        (void)err_set(err, STATUS_SYSTEM, path, "could not be written: %s", strerror(errno));
    return file_close_beside(path, beside, fd, written, err);
}

enum status file_settle(const char *beside, const char *path, bool replace, struct err *err)
{
    TRY(file_check_free(path, replace, err));
    int failed = renameat2(AT_FDCWD, beside, AT_FDCWD, path, replace ? 0 : RENAME_NOREPLACE);
    if (failed && !replace && errno == EINVAL) /* a file system without it: what was looked at just now must do */
        failed = rename(beside, path);
    if (failed && errno == EEXIST)
        return err_set(err, STATUS_EXISTS, path, "something appeared here meanwhile");
    if (failed)
        return err_set(err, STATUS_SYSTEM, path, "could not be moved to its place: %s", strerror(errno));
    return file_sync_folder(path, err);
}
