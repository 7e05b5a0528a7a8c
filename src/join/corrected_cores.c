/* SPDX-License-Identifier: MIT */
/* Cores that a correction names, where they have another number in the join: it meant those cores, and goes on meaning
 * them. A range of numbers, and a row for a number that no core has yet, mean numbers: they stay, and where a core came
 * in or went out by that without anybody having been asked, the correction is open. */
#include <stdlib.h>
#include <string.h>

#include "coretally/domain/minted.h"
#include "names.h"

static int compare_offsets(const void *a, const void *b)
{
    return ((const struct core_offset *)a)->core - ((const struct core_offset *)b)->core;
}

static const struct core_offset *find_row(const struct correction *it, int32_t core)
{
    for (size_t at = 0; at < it->offset_count; at++)
        if (it->offsets[at].core == core)
            return &it->offsets[at];
    return NULL;
}

/* The number that a core of a side has in the join. */
static int32_t core_now(const struct named_cores *cores, int side, int32_t number)
{
    const struct named_core *core = number ? named_by(cores, (enum version)side, number) : NULL;
    return core ? core->id.number : number;
}

static bool names_same(const struct correction *a, const struct correction *b)
{
    bool same = a->core == b->core && a->offset_count == b->offset_count && a->interval_count == b->interval_count;
    for (size_t at = 0; same && at < a->offset_count; at++)
        same = a->offsets[at].core == b->offsets[at].core;
    for (size_t at = 0; same && at < a->interval_count; at++)
        same = a->intervals[at].core == b->intervals[at].core;
    return same;
}

/* The side by whose numbers it names cores; -1: by those that both knew, which are those of now. No act renames a core
 * that a standing correction names. */
static int find_speaker(const struct joined_correction *joined)
{
    const struct correction *const *sides = joined->sides;
    for (int side = 0; side < SIDES_MAX; side++)
        if (sides[side] && (sides[VERSION_BASE] ? !names_same(sides[side], sides[VERSION_BASE]) : !sides[!side]))
            return side;
    return -1;
}

/* Two rows for one core would be no table: then it stays as it was. */
static enum status carry_offsets(struct joining *joining, const struct named_cores *cores, int side,
                                 struct correction *it, struct err *err)
{
    struct core_offset *rows = NULL;
    TRY(arena_take(joining->arena, it->offset_count, sizeof *rows, &rows, err));
    for (size_t at = 0; at < it->offset_count; at++) {
        rows[at] = it->offsets[at];
        rows[at].core = core_now(cores, side, rows[at].core);
    }
    if (it->offset_count)
        qsort(rows, it->offset_count, sizeof *rows, compare_offsets);
    for (size_t at = 1; at < it->offset_count; at++)
        if (rows[at].core == rows[at - 1].core)
            return STATUS_OK;
    it->offsets = rows;
    return STATUS_OK;
}

enum status carry_cores(struct joining *joining, const struct named_cores *cores,
                        const struct joined_correction *joined, struct correction *it, struct err *err)
{
    const int side = find_speaker(joined);
    struct splice_interval *intervals = NULL;
    if (side < 0)
        return STATUS_OK;
    it->core = core_now(cores, side, it->core);
    TRY(arena_take(joining->arena, it->interval_count, sizeof *intervals, &intervals, err));
    for (size_t row = 0; row < it->interval_count; row++) {
        intervals[row] = it->intervals[row];
        intervals[row].core = core_now(cores, side, intervals[row].core);
    }
    it->intervals = intervals;
    return carry_offsets(joining, cores, side, it, err);
}

/* --- cores that came in or went out --- */

static bool is_within(const struct correction *it, int32_t number)
{
    return (!it->first_core || number >= it->first_core) && (!it->last_core || number <= it->last_core);
}

/* One core, and the side on which the correction held for it by another number, or did not. */
struct doubted {
    const struct named_core *core;
    int side;
    const char *field;
    const char *value; /* what the field would be for this core */
};

static enum status value_of(struct joining *joining, int32_t number, const char **out, struct err *err)
{
    char text[16];
    const int len = snprintf(text, sizeof text, "%d", (int)number);
    return arena_copy(joining->arena, text, (size_t)len, out, err);
}

static enum status value_of_row(struct joining *joining, const struct doubted *doubted, const char **out,
                                struct err *err)
{
    char ids[2][CORE_ID_MAX];
    char text[2 * CORE_ID_MAX + 24];
    core_id_format(doubted->core->ids[doubted->side], ids[0]);
    core_id_format(doubted->core->id, ids[1]);
    const int len = snprintf(text, sizeof text, "core %s is %s now", ids[0], ids[1]);
    return arena_copy(joining->arena, text, (size_t)len, out, err);
}

/* By the range, or by the rows; field NULL: it holds for the core as before. */
static enum status look(struct joining *joining, const struct joined_correction *joined, const struct correction *it,
                        struct doubted *out, struct err *err)
{
    const int32_t was = out->core->ids[out->side].number;
    const int32_t now = out->core->id.number;
    const bool is_in = is_within(it, now);
    const struct core_offset *rows[] = {find_row(joined->sides[out->side], was), find_row(it, now)};
    out->field = NULL;
    if (is_in != is_within(it, was)) {
        const int32_t outside = is_in ? was : now;
        const bool is_last = it->last_core && outside > it->last_core;
        out->field = is_last ? "last_core" : "first_core";
        return value_of(joining, is_in ? (is_last ? now - 1 : now + 1) : now, &out->value, err);
    }
    if (!rows[0] == !rows[1] && (!rows[0] || rows[0]->offset_um == rows[1]->offset_um))
        return STATUS_OK;
    out->field = "offsets";
    return value_of_row(joining, out, &out->value, err);
}

/* Does a side have the correction, and the core under its number of now? Then somebody was asked there. */
static bool was_asked(const struct joined_correction *joined, const struct named_core *core)
{
    for (int side = 0; side < SIDES_MAX; side++)
        if (joined->sides[side] && core->ids[side].number == core->id.number)
            return true;
    return false;
}

static enum status find_doubted(struct joining *joining, const struct joined_correction *joined,
                                const struct correction *it, struct doubted *doubted, struct err *err)
{
    doubted->field = NULL;
    if (was_asked(joined, doubted->core))
        return STATUS_OK;
    for (int side = 0; side < SIDES_MAX && !doubted->field; side++) {
        doubted->side = side;
        if (joined->sides[side] && doubted->core->ids[side].number)
            TRY(look(joining, joined, it, doubted, err));
    }
    return STATUS_OK;
}

/* Who recorded the correction. */
static enum status find_recorder(struct joining *joining, const struct joined_correction *joined, int side,
                                 struct act_at *out, struct err *err)
{
    const struct correction *it = joined->sides[side];
    const char *name = NULL;
    size_t len = 0;
    char commit[MINTED_COMMIT_MAX];
    struct spot_at spot = {.table = &correction_table};
    struct blamed blamed;
    struct history *history = NULL;
    enum status status = STATUS_OK;
    correction_path(it->hole, it->number, spot.path);
    if (minted_former(it->was, &name, &len, commit))
        return act_find(joining, commit, out, err);
    if (!joined->sides[VERSION_BASE]) {
        TRY(side_blame(joining, side, &spot, NULL, NULL, &blamed, err));
        *out = blamed.act;
        return STATUS_OK;
    }
    TRY(history_open(joining->base, spot.path, &history, err));
    for (bool more = true; status == STATUS_OK && more;) {
        struct commit one = {0};
        char id[HASH_TEXT_MAX];
        status = history_next(history, joining->arena, &one, id, &more, err);
        if (status == STATUS_OK && more)
            (void)snprintf(out->id, sizeof out->id, "%s", one.id);
    }
    history_close(history);
    return status;
}

/* Who gave the core its number; where a join did, who took the one that it had. */
static enum status find_namer(struct joining *joining, const struct named_cores *cores, const struct doubted *doubted,
                              struct act_at *out, struct err *err)
{
    const struct named_core *core = doubted->core;
    char path[REGISTRY_PATH_MAX];
    const int side = !doubted->side;
    if (core->ids[side].number == core->id.number)
        return find_name_act(joining, cores, core, side, NAME_NUMBER, out, err);
    renamed_path(cores->hole, path);
    return side_last(joining, side, path, out, err);
}

static enum status text_of_field(struct joining *joining, const struct field *field, const struct correction *it,
                                 const char **out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    *out = NULL;
    if (field_is_absent(field, it))
        return STATUS_OK;
    text_init(&text, joining->arena);
    field_format(field, it, &text);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

struct doubteds {
    struct doubted *items;
    size_t count;
};

/* One file for each field, with a claim for each core that is in doubt. */
static enum status open_field(struct joining *joining, const struct named_cores *cores,
                              const struct joined_correction *joined, const struct correction *it,
                              const struct doubteds *all, const char *name, struct err *err)
{
    struct contradiction open = {.hole = it->hole, .field = name};
    char path[REGISTRY_PATH_MAX];
    struct act_at act;
    correction_path(it->hole, it->number, path);
    TRY(arena_copy(joining->arena, path, strlen(path), &open.path, err));
    TRY(arena_take(joining->arena, all->count + 1, sizeof *open.claims, &open.claims, err));
    for (size_t at = 0; at < all->count; at++) {
        const struct doubted *doubted = &all->items[at];
        if (strcmp(doubted->field, name) != 0)
            continue;
        if (!open.claim_count) {
            struct claim *own = &open.claims[open.claim_count++];
            TRY(text_of_field(joining, field_find(&correction_table, name), it, &own->value, err));
            TRY(find_recorder(joining, joined, doubted->side, &act, err));
            TRY(arena_copy(joining->arena, act.id, strlen(act.id), &own->commit, err));
        }
        struct claim *claim = &open.claims[open.claim_count++];
        claim->value = doubted->value;
        TRY(find_namer(joining, cores, doubted, &act, err));
        TRY(arena_copy(joining->arena, act.id, strlen(act.id), &claim->commit, err));
    }
    if (!open.claim_count)
        return STATUS_OK;
    TRY(tell_contradiction(joining, &open, err));
    return joining_write(joining, &contradiction_table, &open, err);
}

enum status doubt_cores(struct joining *joining, const struct named_cores *cores,
                        const struct joined_correction *joined, const struct correction *it, struct err *err)
{
    static const char *const fields[] = {"first_core", "last_core", "offsets"};
    struct doubteds all = {.count = 0};
    if (it->withdrawn || (!it->first_core && !it->last_core && !it->offset_count))
        return STATUS_OK;
    TRY(arena_take(joining->arena, cores->count, sizeof *all.items, &all.items, err));
    for (size_t at = 0; at < cores->count; at++) {
        struct doubted *doubted = &all.items[all.count];
        doubted->core = &cores->items[at];
        TRY(find_doubted(joining, joined, it, doubted, err));
        all.count += doubted->field != NULL;
    }
    for (size_t at = 0; all.count && at < sizeof fields / sizeof fields[0]; at++)
        TRY(open_field(joining, cores, joined, it, &all, fields[at], err));
    return STATUS_OK;
}
