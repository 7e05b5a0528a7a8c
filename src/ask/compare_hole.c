/* SPDX-License-Identifier: MIT */
/* One hole in two states: opened, and one thing of it on both sides counted. */
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/state/bag.h"
#include "compare_parts.h"

void compare_nest(struct state *const outer[2], struct state inner[2])
{
    state_nest(outer[0], &inner[0]);
    state_at(&inner[0], outer[1]->store, &inner[1]);
}

const char *compare_scale_word(const struct compare *compare, int what)
{
    if (what > REACH_BAGS)
        return NULL;
    return what < REACH_BAGS ? scale_words[compare->asked->scale] : bag_scale_word(compare->bag_scale);
}

enum status compare_same(const struct compare *compare, const char *path, bool *same, bool there[2], struct err *err)
{
    char ids[2][HASH_TEXT_MAX];
    for (int side = 0; side < 2; side++) {
        TRY(store_id(compare->states[side]->store, path, ids[side], err));
        if (there)
            there[side] = *ids[side] != '\0';
    }
    *same = strcmp(ids[0], ids[1]) == 0;
    return STATUS_OK;
}

void compare_ends(const struct depth before[2], const struct depth after[2], struct depth out[2])
{
    const int end = before[0].um == after[0].um && before[1].um != after[1].um;
    out[0] = before[end];
    out[1] = after[end];
}

/* What became of it besides its depth. */
static enum compare_became find_change(const struct compare_thing *thing)
{
    if (thing->stands[0] && !thing->stands[1])
        return thing->there[1] ? COMPARE_WITHDRAWN : COMPARE_NOT_THERE;
    if (!thing->stands[0] && thing->stands[1])
        return thing->there[0] ? COMPARE_BROUGHT_BACK : COMPARE_ADDED;
    if (!thing->stands[0])
        return COMPARE_STAYS;
    return thing->former ? COMPARE_RENAMED : thing->is_equal ? COMPARE_STAYS : COMPARE_AMENDED;
}

static void count_change(enum compare_became became, struct compare_changes *changes)
{
    changes->withdrawn += became == COMPARE_WITHDRAWN || became == COMPARE_NOT_THERE;
    changes->added += became == COMPARE_BROUGHT_BACK || became == COMPARE_ADDED;
    changes->renamed += became == COMPARE_RENAMED;
    changes->amended += became == COMPARE_AMENDED;
}

enum status compare_tell(struct compare *compare, const struct compare_thing *thing, struct err *err)
{
    const struct compare_asked *asked = compare->asked;
    const enum compare_became became = find_change(thing);
    const bool has_depth = thing->what <= REACH_BAGS;
    const bool both = thing->stands[0] && thing->stands[1] && has_depth;
    const bool is_moved = both && thing->depths[0].um != thing->depths[1].um;
    count_change(became, &compare->changes[thing->what]);
    if (both)
        reach_add(&compare->reach, (enum reach_item)thing->what, &thing->depths[0], &thing->depths[1], 1);
    if (!asked->take || (!became && !is_moved) || (compare->only_moved && !is_moved))
        return STATUS_OK;
    struct compare_change change = {.hole = compare->targets[1].hole_name,
                                    .what = thing->what,
                                    .name = thing->name,
                                    .former = both ? thing->former : NULL,
                                    .became = became,
                                    .is_moved = is_moved,
                                    .scale = compare_scale_word(compare, thing->what)};
    for (int side = 0; side < 2; side++)
        change.um[side] = has_depth && thing->stands[side] ? thing->depths[side].um : LENGTH_NONE;
    return asked->take(asked->context, &change, err);
}

enum status compare_tell_run(struct compare *compare, const struct core cores[2], const struct compare_thing *core,
                             struct err *err)
{
    struct depth ends[2][2];
    struct depth run[2];
    for (int side = 0; side < 2; side++) {
        const struct hole *hole = &compare->targets[side].hole;
        if (!core->there[side] || cores[side].withdrawn || !compare->has_hole[side] || hole->withdrawn ||
            core_standing_sections(&cores[side]))
            return STATUS_OK;
        ends[side][0] = core_top_depth(hole, &cores[side], SCALE_DSF, NULL);
        ends[side][1] = core_bottom_depth(hole, &cores[side], SCALE_DSF);
    }
    compare_ends(ends[0], ends[1], run);
    reach_add_run(&compare->reach, &run[0], &run[1]);
    if (!compare->asked->take || run[0].um == run[1].um)
        return STATUS_OK;
    const struct compare_change change = {.hole = compare->targets[1].hole_name,
                                          .what = REACH_CORES,
                                          .name = core->name,
                                          .former = core->former,
                                          .is_moved = true,
                                          .scale = scale_words[SCALE_DSF],
                                          .um = {run[0].um, run[1].um}};
    return compare->asked->take(compare->asked->context, &change, err);
}

/* Everything that depths of the hole rest on but its cores, bags and log. */
static bool is_same_hole(const struct hole *a, const struct hole *b)
{
    if (!record_is_alike(&hole_table, a, b) || a->correction_count != b->correction_count ||
        (a->parent_hole != NULL) != (b->parent_hole != NULL))
        return false;
    for (size_t at = 0; at < a->correction_count; at++)
        if (!record_is_equal(&correction_table, a->corrections[at], b->corrections[at]))
            return false;
    return !a->parent_hole || is_same_hole(a->parent_hole, b->parent_hole);
}

enum status compare_hole_open(struct compare *compare, const char *hole, struct err *err)
{
    memset(compare->changes, 0, sizeof compare->changes);
    compare->reach = (struct reach){.scale = compare->asked->scale, .has_cores = true, .has_bags = true};
    for (int side = 0; side < 2; side++) {
        struct target *target = &compare->targets[side];
        *target = (struct target){.name = {.core = 0}};
        TRY(name_parse(hole, &target->name, err));
        (void)snprintf(target->hole_name, sizeof target->hole_name, "%s", hole);
        TRY(state_hole(compare->whole[side], hole, &target->hole, &compare->has_hole[side], err));
    }
    compare->same_hole = compare->has_hole[0] && compare->has_hole[1] &&
                         is_same_hole(&compare->targets[0].hole, &compare->targets[1].hole);
    return STATUS_OK;
}

static bool has_seafloor(const struct hole *hole)
{
    for (; hole; hole = hole->parent_hole)
        if (hole_seafloor(hole) != LENGTH_NONE)
            return true;
    return false;
}

bool compare_is_below_rig(const struct compare *compare)
{
    return !has_seafloor(&compare->targets[0].hole) && !has_seafloor(&compare->targets[1].hole);
}
