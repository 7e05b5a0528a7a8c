/* SPDX-License-Identifier: MIT */
/* A day of the pump log that both sides changed. It follows from the days that acts left, each on a line of its own:
 * rows of other hours are put together; where the hours are the same, the later act stands, and the day is open. Which
 * acts claim it is joined as claims of a field are, so the order in which registries are joined does not matter. */
#include <stdlib.h>
#include <string.h>

#include "joining.h"
#include "log_rows.h"

enum { LEAVES_MAX = 64 }; /* a decision is overdue long before */

/* The day as an act left it. */
struct leaf {
    struct act_at act;
    char id[COMMIT_ID_MAX]; /* of the day; "": there was none */
    struct day_rows rows;
    bool claims[VERSION_COUNT]; /* the contradiction of a version names it */
    bool is_last[SIDES_MAX];    /* nothing on that side followed it: the join is made of such days */
    bool is_undone;             /* it has not all that both sides began with, although they began with that */
    bool is_contested;
    bool is_taken;
    bool is_listed;
};

struct day_join {
    struct joining *joining;
    struct changed_file *file;
    char open[REGISTRY_PATH_MAX]; /* where a contradiction about it is */
    bool is_open[VERSION_COUNT];
    size_t claim_counts[VERSION_COUNT];
    struct leaf base;
    struct leaf leaves[LEAVES_MAX]; /* the latest first, once they are sorted */
    size_t count;
    bool knows[SIDES_MAX]; /* who acted there last knew what both began with */
    struct day_rows rows;  /* of the join */
};

/* --- days that acts left --- */

static enum status read_rows(struct day_join *day, struct leaf *leaf, struct err *err)
{
    struct arena *const arena = day->joining->arena;
    struct bytes bytes;
    struct log_day stored = {.hole = NULL};
    if (*leaf->id) {
        TRY(store_bytes(day->joining->store, leaf->id, day->file->path, arena, &bytes, err));
        TRY(log_day_decode(bytes, arena, &stored, err));
    }
    return day_rows_of(&stored, arena, &leaf->rows, err);
}

/* The day in the state of a commit. */
static enum status look_at(const struct day_join *day, const char *commit, char id[HASH_TEXT_MAX], struct err *err)
{
    struct store *then = NULL;
    TRY(store_open_beside(day->joining->store, commit, &then, err));
    const enum status status = store_look(then, day->file->path, id, err);
    store_close(then);
    return status;
}

static enum status read_leaf(struct day_join *day, const char *commit, struct leaf *out, struct err *err)
{
    *out = (struct leaf){.id = ""};
    TRY(act_find(day->joining, commit, &out->act, err));
    TRY(look_at(day, out->act.id, out->id, err));
    return read_rows(day, out, err);
}

/* NULL: there are too many. */
static enum status find_leaf(struct day_join *day, const char *commit, struct leaf **out, struct err *err)
{
    for (size_t at = 0; at < day->count; at++)
        if (strcmp(day->leaves[at].act.id, commit) == 0) {
            *out = &day->leaves[at];
            return STATUS_OK;
        }
    *out = NULL;
    if (day->count == LEAVES_MAX)
        return STATUS_OK;
    TRY(read_leaf(day, commit, &day->leaves[day->count], err));
    *out = &day->leaves[day->count++];
    return STATUS_OK;
}

static enum status read_claims(struct day_join *day, enum version version, struct err *err)
{
    struct contradiction open;
    TRY(joining_read(day->joining, version, day->open, &contradiction_table, &open, &day->is_open[version], err));
    for (size_t at = 0; day->is_open[version] && at < open.claim_count; at++) {
        struct leaf *leaf = NULL;
        TRY(find_leaf(day, open.claims[at].commit, &leaf, err));
        if (leaf)
            leaf->claims[version] = true;
    }
    day->claim_counts[version] = day->is_open[version] ? open.claim_count : 0;
    return STATUS_OK;
}

/* Rows taken in, or out, and a decision about what was open. */
static enum status read_last(struct day_join *day, int side, struct err *err)
{
    const char *const paths[] = {day->file->path, day->open};
    struct act_list acts;
    TRY(side_heads(day->joining, side, paths, sizeof paths / sizeof paths[0], &acts, err));
    for (size_t at = 0; at < acts.count; at++) {
        struct leaf *leaf = NULL;
        TRY(find_leaf(day, acts.items[at].id, &leaf, err));
        if (leaf)
            leaf->is_last[side] = true;
    }
    return STATUS_OK;
}

static bool is_part(const struct leaf *leaf)
{
    return leaf->is_last[0] || leaf->is_last[1];
}

/* --- the common state --- */

/* Where the act and what both sides began with parted, did the day read as it does there? A state that was made for
 * this join of several is known to who knew these. */
static enum status knew_base(const struct day_join *day, const struct leaf *leaf, bool *out, struct err *err)
{
    struct store *const store = day->joining->store;
    const char *base = day->joining->base_id;
    struct commits shared = {.count = 0};
    struct parents parents = {.count = 0};
    size_t known = 0;
    TRY(store_bases(store, leaf->act.id, base, day->joining->arena, &shared, err));
    *out = false;
    for (size_t at = 0; at < shared.count && !*out; at++) {
        char id[HASH_TEXT_MAX];
        TRY(look_at(day, shared.ids[at], id, err));
        *out = strcmp(id, day->base.id) == 0;
    }
    TRY(store_parents(store, base, &parents, err));
    for (size_t at = 0; at < parents.count && at < SIDES_MAX; at++)
        for (size_t one = 0; one < shared.count; one++)
            known += strcmp(parents.ids[at], shared.ids[one]) == 0;
    *out = *out || known == SIDES_MAX;
    return STATUS_OK;
}

/* What both began with is a day like the others where no act that made the join knew of it: each side had joined it. */
static enum status add_base(struct day_join *day, struct err *err)
{
    struct leaf *own = NULL;
    for (size_t at = 0; at < day->count && !own; at++)
        if (!is_part(&day->leaves[at]) && strcmp(day->leaves[at].id, day->base.id) == 0)
            own = &day->leaves[at];
    if (!own)
        TRY(find_leaf(day, day->joining->base_id, &own, err));
    if (own)
        own->is_last[0] = own->is_last[1] = true;
    return STATUS_OK;
}

/* Rows that both began with are taken out by who knew of them, and not by who came from elsewhere. */
static enum status hold_base(struct day_join *day, struct err *err)
{
    bool is_apart = false;
    for (size_t at = 0; at < day->count; at++) {
        struct leaf *leaf = &day->leaves[at];
        bool knew = false;
        if (!is_part(leaf))
            continue;
        TRY(knew_base(day, leaf, &knew, err));
        if (knew && !day->is_open[VERSION_BASE] && strcmp(leaf->id, day->base.id) == 0) { /* taken back by who did it */
            leaf->is_last[0] = leaf->is_last[1] = false;
            continue;
        }
        for (int side = 0; side < SIDES_MAX; side++)
            day->knows[side] = day->knows[side] || (leaf->is_last[side] && knew);
        const bool holds = day_rows_hold(&leaf->rows, &day->base.rows);
        is_apart = is_apart || !(knew || holds);
        leaf->is_undone = knew && !holds;
    }
    return is_apart && !day->knows[0] && !day->knows[1] ? add_base(day, err) : STATUS_OK;
}

/* --- the joined day --- */

static int compare_leaves(const void *a, const void *b)
{
    return act_is_before(&((const struct leaf *)a)->act, &((const struct leaf *)b)->act) ? 1 : -1;
}

static bool clash(const struct leaf *a, const struct leaf *b)
{
    return strcmp(a->id, b->id) != 0 && (a->is_undone || b->is_undone || day_rows_clash(&a->rows, &b->rows));
}

/* Does it go with what is taken already? */
static bool goes_with(struct day_join *day, struct leaf *leaf)
{
    bool goes = true;
    for (size_t at = 0; at < day->count; at++) {
        const struct leaf *other = &day->leaves[at];
        if (other == leaf || !is_part(other) || !clash(leaf, other))
            continue;
        leaf->is_contested = true;
        goes = goes && !other->is_taken;
    }
    return goes;
}

/* More than a day holds: as if the hours were the same. */
static void contest_all(struct day_join *day, struct leaf *leaf)
{
    leaf->is_contested = true;
    for (size_t at = 0; at < day->count; at++)
        day->leaves[at].is_contested = day->leaves[at].is_contested || day->leaves[at].is_taken;
}

/* The latest stands, and all that goes with what stands. */
static enum status put_together(struct day_join *day, struct err *err)
{
    for (size_t at = 0; at < day->count; at++) {
        struct leaf *leaf = &day->leaves[at];
        struct day_rows rows;
        if (!is_part(leaf) || !goes_with(day, leaf))
            continue;
        TRY(day_rows_join(&day->rows, &leaf->rows, day->joining->arena, &rows, err));
        leaf->is_taken = day_rows_fit(&rows);
        if (leaf->is_taken)
            day->rows = rows;
        else
            contest_all(day, leaf);
    }
    return STATUS_OK;
}

static enum status place_day(const struct day_join *day, struct err *err)
{
    struct log_day out = {.hole = day->file->place.hole, .day = day->file->place.day};
    char id[COMMIT_ID_MAX];
    struct bytes bytes;
    bool has_parts = false;
    for (size_t at = 0; at < day->count; at++) {
        has_parts = has_parts || is_part(&day->leaves[at]);
        if (day->leaves[at].is_taken && day->leaves[at].rows.count == day->rows.count)
            return joining_place(day->joining, day->file->path, day->leaves[at].id, err);
    }
    if (!has_parts) /* what either side did it took back */
        return joining_place(day->joining, day->file->path, day->base.id, err);
    TRY(day_of_rows(&day->rows, day->joining->arena, &out, err));
    TRY(log_day_encode(&out, day->joining->arena, &bytes, err));
    TRY(store_put(day->joining->store, bytes, id, err));
    return joining_place(day->joining, day->file->path, id, err);
}

/* --- what is open --- */

/* Carried on from the sides: in both, or added by one, unless the other went on from there. */
static enum status is_carried(const struct day_join *day, const struct leaf *leaf, bool *out, struct err *err)
{
    bool is_behind = false;
    *out = leaf->claims[0] && leaf->claims[1];
    if (*out || leaf->claims[0] == leaf->claims[1] || leaf->claims[VERSION_BASE])
        return STATUS_OK;
    if (day->knows[leaf->claims[0]] && !day->is_open[VERSION_BASE])
        TRY(store_descends(day->joining->base, leaf->act.id, &is_behind, err));
    *out = !is_behind;
    return STATUS_OK;
}

/* Two acts that left the same day are told of the later one. */
static enum status list_claims(struct day_join *day, size_t *count, struct err *err)
{
    *count = 0;
    for (size_t at = 0; at < day->count; at++) {
        struct leaf *leaf = &day->leaves[at];
        TRY(is_carried(day, leaf, &leaf->is_listed, err));
        leaf->is_listed = leaf->is_listed || leaf->is_contested;
        for (size_t other = 0; other < at; other++)
            if (day->leaves[other].is_listed && strcmp(day->leaves[other].id, leaf->id) == 0)
                leaf->is_listed = false;
        *count += leaf->is_listed;
    }
    return STATUS_OK;
}

static bool stands(const struct day_join *day, const struct leaf *leaf)
{
    if (is_part(leaf))
        return leaf->is_taken;
    return day_rows_hold(&day->rows, &leaf->rows) && (leaf->rows.count || !day->rows.count);
}

static enum status add_claim(const struct day_join *day, const struct leaf *leaf, struct contradiction *open,
                             struct err *err)
{
    struct claim *claim = &open->claims[open->claim_count];
    char text[32];
    /* What stands is the day as it is now, with all that goes with it. */
    const size_t rows = open->claim_count || !stands(day, leaf) ? leaf->rows.count : day->rows.count;
    *claim = (struct claim){.value = NULL};
    const int len = snprintf(text, sizeof text, "%zu row%s", rows, rows == 1 ? "" : "s");
    if (rows)
        TRY(arena_copy(day->joining->arena, text, (size_t)len, &claim->value, err));
    TRY(arena_copy(day->joining->arena, leaf->act.id, COMMIT_ID_MAX - 1, &claim->commit, err));
    open->claim_count++;
    return STATUS_OK;
}

/* The very same acts as a side has it? */
static bool is_as_before(const struct day_join *day, size_t count)
{
    for (int side = 0; side < SIDES_MAX; side++) {
        size_t same = 0;
        for (size_t at = 0; at < day->count; at++)
            same += day->leaves[at].is_listed && day->leaves[at].claims[side];
        if (same == count && day->claim_counts[side] == count)
            return true;
    }
    return false;
}

static enum status write_open(const struct day_join *day, size_t count, struct err *err)
{
    struct contradiction open = {.path = day->file->path};
    const char *hole = day->file->place.hole;
    size_t first = 0;
    TRY(arena_copy(day->joining->arena, hole, strlen(hole), &open.hole, err)); /* what is told lasts */
    TRY(arena_take(day->joining->arena, count, sizeof *open.claims, &open.claims, err));
    while (first < day->count && !(day->leaves[first].is_listed && stands(day, &day->leaves[first])))
        first++;
    if (first < day->count)
        TRY(add_claim(day, &day->leaves[first], &open, err));
    for (size_t at = 0; at < day->count; at++)
        if (at != first && day->leaves[at].is_listed)
            TRY(add_claim(day, &day->leaves[at], &open, err));
    TRY(joining_write(day->joining, &contradiction_table, &open, err));
    return is_as_before(day, count) ? STATUS_OK : tell_contradiction(day->joining, &open, err);
}

static enum status settle_open(struct day_join *day, struct err *err)
{
    size_t count = 0;
    struct changed_file *file = joining_find(day->joining, day->open);
    TRY(list_claims(day, &count, err));
    if (file)
        file->is_joined = true;
    if (count > 1)
        return write_open(day, count, err);
    return day->is_open[0] ? joining_place(day->joining, day->open, "", err) : STATUS_OK;
}

static enum status join_leaves(struct day_join *day, struct err *err)
{
    memcpy(day->base.id, day->file->base, sizeof day->base.id);
    TRY(read_rows(day, &day->base, err));
    for (int version = 0; version < VERSION_COUNT; version++)
        TRY(read_claims(day, (enum version)version, err));
    for (int side = 0; side < SIDES_MAX; side++)
        TRY(read_last(day, side, err));
    TRY(hold_base(day, err));
    qsort(day->leaves, day->count, sizeof day->leaves[0], compare_leaves);
    TRY(put_together(day, err));
    TRY(place_day(day, err));
    return settle_open(day, err);
}

enum status join_log_day(struct joining *joining, struct changed_file *file, struct err *err)
{
    const struct contradiction of = {.hole = file->place.hole, .path = file->path};
    struct day_join *day = NULL;
    file->is_joined = true;
    TRY(arena_take(joining->arena, 1, sizeof *day, &day, err));
    day->joining = joining;
    day->file = file;
    day->rows.is_ordered = true;
    contradiction_path(&of, day->open);
    return join_leaves(day, err);
}
