/* SPDX-License-Identifier: MIT */
/* The commits that led to a state: which they are, what they say, whether one leads to another. */
#include <stdlib.h>
#include <string.h>

#include "coretally/store/walk.h"
#include "internal.h"

static void revwalk_free_at(git_revwalk **walk)
{
    git_revwalk_free(*walk);
}

static size_t count_lines(const char *message, const char *start)
{
    size_t count = 0;
    for (const char *at = message; (at = strchr(at, '\n')) != NULL;)
        count += strncmp(++at, start, strlen(start)) == 0;
    return count;
}

/* A line, and a paragraph of trailers with each of ours once; git puts others behind them where it sets acts on top. */
static bool is_lengthened(const char *message)
{
    static const char *const ours[] = {"Act:", "Station:", "Reason:"};
    const char *end = strchr(message, '\n');
    const char *more = end && end[1] == '\n' ? strstr(end + 2, "\n\n") : NULL;
    bool is_twice = false;
    for (size_t at = 0; at < sizeof ours / sizeof ours[0]; at++)
        is_twice = is_twice || count_lines(message, ours[at]) > 1;
    return is_twice || (end && end[1] && end[1] != '\n') || (more && more[strspn(more, "\n")]);
}

enum status store_act(struct store *store, const char *id, struct arena *arena, struct act_told *out, struct err *err)
{
    git_oid oid;
    CLEANUP(commit_free_at) git_commit *commit = NULL;
    struct act_told told = {.parent = ""};
    if (git_oid_fromstr(&oid, id) != 0 || git_commit_lookup(&commit, store->repo, &oid) != 0)
        return git_unreadable(err, id, "could not read this commit");
    TRY(commit_tell(commit, arena, &told.commit, err));
    TRY(trailer_read(git_commit_message(commit), "Act", arena, &told.kind, err));
    told.is_lengthened = is_lengthened(git_commit_message(commit));
    told.is_signed = commit_is_signed(commit);
    told.parent_count = git_commit_parentcount(commit);
    if (told.parent_count)
        (void)git_oid_tostr(told.parent, sizeof told.parent, git_commit_parent_id(commit, 0));
    *out = told;
    return STATUS_OK;
}

struct at_path {
    git_oid id;
    bool absent;
};

static enum status look_at(struct store *store, const git_commit *commit, const char *path, struct at_path *out,
                           struct err *err)
{
    CLEANUP(tree_free_at) git_tree *tree = NULL;
    if (git_commit_tree(&tree, commit) != 0)
        return git_unreadable(err, path, "could not read the history");
    return tree_look(store->repo, tree, path, false, &out->id, &out->absent, err);
}

enum status store_touches(struct store *store, const char *id, const char *path, bool *out, struct err *err)
{
    git_oid oid;
    CLEANUP(commit_free_at) git_commit *commit = NULL;
    CLEANUP(commit_free_at) git_commit *parent = NULL;
    struct at_path newer = {.absent = true};
    struct at_path older = {.absent = true};
    if (git_oid_fromstr(&oid, id) != 0 || git_commit_lookup(&commit, store->repo, &oid) != 0 ||
        (git_commit_parentcount(commit) && git_commit_parent(&parent, commit, 0) != 0))
        return git_unreadable(err, id, "could not read this commit");
    TRY(look_at(store, commit, path, &newer, err));
    if (parent)
        TRY(look_at(store, parent, path, &older, err));
    *out = newer.absent != older.absent || (!newer.absent && !git_oid_equal(&newer.id, &older.id));
    return STATUS_OK;
}

static enum status add_commit(struct arena *arena, struct commits *commits, size_t *room, const git_oid *id,
                              struct err *err)
{
    TRY(arena_grow(arena, &commits->ids, commits->count, room, sizeof *commits->ids, err));
    (void)git_oid_tostr(commits->ids[commits->count++], COMMIT_ID_MAX, id);
    return STATUS_OK;
}

static void turn(struct commits *commits)
{
    char held[COMMIT_ID_MAX];
    for (size_t low = 0, high = commits->count; low + 1 < high; low++) {
        high--;
        memcpy(held, commits->ids[low], sizeof held);
        memcpy(commits->ids[low], commits->ids[high], sizeof held);
        memcpy(commits->ids[high], held, sizeof held);
    }
}

/* First parents, from the state to since or to the first commit. *is_line: they are the whole history of that span. */
static enum status walk_first_parents(struct store *store, const char *since, struct arena *arena, struct commits *out,
                                      bool *is_line, struct err *err)
{
    git_oid at = store->tip;
    size_t room = 0;
    char id[COMMIT_ID_MAX];
    *is_line = true;
    for (;;) {
        CLEANUP(commit_free_at) git_commit *commit = NULL;
        struct err own = {0};
        (void)git_oid_tostr(id, sizeof id, &at);
        if (strcmp(id, since) == 0)
            return STATUS_OK;
        if (git_commit_lookup(&commit, store->repo, &at) != 0) {
            if (git_unreadable(&own, id, "could not read this commit") == STATUS_SYSTEM) {
                *err = own;
                return STATUS_SYSTEM;
            }
            TRY(arena_copy(arena, id, strlen(id), &out->broken, err));
            return arena_copy(arena, own.reason, strlen(own.reason), &out->why, err);
        }
        TRY(add_commit(arena, out, &room, &at, err));
        const unsigned parents = git_commit_parentcount(commit);
        *is_line = *is_line && parents < 2;
        if (parents == 0) {
            *is_line = *is_line && !*since;
            return STATUS_OK;
        }
        at = *git_commit_parent_id(commit, 0);
    }
}

/* The whole graph, where histories were joined. False when libgit2 gives it up for something that it cannot read. */
static enum status walk_graph(struct store *store, const char *since, struct arena *arena, struct commits *out,
                              bool *is_whole, struct err *err)
{
    CLEANUP(revwalk_free_at) git_revwalk *walk = NULL;
    size_t room = 0;
    git_oid id;
    if (git_revwalk_new(&walk, store->repo) != 0)
        return git_refused(err, "registry", "could not walk the history");
    int going = git_revwalk_sorting(walk, GIT_SORT_TOPOLOGICAL);
    if (going == 0)
        going = git_revwalk_push(walk, &store->tip);
    if (going == 0 && *since && (going = git_oid_fromstr(&id, since)) == 0)
        going = git_revwalk_hide(walk, &id);
    while (going == 0 && (going = git_revwalk_next(&id, walk)) == 0)
        TRY(add_commit(arena, out, &room, &id, err));
    *is_whole = going == GIT_ITEROVER;
    return STATUS_OK;
}

enum status store_commits(struct store *store, const char *since, struct arena *arena, struct commits *out,
                          struct err *err)
{
    struct commits line = {0};
    struct commits graph = {0};
    bool is_line = false;
    bool is_whole = false;
    TRY(walk_first_parents(store, since, arena, &line, &is_line, err));
    if (!is_line && !line.broken)
        TRY(walk_graph(store, since, arena, &graph, &is_whole, err));
    if (!is_line && !line.broken && !is_whole) {
        line.broken = store->state;
        line.why = "beside the line of first parents a commit could not be read";
    }
    *out = is_whole ? graph : line;
    turn(out);
    return STATUS_OK;
}

enum status store_beyond(struct store *store, const struct commits *heads, struct arena *arena, struct commits *out,
                         struct err *err)
{
    CLEANUP(revwalk_free_at) git_revwalk *walk = NULL;
    size_t room = 0;
    git_oid id;
    *out = (struct commits){.count = 0};
    if (heads->count == 1) { /* down a line, without reading what lies below */
        TRY(store_commits(store, heads->ids[0], arena, out, err));
        return out->broken ? err_set(err, STATUS_DAMAGED, out->broken, "%s", out->why) : STATUS_OK;
    }
    if (git_revwalk_new(&walk, store->repo) != 0)
        return git_refused(err, "registry", "could not walk the history");
    int going = git_revwalk_push(walk, &store->tip);
    for (size_t at = 0; going == 0 && at < heads->count; at++)
        if ((going = git_oid_fromstr(&id, heads->ids[at])) == 0)
            going = git_revwalk_hide(walk, &id);
    while (going == 0 && (going = git_revwalk_next(&id, walk)) == 0)
        TRY(add_commit(arena, out, &room, &id, err));
    return going == GIT_ITEROVER ? STATUS_OK : git_unreadable(err, "registry", "could not read the history");
}

enum status store_leads(struct store *store, const char *ancestor, const char *commit, bool *out, struct err *err)
{
    git_oid id;
    git_oid from;
    CLEANUP(commit_free_at) git_commit *there = NULL;
    *out = false;
    if (git_oid_fromstr(&id, ancestor) != 0 || git_oid_fromstr(&from, commit) != 0)
        return STATUS_OK;
    const int found = git_commit_lookup(&there, store->repo, &id);
    if (found == GIT_ENOTFOUND)
        return STATUS_OK;
    if (found != 0)
        return git_unreadable(err, ancestor, "could not read this commit");
    const int answer = git_oid_equal(&id, &from) ? 1 : git_graph_descendant_of(store->repo, &from, &id);
    if (answer < 0)
        return git_unreadable(err, ancestor, "could not walk the history to this commit");
    *out = answer == 1;
    return STATUS_OK;
}

enum status store_descends(struct store *store, const char *ancestor, bool *out, struct err *err)
{
    char tip[COMMIT_ID_MAX];
    (void)git_oid_tostr(tip, sizeof tip, &store->tip);
    return store_leads(store, ancestor, tip, out, err);
}

static int compare_ids(const void *a, const void *b)
{
    return memcmp(a, b, COMMIT_ID_MAX);
}

void lineage_sort(struct lineage *lineage)
{
    if (lineage->count)
        qsort(lineage->ids, lineage->count, sizeof *lineage->ids, compare_ids);
}

bool lineage_has(const struct lineage *lineage, const char *id)
{
    char key[COMMIT_ID_MAX] = "";
    (void)snprintf(key, sizeof key, "%s", id);
    return lineage->count && bsearch(key, lineage->ids, lineage->count, sizeof *lineage->ids, compare_ids) != NULL;
}
