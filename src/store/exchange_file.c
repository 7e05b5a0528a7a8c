/* SPDX-License-Identifier: MIT */
/* A file with acts, for mail or a stick: a bundle of git's (gitformat-bundle). Its head is lines: a signature, what it
 * builds on, what it leads to, and an empty one; behind that comes a pack. */
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "coretally/store/file.h"
#include "exchange.h"

enum { HEAD_LINES_MAX = 100000, MISSING_NAMED_MAX = 3, PART_LEFT_FOR_S = 3600 };

static void file_close_at(FILE **file)
{
    if (*file)
        (void)fclose(*file);
}

/* One line of the head after the other; false at its end. */
static bool read_line(FILE *file, char line[PATH_TEXT_MAX])
{
    if (!fgets(line, PATH_TEXT_MAX, file) || *line == '\n')
        return false;
    line[strcspn(line, "\n")] = '\0';
    return true;
}

static bool is_whole_id(const char *text)
{
    return strspn(text, "0123456789abcdef") == COMMIT_ID_MAX - 1;
}

static bool begins(FILE *file)
{
    char line[PATH_TEXT_MAX];
    return read_line(file, line) && (strcmp(line, "# v2 git bundle") == 0 || strcmp(line, "# v3 git bundle") == 0);
}

enum status parcel_read(const char *path, struct parcel *out, struct err *err)
{
    CLEANUP(file_close_at) FILE *file = NULL;
    char line[PATH_TEXT_MAX];
    struct parcel parcel = {.is_ours = false};
    TRY(file_open_read(path, &file, err));
    parcel.is_ours = begins(file);
    for (int count = 0; parcel.is_ours && count < HEAD_LINES_MAX && read_line(file, line); count++) {
        const bool is_branch = strncmp(line + COMMIT_ID_MAX, "refs/heads/", strlen("refs/heads/")) == 0;
        if (!is_whole_id(line) || line[COMMIT_ID_MAX - 1] != ' ' || (*parcel.tip && !is_branch))
            continue;
        (void)snprintf(parcel.tip, sizeof parcel.tip, "%.40s", line);
        (void)snprintf(parcel.name, sizeof parcel.name, "%.250s", line + COMMIT_ID_MAX);
    }
    if (parcel.is_ours && !*parcel.tip) {
        err_set(err, STATUS_DAMAGED, path, "this file was cut short or damaged on its way");
        return err_hint(err, "have it sent once more; nothing was changed here");
    }
    *out = parcel;
    return STATUS_OK;
}

enum status parcel_check(struct store *store, const char *path, const char *typed, struct err *err)
{
    CLEANUP(file_close_at) FILE *file = NULL;
    char line[PATH_TEXT_MAX];
    char named[200] = "";
    size_t missing = 0;
    TRY(file_open_read(path, &file, err));
    if (!begins(file))
        return STATUS_OK;
    for (int count = 0; count < HEAD_LINES_MAX && read_line(file, line); count++) {
        char id[COMMIT_ID_MAX];
        (void)snprintf(id, sizeof id, "%.40s", line + 1);
        if (*line != '-' || !is_whole_id(id) || store_holds(store, id))
            continue;
        const size_t len = strlen(named);
        if (++missing <= MISSING_NAMED_MAX)
            (void)snprintf(named + len, sizeof named - len, "%s%.10s", len ? ", " : "", id);
    }
    if (!missing)
        return STATUS_OK;
    err_set(err, STATUS_RULE, typed, "this file builds on %zu commit%s that %s not here: %s%s", missing,
            missing == 1 ? "" : "s", missing == 1 ? "is" : "are", named, missing > MISSING_NAMED_MAX ? ", ..." : "");
    return err_hint(err, "join first what was sent before it; or have more sent: coretally send --file FILE --since "
                         "STATE with a state that is here, or without --since");
}

/* What somebody who was killed left beside path, an hour ago or longer. */
static void sweep_parts(const char *path)
{
    char folder[PATH_TEXT_MAX];
    char stem[PATH_TEXT_MAX];
    struct stat info;
    const char *slash = strrchr(path, '/');
    (void)snprintf(folder, sizeof folder, "%.*s", slash ? (int)(slash - path) + 1 : 1, slash ? path : ".");
    (void)snprintf(stem, sizeof stem, "%.4000s.part-", slash ? slash + 1 : path);
    DIR *listing = opendir(folder);
    for (const struct dirent *entry = listing ? readdir(listing) : NULL; entry; entry = readdir(listing)) {
        const char *digits = entry->d_name + strlen(stem);
        if (strncmp(entry->d_name, stem, strlen(stem)) != 0 || !*digits || digits[strspn(digits, "0123456789")])
            continue;
        const long process = strtol(digits, NULL, 10);
        if (process > 0 && kill((pid_t)process, 0) != 0 && errno == ESRCH &&
            fstatat(dirfd(listing), entry->d_name, &info, AT_SYMLINK_NOFOLLOW) == 0 && S_ISREG(info.st_mode) &&
            info.st_mtim.tv_sec < time(NULL) - PART_LEFT_FOR_S)
            (void)unlinkat(dirfd(listing), entry->d_name, 0);
    }
    if (listing)
        (void)closedir(listing);
}

static enum status pack(struct store *store, const char *path, const char *since, int fd, struct arena *arena,
                        struct err *err)
{
    char without[COMMIT_ID_MAX + 1];
    const char *words[] = {"bundle", "create", "--quiet", "-", "HEAD", store->branch, *since ? without : NULL, NULL};
    const struct client_call call = {store, words, path, fd, NULL, NULL};
    struct client_end end;
    (void)snprintf(without, sizeof without, "^%s", since);
    TRY(client_need(&call, "a file of acts", arena, &end, err));
    return end.code == 0 ? STATUS_OK : client_refuse(&call, &end, err);
}

enum status exchange_write(struct store *store, const char *path, const char *since, bool replace, struct arena *arena,
                           struct written *out, struct err *err)
{
    char beside[FILE_PATH_MAX];
    int fd = -1;
    struct parcel parcel = {.is_ours = false};
    struct stat info = {.st_size = 0};
    TRY(file_check_free(path, replace, err));
    sweep_parts(path);
    TRY(file_open_beside(path, beside, &fd, err));
    enum status status = pack(store, path, since, fd, arena, err);
    if (file_close_beside(path, beside, fd, status == STATUS_OK, err) != STATUS_OK)
        return err->status;
    status = parcel_read(beside, &parcel, err);
    if (status == STATUS_OK && stat(beside, &info) == 0)
        status = file_settle(beside, path, replace, err);
    if (status != STATUS_OK) {
        (void)unlink(beside);
        return status;
    }
    *out = (struct written){.bytes = (int64_t)info.st_size};
    memcpy(out->tip, parcel.tip, sizeof out->tip);
    return STATUS_OK;
}
