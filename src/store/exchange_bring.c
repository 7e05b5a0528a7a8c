/* SPDX-License-Identifier: MIT */
/* The objects of another registry brought here, and where it stands. */
#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "exchange.h"

#define FROM "refs/coretally/from/"

static void remote_free_at(git_remote **remote)
{
    git_remote_free(*remote);
}

static void repository_free_at(git_repository **repo)
{
    git_repository_free(*repo);
}

static void own_name(char out[BRANCH_MAX])
{
    (void)snprintf(out, BRANCH_MAX, FROM "%ld", (long)getpid());
}

/* Those of processes that are no more. */
static int sweep_one(const char *name, void *repo)
{
    char *end = NULL;
    const long process = strtol(name + strlen(FROM), &end, 10);
    if (*end || process <= 0 || (kill((pid_t)process, 0) != 0 && errno == ESRCH) || process == (long)getpid())
        (void)git_reference_remove(repo, name);
    return 0;
}

static void sweep(struct store *store)
{
    (void)git_reference_foreach_glob(store->repo, FROM "*", sweep_one, store->repo);
    git_error_clear();
}

void other_let_go(struct store *store)
{
    char name[BRANCH_MAX];
    own_name(name);
    (void)git_reference_remove(store->repo, name);
    git_error_clear();
}

static enum status refuse_file(const struct client_call *call, const struct client_end *end, struct err *err)
{
    const enum status status = client_refuse(call, end, err);
    if (end->signal || (!strstr(end->heard, "early EOF") && !strstr(end->heard, "pack")))
        return status;
    err_set(err, STATUS_DAMAGED, call->other, "this file was cut short or damaged on its way");
    return err_hint(err, "have it sent once more; nothing was changed here");
}

/* By libgit2, from a folder. */
static enum status bring_without_client(struct store *store, const struct other *other, const char *spec,
                                        struct err *err)
{
    CLEANUP(remote_free_at) git_remote *remote = NULL;
    git_fetch_options options;
    const char *specs[] = {spec};
    const git_strarray list = {(char **)(uintptr_t)specs, 1};
    if (git_fetch_options_init(&options, GIT_FETCH_OPTIONS_VERSION) != 0)
        return git_refused(err, "git", "could not start libgit2");
    options.download_tags = GIT_REMOTE_DOWNLOAD_TAGS_NONE;
    options.update_fetchhead = 0;
    if (git_remote_create_anonymous(&remote, store->repo, other->folder) != 0)
        return git_refused(err, other->typed, "could not be spoken to");
    const int fetched = git_remote_fetch(remote, &list, &options, NULL);
    if (fetched == 0)
        return STATUS_OK;
    const enum status status = git_refused(err, other->typed, "its acts could not be brought here");
    (void)err_hint(err, "install the package git, which knows more ways; nothing was changed here");
    return status;
}

static enum status fetch(struct store *store, const struct other *other, const char *spec, struct arena *arena,
                         int64_t *bytes, struct err *err)
{
    const char *const words[] = {
        "fetch",      "--no-tags", "--no-prune", "--no-write-fetch-head", "--no-recurse-submodules", "--",
        other->place, spec,        NULL};
    const struct client_call call = {store, words, other->typed, -1, NULL, NULL};
    struct client_end end = {.is_there = false};
    if (other->kind == OTHER_PLACE)
        TRY(client_run(&call, arena, &end, err));
    else
        TRY(client_need(&call, other->kind == OTHER_FILE ? "a file of acts" : "an address", arena, &end, err));
    if (!end.is_there)
        return bring_without_client(store, other, spec, err);
    if (end.code != 0)
        return other->kind == OTHER_FILE ? refuse_file(&call, &end, err) : client_refuse(&call, &end, err);
    *bytes = end.taken_bytes;
    return STATUS_OK;
}

/* The name by which a file has its tip. */
static enum status name_of(const struct other *other, char out[BRANCH_MAX], struct err *err)
{
    struct parcel parcel;
    (void)snprintf(out, BRANCH_MAX, "HEAD");
    if (other->kind != OTHER_FILE)
        return STATUS_OK;
    TRY(parcel_read(other->place, &parcel, err));
    (void)snprintf(out, BRANCH_MAX, "%s", parcel.name);
    return STATUS_OK;
}

enum status other_bring(struct store *store, const struct other *other, struct arena *arena, struct brought *out,
                        struct err *err)
{
    char own[BRANCH_MAX];
    char theirs[BRANCH_MAX];
    char spec[2 * BRANCH_MAX + 4];
    struct brought brought = {.bytes = 0};
    struct stat info;
    git_oid id;
    sweep(store);
    memcpy(brought.tip, other->commit, sizeof brought.tip);
    if (other->kind == OTHER_HERE) {
        *out = brought;
        return STATUS_OK;
    }
    own_name(own);
    TRY(name_of(other, theirs, err));
    (void)snprintf(spec, sizeof spec, "+%s:%s", theirs, own);
    TRY(fetch(store, other, spec, arena, &brought.bytes, err));
    if (other->kind == OTHER_FILE && stat(other->place, &info) == 0)
        brought.bytes = (int64_t)info.st_size;
    const int found = git_reference_name_to_id(&id, store->repo, own);
    if (found == GIT_ENOTFOUND) { /* libgit2 brings nothing from an empty one, and says nothing */
        err_set(err, STATUS_UNKNOWN, other->typed, "nothing has been recorded there yet");
        return err_hint(err, "coretally send %.200s fills it", other->typed);
    }
    if (found != 0)
        return git_unreadable(err, other->typed, "could not read what was brought from it");
    (void)git_oid_tostr(brought.tip, sizeof brought.tip, &id);
    *out = brought;
    return STATUS_OK;
}

/* The branch of a folder in which nothing has been recorded. */
static enum status ask_empty(const struct store *store, const struct other *other, struct arena *arena,
                             const char **branch, struct err *err)
{
    CLEANUP(repository_free_at) git_repository *repo = NULL;
    CLEANUP(reference_free_at) git_reference *head = NULL;
    const char *name = store->branch;
    if (other->kind == OTHER_PLACE && git_repository_open_bare(&repo, other->folder) == 0 &&
        git_reference_lookup(&head, repo, "HEAD") == 0 && git_reference_type(head) == GIT_REFERENCE_SYMBOLIC)
        name = git_reference_symbolic_target(head);
    return arena_copy(arena, name, strlen(name), branch, err);
}

/* "ref: refs/heads/main\tHEAD" and "<id>\tHEAD" */
static enum status read_standing(const char *said, struct arena *arena, struct standing *out, struct err *err)
{
    const char *ref = strstr(said, "ref: ");
    for (const char *line = said; *line; line += strcspn(line, "\n") + (line[strcspn(line, "\n")] != '\0'))
        if (strspn(line, "0123456789abcdef") == COMMIT_ID_MAX - 1)
            (void)snprintf(out->tip, sizeof out->tip, "%.40s", line);
    if (ref)
        TRY(arena_copy(arena, ref + 5, strcspn(ref + 5, "\t\n"), &out->branch, err));
    return STATUS_OK;
}

enum status other_ask(struct store *store, const struct other *other, struct arena *arena, struct standing *out,
                      struct err *err)
{
    const char *const words[] = {"ls-remote", "--symref", "--", other->place, "HEAD", NULL};
    const struct client_call call = {store, words, other->typed, -1, NULL, NULL};
    struct client_end end;
    struct standing standing = {.tip = ""};
    TRY(client_need(&call, "sending", arena, &end, err));
    if (end.code != 0)
        return client_refuse(&call, &end, err);
    TRY(read_standing(end.said.data ? end.said.data : "", arena, &standing, err));
    if (!*standing.tip)
        TRY(ask_empty(store, other, arena, &standing.branch, err));
    *out = standing;
    return STATUS_OK;
}
