/* SPDX-License-Identifier: MIT */
/* Commits of ours to another registry, and the way along which they can go in parts. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "exchange.h"

/* What the registry there said, without the word that git puts before each line. */
static enum status copy_remote_words(const char *heard, struct arena *arena, const char **out, struct err *err)
{
    static const char mark[] = "remote: ";
    struct text text;
    struct bytes bytes;
    text_init(&text, arena);
    text_add(&text, "");
    for (const char *line = heard; *line; line += strcspn(line, "\n") + (line[strcspn(line, "\n")] != '\0')) {
        const char *words = line + strlen(mark);
        size_t len = strncmp(line, mark, strlen(mark)) == 0 ? strcspn(words, "\n") : 0;
        while (len && words[len - 1] == ' ')
            len--;
        if (len) {
            text_add_bytes(&text, words, len);
            text_add(&text, "\n");
        }
    }
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

static enum status refuse_push(const struct client_call *call, const struct client_end *end, struct err *err)
{
    const char *said = end->said.data ? end->said.data : "";
    if (strstr(said, "(fetch first)") || strstr(said, "(non-fast-forward)")) {
        err_set(err, STATUS_CONFLICT, call->other, "acts have been recorded there meanwhile that are not here");
        return err_hint(err, "coretally join %.200s, then send again; or coretally send %.200s --join", call->other,
                        call->other);
    }
    if (strstr(end->heard, "checked out branch")) {
        const char *ours = call->store->work_tree[0] ? call->store->work_tree : call->store->gitdir;
        err_set(err, STATUS_RULE, call->other,
                "this is a clone with files in it, and git does not move the branch that they stand on from outside");
        return err_hint(err, "type in it: coretally join %.300s", ours);
    }
    if (strstr(said, "hook declined"))
        return err_set(err, STATUS_RULE, call->other, "the registry there refuses what was sent; it stays as it was");
    if (strstr(said, "[remote rejected]")) {
        const char *why = strstr(said, "[remote rejected] (");
        const char *words = why ? why + strlen("[remote rejected] (") : "";
        err_set(err, STATUS_CONFLICT, call->other, "it did not move its branch: %.*s", (int)strcspn(words, ")\n"),
                words);
        return err_hint(err, "type the same again; nothing is lost on either side");
    }
    return client_refuse(call, end, err);
}

enum status other_push(struct store *store, const struct other *other, const char *branch, const char *commit,
                       struct arena *arena, const char **words_out, struct err *err)
{
    char spec[BRANCH_MAX + COMMIT_ID_MAX + 4];
    const char *const words[] = {
        "push", "--porcelain", "--no-follow-tags", "--recurse-submodules=no", "--", other->place, spec, NULL};
    const struct client_call call = {store, words, other->typed, -1, NULL, NULL};
    struct client_end end;
    const char *said = "";
    (void)snprintf(spec, sizeof spec, "%s:%.250s", commit, branch);
    TRY(client_need(&call, "sending", arena, &end, err));
    if (end.said.data && strstr(end.said.data, "hook declined"))
        TRY(copy_remote_words(end.heard, arena, &said, err));
    *words_out = said;
    return end.code == 0 ? STATUS_OK : refuse_push(&call, &end, err);
}

enum status exchange_weigh(struct store *store, const char *tip, const char *since, struct arena *arena, int64_t *out,
                           struct err *err)
{
    static const char *const words[] = {"pack-objects",        "--revs",  "--thin", "--stdout",
                                        "--delta-base-offset", "--quiet", NULL};
    char revisions[2 * COMMIT_ID_MAX + 4];
    const struct client_call call = {store, words, "registry", -1, revisions, NULL};
    struct client_end end;
    (void)snprintf(revisions, sizeof revisions, "%s\n%s%s%s", tip, *since ? "^" : "", since, *since ? "\n" : "");
    TRY(client_need(&call, "sending", arena, &end, err));
    if (end.code != 0)
        return client_refuse(&call, &end, err);
    *out = end.said_bytes;
    return STATUS_OK;
}

/* A commit on one of the ways. */
struct step {
    const char *id;
    size_t length; /* of the longest way to it; 0: none leads here */
    size_t before; /* on that way; SIZE_MAX: it begins here */
};

/* Where a commit stands among the steps. */
struct stand {
    const char *id;
    size_t at;
};

static int compare_stands(const void *a, const void *b)
{
    return strcmp(((const struct stand *)a)->id, ((const struct stand *)b)->id);
}

/* The longest way to a step, by its parents, which stand before it. */
static enum status lead_to(struct store *store, struct step *steps, const struct stand *stands, size_t count,
                           const char *since, size_t at, struct err *err)
{
    struct parents parents;
    struct step *step = &steps[at];
    TRY(store_parents(store, step->id, &parents, err));
    if (!parents.count && !*since)
        step->length = 1;
    for (size_t parent = 0; parent < parents.count && parent < SIDES_MAX; parent++) {
        const struct stand key = {.id = parents.ids[parent]};
        if (strcmp(key.id, since) == 0 && step->length < 1)
            step->length = 1;
        const struct stand *found = bsearch(&key, stands, count, sizeof *stands, compare_stands);
        if (!found || !steps[found->at].length || steps[found->at].length < step->length)
            continue;
        step->length = steps[found->at].length + 1;
        step->before = found->at;
    }
    return STATUS_OK;
}

enum status exchange_way(struct store *store, const char *tip, const char *since, struct arena *arena,
                         struct commits *out, struct err *err)
{
    struct commits range = {0};
    struct commits way = {0};
    struct step *steps = NULL;
    struct stand *stands = NULL;
    TRY(store_range(store, tip, since, arena, &range, err));
    TRY(arena_take(arena, range.count, sizeof *steps, &steps, err));
    TRY(arena_take(arena, range.count, sizeof *stands, &stands, err));
    for (size_t at = 0; at < range.count; at++) {
        steps[at] = (struct step){.id = range.ids[at], .before = SIZE_MAX};
        stands[at] = (struct stand){range.ids[at], at};
    }
    if (range.count)
        qsort(stands, range.count, sizeof *stands, compare_stands);
    for (size_t at = 0; at < range.count; at++)
        TRY(lead_to(store, steps, stands, range.count, since, at, err));
    way.count = range.count ? steps[range.count - 1].length : 0; /* the tip comes last */
    TRY(arena_take(arena, way.count, sizeof *way.ids, &way.ids, err));
    for (size_t at = range.count - 1, left = way.count; left; at = steps[at].before)
        memcpy(way.ids[--left], steps[at].id, COMMIT_ID_MAX);
    *out = way;
    return STATUS_OK;
}
