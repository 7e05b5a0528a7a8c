/* SPDX-License-Identifier: MIT */
/* What must be on disk before a branch moves and before an act is said to be recorded. libgit2 syncs each object with
 * its folder, and the branch with its folder; the folders above those that had to be made are ours to sync. */
#define _GNU_SOURCE /* syncfs */
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "coretally/store/file.h"
#include "internal.h"

static enum status refuse_sync(const char *path, int reason, struct err *err)
{
    return err_set(err, STATUS_SYSTEM, path, "could not bring the records to disk: %s", strerror(reason));
}

enum status sync_all(const struct store *store, struct err *err)
{
    const int fd = open(store->common, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    const bool synced = fd >= 0 && syncfs(fd) == 0;
    const int reason = errno;
    if (fd >= 0)
        (void)close(fd);
    return synced ? STATUS_OK : refuse_sync(store->gitdir, reason, err);
}

/* The folders on the way to the branch's file, which "git gc" removes when it packs branches away. */
static enum status make_branch_folders(const struct store *store, struct err *err)
{
    char path[PATH_TEXT_MAX + BRANCH_MAX + 2];
    const int len = snprintf(path, sizeof path, "%s/%s", store->common, store->branch);
    for (char *at = strchr(path + strlen(store->common) + 1, '/'); at && len > 0; at = strchr(at + 1, '/')) {
        *at = '\0';
        const bool made = mkdir(path, 0777) == 0;
        const int reason = errno;
        if (made)
            TRY(file_sync_folder(path, err));
        else if (reason != EEXIST)
            return refuse_sync(path, reason, err);
        *at = '/';
    }
    return STATUS_OK;
}

/* The objects' folders stand in "objects"; one that had to be made anew is named there. */
enum status sync_before_branch(const struct store *store, struct err *err)
{
    char inside[PATH_TEXT_MAX + 16];
    if (store->is_unsynced)
        return err_set(err, STATUS_SYSTEM, store->gitdir,
                       "an object that an earlier writer left could neither be brought to disk nor be replaced");
    (void)snprintf(inside, sizeof inside, "%s/objects/", store->common);
    TRY(file_sync_folder(inside, err));
    return make_branch_folders(store, err);
}

/* A clone keeps a log of its branch; nothing rests on it, so that a failure is none. */
void sync_branch_log(const struct store *store)
{
    char path[PATH_TEXT_MAX + BRANCH_MAX + 8];
    struct err ignored = {0};
    struct stat info;
    (void)snprintf(path, sizeof path, "%s/logs/%s", store->common, store->branch);
    for (char *at = strrchr(path, '/'); stat(path, &info) == 0 && strlen(path) > strlen(store->common) && at;
         at = strrchr(path, '/')) {
        (void)!file_sync_folder(path, &ignored);
        *at = '\0';
    }
}

bool sync_file(const char *path)
{
    struct err ignored = {0};
    const int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOFOLLOW);
    const bool synced = fd >= 0 && fsync(fd) == 0;
    if (fd >= 0)
        (void)close(fd);
    return synced && file_sync_folder(path, &ignored) == STATUS_OK;
}
