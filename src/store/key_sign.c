/* SPDX-License-Identifier: MIT */
/* A commit signed by a key. Git's own client writes it: it knows keys, agents and cards, and nothing of that is ours.
 */
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "client.h"

static void config_free_at(git_config **config)
{
    git_config_free(*config);
}

bool commit_is_signed(const git_commit *commit)
{
    const char *header = git_commit_raw_header(commit);
    return header && strstr(header, "\ngpgsig ");
}

enum status key_is_wanted(git_repository *repo, bool *out, struct err *err)
{
    CLEANUP(config_free_at) git_config *config = NULL;
    int wanted = 0;
    if (git_repository_config(&config, repo) != 0)
        return git_refused(err, "registry", "could not read git's settings");
    const int found = git_config_get_bool(&wanted, config, "commit.gpgsign");
    *out = found == 0 && wanted;
    if (found == 0 || found == GIT_ENOTFOUND)
        return STATUS_OK;
    err_set(err, STATUS_INPUT, "commit.gpgsign",
            "this setting of git says whether acts are signed, and is no yes or no");
    return err_hint(err, "git config commit.gpgsign true, or false");
}

/* What git said of it, without its last word, which is that there is no commit. */
static void gather_words(const char *heard, char *out, size_t size)
{
    size_t used = 0;
    out[0] = '\0';
    for (const char *line = heard; *line; line += strcspn(line, "\n") + (line[strcspn(line, "\n")] != '\0')) {
        const char *words = strncmp(line, "error: ", 7) == 0 || strncmp(line, "fatal: ", 7) == 0 ? line + 7 : line;
        const int len = (int)strcspn(words, "\r\n");
        if (!len || strncmp(words, "failed to write commit object", 29) == 0 || used >= size)
            continue;
        const int added = snprintf(out + used, size - used, "%s%.*s", used ? "; " : "", len, words);
        used += added > 0 ? (size_t)added : 0;
    }
    if (!*out)
        (void)snprintf(out, size, "it does not say why");
}

static enum status refuse(const struct client_end *end, struct err *err)
{
    char words[ERR_REASON_MAX / 2];
    if (!end->is_there) {
        err_set(err, STATUS_SYSTEM, "commit.gpgsign",
                "git's settings ask that acts are signed by a key, and no git client is installed here to do it");
        return err_hint(err, "nothing was recorded; install the package git, or: git config commit.gpgsign false");
    }
    gather_words(end->heard, words, sizeof words);
    if (end->signal)
        (void)snprintf(words, sizeof words, "signal %d ended it", end->signal);
    err_set(err, STATUS_SYSTEM, "commit.gpgsign",
            "git's settings ask that acts are signed by a key, and git could not do it: %s", words);
    return err_hint(err,
                    "nothing was recorded; the key is that of user.signingkey (its agent runs? ssh-add -l, gpg -K); "
                    "without keys: git config commit.gpgsign false");
}

/* Is it what was asked for? Its message and author may be read otherwise by another git. */
static bool is_as_asked(git_repository *repo, const git_oid *id, const git_oid *tree, const git_signature *who,
                        const char *message)
{
    CLEANUP(commit_free_at) git_commit *commit = NULL;
    if (git_commit_lookup(&commit, repo, id) != 0)
        return false;
    const git_signature *author = git_commit_author(commit);
    return git_oid_equal(git_commit_tree_id(commit), tree) && strcmp(git_commit_message(commit), message) == 0 &&
           strcmp(author->name, who->name) == 0 && strcmp(author->email, who->email) == 0 &&
           author->when.time == who->when.time && author->when.offset == who->when.offset && commit_is_signed(commit);
}

/* Git syncs what it writes, but not the folder in which it stands. */
static enum status bring_to_disk(git_repository *repo, const char *id, struct err *err)
{
    char path[PATH_TEXT_MAX + 64];
    (void)snprintf(path, sizeof path, "%.4000s/objects/%.2s/%.38s", git_repository_commondir(repo), id, id + 2);
    if (access(path, F_OK) != 0) /* made once before, and packed since */
        return STATUS_OK;
    return sync_file(path) ? STATUS_OK : err_set(err, STATUS_SYSTEM, path, "could not bring the commit to disk");
}

enum status commit_by_key(git_repository *repo, const struct new_commit *it, struct arena *arena, git_oid *out,
                          struct err *err)
{
    char tree[COMMIT_ID_MAX];
    char parent[COMMIT_ID_MAX];
    char when[64];
    const char *words[] = {"-c", "i18n.commitEncoding=UTF-8", "commit-tree", tree, "-S", "-F", "-", NULL, NULL, NULL};
    const char *const set[] = {"GIT_AUTHOR_NAME",
                               it->who->name,
                               "GIT_AUTHOR_EMAIL",
                               it->who->email,
                               "GIT_AUTHOR_DATE",
                               when,
                               "GIT_COMMITTER_NAME",
                               it->who->name,
                               "GIT_COMMITTER_EMAIL",
                               it->who->email,
                               "GIT_COMMITTER_DATE",
                               when,
                               NULL};
    const char *folder = git_repository_workdir(repo);
    struct store place = {.repo = repo}; /* one that is being made has no store yet */
    struct client_end end = {.is_there = false};
    const int offset = it->who->when.offset < 0 ? -it->who->when.offset : it->who->when.offset;
    (void)snprintf(place.gitdir, sizeof place.gitdir, "%s", git_repository_path(repo));
    (void)snprintf(place.work_tree, sizeof place.work_tree, "%s", folder ? folder : "");
    (void)snprintf(when, sizeof when, "@%lld %c%02d%02d", (long long)it->who->when.time,
                   it->who->when.offset < 0 ? '-' : '+', offset / 60, offset % 60);
    (void)git_oid_tostr(tree, sizeof tree, it->tree);
    if (it->parent) {
        (void)git_oid_tostr(parent, sizeof parent, it->parent);
        words[7] = "-p";
        words[8] = parent;
    }
    const struct client_call call = {
        .store = &place, .words = words, .other = "git", .out = -1, .in = it->message, .set = set};
    TRY(client_run(&call, arena, &end, err));
    if (!end.is_there || end.code != 0 || !end.said.data || git_oid_fromstrn(out, end.said.data, GIT_OID_HEXSZ) != 0)
        return refuse(&end, err);
    if (!is_as_asked(repo, out, it->tree, it->who, it->message))
        return err_set(err, STATUS_SYSTEM, "commit.gpgsign",
                       "git signed another commit than it was asked to, %.10s; nothing was recorded", end.said.data);
    return bring_to_disk(repo, end.said.data, err);
}
