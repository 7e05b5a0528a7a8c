/* SPDX-License-Identifier: MIT */
/* What a change of corrections moves. Samples of a core that does not move are not read. */
#include "reach.h"

#include <string.h>

#include "coretally/base/limits.h"
#include "bag_act.h"
#include "import.h"
#include "span.h"

struct walk {
    struct run *run;
    const struct target *target;
    const struct hole *without;
    const struct hole *with;
    enum correction_kind kind;
    struct reach *reach;
    int64_t last_without_um; /* tops of the core before */
    int64_t last_with_um;
    int64_t next_ms;
};

enum status reach_hole(struct run *run, const struct hole *hole, const struct correction *all, size_t count,
                       struct hole *out, struct err *err)
{
    const struct correction **in_force = NULL;
    TRY(arena_take(run->arena, count, sizeof(const void *), &in_force, err));
    *out = *hole;
    out->correction_count = corrections_in_force(all, count, in_force);
    out->corrections = in_force;
    return STATUS_OK;
}

static void place_both(const struct walk *walk, const struct core *core, int32_t section, int64_t offset_um,
                       struct depth *before, struct depth *after)
{
    const struct place old = {walk->without, core, section, offset_um};
    const struct place new = {walk->with, core, section, offset_um};
    *before = place_depth(&old, walk->reach->scale, NULL);
    *after = place_depth(&new, walk->reach->scale, NULL);
}

/* On these a core moves as a whole: what its top does, all of it does. */
static bool moves_whole(enum correction_kind kind)
{
    return kind != CORRECTION_READING && kind < CORRECTION_GROWTH;
}

static enum status count_samples(struct walk *walk, const struct core *core, const struct depth *before,
                                 const struct depth *after, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct sample_set set;
    bool there = false;
    size_t standing = 0;
    if (moves_whole(walk->kind) && before->um == after->um)
        return STATUS_OK;
    const struct core old = core_retyped(walk->without, core);
    const struct core new = core_retyped(walk->with, core);
    if (walk->kind == CORRECTION_READING && old.top_um == new.top_um &&old.bottom_um == new.bottom_um)
        return STATUS_OK;
    samples_path(walk->target->hole_name, core->number, path);
    TRY(registry_read(walk->run->store, path, &sample_set_table, walk->run->arena, &set, &there, err));
    for (size_t at = 0; at < set.sample_count; at++) {
        const struct sample *sample = &set.samples[at];
        struct depth depths[2];
        if (sample->withdrawn || !core_section(core, sample->section))
            continue;
        standing++;
        if (moves_whole(walk->kind))
            continue;
        place_both(walk, core, sample->section, sample->top_um, &depths[0], &depths[1]);
        reach_add(walk->reach, REACH_SAMPLES, &depths[0], &depths[1], 1);
    }
    if (moves_whole(walk->kind))
        reach_add(walk->reach, REACH_SAMPLES, before, after, standing);
    return STATUS_OK;
}

/* Core tops never decrease with core number: would this one, and did not? */
static void look_at_order(struct walk *walk, const struct core *core)
{
    const struct depth before = core_top_depth(walk->without, core, SCALE_DSF, NULL);
    const struct depth after = core_top_depth(walk->with, core, SCALE_DSF, NULL);
    if (core_is_wide(core) || before.um == LENGTH_NONE || after.um == LENGTH_NONE)
        return;
    if (after.um < walk->last_with_um && before.um >= walk->last_without_um &&
        walk->reach->upset_count++ < REACH_UPSETS_MAX)
        walk->reach->upsets[walk->reach->upset_count - 1] = core->number;
    walk->last_without_um = before.um;
    walk->last_with_um = after.um;
}

static enum status count_core(struct walk *walk, int32_t number, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct core core;
    bool there = false;
    bool any = false;
    const bool is_brief = run_option(walk->run, "brief") != NULL;
    core_path(walk->target->hole_name, number, path);
    TRY(registry_read(walk->run->store, path, &core_table, walk->run->arena, &core, &there, err));
    if (!there || core.withdrawn)
        return STATUS_OK;
    look_at_order(walk, &core);
    struct depth before = {.um = LENGTH_NONE};
    struct depth after = before;
    for (size_t at = 0; at < core.section_count; at++) {
        struct depth depths[2];
        if (core.sections[at].withdrawn)
            continue;
        place_both(walk, &core, core.sections[at].number, 0, &depths[0], &depths[1]);
        if (!is_brief)
            reach_add(walk->reach, REACH_SECTIONS, &depths[0], &depths[1], 1);
        if (!any) {
            before = depths[0];
            after = depths[1];
        }
        any = true;
        if (is_brief)
            break;
    }
    if (!any && (walk->kind < CORRECTION_COMPOSITE || walk->kind == CORRECTION_SURVEY)) { /* its run alone */
        const enum scale scale = walk->kind == CORRECTION_SURVEY ? SCALE_TVD : SCALE_DSF;
        before = core_top_depth(walk->without, &core, scale, NULL);
        after = core_top_depth(walk->with, &core, scale, NULL);
    }
    reach_add(walk->reach, REACH_CORES, &before, &after, 1);
    return any && !is_brief ? count_samples(walk, &core, &before, &after, err) : STATUS_OK;
}

static enum status count_cores(struct walk *walk, struct err *err)
{
    struct run *run = walk->run;
    int32_t *numbers = NULL;
    size_t count = 0;
    TRY(registry_cores(run->store, walk->target->hole_name, run->arena, &numbers, &count, err));
    for (size_t at = 0; at < count; at++) {
        struct arena scratch; /* what a core reads dies with it */
        struct arena *const whole = run->arena;
        progress_tell(run, "cores", at, count, &walk->next_ms);
        arena_init(&scratch, ARENA_LIMIT_BYTES);
        run->arena = &scratch;
        const enum status status = count_core(walk, numbers[at], err);
        run->arena = whole;
        arena_clear(&scratch);
        TRY(status);
    }
    return STATUS_OK;
}

/* Bags by their depth as reported, so that the log is gone through once. */
static enum status count_bag(struct walk *walk, struct lag_hole *lag, enum bag_kind kind, const struct bag *bag,
                             struct err *err)
{
    const struct lag_terms nominal = {.flow_factor = 1, .is_fluid = kind != BAG_CUTTINGS};
    const enum scale scale = walk->kind == CORRECTION_SURVEY ? SCALE_TVD : SCALE_DSF;
    struct lag_passage passage;
    if (bag->withdrawn)
        return STATUS_OK;
    TRY(lag_hole_back(walk->run, lag, &nominal, bag->from.utc_us, &passage, err));
    if (passage.end != LAG_ARRIVED)
        return STATUS_OK;
    const struct instant cut = {.utc_us = passage.cut_us, .known = true};
    const struct depth before = drilled_depth(walk->without, passage.hole_um, DATUM_RIG_FLOOR, cut, scale, NULL);
    const struct depth after = drilled_depth(walk->with, passage.hole_um, DATUM_RIG_FLOOR, cut, scale, NULL);
    reach_add(walk->reach, REACH_BAGS, &before, &after, 1);
    return STATUS_OK;
}

static enum status count_hundreds(struct walk *walk, struct lag_hole *lag, enum bag_kind kind, struct err *err)
{
    struct run *run = walk->run;
    int32_t *hundreds = NULL;
    size_t count = 0;
    TRY(bag_hundreds(run, walk->target->hole_name, kind, &hundreds, &count, err));
    for (size_t at = 0; at < count; at++) {
        struct bag_set set = {0};
        char path[REGISTRY_PATH_MAX];
        bool there = false;
        progress_tell(run, "hundreds of bags", at, count, &walk->next_ms);
        bags_path(walk->target->hole_name, kind, hundreds[at], path);
        TRY(registry_read(run->store, path, &bag_set_table, run->arena, &set, &there, err));
        for (size_t bag = 0; bag < set.bag_count; bag++)
            TRY(count_bag(walk, lag, kind, &set.bags[bag], err));
    }
    return STATUS_OK;
}

static enum status count_bags(struct walk *walk, struct err *err)
{
    struct lag_hole lag;
    struct names files = {0};
    char folder[REGISTRY_PATH_MAX];
    enum status status = STATUS_OK;
    (void)snprintf(folder, sizeof folder, "holes/%.12s/bags", walk->target->hole_name);
    TRY(store_list(walk->run->store, folder, walk->run->arena, &files, err));
    if (!files.count || !walk->reach->has_bags)
        return STATUS_OK;
    TRY(lag_hole_try(walk->run, walk->target, &lag, err));
    lag.ahead = 7;
    for (enum bag_kind kind = BAG_CUTTINGS; !lag.why && status == STATUS_OK && kind <= BAG_MUD; kind++)
        status = count_hundreds(walk, &lag, kind, err);
    lag_hole_close(&lag);
    return status;
}

enum status reach_find(struct run *run, const struct target *target, const struct hole *without,
                       const struct hole *with, enum correction_kind kind, struct reach *out, struct err *err)
{
    struct reach reach = reach_of_kind(kind);
    struct walk walk = {.run = run,
                        .target = target,
                        .without = without,
                        .with = with,
                        .kind = kind,
                        .reach = &reach,
                        .last_without_um = INT64_MIN,
                        .last_with_um = INT64_MIN};
    TRY(count_cores(&walk, err));
    if (!run_option(run, "brief"))
        TRY(count_bags(&walk, err));
    *out = reach;
    return STATUS_OK;
}
