/* SPDX-License-Identifier: MIT */
/* Anchors held against the history of the state: where the commit of each is, and what none of them holds. */
#include "anchor.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/store/anchor.h"
#include "parts.h"

/* Branches are looked through for so many commits that are not in the history. */
enum { REFERENCES_ASKED = 20 };

enum status anchors_add(struct arena *arena, struct anchors *anchors, const struct anchor *anchor, size_t line,
                        struct err *err)
{
    struct anchor_item item = {.kind = anchor->kind, .line = line};
    struct label_text label;
    TRY(arena_copy(arena, anchor->text, strlen(anchor->text), &item.text, err));
    TRY(arena_copy(arena, anchor->why, strlen(anchor->why), &item.why, err));
    if (anchor->kind == ANCHOR_STATE)
        (void)snprintf(item.state, sizeof item.state, "%s", anchor->text);
    if (anchor->kind == ANCHOR_LABEL) {
        TRY(label_text_read(anchor->text, &label, err));
        (void)snprintf(item.state, sizeof item.state, "%s", label.state);
    }
    TRY(arena_grow(arena, &anchors->items, anchors->count, &anchors->room, sizeof item, err));
    anchors->items[anchors->count++] = item;
    return STATUS_OK;
}

static int by_text(const void *a, const void *b)
{
    const struct anchor_item *left = a;
    const struct anchor_item *right = b;
    const int order = strcmp(left->text, right->text);
    return order ? order : (left->line > right->line) - (left->line < right->line);
}

/* The same text, or fewer digits of the same state, as a report shows both. */
static bool is_repeated(const struct anchor_item *item, const struct anchor_item *next)
{
    const bool are_states = item->kind == ANCHOR_STATE && next->kind == ANCHOR_STATE;
    return are_states ? strncmp(item->text, next->text, strlen(item->text)) == 0 : strcmp(item->text, next->text) == 0;
}

/* Each once, with its most digits. */
static void drop_repeated(struct anchors *anchors)
{
    size_t kept = 0;
    if (anchors->count)
        qsort(anchors->items, anchors->count, sizeof *anchors->items, by_text);
    for (size_t at = 0; at < anchors->count; at++) {
        struct anchor_item *last = kept ? &anchors->items[kept - 1] : NULL;
        if (last && strcmp(last->text, anchors->items[at].text) == 0)
            continue;
        if (!last || !is_repeated(last, &anchors->items[at]))
            kept++;
        anchors->items[kept - 1] = anchors->items[at];
    }
    anchors->count = kept;
}

static int by_state(const void *a, const void *b)
{
    return strcmp((*(const struct anchor_item *const *)a)->state, (*(const struct anchor_item *const *)b)->state);
}

/* Those that name a state, by its digits. */
static enum status sort_states(struct verify *verify, struct anchors *anchors, struct anchor_item ***out, size_t *count,
                               struct err *err)
{
    TRY(arena_take(verify->state->arena, anchors->count, sizeof(void *), out, err));
    *count = 0;
    for (size_t at = 0; at < anchors->count; at++)
        if (*anchors->items[at].state)
            (*out)[(*count)++] = &anchors->items[at];
    if (*count)
        qsort(*out, *count, sizeof(void *), by_state);
    return STATUS_OK;
}

/* Which commits the digits mean; the same digits are asked about once. */
static enum status find_commits(struct verify *verify, struct anchor_item *const *sorted, size_t count, struct err *err)
{
    for (size_t at = 0; at < count; at++) {
        struct anchor_item *item = sorted[at];
        enum digits_found found = DIGITS_NONE;
        if (at && strcmp(sorted[at - 1]->state, item->state) == 0) {
            item->is = sorted[at - 1]->is;
            memcpy(item->id, sorted[at - 1]->id, sizeof item->id);
            continue;
        }
        TRY(store_find_digits(verify->store, item->state, item->id, &found, err));
        item->is = found == DIGITS_ONE ? ANCHOR_BESIDE : found == DIGITS_NONE ? ANCHOR_LOST : ANCHOR_UNCLEAR;
    }
    return STATUS_OK;
}

static int by_id(const void *a, const void *b)
{
    return memcmp(a, b, COMMIT_ID_MAX);
}

/* The ids that are known, sorted, each once. */
static enum status list_ids(struct verify *verify, struct anchor_item *const *sorted, size_t count, struct commits *out,
                            struct err *err)
{
    size_t kept = 0;
    TRY(arena_take(verify->state->arena, count, sizeof *out->ids, &out->ids, err));
    for (size_t at = 0; at < count; at++)
        if (*sorted[at]->id)
            memcpy(out->ids[out->count++], sorted[at]->id, COMMIT_ID_MAX);
    if (out->count)
        qsort(out->ids, out->count, sizeof *out->ids, by_id);
    for (size_t at = 0; at < out->count; at++)
        if (!kept || strcmp(out->ids[kept - 1], out->ids[at]) != 0)
            memmove(out->ids[kept++], out->ids[at], COMMIT_ID_MAX);
    out->count = kept;
    return STATUS_OK;
}

/* Those that led to the state are held; what is beyond all of them is counted. */
static enum status walk_back(struct verify *verify, struct anchors *anchors, struct anchor_item *const *sorted,
                             size_t count, struct err *err)
{
    struct arena *arena = verify->state->arena;
    struct commits ids = {.count = 0};
    struct commits held = {.count = 0};
    struct commits beyond = {.count = 0};
    size_t *places = NULL;
    size_t newest = SIZE_MAX;
    size_t line = 0;
    TRY(list_ids(verify, sorted, count, &ids, err));
    TRY(arena_take(arena, ids.count, sizeof *places, &places, err));
    TRY(arena_take(arena, ids.count, sizeof *held.ids, &held.ids, err));
    TRY(store_hold_commits(verify->store, &ids, places, &line, err));
    for (size_t at = 0; at < ids.count; at++) {
        if (places[at] == SIZE_MAX)
            continue;
        memcpy(held.ids[held.count++], ids.ids[at], COMMIT_ID_MAX);
        if (places[at] < newest)
            memcpy(anchors->newest, ids.ids[at], COMMIT_ID_MAX);
        newest = places[at] < newest ? places[at] : newest;
    }
    for (size_t at = 0; at < count; at++)
        if (*sorted[at]->id && held.count &&
            bsearch(sorted[at]->id, held.ids, held.count, sizeof *held.ids, by_id) != NULL)
            sorted[at]->is = ANCHOR_HELD;
    anchors->since = held.count ? newest : 0;
    if (!held.count || newest < line)
        return STATUS_OK;
    TRY(store_beyond(verify->store, &held, arena, &beyond, err));
    anchors->since = beyond.count;
    return STATUS_OK;
}

/* Here, and not in the history: of another line, or left behind by whoever rewrote it. */
static enum status tell_beside(struct verify *verify, const struct anchor_item *item, const char *where,
                               const char *more, size_t *asked, struct err *err)
{
    char name[REFERENCE_NAME_MAX] = "";
    if ((*asked)++ < REFERENCES_ASKED)
        TRY(store_reference_to(verify->store, item->id, name, err));
    if (*name)
        flaw_add(verify, FLAW_ANCHOR_BESIDE, "", item->text,
                 "%sit is on the line of %s and not in the history of the state: it was never joined, or history was "
                 "rewritten; coretally compare %.10s shows what differs%s",
                 where, name, item->id, more);
    else
        flaw_add(verify, FLAW_ANCHOR_BESIDE, "", item->text,
                 "%sthe commit is still here and not in the history: history was rewritten; git tag kept-%.10s %.10s "
                 "keeps it, coretally compare %.10s shows what differs%s",
                 where, item->id, item->id, item->id, more);
    return STATUS_OK;
}

static enum status tell_state(struct verify *verify, const struct anchor_item *item, size_t *asked, struct err *err)
{
    char where[ANCHOR_WHERE_MAX];
    const char *more =
        item->kind == ANCHOR_LABEL && item->is_recorded
            ? "; the label is recorded with it: its act was set on top of others (git pull --rebase), or "
              "kept while the rest was rewritten"
            : "";
    anchor_where(item, where);
    if (item->is == ANCHOR_LOST)
        flaw_add(
            verify, FLAW_ANCHOR_LOST, "", item->text,
            "%sthe registry has no commit %.10s: history was rewritten, or the act was never joined here; a copy of "
            "that day tells which%s",
            where, item->state, more);
    else if (item->is == ANCHOR_UNCLEAR)
        flaw_add(verify, FLAW_ANCHOR_UNCLEAR, "", item->text,
                 "%smore than one object of the registry begins with %s: type more of its digits%s", where, item->state,
                 strlen(item->state) < LABEL_STATE_DIGITS ? "" : "; by chance ten digits never meet");
    else if (item->is == ANCHOR_BESIDE)
        return tell_beside(verify, item, where, more, asked, err);
    return STATUS_OK;
}

static enum status tell(struct verify *verify, struct anchors *anchors, struct err *err)
{
    size_t asked = 0;
    for (size_t at = 0; at < anchors->count; at++) {
        const struct anchor_item *item = &anchors->items[at];
        char where[ANCHOR_WHERE_MAX];
        anchor_where(item, where);
        if (item->kind == ANCHOR_UNREADABLE) {
            anchors->unreadable++;
            flaw_add(verify, FLAW_ANCHOR_UNREADABLE, "", item->text, "%s%s", where, item->why);
            continue;
        }
        anchors->states += item->kind == ANCHOR_STATE;
        anchors->labels += item->kind == ANCHOR_LABEL;
        anchors->held += item->is == ANCHOR_HELD && (item->kind == ANCHOR_STATE || item->is_recorded);
        TRY(tell_state(verify, item, &asked, err));
    }
    return STATUS_OK;
}

static enum status hold(struct verify *verify, struct anchors *anchors, struct err *err)
{
    struct anchor_item **sorted = NULL;
    size_t count = 0;
    drop_repeated(anchors);
    TRY(sort_states(verify, anchors, &sorted, &count, err));
    TRY(find_commits(verify, sorted, count, err));
    TRY(walk_back(verify, anchors, sorted, count, err));
    TRY(verify_anchor_labels(verify, anchors, err));
    return tell(verify, anchors, err);
}

enum status verify_anchors(struct verify *verify, struct anchors *anchors, struct err *err)
{
    struct err why = {0};
    if (hold(verify, anchors, &why) == STATUS_OK) {
        verify->anchors_failed = anchors->states + anchors->labels - anchors->held;
        return STATUS_OK;
    }
    return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, "", &why, err);
}
