/* SPDX-License-Identifier: MIT */
/* Two states compared hole by hole. */
#include "coretally/ask/compare.h"

#include <assert.h>
#include <string.h>

#include "compare_parts.h"
#include "coretally/base/limits.h"
#include "coretally/state/bag.h"

/* In the arena of the whole: rows outlive their hole. */
static enum status add_row(const struct compare *compare, int what, struct arena *arena, struct compare_rows *out,
                           struct err *err)
{
    struct compare_row row = {
        .what = what, .scale = compare_scale_word(compare, what), .changes = compare->changes[what]};
    if (what <= REACH_BAGS)
        row.moved = compare->reach.counts[what];
    if (!(row.moved.moved + row.moved.lost + row.moved.found + row.changes.added + row.changes.withdrawn +
          row.changes.amended + row.changes.renamed))
        return STATUS_OK;
    (void)snprintf(row.hole, sizeof row.hole, "%s", compare->targets[1].hole_name);
    TRY(arena_grow(arena, &out->items, out->count, &out->room, sizeof row, err));
    out->items[out->count++] = row;
    return STATUS_OK;
}

static enum status look_at_hole(struct compare *compare, const char *hole, struct err *err)
{
    char folder[REGISTRY_PATH_MAX];
    bool same = false;
    TRY(compare_hole_open(compare, hole, err));
    if (!scale_is_drilled(compare->asked->scale)) /* no scale for bags was asked for */
        compare->bag_scale = compare_is_below_rig(compare) ? SCALE_DRF : SCALE_DSF;
    (void)snprintf(folder, sizeof folder, "holes/%.12s", hole);
    TRY(compare_same(compare, folder, &same, NULL, err));
    if (same && compare->same_hole)
        return STATUS_OK;
    TRY(compare_records(compare, err));
    TRY(compare_cores(compare, err));
    return compare_bags(compare, err);
}

static enum status compare_hole(const struct compare *whole, const char *hole, struct compare_rows *rows,
                                struct err *err)
{
    struct arena *const arena = whole->states[0]->arena;
    struct compare *compare = NULL;
    struct state sides[2]; /* what a hole reads dies with it */
    compare_nest(whole->states, sides);
    enum status status = arena_take(sides[0].arena, 1, sizeof *compare, &compare, err);
    if (status == STATUS_OK) {
        *compare = *whole;
        compare->states[0] = &sides[0];
        compare->states[1] = &sides[1];
        status = look_at_hole(compare, hole, err);
    }
    for (int what = 0; status == STATUS_OK && what < COMPARE_EXPEDITION; what++)
        status = add_row(compare, what, arena, rows, err);
    state_leave(&sides[0]);
    return status;
}

static enum status compare_expedition(struct compare *compare, struct compare_rows *rows, struct err *err)
{
    struct compare_thing thing = {.what = COMPARE_EXPEDITION, .name = compare->states[0]->expedition.number};
    TRY(compare_same(compare, EXPEDITION_PATH, &thing.is_equal, thing.there, err));
    memcpy(thing.stands, thing.there, sizeof thing.stands);
    TRY(compare_tell(compare, &thing, err));
    return add_row(compare, COMPARE_EXPEDITION, compare->states[0]->arena, rows, err);
}

/* The holes of both states, each once, in order. */
static enum status walk_holes(struct compare *compare, struct compare_rows *rows, struct err *err)
{
    struct names names[2];
    size_t at[2] = {0, 0};
    size_t done = 0;
    bool same = false;
    TRY(compare_same(compare, "", &same, NULL, err));
    if (same)
        return STATUS_OK;
    TRY(compare_expedition(compare, rows, err));
    for (int side = 0; side < 2; side++)
        TRY(state_holes(compare->states[side], &names[side], err));
    while (at[0] < names[0].count || at[1] < names[1].count) {
        const char *left = at[0] < names[0].count ? names[0].items[at[0]] : NULL;
        const char *right = at[1] < names[1].count ? names[1].items[at[1]] : NULL;
        const int order = !left ? 1 : !right ? -1 : strcmp(left, right);
        const char *hole = order <= 0 ? left : right;
        assert(hole);
        at[0] += order <= 0;
        at[1] += order >= 0;
        state_progress(compare->states[0], "holes", done++ * 256, 0, &compare->next_ms);
        if (!compare->asked->hole || strcmp(compare->asked->hole, hole) == 0)
            TRY(compare_hole(compare, hole, rows, err));
    }
    return STATUS_OK;
}

enum status compare_states(struct state *const states[2], const struct compare_asked *asked, struct compare_rows *out,
                           struct err *err)
{
    struct compare *compare = NULL;
    struct compare_rows rows = {0};
    TRY(arena_take(states[0]->arena, 1, sizeof *compare, &compare, err));
    for (int side = 0; side < 2; side++)
        compare->whole[side] = compare->states[side] = states[side];
    compare->asked = asked;
    compare->since_us = INT64_MIN;
    compare->bag_scale = asked->scale;
    TRY(walk_holes(compare, &rows, err));
    *out = rows;
    return STATUS_OK;
}
