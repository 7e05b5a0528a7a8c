/* SPDX-License-Identifier: MIT */
/* What the exchange asks of the registry here: whether it holds something, and its lock once the acts are here. */
#include <dirent.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "exchange.h"

bool store_holds(struct store *store, const char *commit)
{
    CLEANUP(commit_free_at) git_commit *found = NULL;
    git_oid id;
    return git_oid_fromstr(&id, commit) == 0 && git_commit_lookup(&found, store->repo, &id) == 0;
}

bool store_is_merging(const struct store *store)
{
    char path[PATH_TEXT_MAX + 16];
    (void)snprintf(path, sizeof path, "%s/MERGE_HEAD", store->gitdir);
    return access(path, F_OK) == 0;
}

/* A fetch that was killed leaves what had come of a pack, as objects/pack/tmp_pack_X: megabytes a try on a thin line.
 * An hour without a byte more, and nobody is at it. */
enum { LEFT_FOR_S = 3600 };
static void sweep_packs(const struct store *store)
{
    char path[PATH_TEXT_MAX + 16];
    struct stat lock;
    struct stat info;
    (void)snprintf(path, sizeof path, "%s/objects/pack", store->common);
    if (fstat(store->lock_fd, &lock) != 0) /* now, by the clock of the disk */
        return;
    DIR *folder = opendir(path);
    for (const struct dirent *entry = folder ? readdir(folder) : NULL; entry; entry = readdir(folder))
        if (strncmp(entry->d_name, "tmp_", 4) == 0 &&
            fstatat(dirfd(folder), entry->d_name, &info, AT_SYMLINK_NOFOLLOW) == 0 && S_ISREG(info.st_mode) &&
            info.st_mtim.tv_sec < lock.st_mtim.tv_sec - LEFT_FOR_S)
            (void)unlinkat(dirfd(folder), entry->d_name, 0);
    if (folder)
        (void)closedir(folder);
}

enum status store_lock(struct store *store, struct err *err)
{
    if (store->lock_fd >= 0)
        return store_read_tip(store, err);
    TRY(store_take_lock(store, err));
    sweep_packs(store);
    return STATUS_OK;
}

void store_unlock(struct store *store)
{
    lock_release(store);
    store->may_mend = false;
}
