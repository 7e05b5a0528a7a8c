/* SPDX-License-Identifier: MIT */
/* The state that a date means. An act came in at the latest time on it and on all that it stands on: of the author,
 * when it was done, and of the committer, when git wrote it here, which a rebase sets anew. So the time of coming in
 * never runs back along a history, whatever clocks and rebases did to single ones, and what had come in by a date holds
 * the parents of all that it holds. That is the state of the date: its newest commit, or, where histories were joined
 * later, its newest commits, one of each line. A join comes in with the later of its sides, so it makes no state later
 * than its acts. What was done by the date and came in after it is told. All of it follows from the commits: whoever
 * has the same newest commit gets the same. */
#include "ancestry.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/base/marks.h"
#include "coretally/base/quantity.h"
#include "coretally/store/walk.h"

static void revwalk_free_at(git_revwalk **walk)
{
    git_revwalk_free(*walk);
}

static int compare_ids(const void *a, const void *b)
{
    return memcmp(a, b, COMMIT_ID_MAX);
}

/* Of what had come in by the date, what nothing else of it stands on. */
static enum status find_heads(struct ancestry *it, int64_t date_us, struct arena *arena, struct commits *out,
                              size_t *held_since, struct err *err)
{
    bool *is_before = NULL; /* something that had come in stands on it */
    size_t room = 0;
    TRY(arena_take(&it->arena, it->count, sizeof *is_before, &is_before, err));
    for (size_t place = it->count; place-- > 0;) {
        const size_t at = it->order[place];
        const struct ancestor *node = &it->items[at];
        if (node->came_in_us > date_us)
            continue;
        for (size_t parent = 0; parent < node->parent_count; parent++)
            is_before[it->parents[node->parents + parent]] = true;
        if (is_before[at])
            continue;
        TRY(arena_grow(arena, &out->ids, out->count, &room, sizeof *out->ids, err));
        (void)git_oid_tostr(out->ids[out->count++], COMMIT_ID_MAX, &node->id);
        *held_since = node->held_since > *held_since ? node->held_since : *held_since;
    }
    if (out->count)
        qsort(out->ids, out->count, sizeof *out->ids, compare_ids);
    return STATUS_OK;
}

/* What was done by the date and came in after it. whole: the place in the line that holds the state of the date. */
static void find_late(const struct ancestry *it, size_t whole, int64_t date_us, struct late_acts *out)
{
    const struct ancestor *first = NULL;
    *out = (struct late_acts){.count = 0};
    for (size_t place = 0; place < it->count; place++) {
        const struct ancestor *node = &it->items[it->order[place]];
        if (node->came_in_us <= date_us || node->done_us > date_us || !ancestor_is_act(node))
            continue;
        out->count++;
        first = !first || node->came_in_us < first->came_in_us ? node : first;
        whole = node->held_since > whole ? node->held_since : whole;
    }
    if (!first)
        return;
    for (size_t at = 0; at < it->count; at++)
        out->later +=
            it->items[at].held_since <= whole && it->items[at].done_us > date_us && ancestor_is_act(&it->items[at]);
    out->came_in = (struct instant){.utc_us = first->came_in_us, .known = true};
    (void)git_oid_tostr(out->first, sizeof out->first, &first->id);
    (void)git_oid_tostr(out->behind, sizeof out->behind, &it->items[first->came_in_with].id);
    (void)git_oid_tostr(out->whole, sizeof out->whole, &it->items[it->line[whole]].id);
}

static enum status refuse_before(const struct store *store, const struct ancestry *it, const char *text,
                                 int64_t date_us, struct err *err)
{
    char when[INSTANT_TEXT_MAX];
    const struct ancestor *root = &it->items[it->line[0]];
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
        err_set(err, STATUS_INPUT, text, "this is no commit, tag, branch, or time with its offset");
        err_hint(
            err,
            "for example 2026-03-09, 2026-03-09T14:00+05:30, main, origin/main, or the digits that explain prints");
        return err_marks(err, text);
    }
    *utc_us = instant.utc_us;
    return STATUS_OK;
}

enum status date_find(const struct store *store, const char *text, struct arena *arena, struct commits *out,
                      struct late_acts *late, struct err *err)
{
    CLEANUP(ancestry_clear_at) struct ancestry it = {.count = 0};
    struct commits heads = {.count = 0};
    int64_t date_us = 0;
    size_t whole = 0;
    TRY(read_time(text, &date_us, err));
    if (store_is_shallow(store)) {
        err_set(err, STATUS_RULE, text,
                "a time needs the whole history, and this clone has only the newest part of it");
        return err_hint(err, "git fetch --unshallow brings the rest; or name a commit");
    }
    TRY(ancestry_read(store, &it, err));
    TRY(find_heads(&it, date_us, arena, &heads, &whole, err));
    if (!heads.count)
        return refuse_before(store, &it, text, date_us, err);
    find_late(&it, whole, date_us, late);
    *out = heads;
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
        const int64_t us = ancestor_times(commit, &done_us);
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
