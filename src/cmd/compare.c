/* SPDX-License-Identifier: MIT */
/* Two states compared hole by hole. */
#include "compare.h"

#include <assert.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/state/bag.h"
#include "reach_say.h"

static const char *const item_words[COMPARE_ITEM_COUNT] = {
    [REACH_CORES] = "cores",
    [REACH_SECTIONS] = "sections",
    [REACH_SAMPLES] = "samples",
    [REACH_BAGS] = "bags",
    [COMPARE_CORRECTIONS] = "corrections",
    [COMPARE_HOLE] = "hole",
    [COMPARE_DRILLED] = "drilled intervals",
    [COMPARE_WELL] = "states of the well",
    [COMPARE_PUMPS] = "pumps",
    [COMPARE_CHECKS] = "lag checks",
    [COMPARE_LOG] = "days of the pump log",
    [COMPARE_EXPEDITION] = "expedition",
};

void compare_columns(const struct run *run, struct column out[COMPARE_COLUMNS])
{
    const char *unit = run_unit(run);
    const struct column columns[COMPARE_COLUMNS] = {
        {"hole", NULL, false},  {"what", NULL, false},    {"scale", NULL, false},    {"moved", NULL, true},
        {"least", unit, true},  {"greatest", unit, true}, {"mean", unit, true},      {"lost", NULL, true},
        {"found", NULL, true},  {"added", NULL, true},    {"withdrawn", NULL, true}, {"amended", NULL, true},
        {"renamed", NULL, true}};
    memcpy(out, columns, sizeof columns);
}

void compare_each_columns(const struct run *run, struct column out[COMPARE_EACH_COLUMNS])
{
    const char *unit = run_unit(run);
    const struct column columns[COMPARE_EACH_COLUMNS] = {
        {"hole", NULL, false},  {"what", NULL, false}, {"name", NULL, false}, {"change", NULL, false},
        {"scale", NULL, false}, {"from", unit, true},  {"to", unit, true},    {"moved", unit, true}};
    memcpy(out, columns, sizeof columns);
}

struct state *compare_at(struct compare *compare, int side)
{
    state_at(compare->run->state, compare->stores[side], &compare->sides[side]);
    return &compare->sides[side];
}

static const char *scale_word(const struct compare *compare, int what)
{
    if (what > REACH_BAGS)
        return NULL;
    return what < REACH_BAGS ? scale_words[compare->asked->scale] : bag_scale_word(compare->bag_scale);
}

enum status compare_same(struct compare *compare, const char *path, bool *same, bool there[2], struct err *err)
{
    char ids[2][HASH_TEXT_MAX];
    for (int side = 0; side < 2; side++) {
        TRY(store_id(compare->stores[side], path, ids[side], err));
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

static enum status add_each(struct compare *compare, const struct compare_thing *thing, const char *change,
                            struct err *err)
{
    int64_t um[3] = {LENGTH_NONE, LENGTH_NONE, LENGTH_NONE};
    const bool has_depth = thing->what <= REACH_BAGS;
    for (int side = 0; has_depth && side < 2; side++)
        um[side] = thing->stands[side] ? thing->depths[side].um : LENGTH_NONE;
    if (um[0] != LENGTH_NONE && um[1] != LENGTH_NONE)
        um[2] = um[1] - um[0];
    const struct cell cells[COMPARE_EACH_COLUMNS] = {cell_text(compare->targets[1].hole_name),
                                                     cell_text(item_words[thing->what]),
                                                     cell_text(thing->name),
                                                     cell_text(change),
                                                     cell_text(scale_word(compare, thing->what)),
                                                     cell_length(um[0], 3),
                                                     cell_length(um[1], 3),
                                                     cell_shift(um[2], 3)};
    return sheet_add_row(compare->each, cells, err);
}

/* What became of it besides its depth; NULL: nothing. Counted. */
static const char *change_word(struct compare_changes *changes, const struct compare_thing *thing)
{
    if (thing->stands[0] && !thing->stands[1]) {
        changes->withdrawn++;
        return thing->there[1] ? "withdrawn" : "not there";
    }
    if (!thing->stands[0] && thing->stands[1]) {
        changes->added++;
        return thing->there[0] ? "brought back" : "added";
    }
    if (!thing->stands[0])
        return NULL;
    changes->renamed += thing->former != NULL;
    changes->amended += !thing->former && !thing->is_equal;
    return thing->former ? "renamed" : thing->is_equal ? NULL : "amended";
}

enum status compare_tell(struct compare *compare, const struct compare_thing *thing, struct err *err)
{
    const char *word = change_word(&compare->changes[thing->what], thing);
    const bool both = thing->stands[0] && thing->stands[1] && thing->what <= REACH_BAGS;
    const bool moved = both && thing->depths[0].um != thing->depths[1].um;
    if (both)
        reach_add(&compare->reach, (enum reach_item)thing->what, &thing->depths[0], &thing->depths[1], 1);
    if (!compare->each || (!word && !moved) || (compare->only_moved && !moved))
        return STATUS_OK;
    struct text text;
    struct bytes bytes;
    text_init(&text, compare->run->state->arena);
    text_add(&text, word ? word : "");
    if (thing->former && both)
        text_addf(&text, ", was %s", thing->former);
    if (moved)
        text_addf(&text, "%s%s", text.len ? "; " : "",
                  thing->depths[1].um == LENGTH_NONE   ? "no depth any more"
                  : thing->depths[0].um == LENGTH_NONE ? "has a depth now"
                                                       : "moved");
    TRY(text_done(&text, &bytes, err));
    return add_each(compare, thing, bytes.data, err);
}

static enum status add_row(struct compare *compare, int what, struct sheet *summary, struct err *err)
{
    const struct compare_changes *changes = &compare->changes[what];
    static const struct reach_count none;
    const struct reach_count *reach = what <= REACH_BAGS ? &compare->reach.counts[what] : &none;
    const bool has_depth = what <= REACH_BAGS;
    if (!(reach->moved + reach->lost + reach->found + changes->added + changes->withdrawn + changes->amended +
          changes->renamed))
        return STATUS_OK;
    const struct cell cells[COMPARE_COLUMNS] = {cell_text(compare->targets[1].hole_name),
                                                cell_text(item_words[what]),
                                                cell_text(scale_word(compare, what)),
                                                has_depth ? cell_count(reach->moved) : cell_nothing(),
                                                cell_shift(reach->moved ? reach->least_um : LENGTH_NONE, 3),
                                                cell_shift(reach->moved ? reach->greatest_um : LENGTH_NONE, 3),
                                                cell_shift(reach_mean(reach), 3),
                                                has_depth ? cell_count(reach->lost) : cell_nothing(),
                                                has_depth ? cell_count(reach->found) : cell_nothing(),
                                                cell_count(changes->added),
                                                cell_count(changes->withdrawn),
                                                cell_count(changes->amended),
                                                cell_count(changes->renamed)};
    return sheet_add_row(summary, cells, err);
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
        TRY(state_hole(compare_at(compare, side), hole, &target->hole, &compare->has_hole[side], err));
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

static enum status compare_hole(struct compare *compare, const char *hole, struct sheet *summary, struct err *err)
{
    struct run *run = compare->run;
    struct arena *const whole = run->state->arena;
    struct arena scratch; /* what a hole reads dies with it */
    arena_init(&scratch, ARENA_LIMIT_BYTES);
    run->state->arena = &scratch;
    enum status status = look_at_hole(compare, hole, err);
    run->state->arena = whole;
    for (int what = 0; status == STATUS_OK && what < COMPARE_EXPEDITION; what++)
        status = add_row(compare, what, summary, err);
    arena_clear(&scratch);
    return status;
}

static enum status compare_expedition(struct compare *compare, struct sheet *summary, struct err *err)
{
    struct compare_thing thing = {.what = COMPARE_EXPEDITION, .name = compare->run->state->expedition.number};
    TRY(compare_same(compare, EXPEDITION_PATH, &thing.is_equal, thing.there, err));
    memcpy(thing.stands, thing.there, sizeof thing.stands);
    TRY(compare_tell(compare, &thing, err));
    return add_row(compare, COMPARE_EXPEDITION, summary, err);
}

/* The holes of both states, each once, in order. */
static enum status walk_holes(struct compare *compare, struct sheet *summary, struct err *err)
{
    struct names names[2];
    size_t at[2] = {0, 0};
    size_t done = 0;
    bool same = false;
    TRY(compare_same(compare, "", &same, NULL, err));
    if (same)
        return STATUS_OK;
    TRY(compare_expedition(compare, summary, err));
    for (int side = 0; side < 2; side++)
        TRY(state_holes(compare_at(compare, side), &names[side], err));
    while (at[0] < names[0].count || at[1] < names[1].count) {
        const char *left = at[0] < names[0].count ? names[0].items[at[0]] : NULL;
        const char *right = at[1] < names[1].count ? names[1].items[at[1]] : NULL;
        const int order = !left ? 1 : !right ? -1 : strcmp(left, right);
        const char *hole = order <= 0 ? left : right;
        assert(hole);
        at[0] += order <= 0;
        at[1] += order >= 0;
        state_progress(compare->run->state, "holes", done++ * 256, 0, &compare->next_ms);
        if (!compare->asked->hole || strcmp(compare->asked->hole, hole) == 0)
            TRY(compare_hole(compare, hole, summary, err));
    }
    return STATUS_OK;
}

enum status compare_states(struct run *run, const struct compare_asked *asked, struct sheet *summary,
                           struct sheet *each, char states[2][COMMIT_ID_MAX], struct err *err)
{
    struct compare *compare = NULL;
    struct store *const own = run->state->store;
    enum status status = STATUS_OK;
    TRY(arena_take(run->state->arena, 1, sizeof *compare, &compare, err));
    compare->run = run;
    compare->asked = asked;
    compare->each = each;
    compare->since_us = INT64_MIN;
    compare->bag_scale = asked->scale;
    for (int side = 0; status == STATUS_OK && side < 2; side++) {
        status = store_open_beside(own, asked->states[side], &compare->stores[side], err);
        if (status == STATUS_OK)
            status = run_tell_late(run, compare->stores[side], asked->states[side], err);
        if (status == STATUS_OK)
            (void)snprintf(states[side], COMMIT_ID_MAX, "%s", store_state(compare->stores[side]));
    }
    if (status == STATUS_OK)
        status = walk_holes(compare, summary, err);
    run->state->store = own;
    store_close(compare->stores[0]);
    store_close(compare->stores[1]);
    return status;
}
