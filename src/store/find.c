/* SPDX-License-Identifier: MIT */
/* Where a registry is: what git keeps for a folder, also where its .git is a file that leads there (a worktree, a
 * module of another repository, a git folder kept apart), and the nearest registry from a folder upward. What looks
 * like a registry and cannot be followed is refused: looking further up would find another one, and record into it. The
 * forms are those of git's gitrepository-layout. */
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "coretally/store/file.h"
#include "internal.h"

static bool is_folder(const char *path)
{
    struct stat info;
    return stat(path, &info) == 0 && S_ISDIR(info.st_mode);
}

static bool is_there(const char *path)
{
    struct stat info;
    return lstat(path, &info) == 0;
}

/* One line of a small file of git's, without its end. */
static enum status read_line(const char *path, char out[PATH_TEXT_MAX], struct err *err)
{
    int fd = -1;
    char line[PATH_TEXT_MAX];
    *out = '\0';
    TRY(file_open_regular(path, O_RDONLY, 0, &fd, err));
    const ssize_t len = read(fd, line, sizeof line - 1);
    (void)close(fd);
    if (len < 0)
        return err_set(err, STATUS_SYSTEM, path, "could not be read");
    line[len] = '\0';
    line[strcspn(line, "\r\n")] = '\0';
    memcpy(out, line, sizeof line);
    return STATUS_OK;
}

/* path, as it is meant in folder; false where nothing is there. */
static bool lead(const char *folder, const char *path, char out[PATH_TEXT_MAX])
{
    char joined[PATH_TEXT_MAX * 2];
    char whole[PATH_MAX];
    (void)snprintf(joined, sizeof joined, "%s%s%s", *path == '/' ? "" : folder, *path == '/' ? "" : "/", path);
    if (!realpath(joined, whole))
        return false;
    (void)snprintf(out, PATH_TEXT_MAX, "%s", whole);
    return true;
}

/* Is it a folder of git's: HEAD, and objects here or, for a worktree, in the folder that commondir names? */
static bool is_git_folder(const char *path, char common[PATH_TEXT_MAX])
{
    char part[PATH_TEXT_MAX];
    char line[PATH_TEXT_MAX];
    struct err ignored;
    (void)snprintf(part, sizeof part, "%.4000s/HEAD", path);
    if (access(part, R_OK) != 0)
        return false;
    (void)snprintf(common, PATH_TEXT_MAX, "%.4000s", path);
    (void)snprintf(part, sizeof part, "%.4000s/commondir", path);
    if (is_there(part) && (read_line(part, line, &ignored) != STATUS_OK || !lead(path, line, common)))
        return false;
    (void)snprintf(part, sizeof part, "%.4000s/objects", common);
    return is_folder(part);
}

/* The folder whose files a worktree's git folder belongs to: that of the .git that it names itself. */
static void find_files(const char *gitdir, char out[PATH_TEXT_MAX])
{
    char part[PATH_TEXT_MAX];
    char line[PATH_TEXT_MAX];
    struct err ignored;
    (void)snprintf(part, sizeof part, "%.4000s/gitdir", gitdir);
    if (!is_there(part) || read_line(part, line, &ignored) != STATUS_OK)
        return;
    char *end = strrchr(line, '/');
    if (!end || strcmp(end, "/.git") != 0)
        return;
    *end = '\0';
    if (!lead(gitdir, line, out))
        *out = '\0';
}

/* "gitdir: " and where git keeps what was recorded here */
static enum status follow_file(const char *dot, const char *folder, struct spot *out, struct err *err)
{
    char line[PATH_TEXT_MAX];
    TRY(read_line(dot, line, err));
    const char *target = line + strlen("gitdir:");
    if (strncmp(line, "gitdir:", strlen("gitdir:")) != 0 || !target[strspn(target, " ")]) {
        err_set(err, STATUS_UNKNOWN, dot, "this file does not say where git keeps what was recorded here");
        return err_hint(err, "it should begin with 'gitdir: '; name the registry that you mean with --registry");
    }
    target += strspn(target, " ");
    if (lead(folder, target, out->gitdir) && is_git_folder(out->gitdir, out->common))
        return STATUS_OK;
    err_set(err, STATUS_UNKNOWN, dot, "this leads to %.300s, where git keeps nothing (any more)", target);
    return err_hint(err, "a worktree that was moved: git worktree repair; or name the registry with --registry");
}

/* What .git in folder leads to. A folder that is none of git's is passed over, as git does. */
static enum status follow_dot(const char *dot, const char *folder, struct spot *out, bool *found, struct err *err)
{
    struct stat info;
    char whole[PATH_MAX];
    *found = false;
    if (is_folder(dot)) {
        (void)snprintf(out->gitdir, sizeof out->gitdir, "%.4000s", realpath(dot, whole) ? whole : dot);
        *found = is_git_folder(out->gitdir, out->common);
    } else if (lstat(dot, &info) == 0) {
        const enum status status = follow_file(dot, folder, out, err);
        if (status == STATUS_INPUT || (status == STATUS_UNKNOWN && !*err->hint))
            return err_hint(err, "name the registry that you mean with --registry");
        TRY(status);
        *found = true;
    }
    if (*found)
        (void)snprintf(out->work_tree, sizeof out->work_tree, "%.4000s", realpath(folder, whole) ? whole : folder);
    return STATUS_OK;
}

enum status spot_find(const char *path, struct spot *out, bool *found, struct err *err)
{
    struct spot spot = {{0}, {0}, {0}};
    char folder[PATH_TEXT_MAX];
    char dot[PATH_TEXT_MAX];
    char whole[PATH_MAX];
    *found = false;
    (void)snprintf(folder, sizeof folder, "%.4000s", path);
    for (size_t len = strlen(folder); len > 1 && folder[len - 1] == '/'; len--)
        folder[len - 1] = '\0';
    char *end = strrchr(folder, '/');
    if (end && strcmp(end, "/.git") == 0)
        *(end == folder ? end + 1 : end) = '\0';
    else if (strcmp(folder, ".git") == 0)
        folder[1] = '\0';
    (void)snprintf(dot, sizeof dot, "%.4000s/.git", folder);
    TRY(follow_dot(dot, folder, &spot, found, err));
    if (!*found) {
        (void)snprintf(spot.gitdir, sizeof spot.gitdir, "%.4000s", realpath(path, whole) ? whole : path);
        *found = is_git_folder(spot.gitdir, spot.common);
        if (*found)
            find_files(spot.gitdir, spot.work_tree);
    }
    *out = spot;
    return STATUS_OK;
}

/* Is there a registry here: does its branch hold expedition.json? Then it stays open for reading. One that was ours to
 * all appearance but cannot be read is refused. */
static enum status look_at(const char *path, bool looks_ours, struct store **out, struct err *err)
{
    struct err own = {0};
    struct store *store = NULL;
    if (store_open(path, STORE_READ, NULL, &store, &own) != STATUS_OK || !store) {
        if (looks_ours)
            *err = own;
        return looks_ours ? own.status : STATUS_OK;
    }
    if (git_tree_entry_byname(store->tree, "expedition.json")) {
        *out = store;
        return STATUS_OK;
    }
    const bool damaged = git_tree_entry_byname(store->tree, "holes") != NULL || looks_ours;
    store_close(store);
    if (!damaged)
        return STATUS_OK;
    err_set(err, STATUS_DAMAGED, path, "the newest commit of this registry has no expedition.json");
    return err_hint(err, "its history has it: git log -- expedition.json");
}

/* Named or put like a registry, and none: a link to a disk that is not there, a git folder that lost its HEAD. */
static enum status refuse_hollow(const char *path, struct err *err)
{
    err_set(err, STATUS_DAMAGED, path, "a registry belongs here, and git finds none");
    return err_hint(err, "is its disk mounted? Or name the registry that you mean with --registry");
}

/* The registry that a folder is or holds; out is its path, *found NULL without one. */
static enum status find_in(const char *folder, bool named, char out[PATH_TEXT_MAX], struct store **found,
                           struct err *err)
{
    char common[PATH_TEXT_MAX];
    char sign[PATH_TEXT_MAX];
    struct spot spot;
    bool is_git = false;
    *found = NULL;
    (void)snprintf(out, PATH_TEXT_MAX, "%.4000s", folder);
    if (is_git_folder(out, common))
        TRY(look_at(out, named || strstr(out, "registry.git") != NULL, found, err));
    if (*found)
        return STATUS_OK;
    (void)snprintf(out, PATH_TEXT_MAX, "%.4000s/registry.git", folder);
    if (is_there(out))
        TRY(is_git_folder(out, common) ? look_at(out, true, found, err) : refuse_hollow(out, err));
    if (*found)
        return STATUS_OK;
    (void)snprintf(out, PATH_TEXT_MAX, "%.4000s/.git", folder);
    if (!is_there(out))
        return STATUS_OK;
    (void)snprintf(sign, sizeof sign, "%.4000s/expedition.json", folder);
    const bool looks_ours = named || access(sign, F_OK) == 0;
    TRY(spot_find(out, &spot, &is_git, err));
    if (is_git)
        return look_at(out, looks_ours, found, err);
    return looks_ours ? refuse_hollow(out, err) : STATUS_OK;
}

static enum status find(const char *named, const char *folder, char found[PATH_TEXT_MAX], struct store **out,
                        struct err *err)
{
    char at[PATH_TEXT_MAX];
    struct store *store = NULL;
    char whole[PATH_MAX]; /* absolute, so that there is an above */
    (void)snprintf(at, sizeof at, "%.4000s", realpath(named ? named : folder, whole) ? whole : named ? named : folder);
    if (named)
        TRY(find_in(at, true, found, &store, err));
    else
        for (size_t len = strlen(at); !store && len > 0; at[len] = '\0') {
            TRY(find_in(at, false, found, &store, err));
            while (len > 0 && at[--len] != '/')
                ;
        }
    if (!store) {
        err_set(err, STATUS_UNKNOWN, named ? named : folder,
                named ? "there is no registry here" : "no registry here or above");
        return err_hint(err, "start one with: coretally start 901 --title \"...\"; or name one with --registry");
    }
    *out = store;
    return STATUS_OK;
}

enum status store_find(const char *named, const char *folder, char out[PATH_TEXT_MAX], struct err *err)
{
    char found[PATH_TEXT_MAX];
    struct store *store = NULL;
    TRY(find(named, folder, found, &store, err));
    store_close(store);
    (void)snprintf(out, PATH_TEXT_MAX, "%s", found);
    return STATUS_OK;
}

enum status store_open_found(const char *named, const char *folder, enum store_mode mode, FILE *talk,
                             char path[PATH_TEXT_MAX], struct store **out, struct err *err)
{
    struct store *store = NULL;
    TRY(find(named, folder, path, &store, err));
    store->talk = talk;
    const enum status status = mode == STORE_WRITE ? store_take_lock(store, err) : STATUS_OK;
    if (status != STATUS_OK) {
        store_close(store);
        return status;
    }
    *out = store;
    return STATUS_OK;
}
