/* SPDX-License-Identifier: MIT */
/* Writers of this machine wait for one another on a kernel lock, which death releases; whoever holds it may put
 * aside a branch lock that a dead writer left behind. */
#define _GNU_SOURCE /* renameat2 */
#include "internal.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "coretally/store/file.h"

static void sleep_ms(long ms)
{
    const struct timespec pause = {.tv_sec = ms / 1000, .tv_nsec = ms % 1000 * 1000000};
    (void)nanosleep(&pause, NULL);
}

static int64_t now_ms(void)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

/* Who holds it, as the holder wrote into the lock file; "" when it did not. */
static void read_holder(int fd, char *out, size_t size)
{
    const ssize_t len = pread(fd, out, size - 1, 0);
    out[len > 0 ? len : 0] = '\0';
    out[strcspn(out, "\n")] = '\0';
}

static void write_holder(const struct store *store, int fd)
{
    char host[64] = "";
    git_config *config = NULL;
    git_buf set = {NULL, 0, 0};
    const char *station = NULL;
    if (git_repository_config(&config, store->repo) == 0 &&
        git_config_get_string_buf(&set, config, "coretally.station") == 0)
        station = set.ptr;
    char holder[160];
    (void)gethostname(host, sizeof host - 1);
    const int len = snprintf(holder, sizeof holder, "process %ld on %s%s%.60s\n", (long)getpid(), host,
                             station ? ", station " : "", station ? station : "");
    if (ftruncate(fd, 0) == 0)
        (void)!pwrite(fd, holder, (size_t)len, 0);
    git_buf_dispose(&set);
    git_config_free(config);
}

/* The lock file is written into: what a link leads to, or another name of a file, would be lost. */
static enum status open_lock(const char *path, int *out, struct err *err)
{
    struct stat info;
    const enum status status = file_open_regular(path, O_RDWR | O_CREAT | O_NOFOLLOW, 0666, out, err);
    if (status == STATUS_OK && fstat(*out, &info) == 0 && info.st_nlink <= 1)
        return STATUS_OK;
    if (status == STATUS_OK) {
        (void)close(*out);
        err_set(err, STATUS_INPUT, path, "this file has a second name (a hard link)");
    }
    if (err->status != STATUS_INPUT)
        return err_set(err, STATUS_SYSTEM, path, "could not open the lock of the registry: %s", err->reason);
    err_set(err, STATUS_SYSTEM, path, "the lock of the registry cannot be used: %s", err->reason);
    return err_hint(err, "find out who put it there; then remove it, and type the command again");
}

enum status lock_take(struct store *store, struct err *err)
{
    char path[PATH_TEXT_MAX];
    int fd = -1;
    (void)snprintf(path, sizeof path, "%.4000s/coretally.lock", store->common);
    TRY(open_lock(path, &fd, err));
    const int64_t start_ms = now_ms();
    bool told = false;
    char holder[160] = "";
    while (flock(fd, LOCK_EX | LOCK_NB) != 0) {
        const int reason = errno;
        const int64_t waited_ms = now_ms() - start_ms;
        read_holder(fd, holder, sizeof holder);
        if (reason != EWOULDBLOCK && reason != EINTR) {
            close(fd);
            return err_set(err, STATUS_SYSTEM, path, "could not lock the registry: %s", strerror(reason));
        }
        if (waited_ms > (int64_t)LOCK_WAIT_S * 1000) {
            close(fd);
            err_set(err, STATUS_CONFLICT, "registry", "another station has been writing for %d s (%s)", LOCK_WAIT_S,
                    holder);
            return err_hint(err, "type the command again; nothing was recorded");
        }
        if (!told && waited_ms > 1000 && store->talk) {
            (void)fprintf(store->talk, "waiting for another station to finish writing (%s)\n", holder);
            told = true;
        }
        sleep_ms(waited_ms < 50 ? 1 : 5);
    }
    write_holder(store, fd);
    store->lock_fd = fd;
    store->may_mend = true;
    return STATUS_OK;
}

void lock_release(struct store *store)
{
    if (store->lock_fd < 0)
        return;
    (void)!ftruncate(store->lock_fd, 0); /* nobody holds it now */
    (void)close(store->lock_fd);         /* releases the lock */
    store->lock_fd = -1;
}

static bool is_untouched(const struct stat *one, const struct stat *other)
{
    return one->st_dev == other->st_dev && one->st_ino == other->st_ino && one->st_size == other->st_size &&
           one->st_mtim.tv_sec == other->st_mtim.tv_sec && one->st_mtim.tv_nsec == other->st_mtim.tv_nsec;
}

/* Renamed out of refs/ first: a kill in between must not leave what git takes for a branch, and what is unlinked
 * must be the very file that was watched. */
static enum status put_aside(const struct store *store, const char *path, const struct stat *watched, struct err *err)
{
    char aside[PATH_TEXT_MAX + 16];
    struct stat moved;
    (void)snprintf(aside, sizeof aside, "%s/coretally.stale", store->common);
    if (rename(path, aside) != 0 && errno == ENOENT)
        return STATUS_OK; /* its owner was alive after all */
    if (lstat(aside, &moved) == 0 && !is_untouched(&moved, watched)) {
        (void)renameat2(AT_FDCWD, aside, AT_FDCWD, path, RENAME_NOREPLACE); /* somebody's new lock */
        return STATUS_OK;
    }
    if (unlink(aside) != 0)
        return err_set(err, STATUS_SYSTEM, path, "could not remove the lock that a dead writer left: %s",
                       strerror(errno));
    if (store->talk)
        (void)fprintf(store->talk, "removed a lock that a dead writer had left behind (%s)\n", path);
    return STATUS_OK;
}

enum status lock_recover(const struct store *store, const char *locked, struct err *err)
{
    char path[PATH_TEXT_MAX + BRANCH_MAX + 8];
    struct stat first;
    struct stat now;
    const char *folder = strncmp(locked, "refs/", 5) == 0 ? store->common : store->gitdir;
    (void)snprintf(path, sizeof path, "%s/%s.lock", folder, locked);
    const int64_t start_ms = now_ms();
    if (lstat(path, &first) != 0)
        return STATUS_OK; /* gone already */
    while (now_ms() - start_ms < store->foreign_wait_ms) {
        sleep_ms(20);
        if (lstat(path, &now) != 0 || !is_untouched(&now, &first))
            return STATUS_OK; /* somebody is alive there: try again */
    }
    /* We hold the kernel lock, so no living writer of ours owns it, and no git client keeps one this long. */
    return put_aside(store, path, &first, err);
}
