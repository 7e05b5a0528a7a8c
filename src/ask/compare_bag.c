/* SPDX-License-Identifier: MIT */
/* What was taken at the shaker, in two states. */
#include <assert.h>
#include <string.h>

#include "compare_parts.h"
#include "coretally/state/bag.h"

struct bags {
    struct compare *compare;
    struct lag_hole lags[2];
    bool opened[2];
    bool same_lag; /* hole, well, pumps, lag checks and log are the same */
};

/* Do the depths of all bags rest on the same? */
static enum status look_at_lag(struct compare *compare, bool *same, struct err *err)
{
    const char *hole = compare->targets[1].hole_name;
    char paths[4][REGISTRY_PATH_MAX];
    well_path(hole, paths[0]);
    pumps_path(hole, paths[1]);
    lag_checks_path(hole, paths[2]);
    (void)snprintf(paths[3], sizeof paths[3], "holes/%.12s/log", hole);
    *same = compare->same_hole;
    for (size_t at = 0; *same && at < 4; at++)
        TRY(compare_same(compare, paths[at], same, NULL, err));
    return STATUS_OK;
}

/* The lag of a side is open. */
static enum status open_lag(struct bags *bags, int side, struct err *err)
{
    struct compare *compare = bags->compare;
    if (bags->opened[side])
        return STATUS_OK;
    TRY((side ? lag_hole_try : lag_hole_try_quiet)(compare->states[side], &compare->targets[side], &bags->lags[side],
                                                   err));
    bags->opened[side] = true;
    bags->lags[side].ahead = 7; /* bags come in order of time */
    return STATUS_OK;
}

static bool is_before(const struct bag *bag, int64_t us)
{
    return bag->from.utc_us < us && (!bag->to.known || bag->to.utc_us < us);
}

static enum status find_ends(struct bags *bags, int side, enum bag_kind kind, const struct bag *bag,
                             struct depth out[2], struct err *err)
{
    struct compare *compare = bags->compare;
    struct lag_depth depth;
    TRY(open_lag(bags, side, err));
    TRY(bag_depth(compare->states[side], &bags->lags[side], kind, bag, &depth, err));
    struct depth ends[BAG_ENDS];
    bag_depths(&compare->targets[side].hole, &depth, compare->bag_scale, ends);
    out[0] = ends[BAG_TOP];
    out[1] = ends[BAG_BOTTOM];
    return STATUS_OK;
}

static void name_bag(const struct compare *compare, enum bag_kind kind, const struct bag *bag, char out[NAME_TEXT_MAX])
{
    struct name named = compare->targets[1].name;
    (void)snprintf(named.expedition, sizeof named.expedition, "%s", compare->states[1]->expedition.number);
    named.level = NAME_BAG;
    named.bag = kind;
    named.bag_number = bag->number;
    name_format(&named, NAME_PRINTED, out);
}

static enum status tell_bag(struct bags *bags, enum bag_kind kind, const struct bag *const pair[2], struct err *err)
{
    struct compare *compare = bags->compare;
    struct compare_thing thing = {.what = REACH_BAGS};
    struct depth ends[2][2];
    char names[2][NAME_TEXT_MAX];
    thing.is_equal = pair[0] && pair[1] && record_is_equal(&bag_table, pair[0], pair[1]);
    if (thing.is_equal && (bags->same_lag || is_before(pair[1], compare->since_us)))
        return STATUS_OK;
    for (int side = 0; side < 2; side++) {
        thing.there[side] = pair[side] != NULL;
        thing.stands[side] =
            pair[side] && !pair[side]->withdrawn && compare->has_hole[side] && !compare->targets[side].hole.withdrawn;
        ends[side][0] = ends[side][1] = (struct depth){.um = LENGTH_NONE};
        if (pair[side])
            name_bag(compare, kind, pair[side], names[side]);
        if (thing.stands[side])
            TRY(find_ends(bags, side, kind, pair[side], ends[side], err));
    }
    compare_ends(ends[0], ends[1], thing.depths);
    assert(pair[0] || pair[1]);
    thing.name = names[pair[1] != NULL];
    if (pair[0] && pair[1] && pair[0]->number != pair[1]->number)
        thing.former = names[0];
    return compare_tell(compare, &thing, err);
}

static enum status tell_hundred(struct bags *bags, enum bag_kind kind, int32_t hundred, struct err *err)
{
    struct compare *compare = bags->compare;
    struct bag_set sets[2];
    struct bag_pair *pairs = NULL;
    size_t count = 0;
    char path[REGISTRY_PATH_MAX];
    bool same = false;
    bool there = false;
    bags_path(compare->targets[1].hole_name, kind, hundred, path);
    TRY(compare_same(compare, path, &same, NULL, err));
    if (same && bags->same_lag)
        return STATUS_OK;
    for (int side = 0; side < 2; side++)
        TRY(state_read(compare->states[side], path, &bag_set_table, &sets[side], &there, err));
    TRY(compare_pair_bags(compare, sets, &pairs, &count, err));
    for (size_t at = 0; at < count; at++)
        TRY(tell_bag(bags, kind, pairs[at].of, err));
    if (!compare->has_labels)
        return STATUS_OK;
    for (int side = 0; side < 2; side++)
        TRY(open_lag(bags, side, err));
    return compare_bag_labels(compare, kind, hundred, bags->lags, err);
}

static enum status tell_kind(struct bags *bags, enum bag_kind kind, struct err *err)
{
    struct compare *compare = bags->compare;
    int32_t *hundreds[2];
    size_t counts[2];
    size_t at[2] = {0, 0};
    for (int side = 0; side < 2; side++) {
        TRY(state_hundreds(compare->states[side], compare->targets[side].hole_name, kind, &hundreds[side],
                           &counts[side], err));
    }
    while (at[0] < counts[0] || at[1] < counts[1]) {
        const int32_t left = at[0] < counts[0] ? hundreds[0][at[0]] : INT32_MAX;
        const int32_t right = at[1] < counts[1] ? hundreds[1][at[1]] : INT32_MAX;
        state_progress(compare->states[1], "hundreds of bags", at[1] * 256, 0, &compare->next_ms);
        at[0] += left <= right;
        at[1] += right <= left;
        TRY(tell_hundred(bags, kind, left < right ? left : right, err));
    }
    return STATUS_OK;
}

enum status compare_bags(struct compare *compare, struct err *err)
{
    struct bags *bags = NULL;
    char folder[REGISTRY_PATH_MAX];
    bool same = false;
    enum status status = STATUS_OK;
    TRY(arena_take(compare->states[0]->arena, 1, sizeof *bags, &bags, err));
    bags->compare = compare;
    TRY(look_at_lag(compare, &bags->same_lag, err));
    (void)snprintf(folder, sizeof folder, "holes/%.12s/bags", compare->targets[1].hole_name);
    TRY(compare_same(compare, folder, &same, NULL, err));
    if (same && bags->same_lag)
        return STATUS_OK;
    for (enum bag_kind kind = BAG_CUTTINGS; status == STATUS_OK && kind <= BAG_MUD; kind++)
        status = tell_kind(bags, kind, err);
    for (int side = 0; side < 2; side++)
        if (bags->opened[side])
            lag_hole_close(&bags->lags[side]);
    return status;
}
