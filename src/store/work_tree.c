/* SPDX-License-Identifier: MIT */
/* A clone with a work tree: after our commit its touched files and their index entries follow, unless a person
 * changed them. The commit stands whatever happens here; what is left alone is told. */
#include "internal.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "coretally/store/file.h"

enum { INDEX_TRIES_MAX = 50 };

/* The folders on the way to a file; the one above a new one is synced, or the new one may be gone after a power cut. A
 * failure shows when the file is written. */
static void make_folders(char *path)
{
    struct err ignored;
    for (char *at = strchr(path + 1, '/'); at; at = strchr(at + 1, '/')) {
        *at = '\0';
        if (mkdir(path, 0777) == 0)
            (void)!file_sync_folder(path, &ignored);
        *at = '/';
    }
}

/* One file: beside, synced, then in its place. Only a plain file that nobody changed is replaced. */
static enum status write_file(const char *path, struct bytes bytes, struct err *err)
{
    char beside[FILE_PATH_MAX];
    TRY(file_write_beside(path, bytes, beside, err));
    const enum status status = file_settle(beside, path, true, err);
    if (status != STATUS_OK)
        (void)unlink(beside);
    return status;
}

static enum status remove_file(const char *path, struct err *err)
{
    if (unlink(path) != 0)
        return err_set(err, STATUS_SYSTEM, path, "could not be removed: %s", strerror(errno));
    return file_sync_folder(path, err);
}

/* Does the way to the file lead through links only a person can have put there? */
static bool has_link(const char *work_tree, char *file)
{
    struct stat info;
    bool link = false;
    for (char *at = strchr(file + strlen(work_tree) + 1, '/'); at && !link; at = strchr(at + 1, '/')) {
        *at = '\0';
        link = lstat(file, &info) == 0 && S_ISLNK(info.st_mode);
        *at = '/';
    }
    return link || (lstat(file, &info) == 0 && !S_ISREG(info.st_mode));
}

struct place {
    git_oid id;
    bool absent;
};

static enum status look(struct store *store, git_tree *tree, const char *path, struct place *out, struct err *err)
{
    return tree_look(store->repo, tree, path, false, &out->id, &out->absent, err);
}

/* Is the file what the commit says, or absent like there? */
static bool is_at(const struct place *place, const char *file)
{
    git_oid now;
    if (access(file, F_OK) != 0 || place->absent)
        return place->absent && access(file, F_OK) != 0;
    return git_odb_hashfile(&now, file, GIT_OBJECT_BLOB) == 0 && git_oid_equal(&now, &place->id);
}

/* The times and numbers of the file spare git a look into it; for one left alone they stay zero, so it looks. */
static git_index_entry make_entry(const char *path, const char *file, const git_oid *id, bool in_step)
{
    struct stat info;
    git_index_entry entry = {.mode = GIT_FILEMODE_BLOB, .id = *id, .path = path};
    if (!in_step || lstat(file, &info) != 0)
        return entry;
    entry.ctime = (git_index_time){(int32_t)info.st_ctim.tv_sec, (uint32_t)info.st_ctim.tv_nsec};
    entry.mtime = (git_index_time){(int32_t)info.st_mtim.tv_sec, (uint32_t)info.st_mtim.tv_nsec};
    entry.dev = (uint32_t)info.st_dev;
    entry.ino = (uint32_t)info.st_ino;
    entry.uid = info.st_uid;
    entry.gid = info.st_gid;
    entry.file_size = (uint32_t)info.st_size;
    return entry;
}

/* The entry follows where it still says what was recorded before, even if the file was left alone: else git's next
 * commit here would quietly take the act back. What a person has staged stays. */
static int update_entry(git_index *index, const char *path, const char *file, const struct place *old,
                        const struct place *now, bool in_step)
{
    const git_index_entry *entry = git_index_get_bypath(index, path, 0);
    if (entry ? old->absent || !git_oid_equal(&entry->id, &old->id) : !old->absent)
        return 0;
    if (now->absent)
        return entry ? git_index_remove(index, path, 0) : 0;
    const git_index_entry made = make_entry(path, file, &now->id, in_step);
    return git_index_add(index, &made);
}

/* Bring one file in step; true when it now is what the commit says. */
static bool update_file(struct store *store, const struct change *change, const struct place *old,
                        const struct place *now, char *file)
{
    if (!has_link(store->work_tree, file) && is_at(now, file))
        return true;
    if (has_link(store->work_tree, file) || !is_at(old, file)) {
        if (store->talk)
            (void)fprintf(store->talk, "note: %s was changed by hand and left alone; the commit holds the record\n",
                          change->path);
        return false;
    }
    make_folders(file);
    struct err err = {0};
    const bool done =
        (change->bytes.data ? write_file(file, change->bytes, &err) : remove_file(file, &err)) == STATUS_OK;
    if (!done && store->talk)
        (void)fprintf(store->talk, "note: %s: %s; the commit holds the record\n", change->path, err.reason);
    return done;
}

static enum status update_one(struct store *store, git_tree *old_tree, const struct change *change, git_index *index,
                              struct err *err)
{
    struct place old;
    struct place now;
    char file[PATH_TEXT_MAX * 2];
    const int len = snprintf(file, sizeof file, "%s/%s", store->work_tree, change->path);
    if (len < 0 || (size_t)len >= sizeof file)
        return err_set(err, STATUS_INPUT, change->path, "its path in this clone is longer than %zu bytes", sizeof file);
    TRY(look(store, old_tree, change->path, &old, err));
    TRY(look(store, store->tree, change->path, &now, err));
    if (!index) {
        (void)update_file(store, change, &old, &now, file);
        return STATUS_OK;
    }
    const bool in_step = !has_link(store->work_tree, file) && is_at(&now, file);
    if (update_entry(index, change->path, file, &old, &now, in_step) != 0)
        return git_refused(err, change->path, "could not be put into the index");
    return STATUS_OK;
}

static enum status update_entries(struct store *store, git_tree *old_tree, const struct change *changes, size_t count,
                                  git_index *index, struct err *err)
{
    for (size_t at = 0; at < count; at++)
        TRY(update_one(store, old_tree, &changes[at], index, err));
    return STATUS_OK;
}

/* The index is read anew for each try: whoever held its lock has written another. A dead writer's lock is cleared
 * like the branch's. */
static enum status update_index(struct store *store, git_tree *old_tree, const struct change *changes, size_t count,
                                struct err *err)
{
    char path[PATH_TEXT_MAX];
    (void)snprintf(path, sizeof path, "%.4000s/index", store->gitdir);
    for (int attempt = 0; attempt < INDEX_TRIES_MAX; attempt++) {
        git_index *index = NULL;
        int written = -1;
        enum status status = STATUS_OK;
        if (git_index_open(&index, path) != 0)
            status = git_refused(err, path, "it could not be read");
        if (status == STATUS_OK)
            status = update_entries(store, old_tree, changes, count, index, err);
        if (status == STATUS_OK && (written = git_index_write(index)) != 0)
            status = git_refused(err, path, "it could not be written");
        git_index_free(index);
        if (written == 0) /* libgit2 does not sync it, and git would find an empty one */
            return sync_file(path) ? STATUS_OK : err_set(err, STATUS_SYSTEM, path, "it could not be written to disk");
        if (written != GIT_ELOCKED)
            return status;
        TRY(lock_recover(store, "index", err));
    }
    return err_set(err, STATUS_SYSTEM, path, "somebody else keeps it locked");
}

void clone_update(struct store *store, git_tree *old_tree, const struct change *changes, size_t count)
{
    for (size_t at = 0; at < count; at++) {
        struct err why = {0};
        if (update_one(store, old_tree, &changes[at], NULL, &why) != STATUS_OK && store->talk)
            (void)fprintf(store->talk, "note: %s was left as it was: %s; the commit holds the record\n",
                          changes[at].path, why.reason);
    }
    struct err why = {0};
    if (update_index(store, old_tree, changes, count, &why) != STATUS_OK && store->talk)
        (void)fprintf(store->talk,
                      "note: could not bring git's index of this clone up to date: %s; the commit holds the "
                      "record, and \"git reset\" here mends it\n",
                      why.reason);
}
