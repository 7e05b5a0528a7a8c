/* SPDX-License-Identifier: MIT */
/* A new registry: made whole beside its place, then renamed into it. Also who acts, from git's settings. */
#define _GNU_SOURCE
#include "internal.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <ftw.h>
#include <libgen.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static int remove_one(const char *path, const struct stat *info, int flag, struct FTW *walk)
{
    (void)info;
    (void)flag;
    (void)walk;
    return remove(path);
}

static void remove_folder(const char *path)
{
    (void)nftw(path, remove_one, 16, FTW_DEPTH | FTW_PHYS);
}

/* The process that a name "registry.git.part-4711" tells of; 0 for any other name. */
static long part_process(const char *name, const char *stem, size_t stem_len)
{
    static const char mark[] = ".part-";
    const char *digits = name + stem_len + sizeof mark - 1;
    if (strncmp(name, stem, stem_len) != 0 || strncmp(name + stem_len, mark, sizeof mark - 1) != 0 ||
        strspn(digits, "0123456789") != strlen(digits) || strlen(digits) > 9)
        return 0;
    return strtol(digits, NULL, 10);
}

/* Begun by git_repository_init_ext: no folder of a person's own. */
static bool is_begun_repository(const char *path)
{
    char inside[PATH_TEXT_MAX + 320];
    struct stat info;
    if (lstat(path, &info) != 0 || !S_ISDIR(info.st_mode))
        return false;
    (void)snprintf(inside, sizeof inside, "%s/objects", path);
    return lstat(inside, &info) == 0 && S_ISDIR(info.st_mode);
}

/* What killed creations of this path left; a process that lives is still at it. */
static void sweep_parts(const char *path)
{
    char folder[PATH_TEXT_MAX];
    char left[PATH_TEXT_MAX + 300];
    const char *slash = strrchr(path, '/');
    const char *stem = slash ? slash + 1 : path;
    (void)snprintf(folder, sizeof folder, "%.*s", slash ? (int)(slash - path) + 1 : 1, slash ? path : ".");
    DIR *listing = opendir(folder);
    for (struct dirent *entry = listing ? readdir(listing) : NULL; entry; entry = readdir(listing)) {
        const long process = part_process(entry->d_name, stem, strlen(stem));
        (void)snprintf(left, sizeof left, "%s/%s", folder, entry->d_name);
        const bool is_dead = process > 0 && kill((pid_t)process, 0) != 0 && errno == ESRCH;
        if ((is_dead || process == getpid()) && is_begun_repository(left))
            remove_folder(left);
    }
    if (listing)
        (void)closedir(listing);
}

/* Settings, folders and objects on the disk, then the rename, then the folder that holds the new name. */
static enum status publish(const char *part, const char *path, struct err *err)
{
    char above[PATH_TEXT_MAX];
    (void)snprintf(above, sizeof above, "%.4000s", path);
    int fd = open(part, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    bool done = fd >= 0 && syncfs(fd) == 0 && renameat2(AT_FDCWD, part, AT_FDCWD, path, RENAME_NOREPLACE) == 0;
    int reason = errno;
    if (fd >= 0)
        (void)close(fd);
    if (!done && reason == EEXIST)
        return err_set(err, STATUS_EXISTS, path, "something is already there");
    if (done) {
        fd = open(dirname(above), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
        done = fd >= 0 && fsync(fd) == 0;
        reason = errno;
        if (fd >= 0)
            (void)close(fd);
    }
    return done ? STATUS_OK
                : err_set(err, STATUS_SYSTEM, path, "could not put the registry into its place: %s", strerror(reason));
}

static void config_free_at(git_config **config)
{
    git_config_free(*config);
}

static void repository_free_at(git_repository **repo)
{
    git_repository_free(*repo);
}

/* What plain git needs to be as careful as we are. Acts come by push and by git fetch, too: what is not sound is
 * refused before it is kept, and no push takes an act away, also where no hook stands. Collecting is left to people:
 * what it takes away may be an act that is under way. */
static const char *const settings[][2] = {{"core.fsync", "all"},
                                          {"gc.auto", "0"},
                                          {"receive.denyNonFastForwards", "true"},
                                          {"receive.denyDeletes", "true"},
                                          {"transfer.fsckObjects", "true"}};

/* The settings, and the 256 object folders so that no commit makes one. */
static enum status prepare(const char *path, struct err *err)
{
    CLEANUP(config_free_at) git_config *config = NULL;
    char folder[PATH_TEXT_MAX];
    (void)snprintf(folder, sizeof folder, "%.4000s/config", path);
    bool is_set = git_config_open_ondisk(&config, folder) == 0;
    for (size_t at = 0; is_set && at < sizeof settings / sizeof *settings; at++)
        is_set = git_config_set_string(config, settings[at][0], settings[at][1]) == 0;
    if (!is_set)
        return git_refused(err, path, "could not write the settings of the registry");
    for (int byte = 0; byte < 256; byte++) {
        (void)snprintf(folder, sizeof folder, "%.4000s/objects/%02x", path, (unsigned)byte);
        if (mkdir(folder, 0777) != 0 && errno != EEXIST)
            return err_set(err, STATUS_SYSTEM, folder, "could not make this folder: %s", strerror(errno));
    }
    return STATUS_OK;
}

static enum status create_at(const char *path, const struct act *act, const struct change *changes, size_t count,
                             char id[COMMIT_ID_MAX], struct err *err)
{
    CLEANUP(repository_free_at) git_repository *repo = NULL;
    git_repository_init_options options = {.version = GIT_REPOSITORY_INIT_OPTIONS_VERSION};
    options.flags = GIT_REPOSITORY_INIT_BARE | GIT_REPOSITORY_INIT_MKPATH | GIT_REPOSITORY_INIT_NO_REINIT;
    options.initial_head = "main";
    options.description = "coretally registry";
    if (git_repository_init_ext(&repo, path, &options) != 0)
        return git_refused(err, path, "could not make a repository");
    TRY(prepare(path, err));
    return append_first(repo, act, changes, count, id, err);
}

enum status store_create(const char *path, const struct act *act, const struct change *changes, size_t count,
                         char id[COMMIT_ID_MAX], struct err *err)
{
    char part[PATH_TEXT_MAX];
    char whole[PATH_TEXT_MAX];
    struct stat info;
    (void)snprintf(whole, sizeof whole, "%.4000s", path);
    for (size_t len = strlen(whole); len > 1 && whole[len - 1] == '/'; len--)
        whole[len - 1] = '\0'; /* the sibling stands beside it, not in it */
    path = whole;
    if (lstat(path, &info) == 0) {
        err_set(err, STATUS_EXISTS, path, "something is already there");
        return err_hint(err, "name another place with --at, or use the registry that is there");
    }
    TRY(store_start(err));
    TRY(plain_settings(NULL, err));
    (void)snprintf(part, sizeof part, "%.4000s.part-%ld", path, (long)getpid());
    sweep_parts(path);
    enum status status = create_at(part, act, changes, count, id, err);
    if (status == STATUS_OK)
        status = publish(part, path, err);
    if (status != STATUS_OK)
        remove_folder(part);
    return status;
}

/* A setting as text in the arena; NULL when it is not set. */
static const char *read_setting(git_config *config, const char *key, struct arena *arena)
{
    git_buf value = {NULL, 0, 0};
    const char *copy = NULL;
    struct err ignored;
    if (config && git_config_get_string_buf(&value, config, key) == 0 && value.size > 0) {
        if (arena_copy(arena, value.ptr, value.size, &copy, &ignored) != STATUS_OK)
            copy = NULL;
        git_buf_dispose(&value);
    }
    return copy;
}

static const char *first_of(const char *a, const char *b)
{
    return a && *a ? a : b;
}

static bool is_plain(const char *text)
{
    for (const char *at = text; *at; at++)
        if ((unsigned char)*at < 0x20 || strchr("<>\x7f", *at))
            return false;
    return true;
}

/* As the commit will have them: git leaves out marks at either end, so that "Mira T." is "Mira T". What no act takes
 * stays, to be refused when something is to be written (check_signer): git would leave it out unseen. */
static enum status trim_as_git(struct actor *actor, struct arena *arena, struct err *err)
{
    CLEANUP(signature_free_at) git_signature *who = NULL;
    if (!is_plain(actor->name) || !is_plain(actor->mail))
        return STATUS_OK;
    if (git_signature_new(&who, actor->name, actor->mail, 0, 0) != 0)
        return STATUS_OK;
    TRY(arena_copy(arena, who->name, strlen(who->name), &actor->name, err));
    return arena_copy(arena, who->email, strlen(who->email), &actor->mail, err);
}

enum status store_actor(struct store *store, environment_read *environment, void *context, struct arena *arena,
                        struct actor *out, struct err *err)
{
    CLEANUP(config_free_at) git_config *config = NULL;
    TRY(store_start(err));
    if (!store)
        TRY(plain_settings(NULL, err));
    const int opened = store ? git_repository_config(&config, store->repo) : git_config_open_default(&config);
    if (opened != 0) { /* moving the branch would need them, too */
        config = NULL;
        git_refused(err, "git settings", "could not be read");
        return err_hint(err, "mend the file that is named; 'git config --list' stops at it, too");
    }
    struct actor actor = {
        .name = first_of(environment(context, "GIT_AUTHOR_NAME"), read_setting(config, "user.name", arena)),
        .mail = first_of(environment(context, "GIT_AUTHOR_EMAIL"), read_setting(config, "user.email", arena)),
        .station =
            first_of(environment(context, "CORETALLY_STATION"), read_setting(config, "coretally.station", arena)),
    };
    if (!actor.name || !actor.mail) {
        err_set(err, STATUS_INPUT, "git settings", "every act says who did it, and git does not know your name yet");
        return err_hint(err, "git config --global user.name \"Your Name\"; git config --global user.email you@ship");
    }
    TRY(trim_as_git(&actor, arena, err));
    if (!actor.station) {
        char host[64] = "";
        (void)gethostname(host, sizeof host - 1);
        TRY(arena_copy(arena, host, strlen(host), &actor.station, err));
    }
    *out = actor;
    return STATUS_OK;
}
