/* SPDX-License-Identifier: MIT */
/* The files that libgit2 opens by itself, looked at before it does: it waits for ever for a pipe that nobody writes to,
 * reads a file of any size into memory, and follows settings that include one another without end but of depth. What is
 * read here is what git's documentation of the repository layout and of its settings names. */
#include <ctype.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>

#include "coretally/base/limits.h"
#include "coretally/store/file.h"
#include "internal.h"

enum status plain_check(const char *path, int64_t bytes_max, bool *there, struct err *err)
{
    struct stat info;
    *there = stat(path, &info) == 0 && !S_ISDIR(info.st_mode); /* a folder is libgit2's to refuse */
    if (!*there)
        return STATUS_OK;
    if (!S_ISREG(info.st_mode)) {
        err_set(err, STATUS_DAMAGED, path, "this is a pipe or a device where git keeps a file");
        return err_hint(err, "find out who put it there; another copy of the registry has the file");
    }
    if (info.st_size > bytes_max)
        return err_set(err, STATUS_DAMAGED, path, "%lld bytes are more than the %lld that git has any use for here",
                       (long long)info.st_size, (long long)bytes_max);
    return STATUS_OK;
}

/* --- settings --- */

struct settings {
    int files;
    int64_t bytes;
};

/* The value of "path = ..." on a line, unquoted; NULL where the line sets something else. */
static char *take_path(char *line)
{
    line += strspn(line, " \t");
    if (*line == '[') {
        line = strchr(line, ']');
        line = line ? line + 1 + strspn(line + 1, " \t") : NULL;
    }
    if (!line || strncasecmp(line, "path", 4) != 0)
        return NULL;
    char *value = line + 4 + strspn(line + 4, " \t");
    if (*value != '=')
        return NULL;
    value += 1 + strspn(value + 1, " \t");
    char *to = value;
    bool quoted = false;
    for (const char *from = value; *from && (quoted || !strchr("#;", *from)); from++) {
        if (*from == '"')
            quoted = !quoted;
        else {
            from += *from == '\\' && from[1];
            *to++ = *from;
        }
    }
    while (to > value && isspace((unsigned char)to[-1]))
        to--;
    *to = '\0';
    return value;
}

/* Where a path in the settings at from leads: "~/" is the home folder, what is relative begins beside the file. */
static void lead(const char *from, const char *value, char out[PATH_TEXT_MAX])
{
    const char *slash = strrchr(from, '/');
    if (strncmp(value, "~/", 2) == 0) {
        git_buf home = {NULL, 0, 0};
        (void)git_libgit2_opts(GIT_OPT_GET_SEARCH_PATH, GIT_CONFIG_LEVEL_GLOBAL, &home);
        (void)snprintf(out, PATH_TEXT_MAX, "%.2000s%.2000s", home.ptr ? home.ptr : "", value + 1);
        git_buf_dispose(&home);
    } else if (*value == '/' || !slash)
        (void)snprintf(out, PATH_TEXT_MAX, "%.4000s", value);
    else
        (void)snprintf(out, PATH_TEXT_MAX, "%.*s/%.2000s", (int)(slash - from), from, value);
}

static enum status check_settings(struct settings *settings, const char *path, int deep, struct err *err);

/* Any "path" is taken for an include: a section that is none costs a look. */
static enum status check_lines(struct settings *settings, const char *path, FILE *file, int deep, struct err *err)
{
    char line[PATH_TEXT_MAX];
    char next[PATH_TEXT_MAX];
    enum status status = STATUS_OK;
    while (status == STATUS_OK && fgets(line, sizeof line, file)) {
        const char *value = take_path(line);
        if (!value || !*value)
            continue;
        lead(path, value, next);
        status = check_settings(settings, next, deep + 1, err);
    }
    return status;
}

static enum status check_settings(struct settings *settings, const char *path, int deep, struct err *err)
{
    bool there = false;
    struct stat info;
    FILE *file = NULL;
    if (deep > SETTINGS_DEEP_MAX)
        return STATUS_OK; /* libgit2 refuses it in words of its own */
    TRY(plain_check(path, SETTINGS_BYTES_MAX, &there, err));
    if (!there || stat(path, &info) != 0)
        return STATUS_OK;
    settings->bytes += info.st_size;
    if (++settings->files > SETTINGS_FILES_MAX || settings->bytes > SETTINGS_BYTES_MAX) {
        err_set(err, STATUS_SYSTEM, path,
                "git's settings include more than %d files or %d MB: do they include one another?", SETTINGS_FILES_MAX,
                SETTINGS_BYTES_MAX >> 20);
        return err_hint(err, "mend the lines 'path = ' under [include] in it");
    }
    if (file_open_read(path, &file, err) != STATUS_OK)
        return STATUS_OK; /* not readable: libgit2 says so */
    const enum status status = check_lines(settings, path, file, deep, err);
    (void)fclose(file);
    return status;
}

typedef int find_settings(git_buf *out);

enum status plain_settings(const char *own, struct err *err)
{
    static find_settings *const finds[] = {git_config_find_global, git_config_find_xdg, git_config_find_system,
                                           git_config_find_programdata};
    struct settings settings = {0, 0};
    for (size_t at = 0; at < sizeof finds / sizeof *finds; at++) {
        git_buf path = {NULL, 0, 0};
        enum status status = STATUS_OK;
        if (finds[at](&path) == 0)
            status = check_settings(&settings, path.ptr, 0, err);
        git_buf_dispose(&path);
        TRY(status);
    }
    return own ? check_settings(&settings, own, 0, err) : STATUS_OK;
}

/* --- the repository --- */

static enum status check_packs(const char *common, struct err *err)
{
    char path[PATH_TEXT_MAX * 2];
    bool there = false;
    enum status status = STATUS_OK;
    (void)snprintf(path, sizeof path, "%.4000s/objects/pack", common);
    DIR *folder = opendir(path);
    for (const struct dirent *entry = folder ? readdir(folder) : NULL; entry && status == STATUS_OK;
         entry = readdir(folder)) {
        (void)snprintf(path, sizeof path, "%.4000s/objects/pack/%s", common, entry->d_name);
        status = plain_check(path, INT64_MAX, &there, err);
    }
    if (folder)
        (void)closedir(folder);
    return status;
}

enum status plain_repository(const char *gitdir, const char *common, struct err *err)
{
    static const struct {
        const char *name;
        bool is_common;
        int64_t bytes_max;
    } files[] = {
        {"HEAD", false, REFERENCE_BYTES_MAX},
        {"index", false, INT64_MAX},
        {"logs/HEAD", false, INT64_MAX},
        {"config.worktree", false, SETTINGS_BYTES_MAX},
        {"packed-refs", true, RECORD_BYTES_MAX},
        {"shallow", true, RECORD_BYTES_MAX},
        {"objects/info/alternates", true, REFERENCE_BYTES_MAX},
        {"objects/info/commit-graph", true, INT64_MAX},
    };
    char path[PATH_TEXT_MAX];
    bool there = false;
    for (size_t at = 0; at < sizeof files / sizeof *files; at++) {
        (void)snprintf(path, sizeof path, "%.4000s/%s", files[at].is_common ? common : gitdir, files[at].name);
        TRY(plain_check(path, files[at].bytes_max, &there, err));
    }
    TRY(check_packs(common, err));
    (void)snprintf(path, sizeof path, "%.4000s/config", common);
    return plain_settings(path, err);
}

enum status plain_reference(const char *common, const char *name, struct err *err)
{
    char path[PATH_TEXT_MAX + 8];
    char next[BRANCH_MAX];
    bool there = false;
    (void)snprintf(next, sizeof next, "%s", name);
    for (int step = 0; step < REFERENCE_STEPS_MAX; step++) { /* a reference may name another one */
        char line[BRANCH_MAX + 8] = "";
        FILE *file = NULL;
        (void)snprintf(path, sizeof path, "%.2000s/logs/%.500s", common, next);
        TRY(plain_check(path, INT64_MAX, &there, err));
        (void)snprintf(path, sizeof path, "%.2000s/%.500s", common, next);
        TRY(plain_check(path, REFERENCE_BYTES_MAX, &there, err));
        if (!there || file_open_read(path, &file, err) != STATUS_OK)
            return STATUS_OK;
        const bool read = fgets(line, sizeof line, file) != NULL;
        (void)fclose(file);
        line[strcspn(line, "\r\n")] = '\0';
        if (!read || strncmp(line, "ref:", 4) != 0)
            return STATUS_OK;
        (void)snprintf(next, sizeof next, "%.250s", line + 4 + strspn(line + 4, " "));
    }
    return STATUS_OK;
}
