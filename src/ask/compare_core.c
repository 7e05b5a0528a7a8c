/* SPDX-License-Identifier: MIT */
/* Cores, sections and samples of a hole in two states. */
#include <string.h>

#include "compare_parts.h"
#include "coretally/state/record_at.h"
#include "coretally/domain/renaming.h"

/* A core on both sides; a side without it has nothing standing. */
struct pair {
    struct state *states; /* in which it is read: two */
    struct core cores[2];
    bool there[2];
    bool stands[2];
    struct sample_set sets[2];
    bool same_files; /* core and samples are the same to the byte */
};

static const struct depth nowhere = {
    .um = LENGTH_NONE, .low_um = LENGTH_NONE, .high_um = LENGTH_NONE, .why = "its section is withdrawn"};

/* Top and bottom of a stretch of a core as span_depths has them. */
static void stretch_ends(const struct compare *compare, int side, const struct core *core, int32_t first,
                         int64_t top_um, int32_t last, int64_t bottom_um, struct depth out[2])
{
    const struct hole *hole = &compare->targets[side].hole;
    const enum scale scale = compare->asked->scale;
    out[0] = out[1] = nowhere;
    if (scale == SCALE_DRF || scale == SCALE_DSF) {
        out[0] = core_top_depth(hole, core, scale, NULL);
        out[1] = core_bottom_depth(hole, core, scale);
        return;
    }
    if (!core_section(core, first) || !core_section(core, last))
        return;
    const struct place top = {hole, core, first, top_um};
    const struct place bottom = {hole, core, last, bottom_um == LENGTH_NONE ? 0 : bottom_um};
    out[0] = place_depth(&top, scale, NULL);
    out[1] = place_depth(&bottom, scale, NULL);
}

/* From its first standing section to the end of its last one; without any, its run on the drilled scales. */
static void core_ends(const struct compare *compare, int side, const struct core *core, struct depth out[2])
{
    const struct section *first = NULL;
    const struct section *last = NULL;
    for (size_t at = 0; at < core->section_count; at++) {
        if (core->sections[at].withdrawn)
            continue;
        first = first ? first : &core->sections[at];
        last = &core->sections[at];
    }
    if (first) {
        stretch_ends(compare, side, core, first->number, 0, last->number, section_curated(last), out);
        return;
    }
    out[0] = out[1] = nowhere;
    if (scale_is_drilled(compare->asked->scale)) {
        out[0] = core_top_depth(&compare->targets[side].hole, core, compare->asked->scale, NULL);
        out[1] = core_bottom_depth(&compare->targets[side].hole, core, compare->asked->scale);
    }
}

static void name_core(const struct compare *compare, const struct pair *pair, int side, char out[NAME_TEXT_MAX])
{
    struct target target = compare->targets[side];
    target.name.core = pair->cores[side].number;
    target.name.type = pair->cores[side].type;
    target_core_name(compare->states[side], &target, out);
}

/* Its own readings; the sections are compared by themselves. */
static bool is_same_core(const struct core *a, const struct core *b)
{
    for (size_t at = 0; at < core_table.count; at++)
        if (core_table.fields[at].type != FIELD_LIST && !field_is_equal(&core_table.fields[at], a, b))
            return false;
    return true;
}

/* Of an act that is to be told: a core's first sections give it a depth that it did not have, and what is cut off or
 * put on at its lower end moves nothing. */
static void pass_growth(const struct compare *compare, const struct pair *pair, struct compare_thing *thing,
                        struct depth ends[2][2])
{
    const size_t counts[] = {core_standing_sections(&pair->cores[0]), core_standing_sections(&pair->cores[1])};
    if (!compare->only_moved || scale_is_drilled(compare->asked->scale))
        return;
    thing->stands[0] = thing->stands[0] && counts[0];
    if (counts[0] && counts[1] && counts[0] != counts[1])
        ends[1][1] = ends[0][1];
}

static bool is_renamed(const struct pair *pair)
{
    return pair->cores[0].number != pair->cores[1].number || pair->cores[0].type != pair->cores[1].type;
}

static enum status tell_core(struct compare *compare, const struct pair *pair, struct err *err)
{
    struct compare_thing thing = {.what = REACH_CORES};
    struct depth ends[2][2];
    char name[NAME_TEXT_MAX];
    char former[NAME_TEXT_MAX];
    for (int side = 0; side < 2; side++) {
        thing.there[side] = pair->there[side];
        thing.stands[side] = pair->stands[side];
        ends[side][0] = ends[side][1] = nowhere;
        if (pair->there[side])
            core_ends(compare, side, &pair->cores[side], ends[side]);
    }
    thing.is_equal = pair->there[0] && pair->there[1] && is_same_core(&pair->cores[0], &pair->cores[1]);
    pass_growth(compare, pair, &thing, ends);
    compare_ends(ends[0], ends[1], thing.depths);
    name_core(compare, pair, pair->there[1], name);
    thing.name = compare->asked->take ? name : NULL;
    if (pair->there[0] && pair->there[1] && is_renamed(pair)) {
        name_core(compare, pair, 0, former);
        thing.former = former;
    }
    TRY(compare_tell(compare, &thing, err));
    return compare->has_runs ? compare_tell_run(compare, pair->cores, &thing, err) : STATUS_OK;
}

static enum status tell_section(struct compare *compare, const struct pair *pair, int32_t number, struct err *err)
{
    struct compare_thing thing = {.what = REACH_SECTIONS};
    const struct section *sections[2];
    struct depth ends[2][2];
    char name[NAME_TEXT_MAX];
    for (int side = 0; side < 2; side++) {
        const struct core *core = &pair->cores[side];
        sections[side] = pair->there[side] ? section_in(core, number) : NULL;
        thing.there[side] = sections[side] != NULL;
        thing.stands[side] = pair->stands[side] && sections[side] && !sections[side]->withdrawn;
        ends[side][0] = ends[side][1] = nowhere;
        if (thing.stands[side])
            stretch_ends(compare, side, core, number, 0, number, section_curated(sections[side]), ends[side]);
    }
    thing.is_equal = sections[0] && sections[1] && record_is_equal(&section_table, sections[0], sections[1]);
    compare_ends(ends[0], ends[1], thing.depths);
    if (compare->asked->take) {
        struct target target = compare->targets[1];
        const struct core *core = &pair->cores[thing.there[1]];
        target.name.core = core->number;
        target.name.type = core->type;
        target_section_name(compare->states[1], &target, number, name);
        thing.name = name;
    }
    return compare_tell(compare, &thing, err);
}

/* Both lists are in order of number. */
static enum status tell_sections(struct compare *compare, const struct pair *pair, struct err *err)
{
    size_t at[2] = {0, 0};
    for (;;) {
        int32_t numbers[2];
        for (int side = 0; side < 2; side++) {
            const struct core *core = &pair->cores[side];
            numbers[side] =
                pair->there[side] && at[side] < core->section_count ? core->sections[at[side]].number : INT32_MAX;
        }
        const int32_t number = numbers[0] < numbers[1] ? numbers[0] : numbers[1];
        if (number == INT32_MAX)
            return STATUS_OK;
        at[0] += numbers[0] == number;
        at[1] += numbers[1] == number;
        TRY(tell_section(compare, pair, number, err));
    }
}

/* One of them may be NULL. */
static enum status tell_sample(struct compare *compare, const struct pair *pair, const struct sample *before,
                               const struct sample *after, struct err *err)
{
    const struct sample *samples[] = {before, after};
    struct compare_thing thing = {.what = REACH_SAMPLES};
    struct depth ends[2][2];
    char names[2][NAME_TEXT_MAX];
    char keys[2][SAMPLE_KEY_MAX];
    for (int side = 0; side < 2; side++) {
        const struct sample *it = samples[side];
        thing.there[side] = it != NULL;
        thing.stands[side] = pair->stands[side] && it && !it->withdrawn;
        ends[side][0] = ends[side][1] = nowhere;
        if (thing.stands[side])
            stretch_ends(compare, side, &pair->cores[side], it->section, it->top_um, it->section, it->bottom_um,
                         ends[side]);
        if (it && compare->asked->take) {
            struct target target = compare->targets[side];
            target.name.core = pair->cores[side].number;
            target.name.type = pair->cores[side].type;
            target_sample_name(compare->states[side], &target, it, names[side]);
        }
    }
    thing.is_equal = before && after && (before == after || record_is_equal(&sample_table, before, after));
    if (before && after && !thing.is_equal) {
        sample_key(before, keys[0]);
        sample_key(after, keys[1]);
        if (strcmp(keys[0], keys[1]) != 0)
            thing.former = compare->asked->take ? names[0] : keys[0];
    }
    compare_ends(ends[0], ends[1], thing.depths);
    thing.name = compare->asked->take ? names[after != NULL] : NULL;
    return compare_tell(compare, &thing, err);
}

static enum status tell_samples(struct compare *compare, const struct pair *pair, struct err *err)
{
    const struct sample_set *from = &pair->sets[0];
    const struct sample_set *to = &pair->sets[1];
    struct sample_pair *pairs = NULL;
    if (pair->same_files) {
        for (size_t at = 0; at < to->sample_count; at++)
            TRY(tell_sample(compare, pair, &from->samples[at], &to->samples[at], err));
        return STATUS_OK;
    }
    TRY(arena_take(pair->states[0].arena, from->sample_count + to->sample_count, sizeof *pairs, &pairs, err));
    size_t count = sample_pairs_find(from->samples, from->sample_count, to->samples, to->sample_count, pairs);
    TRY(compare_renumbered(compare->states, pair->sets, pairs, &count, err));
    for (size_t at = 0; at < count; at++)
        TRY(tell_sample(compare, pair, pairs[at].before, pairs[at].after, err));
    return STATUS_OK;
}

/* With the same sections and samples, does all of a core move as its top does on this scale? */
static bool moves_whole(const struct compare *compare, const struct pair *pair)
{
    const struct core old = core_retyped(&compare->targets[0].hole, &pair->cores[0]);
    const struct core new = core_retyped(&compare->targets[1].hole, &pair->cores[1]);
    const bool same_run = core_advance(&old) == core_advance(&new);
    return pair->same_files && !compare->asked->take && compare->asked->scale <= SCALE_CCSF &&
           (compare->asked->scale != SCALE_CSF_B || same_run) && core_curated(&pair->cores[0]) != LENGTH_NONE;
}

/* Its samples counted, not worked out one by one. */
static enum status count_samples(struct compare *compare, struct pair *pair, struct err *err)
{
    struct depth ends[2][2];
    struct depth top[2];
    size_t standing = 0;
    for (int side = 0; side < 2; side++)
        core_ends(compare, side, &pair->cores[side], ends[side]);
    compare_ends(ends[0], ends[1], top);
    if (!pair->stands[0] || !pair->stands[1] || top[0].um == top[1].um)
        return STATUS_OK;
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    samples_path(compare->targets[1].hole_name, pair->cores[1].number, path);
    TRY(state_read(&pair->states[1], path, &sample_set_table, &pair->sets[1], &there, err));
    for (size_t at = 0; at < pair->sets[1].sample_count; at++)
        standing += !pair->sets[1].samples[at].withdrawn &&
                    core_section(&pair->cores[1], pair->sets[1].samples[at].section) != NULL;
    reach_add(&compare->reach, REACH_SAMPLES, &top[0], &top[1], standing);
    return STATUS_OK;
}

/* The core under its number on each side; 0: it is not there. */
static enum status compare_pair(struct compare *compare, struct state sides[2], const int32_t numbers[2],
                                struct err *err)
{
    struct pair pair = {.states = sides};
    const char *hole = compare->targets[1].hole_name;
    char path[REGISTRY_PATH_MAX];
    bool same[2] = {false, false};
    core_path(hole, numbers[1], path);
    if (numbers[0] == numbers[1])
        TRY(compare_same(compare, path, &same[0], NULL, err));
    samples_path(hole, numbers[1], path);
    if (numbers[0] == numbers[1])
        TRY(compare_same(compare, path, &same[1], NULL, err));
    pair.same_files = same[0] && same[1];
    if (pair.same_files && compare->same_hole)
        return STATUS_OK;
    for (int side = 0; side < 2; side++) {
        core_path(hole, numbers[side], path);
        if (numbers[side])
            TRY(state_read(&sides[side], path, &core_table, &pair.cores[side], &pair.there[side], err));
        pair.stands[side] = pair.there[side] && !pair.cores[side].withdrawn && compare->has_hole[side] &&
                            !compare->targets[side].hole.withdrawn;
    }
    TRY(tell_core(compare, &pair, err));
    if (compare->only_cores)
        return STATUS_OK;
    TRY(tell_sections(compare, &pair, err));
    if (moves_whole(compare, &pair))
        return count_samples(compare, &pair, err);
    for (int side = 0; side < 2; side++) {
        bool there = false;
        samples_path(hole, numbers[side], path);
        if (numbers[side])
            TRY(state_read(&sides[side], path, &sample_set_table, &pair.sets[side], &there, err));
    }
    return tell_samples(compare, &pair, err);
}

/* Renamings of both sides. */
struct sides_renamed {
    struct renaming_set sets[2];
};

/* What the core of a number on one side, read in state, has on the other one; 0: it is not there. */
static enum status number_beside(const struct sides_renamed *renamed, struct state *state, const char *hole, int side,
                                 int32_t *number, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct core core;
    bool there = false;
    if (renamings_are_same(&renamed->sets[0], &renamed->sets[1]))
        return STATUS_OK;
    core_path(hole, *number, path);
    TRY(state_read(state, path, &core_table, &core, &there, err));
    struct core_id id = {*number, core.type};
    *number = there && renamings_between(&renamed->sets[side], &renamed->sets[!side], &id) ? id.number : 0;
    return STATUS_OK;
}

static enum status read_renamed(const struct compare *compare, struct sides_renamed *out, struct err *err)
{
    for (int side = 0; side < 2; side++)
        TRY(state_renamings(compare->states[side], compare->targets[1].hole_name, &out->sets[side], err));
    return STATUS_OK;
}

enum status compare_core(struct compare *compare, struct state sides[2], int32_t number, struct err *err)
{
    struct sides_renamed renamed;
    int32_t numbers[2] = {number, number};
    TRY(read_renamed(compare, &renamed, err));
    TRY(number_beside(&renamed, &sides[1], compare->targets[1].hole_name, 1, &numbers[0], err));
    return compare_pair(compare, sides, numbers, err);
}

/* Pairs by what is there now, then what is there no more. */
struct core_numbers {
    int32_t (*pairs)[2];
    size_t count;
};

static enum status pair_cores(struct compare *compare, struct core_numbers *out, struct err *err)
{
    struct state *const *states = compare->states;
    struct sides_renamed renamed;
    int32_t *numbers[2];
    size_t counts[2];
    size_t at[2] = {0, 0};
    const char *hole = compare->targets[1].hole_name;
    for (int side = 0; side < 2; side++)
        TRY(state_cores(states[side], hole, &numbers[side], &counts[side], err));
    TRY(read_renamed(compare, &renamed, err));
    TRY(arena_take(states[0]->arena, counts[0] + counts[1], sizeof *out->pairs, &out->pairs, err));
    out->count = 0;
    while (at[0] < counts[0] || at[1] < counts[1]) {
        const int32_t left = at[0] < counts[0] ? numbers[0][at[0]] : INT32_MAX;
        const int32_t right = at[1] < counts[1] ? numbers[1][at[1]] : INT32_MAX;
        int32_t other = right <= left ? right : left;
        if (right <= left) {
            TRY(number_beside(&renamed, states[1], hole, 1, &other, err));
            out->pairs[out->count][0] = other;
            out->pairs[out->count++][1] = right;
            at[1]++;
            at[0] += left == right && other == right;
            continue;
        }
        TRY(number_beside(&renamed, states[0], hole, 0, &other, err));
        at[0]++;
        if (other && other != left) /* is there under another number: told with that */
            continue;
        out->pairs[out->count][0] = left;
        out->pairs[out->count++][1] = 0;
    }
    return STATUS_OK;
}

enum status compare_cores(struct compare *compare, struct err *err)
{
    struct core_numbers numbers;
    TRY(pair_cores(compare, &numbers, err));
    for (size_t at = 0; at < numbers.count; at++) {
        struct state sides[2]; /* what a core reads dies with it */
        state_progress(compare->states[1], "cores", at, 0, &compare->next_ms);
        compare_nest(compare->states, sides);
        const enum status status = compare_pair(compare, sides, numbers.pairs[at], err);
        state_leave(&sides[0]);
        TRY(status);
    }
    return STATUS_OK;
}
