/* SPDX-License-Identifier: MIT */
/* What killed writers left among the objects: libgit2 writes each object beside its place, as
 * objects/tmp_object_git2_X, and renames it there. */
#include <dirent.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "internal.h"

/* No writer of ours holds one while we hold the lock, and another program that uses libgit2 for seconds at most: an
 * hour leaves room for one that is stopped, and for a slow network disk. */
enum { LEFT_FOR_S = 3600 };

static void sweep_one(int folder, const char *name, int64_t now_s)
{
    struct stat info;
    if (strncmp(name, "tmp_object_git2_", strlen("tmp_object_git2_")) == 0 &&
        fstatat(folder, name, &info, AT_SYMLINK_NOFOLLOW) == 0 && S_ISREG(info.st_mode) &&
        (int64_t)info.st_mtim.tv_sec < now_s - LEFT_FOR_S)
        (void)unlinkat(folder, name, 0);
}

void sweep_leftovers(const struct store *store)
{
    char path[PATH_TEXT_MAX + 16];
    struct stat lock;
    (void)snprintf(path, sizeof path, "%s/objects", store->common);
    /* The lock was written when it was taken: now, by the clock of the disk that the times of the files are from. */
    if (fstat(store->lock_fd, &lock) != 0)
        return;
    DIR *folder = opendir(path);
    for (const struct dirent *entry = folder ? readdir(folder) : NULL; entry; entry = readdir(folder))
        sweep_one(dirfd(folder), entry->d_name, (int64_t)lock.st_mtim.tv_sec);
    if (folder)
        (void)closedir(folder);
}
