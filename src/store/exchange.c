/* SPDX-License-Identifier: MIT */
/* Who the other registry is. */
#include "exchange.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

static void config_free_at(git_config **config)
{
    git_config_free(*config);
}

/* Where a remote that has been given a name is; *out NULL: there is none. Of git_remote_lookup, libgit2 1.5 leaves
 * memory behind for each setting that it looks through. */
static enum status find_url(struct store *store, const char *name, struct arena *arena, const char **out,
                            struct err *err)
{
    CLEANUP(config_free_at) git_config *config = NULL;
    git_buf url = {NULL, 0, 0};
    char key[PATH_TEXT_MAX + 16];
    enum status status = STATUS_OK;
    *out = NULL;
    (void)snprintf(key, sizeof key, "remote.%.4000s.url", name);
    if (git_repository_config(&config, store->repo) == 0 && git_config_get_string_buf(&url, config, key) == 0 &&
        url.size)
        status = arena_copy(arena, url.ptr, url.size, out, err);
    git_buf_dispose(&url);
    return status;
}

/* "ssh://host/path", "host:path": what git takes for an address (git-fetch, GIT URLS). */
static bool is_address(const char *typed)
{
    const size_t before_colon = strcspn(typed, ":");
    return strstr(typed, "://") || (typed[before_colon] && before_colon < strcspn(typed, "/"));
}

/* path as it is meant in folder. */
static void lead(const char *folder, const char *path, char out[PATH_TEXT_MAX])
{
    char whole[PATH_MAX];
    char joined[PATH_TEXT_MAX];
    (void)snprintf(joined, sizeof joined, "%.2000s%s%.2000s", *path == '/' ? "" : folder, *path == '/' ? "" : "/",
                   path);
    (void)snprintf(out, PATH_TEXT_MAX, "%.4000s", realpath(joined, whole) ? whole : joined);
}

/* The registry that a folder is or holds. */
static enum status take_folder(struct store *store, const char *path, bool is_remote, struct arena *arena,
                               struct other *out, struct err *err)
{
    struct spot spot;
    char inside[PATH_TEXT_MAX];
    bool found = false;
    TRY(spot_find(path, &spot, &found, err));
    (void)snprintf(inside, sizeof inside, "%.4000s/registry.git", path);
    if (!found && is_there(inside))
        TRY(spot_find(inside, &spot, &found, err));
    if (!found) {
        err_set(err, STATUS_UNKNOWN, out->typed, "there is no registry in this folder");
        return err_hint(err, "an empty one, to be filled by coretally send: git init --bare -b main %.200s",
                        out->typed);
    }
    if (strcmp(spot.gitdir, store->gitdir) == 0)
        return err_set(err, STATUS_INPUT, out->typed, "this is the registry itself");
    out->kind = OTHER_PLACE;
    TRY(arena_copy(arena, spot.gitdir, strlen(spot.gitdir), &out->folder, err));
    out->place = is_remote ? out->typed : out->folder;
    return STATUS_OK;
}

static enum status take_file(struct store *store, const char *path, struct arena *arena, struct other *out,
                             struct err *err)
{
    struct parcel parcel;
    TRY(parcel_read(path, &parcel, err));
    if (!parcel.is_ours) {
        err_set(err, STATUS_INPUT, out->typed, "this file holds no acts");
        return err_hint(err, "coretally send --file FILE makes one that does, on the other side");
    }
    TRY(parcel_check(store, path, out->typed, err));
    out->kind = OTHER_FILE;
    memcpy(out->commit, parcel.tip, sizeof out->commit);
    return arena_copy(arena, path, strlen(path), &out->place, err);
}

/* A branch or a tag that is here. */
static enum status take_branch(struct store *store, struct other *out, bool *found, struct err *err)
{
    static const char *const folders[] = {"", "refs/tags/", "refs/heads/", "refs/remotes/"};
    const size_t first = strncmp(out->typed, "refs/", strlen("refs/")) != 0; /* a whole name begins with it */
    *found = false;
    for (size_t at = first; !*found && at < sizeof folders / sizeof *folders; at++) {
        CLEANUP(reference_free_at) git_reference *reference = NULL;
        CLEANUP(object_free_at) git_object *object = NULL;
        char name[BRANCH_MAX];
        (void)snprintf(name, sizeof name, "%s%.200s", folders[at], out->typed);
        TRY(plain_reference(store->common, name, err));
        if (git_reference_lookup(&reference, store->repo, name) != 0)
            continue;
        if (git_reference_peel(&object, reference, GIT_OBJECT_COMMIT) != 0)
            return git_unreadable(err, out->typed, "could not read this branch");
        (void)git_oid_tostr(out->commit, sizeof out->commit, git_object_id(object));
        out->kind = OTHER_HERE;
        *found = true;
    }
    return STATUS_OK;
}

/* A remote that has been given a name. One that is a folder of this machine is looked at as one; git is told the name
 * all the same, so that what it keeps of the remote follows. */
static enum status take_remote(struct store *store, struct arena *arena, struct other *out, bool *found,
                               struct err *err)
{
    const char *url = NULL;
    TRY(find_url(store, out->typed, arena, &url, err));
    *found = url != NULL;
    if (!url)
        return STATUS_OK;
    const bool is_file = strncmp(url, "file://", strlen("file://")) == 0;
    if (!is_file && is_address(url)) {
        out->kind = OTHER_FAR;
        return STATUS_OK;
    }
    char path[PATH_TEXT_MAX];
    lead(store->work_tree[0] ? store->work_tree : store->gitdir, url + (is_file ? strlen("file://") : 0), path);
    if (!is_there(path)) {
        err_set(err, STATUS_UNKNOWN, out->typed, "there is nothing at %.300s, where this remote is said to be", path);
        return err_hint(err, "is its disk mounted? Or name another place");
    }
    return take_folder(store, path, true, arena, out, err);
}

static enum status find(struct store *store, const char *folder, struct arena *arena, struct other *other,
                        struct err *err)
{
    char path[PATH_TEXT_MAX];
    struct stat info;
    bool found = false;
    TRY(take_remote(store, arena, other, &found, err));
    if (found)
        return STATUS_OK;
    lead(folder, other->typed, path);
    if (stat(path, &info) == 0)
        return S_ISDIR(info.st_mode) ? take_folder(store, path, false, arena, other, err)
                                     : take_file(store, path, arena, other, err);
    if (is_address(other->typed)) {
        other->kind = OTHER_FAR;
        return STATUS_OK;
    }
    TRY(take_branch(store, other, &found, err));
    if (found)
        return STATUS_OK;
    err_set(err, STATUS_UNKNOWN, other->typed, "there is no folder, file, remote or branch of this name");
    return err_hint(err,
                    "type a path, an address (https://host/901.git, ssh://host/901.git, host:901.git), a file made "
                    "by coretally send --file, or the name of a git remote");
}

enum status other_find(struct store *store, const char *folder, const char *typed, struct arena *arena,
                       struct other *out, struct err *err)
{
    const char *origin = NULL;
    struct other other = {.typed = typed ? typed : "origin"};
    TRY(find_url(store, "origin", arena, &origin, err));
    if (!typed && !origin) {
        err_set(err, STATUS_INPUT, "origin", "this registry has no remote of this name, and nothing else was typed");
        return err_hint(err, "name the other registry: its path, address, or a file made by coretally send --file");
    }
    other.place = other.typed;
    TRY(find(store, folder, arena, &other, err));
    *out = other;
    return STATUS_OK;
}
