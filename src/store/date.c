/* SPDX-License-Identifier: MIT */
/* The state that a date means. An act came in at the latest time on it and on all that it stands on: of the author,
 * when it was done, and of the committer, when git wrote it here, which a rebase sets anew. So the time of coming in
 * never runs back along a history, whatever clocks and rebases did to single ones, and every date parts the line of
 * first parents in two. What was done by the date and lies behind the parting is told. All of it follows from the
 * commits: whoever has the same newest commit gets the same. */
#include "internal.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/base/marks.h"
#include "coretally/base/quantity.h"

struct node {
    git_oid id;
    size_t parents; /* where they begin in the list of parents */
    size_t parent_count;
    int64_t done_us;
    int64_t came_in_us;
    size_t came_in_with; /* the node that has this time */
    size_t held_since;   /* the place in the line that was the first to hold it */
};

struct sorted_node {
    git_oid id;
    size_t node;
};

/* Every commit that led to the state, each behind its parents. */
struct ancestry {
    struct arena arena;
    struct node *nodes;
    size_t count;
    size_t room;
    size_t *parents;
    size_t parent_count;
    size_t parent_room;
    struct sorted_node *sorted;
    size_t *line; /* first parents, oldest first */
    size_t line_count;
};

static void revwalk_free_at(git_revwalk **walk)
{
    git_revwalk_free(*walk);
}

static void ancestry_clear_at(struct ancestry *it)
{
    arena_clear(&it->arena);
}

/* When it was done, and the later one of that and of when git wrote it here. */
static int64_t times_of(const git_commit *commit, int64_t *done_us)
{
    const int64_t written_us = instant_from_seconds(git_commit_committer(commit)->when.time, 0).utc_us;
    *done_us = instant_from_seconds(git_commit_author(commit)->when.time, 0).utc_us;
    return written_us > *done_us ? written_us : *done_us;
}

static enum status add_node(struct ancestry *it, git_commit *commit, struct err *err)
{
    int64_t done_us = 0;
    TRY(arena_grow(&it->arena, &it->nodes, it->count, &it->room, sizeof *it->nodes, err));
    const int64_t came_in_us = times_of(commit, &done_us);
    it->nodes[it->count++] = (struct node){
        .id = *git_commit_id(commit), .done_us = done_us, .came_in_us = came_in_us, .held_since = SIZE_MAX};
    return STATUS_OK;
}

static enum status add_parent(struct ancestry *it, struct node *node, size_t parent, struct err *err)
{
    TRY(arena_grow(&it->arena, &it->parents, it->parent_count, &it->parent_room, sizeof *it->parents, err));
    node->parents = node->parent_count++ ? node->parents : it->parent_count;
    it->parents[it->parent_count++] = parent;
    return STATUS_OK;
}

/* Down the first parents; *is_line false where a commit has more than one. */
static enum status read_line(const struct store *store, struct ancestry *it, bool *is_line, struct err *err)
{
    git_oid at = store->tip;
    char id[COMMIT_ID_MAX];
    for (*is_line = true; *is_line;) {
        CLEANUP(commit_free_at) git_commit *commit = NULL;
        (void)git_oid_tostr(id, sizeof id, &at);
        if (git_commit_lookup(&commit, store->repo, &at) != 0)
            return git_unreadable(err, id, "could not read this commit of the history");
        TRY(add_node(it, commit, err));
        *is_line = git_commit_parentcount(commit) < 2;
        if (!git_commit_parentcount(commit))
            break;
        at = *git_commit_parent_id(commit, 0);
    }
    for (size_t low = 0, high = it->count; low + 1 < high; low++) {
        const struct node held = it->nodes[--high];
        it->nodes[high] = it->nodes[low];
        it->nodes[low] = held;
    }
    for (size_t at_node = 1; at_node < it->count; at_node++)
        TRY(add_parent(it, &it->nodes[at_node], at_node - 1, err));
    return STATUS_OK;
}

static int compare_ids(const void *a, const void *b)
{
    return git_oid_cmp(&((const struct sorted_node *)a)->id, &((const struct sorted_node *)b)->id);
}

static enum status find_parents(const struct store *store, struct ancestry *it, struct node *node, struct err *err)
{
    CLEANUP(commit_free_at) git_commit *commit = NULL;
    if (git_commit_lookup(&commit, store->repo, &node->id) != 0)
        return git_unreadable(err, "registry", "could not read the history");
    for (unsigned at = 0; at < git_commit_parentcount(commit); at++) {
        struct sorted_node key = {.id = *git_commit_parent_id(commit, at)};
        const struct sorted_node *found = bsearch(&key, it->sorted, it->count, sizeof key, compare_ids);
        if (!found)
            return err_set(err, STATUS_DAMAGED, "registry", "could not read the history: a parent is not in it");
        TRY(add_parent(it, node, found->node, err));
    }
    return STATUS_OK;
}

/* Histories that were joined: all of them, in an order that follows from their commits. */
static enum status read_graph(const struct store *store, struct ancestry *it, struct err *err)
{
    CLEANUP(revwalk_free_at) git_revwalk *walk = NULL;
    git_oid id;
    it->count = 0;
    it->parent_count = 0;
    if (git_revwalk_new(&walk, store->repo) != 0)
        return git_refused(err, "registry", "could not walk the history");
    int going = git_revwalk_sorting(walk, GIT_SORT_TOPOLOGICAL | GIT_SORT_REVERSE);
    if (going == 0)
        going = git_revwalk_push(walk, &store->tip);
    while (going == 0 && (going = git_revwalk_next(&id, walk)) == 0) {
        CLEANUP(commit_free_at) git_commit *commit = NULL;
        if ((going = git_commit_lookup(&commit, store->repo, &id)) == 0)
            TRY(add_node(it, commit, err));
    }
    if (going != GIT_ITEROVER)
        return git_unreadable(err, "registry", "could not read the history");
    TRY(arena_take(&it->arena, it->count, sizeof *it->sorted, &it->sorted, err));
    for (size_t at = 0; at < it->count; at++)
        it->sorted[at] = (struct sorted_node){it->nodes[at].id, at};
    qsort(it->sorted, it->count, sizeof *it->sorted, compare_ids);
    for (size_t at = 0; at < it->count; at++)
        TRY(find_parents(store, it, &it->nodes[at], err));
    return STATUS_OK;
}

/* When each came in: parents stand before their children. */
static void settle_times(struct ancestry *it)
{
    for (size_t at = 0; at < it->count; at++) {
        struct node *node = &it->nodes[at];
        node->came_in_with = at;
        for (size_t parent = 0; parent < node->parent_count; parent++) {
            const struct node *before = &it->nodes[it->parents[node->parents + parent]];
            if (before->came_in_us <= node->came_in_us)
                continue;
            node->came_in_us = before->came_in_us;
            node->came_in_with = before->came_in_with;
        }
    }
}

/* The line, and which place in it was the first to hold each: one beside it came in with the commit that joined it. */
static enum status settle_line(struct ancestry *it, struct err *err)
{
    size_t length = 1;
    const struct node *node = &it->nodes[it->count - 1];
    for (; node->parent_count; length++)
        node = &it->nodes[it->parents[node->parents]];
    TRY(arena_take(&it->arena, length, sizeof *it->line, &it->line, err));
    it->line_count = length;
    for (size_t at = it->count - 1; length-- > 0; at = it->parents[it->nodes[at].parents]) {
        it->line[length] = at;
        it->nodes[at].held_since = length;
        if (!it->nodes[at].parent_count)
            break;
    }
    for (size_t at = it->count; at-- > 0;)
        for (size_t parent = 0; parent < it->nodes[at].parent_count; parent++) {
            struct node *before = &it->nodes[it->parents[it->nodes[at].parents + parent]];
            if (before->held_since > it->nodes[at].held_since)
                before->held_since = it->nodes[at].held_since;
        }
    return STATUS_OK;
}

/* A commit that only joins is no act. */
static bool is_act(const struct node *node)
{
    return node->parent_count < 2;
}

/* What was done by the date and is not in the first places of the line. */
static void find_late(const struct ancestry *it, size_t places, int64_t date_us, struct late_acts *out)
{
    const struct node *first = NULL;
    size_t whole = 0;
    *out = (struct late_acts){.count = 0};
    for (size_t at = 0; at < it->count; at++) {
        const struct node *node = &it->nodes[at];
        if (node->held_since < places || node->done_us > date_us || !is_act(node))
            continue;
        out->count++;
        first = !first || node->held_since < first->held_since ? node : first;
        whole = node->held_since > whole ? node->held_since : whole;
    }
    if (!first)
        return;
    for (size_t at = 0; at < it->count; at++)
        out->later += it->nodes[at].held_since <= whole && it->nodes[at].done_us > date_us && is_act(&it->nodes[at]);
    const struct node *place = &it->nodes[it->line[first->held_since]];
    out->came_in = (struct instant){.utc_us = place->came_in_us, .known = true};
    (void)git_oid_tostr(out->first, sizeof out->first, &first->id);
    (void)git_oid_tostr(out->behind, sizeof out->behind, &it->nodes[place->came_in_with].id);
    (void)git_oid_tostr(out->whole, sizeof out->whole, &it->nodes[it->line[whole]].id);
}

static enum status refuse_before(const struct store *store, const struct ancestry *it, const char *text,
                                 int64_t date_us, struct err *err)
{
    char when[INSTANT_TEXT_MAX];
    const struct node *root = &it->nodes[it->line[0]];
    instant_format((struct instant){.utc_us = root->came_in_us, .known = true}, when);
    if (root->done_us > date_us)
        err_set(err, STATUS_UNKNOWN, text, "the registry begins after this time, at %s", when);
    else
        err_set(err, STATUS_UNKNOWN, text, "no state is this old: git wrote the first commit here at %s", when);
    return err_hint(err, "its first commit: git -C %.200s log --reverse", store->gitdir);
}

/* "2026-03-09" alone is the end of that day. */
static enum status read_time(const char *text, int64_t *utc_us, struct err *err)
{
    char whole[INSTANT_TEXT_MAX];
    struct instant instant = {0};
    struct err inner = {0};
    const bool is_date = strlen(text) == 10 && strspn(text, "0123456789-") == 10;
    (void)snprintf(whole, sizeof whole, "%.40s%s", text, is_date ? "T23:59:59Z" : "");
    if (strlen(text) > 40 || instant_parse(whole, INT_NONE, &instant, &inner) != STATUS_OK) {
        err_set(err, STATUS_INPUT, text, "this is not the id of a commit, a tag, or a time with its offset");
        err_hint(err, "for example 2026-03-09, 2026-03-09T14:00+05:30, or the digits that explain prints");
        return err_marks(err, text);
    }
    *utc_us = instant.utc_us;
    return STATUS_OK;
}

enum status date_find(const struct store *store, const char *text, git_oid *out, struct late_acts *late,
                      struct err *err)
{
    CLEANUP(ancestry_clear_at) struct ancestry it = {.count = 0};
    int64_t date_us = 0;
    bool is_line = false;
    arena_init(&it.arena, ARENA_LIMIT_BYTES);
    TRY(read_time(text, &date_us, err));
    if (store_is_shallow(store)) {
        err_set(err, STATUS_RULE, text,
                "a time needs the whole history, and this clone has only the newest part of it");
        return err_hint(err, "git fetch --unshallow brings the rest; or name a commit");
    }
    TRY(read_line(store, &it, &is_line, err));
    if (!is_line)
        TRY(read_graph(store, &it, err));
    settle_times(&it);
    TRY(settle_line(&it, err));
    size_t places = it.line_count;
    while (places && it.nodes[it.line[places - 1]].came_in_us > date_us)
        places--;
    if (!places)
        return refuse_before(store, &it, text, date_us, err);
    find_late(&it, places, date_us, late);
    *out = it.nodes[it.line[places - 1]].id;
    return STATUS_OK;
}

enum status store_came_in(struct store *store, int64_t enough_us, int64_t *out_us, struct err *err)
{
    CLEANUP(revwalk_free_at) git_revwalk *walk = NULL;
    git_oid id = store->tip;
    int64_t done_us = 0;
    int64_t latest_us = INT64_MIN;
    const bool is_shallow = store_is_shallow(store);
    const bool is_known = git_oid_equal(&store->came_in_of, &store->tip);
    if (is_known && (store->is_came_in_whole || store->came_in_us >= enough_us)) {
        *out_us = store->came_in_us;
        return STATUS_OK;
    }
    if (git_revwalk_new(&walk, store->repo) != 0 || git_revwalk_push(walk, &store->tip) != 0)
        return git_unreadable(err, "registry", "could not walk the history");
    int going = is_shallow ? 0 : git_revwalk_next(&id, walk);
    while (going == 0) {
        CLEANUP(commit_free_at) git_commit *commit = NULL;
        if (git_commit_lookup(&commit, store->repo, &id) != 0)
            break;
        const int64_t us = times_of(commit, &done_us);
        latest_us = us > latest_us ? us : latest_us;
        going = is_shallow || latest_us >= enough_us ? GIT_ITEROVER : git_revwalk_next(&id, walk);
    }
    if (going != GIT_ITEROVER)
        return git_unreadable(err, "registry", "could not read the history");
    store->came_in_of = store->tip;
    store->came_in_us = latest_us;
    store->is_came_in_whole = latest_us < enough_us; /* all was read */
    *out_us = latest_us;
    return STATUS_OK;
}
