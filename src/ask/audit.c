/* SPDX-License-Identifier: MIT */
/* What an audit tells of a hole. */
#include "coretally/ask/audit.h"

#include <assert.h>
#include <stdlib.h>

#include "coretally/ask/link.h"

/* The hole and its parents with no correction in force. */
static enum status strip(struct state *state, const struct hole *hole, struct hole *out, struct err *err)
{
    *out = *hole;
    out->corrections = NULL;
    out->correction_count = 0;
    if (!hole->parent_hole)
        return STATUS_OK;
    struct hole *parent = NULL;
    TRY(arena_take(state->arena, 1, sizeof *parent, &parent, err));
    TRY(strip(state, hole->parent_hole, parent, err));
    out->parent_hole = parent;
    return STATUS_OK;
}

static enum status find_seafloor(struct state *state, struct audit_hole *hole, struct err *err)
{
    struct audit_seafloor *out = &hole->seafloor;
    struct commit commit = {0};
    out->of = hole_of_seafloor(&hole->roll.target.hole);
    out->um = hole_seafloor(out->of);
    out->corrected_um = hole_seafloor_corrected(&hole->roll.target.hole, (struct instant){0});
    if (out->um == LENGTH_NONE)
        return STATUS_OK;
    const struct depth_link link = {.input = INPUT_SEAFLOOR, .hole = out->of};
    TRY(link_commit(state, &link, &commit, err));
    return source_of_commit(state, &commit, &out->source, err);
}

/* --- corrections --- */

/* All corrections against none; on CSF-A a core moves as a whole whatever moved it. Sidetracks have pages of their own.
 */
static enum status add_together(struct state *state, struct audit_hole *hole, struct reach_parts *parts,
                                struct err *err)
{
    struct reach_part *together = NULL;
    TRY(arena_take(state->arena, 1, sizeof *together, &together, err));
    *together = (struct reach_part){.kind = CORRECTION_TALLY,
                                    .target = hole->roll.target,
                                    .without = hole->reported,
                                    .with = hole->roll.target.hole};
    TRY(arena_grow(state->arena, &parts->items, parts->count, &parts->room, sizeof(void *), err));
    parts->items[parts->count++] = together;
    hole->together = together;
    return STATUS_OK;
}

static enum status add_correction(struct state *state, struct audit_hole *hole, const struct correction *it,
                                  struct reach_parts *parts, struct err *err)
{
    struct correction_facts *facts = &hole->corrections[hole->correction_count++];
    TRY(correction_facts_find(state, &hole->roll, it, facts, err));
    TRY(correction_facts_first(state, &hole->roll, facts, err));
    return correction_facts_reach(state, &hole->roll, facts, parts, err);
}

static enum status find_corrections(struct state *state, struct audit_hole *hole, struct reach_parts *parts,
                                    struct err *err)
{
    const struct correction_roll *roll = &hole->roll;
    const struct hole *in_force = &roll->target.hole;
    TRY(add_together(state, hole, parts, err));
    TRY(arena_take(state->arena, roll->count, sizeof *hole->corrections, &hole->corrections, err));
    for (size_t at = 0; at < in_force->correction_count; at++) {
        const struct correction *it = correction_roll_find(roll, in_force->corrections[at]->number);
        if (it)
            TRY(add_correction(state, hole, it, parts, err));
    }
    for (size_t at = 0; at < roll->count; at++)
        if (!correction_in_force(in_force, roll->all[at].number))
            TRY(add_correction(state, hole, &roll->all[at], parts, err));
    return STATUS_OK;
}

bool audit_is_open(const struct correction_facts *it, struct audit_open *out)
{
    out->is_unsigned = it->waits;
    out->was_signed = it->waits && it->by.count;
    out->is_bare = it->in_force && !it->it->evidence && !it->it->evidence_file;
    return out->is_unsigned || out->is_bare;
}

/* --- cores --- */

/* Corrected less as reported of one core, on the audit's scale; false: it has no depth. */
static bool shift_of(const struct audit_hole *hole, const struct core *core, struct audit_core *out)
{
    const struct depth before = core_top_depth(&hole->reported, core, hole->scale, NULL);
    const struct depth after = core_top_depth(&hole->roll.target.hole, core, hole->scale, NULL);
    const struct depth bottom = core_bottom_depth(&hole->reported, core, hole->scale);
    if (before.um == LENGTH_NONE || after.um == LENGTH_NONE)
        return false;
    *out = (struct audit_core){.core = {core->number, core->type},
                               .top_um = before.um,
                               .bottom_um = bottom.um,
                               .shift_um = after.um - before.um,
                               .sections = core_standing_sections(core)};
    return true;
}

static enum status find_cores(struct state *state, struct audit_hole *hole, struct err *err)
{
    int32_t *numbers = NULL;
    size_t count = 0;
    TRY(state_cores(state, hole->roll.target.hole_name, &numbers, &count, err));
    TRY(arena_take(state->arena, count, sizeof *hole->cores, &hole->cores, err));
    for (size_t at = 0; at < count; at++) {
        char path[REGISTRY_PATH_MAX];
        struct state inner; /* the core itself stays at hand: its reach is asked for next */
        struct core core;
        bool there = false;
        state_nest_results(state, &inner);
        core_path(hole->roll.target.hole_name, numbers[at], path);
        const enum status status = state_read(&inner, path, &core_table, &core, &there, err);
        if (status == STATUS_OK && there && !core.withdrawn)
            hole->core_count += shift_of(hole, &core, &hole->cores[hole->core_count]);
        state_leave(&inner);
        TRY(status);
    }
    return STATUS_OK;
}

static enum status find_groups(struct state *state, struct audit_hole *hole, struct err *err)
{
    TRY(arena_take(state->arena, hole->core_count, sizeof *hole->groups, &hole->groups, err));
    for (size_t at = 0; at < hole->core_count; at++) {
        assert(hole->groups);
        struct audit_group *last = hole->group_count ? &hole->groups[hole->group_count - 1] : NULL;
        if (last && hole->cores[last->first].shift_um == hole->cores[at].shift_um)
            last->count++;
        else
            hole->groups[hole->group_count++] = (struct audit_group){at, 1};
    }
    return STATUS_OK;
}

static int order_shift(const void *a, const void *b)
{
    const struct audit_core *left = *(const struct audit_core *const *)a;
    const struct audit_core *right = *(const struct audit_core *const *)b;
    const int64_t sizes[] = {llabs(left->shift_um), llabs(right->shift_um)};
    return sizes[0] != sizes[1] ? (sizes[0] < sizes[1] ? 1 : -1) : left->core.number - right->core.number;
}

static enum status add_most(struct state *state, struct audit_hole *hole, const struct audit_core *core,
                            struct err *err)
{
    static const char *const only[] = {"top", "datum", NULL};
    const char *name = hole->roll.target.hole_name;
    struct audit_most *most = &hole->most[hole->most_count++];
    char path[REGISTRY_PATH_MAX];
    struct core record;
    struct sample_set set;
    bool there = false;
    *most = (struct audit_most){.core = core};
    samples_path(name, core->core.number, path);
    TRY(state_read(state, path, &sample_set_table, &set, &there, err));
    for (size_t at = 0; at < set.sample_count; at++)
        most->samples += !set.samples[at].withdrawn;
    core_path(name, core->core.number, path);
    TRY(state_read(state, path, &core_table, &record, &there, err));
    const struct record_at at = record_of_core(name, &record);
    return source_find(state, &at, only, &most->reading, err);
}

static enum status find_most(struct state *state, struct audit_hole *hole, struct err *err)
{
    const struct audit_core **order = NULL;
    TRY(arena_take(state->arena, hole->core_count, sizeof(const void *), &order, err));
    for (size_t at = 0; at < hole->core_count; at++)
        order[at] = &hole->cores[at];
    if (hole->core_count)
        qsort(order, hole->core_count, sizeof(const void *), order_shift);
    for (size_t at = 0; at < hole->core_count && at < AUDIT_MOST_MAX && order[at]->shift_um; at++)
        TRY(add_most(state, hole, order[at], err));
    return STATUS_OK;
}

/* Everything but what is moved. */
static enum status find_hole(struct state *state, const char *typed, struct audit_hole *out, struct reach_parts *parts,
                             struct err *err)
{
    TRY(correction_roll_open(state, typed, &out->roll, err));
    TRY(strip(state, &out->roll.target.hole, &out->reported, err));
    out->scale = hole_seafloor(hole_of_seafloor(&out->reported)) == LENGTH_NONE ? SCALE_DRF : SCALE_DSF;
    TRY(find_corrections(state, out, parts, err));
    TRY(find_cores(state, out, err));
    TRY(find_seafloor(state, out, err));
    TRY(find_groups(state, out, err));
    return find_most(state, out, err);
}

enum status audit_find(struct state *state, const struct names *typed, struct audit_holes *out, struct err *err)
{
    const struct reach_asked all = {.is_brief = false};
    *out = (struct audit_holes){.count = 0};
    TRY(arena_take(state->arena, typed->count, sizeof *out->items, &out->items, err));
    for (size_t at = 0; at < typed->count; at++)
        TRY(find_hole(state, typed->items[at], &out->items[out->count++], &out->parts, err));
    TRY(reach_find(state, &all, &out->parts, err));
    for (size_t at = 0; at < out->count; at++) {
        TRY(audit_lag_find(state, &out->items[at], err));
        TRY(audit_bags_find(state, &out->items[at], err));
    }
    return STATUS_OK;
}
