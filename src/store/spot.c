/* SPDX-License-Identifier: MIT */
/* What git keeps for a folder, also where its .git is a file that leads there: a worktree, a module of another
 * repository, a git folder kept apart. The forms are those of git's gitrepository-layout. */
#include "internal.h"

#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "coretally/store/file.h"

static bool is_folder(const char *path)
{
    struct stat info;
    return stat(path, &info) == 0 && S_ISDIR(info.st_mode);
}

bool is_there(const char *path)
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
bool is_git_folder(const char *path, char common[PATH_TEXT_MAX])
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
