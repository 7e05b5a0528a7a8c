/* SPDX-License-Identifier: MIT */
/* What a change of corrections moves, core by core. Samples of a core that does not move are not read. */
#include "coretally/ask/reach.h"

#include <string.h>

#include "coretally/base/limits.h"
#include "reach_walk.h"

/* An interval before and after. */
struct ends {
    struct depth before; /* of the top; of the bottom where the top stays */
    struct depth after;
};

static void place_both(const struct reach_part *part, const struct core *core, int32_t section, int64_t offset_um,
                       struct ends *out)
{
    const struct place old = {&part->without, core, section, offset_um};
    const struct place new = {&part->with, core, section, offset_um};
    out->before = place_depth(&old, part->reach.scale, NULL);
    out->after = place_depth(&new, part->reach.scale, NULL);
}

/* Its top, or its bottom where the top does not change. */
static struct ends look_at(const struct reach_part *part, const struct core *core, int32_t section, int64_t top_um,
                           int64_t bottom_um)
{
    struct ends ends;
    place_both(part, core, section, top_um, &ends);
    if (ends.before.um == ends.after.um && bottom_um != LENGTH_NONE)
        place_both(part, core, section, bottom_um, &ends);
    return ends;
}

/* On these a core moves as a whole: what its top does, all of it does. */
static bool moves_whole(enum correction_kind kind)
{
    return kind != CORRECTION_READING && kind < CORRECTION_GROWTH;
}

/* A core, and what is read for it. */
struct core_look {
    struct reach_walk *walk;
    struct state *state;
    const struct core *core;
};

/* A sample that moves, or loses or gains its depth. */
static enum status take_sample(const struct core_look *look, const struct reach_part *part, const struct sample *sample,
                               const struct ends *ends, struct err *err)
{
    const struct reach_asked *asked = look->walk->asked;
    struct target target = part->target;
    char name[NAME_TEXT_MAX];
    if (!asked->take || ends->before.um == ends->after.um)
        return STATUS_OK;
    target.name.core = look->core->number;
    target.name.type = look->core->type;
    target_sample_name(look->state, &target, sample, name);
    const struct reach_sample told = {name, part->against, part->reach.scale, ends->before.um, ends->after.um};
    return asked->take(asked->context, &told, err);
}

/* Do its samples stay as its top and its run do? */
static bool samples_stay(const struct reach_part *part, const struct core *core, const struct ends *top)
{
    const struct core old = core_retyped(&part->without, core);
    const struct core new = core_retyped(&part->with, core);
    if (moves_whole(part->kind))
        return top->before.um == top->after.um;
    return part->kind == CORRECTION_READING && old.top_um == new.top_um &&old.bottom_um == new.bottom_um;
}

static enum status count_samples(const struct core_look *look, struct reach_part *part, const struct ends *top,
                                 struct err *err)
{
    const struct core *core = look->core;
    char path[REGISTRY_PATH_MAX];
    struct sample_set set;
    bool there = false;
    size_t standing = 0;
    const bool as_one = moves_whole(part->kind) && !look->walk->asked->take && core_curated(core) != LENGTH_NONE;
    if (samples_stay(part, core, top))
        return STATUS_OK;
    samples_path(part->target.hole_name, core->number, path);
    TRY(state_read(look->state, path, &sample_set_table, &set, &there, err));
    for (size_t at = 0; at < set.sample_count; at++) {
        const struct sample *sample = &set.samples[at];
        if (sample->withdrawn || !core_section(core, sample->section))
            continue;
        standing++;
        if (as_one)
            continue;
        const struct ends ends = look_at(part, core, sample->section, sample->top_um, sample->bottom_um);
        reach_add(&part->reach, REACH_SAMPLES, &ends.before, &ends.after, 1);
        TRY(take_sample(look, part, sample, &ends, err));
    }
    if (as_one)
        reach_add(&part->reach, REACH_SAMPLES, &top->before, &top->after, standing);
    return STATUS_OK;
}

/* Labels of a core have scales of their own: looked at whether the core moves on that of the change or not. A file that
 * cannot be read stops no correction. */
static enum status count_core_labels(const struct core_look *look, struct err *err)
{
    const struct target *target = &look->walk->follows[0].part->target;
    char path[REGISTRY_PATH_MAX];
    char labels[HASH_TEXT_MAX];
    struct things things;
    struct err unread = {0};
    bool there = false;
    core_labels_path(target->hole_name, look->core->number, path);
    if (look->walk->asked->is_brief)
        return STATUS_OK;
    TRY(store_id(look->state->store, path, labels, err));
    if (!*labels)
        return STATUS_OK;
    const enum status status = things_of_core(look->state, target, look->core->number, &things, &there, &unread);
    if (status == STATUS_DAMAGED) {
        state_tell(look->state, "note: labels not looked at: %s: %s\n", unread.subject, unread.reason);
        return STATUS_OK;
    }
    if (status != STATUS_OK) {
        *err = unread;
        return status;
    }
    return reach_count_labels(look->walk, look->state, &things, NULL, err);
}

/* Core tops never decrease with core number: would this one, and did not? */
static void look_at_order(struct reach_follow *follow, const struct core *core)
{
    struct reach *reach = &follow->part->reach;
    const struct depth before = core_top_depth(&follow->part->without, core, SCALE_DSF, NULL);
    const struct depth after = core_top_depth(&follow->part->with, core, SCALE_DSF, NULL);
    if (core_is_wide(core) || before.um == LENGTH_NONE || after.um == LENGTH_NONE)
        return;
    if (after.um < -ABOVE_PLAIN_UM && before.um >= -ABOVE_PLAIN_UM && reach->above_count++ == 0)
        reach->above = core->number;
    if (after.um < follow->last_with_um && before.um >= follow->last_without_um &&
        reach->upset_count++ < REACH_UPSETS_MAX)
        reach->upsets[reach->upset_count - 1] = core->number;
    follow->last_without_um = before.um;
    follow->last_with_um = after.um;
}

/* Its sections, counted; *out: of the first part of it that moves. Are there any? */
static bool count_sections(const struct core *core, bool is_brief, struct reach_part *part, struct ends *out)
{
    bool any = false;
    for (size_t at = 0; at < core->section_count && !(any && is_brief); at++) {
        const struct section *section = &core->sections[at];
        if (section->withdrawn)
            continue;
        const struct ends ends = look_at(part, core, section->number, 0, section_curated(section));
        if (!is_brief)
            reach_add(&part->reach, REACH_SECTIONS, &ends.before, &ends.after, 1);
        if (!any || out->before.um == out->after.um)
            *out = ends;
        any = true;
    }
    return any;
}

/* A core without sections has no depth but that of its run: counted as a core on the scale of drilled depth, and beside
 * the cores where the change is looked at on another. */
static void count_run(struct reach_part *part, const struct core *core)
{
    const bool is_vertical = part->kind == CORRECTION_SURVEY;
    if (part->kind >= CORRECTION_COMPOSITE && !is_vertical)
        return;
    const bool is_drilled = scale_is_drilled(part->reach.scale);
    const enum scale scale = is_drilled ? part->reach.scale : SCALE_DSF;
    struct depth before = core_top_depth(&part->without, core, scale, NULL);
    struct depth after = core_top_depth(&part->with, core, scale, NULL);
    if (part->kind == CORRECTION_READING && before.um == after.um) {
        before = core_bottom_depth(&part->without, core, scale);
        after = core_bottom_depth(&part->with, core, scale);
    }
    if (is_drilled)
        reach_add(&part->reach, REACH_CORES, &before, &after, 1);
    else
        reach_add_run(&part->reach, &before, &after);
}

static enum status count_on_scale(const struct core_look *look, struct reach_part *part, struct err *err)
{
    const bool is_brief = look->walk->asked->is_brief;
    struct ends ends = {{.um = LENGTH_NONE}, {.um = LENGTH_NONE}};
    if (!count_sections(look->core, is_brief, part, &ends)) {
        count_run(part, look->core);
        return STATUS_OK;
    }
    if (part->reach.scale == SCALE_DSF && ends.before.um == ends.after.um) { /* the bottom of its run, retyped */
        ends.before = core_bottom_depth(&part->without, look->core, SCALE_DSF);
        ends.after = core_bottom_depth(&part->with, look->core, SCALE_DSF);
    }
    reach_add(&part->reach, REACH_CORES, &ends.before, &ends.after, 1);
    return is_brief ? STATUS_OK : count_samples(look, part, &ends, err);
}

/* Without a seafloor there are depths below the rig floor alone. */
static void take_scale_without_seafloor(struct reach_part *part, const struct core *core)
{
    if (part->reach.scale == SCALE_CSF_A && reach_is_empty(&part->reach) &&
        core_top_depth(&part->without, core, SCALE_DSF, NULL).um == LENGTH_NONE &&
        core_top_depth(&part->with, core, SCALE_DSF, NULL).um == LENGTH_NONE &&
        core_top_depth(&part->with, core, SCALE_DRF, NULL).um != LENGTH_NONE)
        part->reach.scale = SCALE_DRF;
}

/* A core that was retyped, on the scales that this changes: another top moves it whole; another length of the run moves
 * what is in a long core on CSF-B, and of a short one only the bottom of the run. */
static enum status count_retyped(const struct core_look *look, struct reach_part *part, struct err *err)
{
    const struct core old = core_retyped(&part->without, look->core);
    const struct core new = core_retyped(&part->with, look->core);
    const bool is_top = old.top_um != new.top_um;
    const bool is_long = core_length(look->core) != LENGTH_NONE &&
                         (core_length(look->core) > core_advance(&old) || core_length(look->core) > core_advance(&new));
    const bool is_length = core_advance(&old) != core_advance(&new);
    if (!is_top && !is_length)
        return STATUS_OK;
    part->reach.scale = is_top ? SCALE_CSF_A : is_long ? SCALE_CSF_B : SCALE_DSF;
    take_scale_without_seafloor(part, look->core);
    TRY(count_on_scale(look, part, err));
    if (!is_top || !is_length || !is_long || part->reach.scale != SCALE_CSF_A || !core_standing_sections(look->core))
        return STATUS_OK;
    struct reach_part also = *part;
    also.reach = reach_of_kind(part->kind);
    TRY(count_on_scale(look, &also, err));
    part->also = also.reach;
    part->has_also = true;
    return STATUS_OK;
}

static enum status count_part(const struct core_look *look, struct reach_follow *follow, struct err *err)
{
    struct reach_part *part = follow->part;
    look_at_order(follow, look->core);
    if (part->kind == CORRECTION_READING)
        TRY(count_retyped(look, part, err));
    else {
        take_scale_without_seafloor(part, look->core);
        TRY(count_on_scale(look, part, err));
    }
    reach_look_at_steps(look->walk, part, look->core);
    return STATUS_OK;
}

/* The core stays at hand for what is asked afterwards (ties, watched names); its samples and labels die with the look.
 */
static enum status count_core(struct reach_walk *walk, int32_t number, struct err *err)
{
    const struct target *target = &walk->follows[0].part->target;
    char path[REGISTRY_PATH_MAX];
    struct core core;
    struct state inner;
    enum status status = STATUS_OK;
    bool there = false;
    core_path(target->hole_name, number, path);
    TRY(state_read(walk->state, path, &core_table, &core, &there, err));
    if (!there || core.withdrawn)
        return STATUS_OK;
    state_nest(walk->state, &inner);
    const struct core_look look = {walk, &inner, &core};
    for (size_t at = 0; status == STATUS_OK && at < walk->count; at++)
        status = count_part(&look, &walk->follows[at], err);
    if (status == STATUS_OK)
        status = count_core_labels(&look, err);
    state_leave(&inner);
    return status;
}

static enum status count_cores(struct reach_walk *walk, struct err *err)
{
    int32_t *numbers = NULL;
    size_t count = 0;
    TRY(state_cores(walk->state, walk->follows[0].part->target.hole_name, &numbers, &count, err));
    for (size_t at = 0; at < count; at++) {
        state_progress(walk->state, "cores", at, count, &walk->next_ms);
        TRY(count_core(walk, numbers[at], err));
    }
    return STATUS_OK;
}

/* The hole of the first part, for each part that asks about it. */
static enum status walk_hole(struct state *state, const struct reach_asked *asked, const struct reach_parts *parts,
                             size_t first, struct err *err)
{
    struct reach_walk walk = {.state = state, .asked = asked};
    const char *hole = parts->items[first]->target.hole_name;
    TRY(arena_take(state->arena, parts->count - first, sizeof *walk.follows, &walk.follows, err));
    TRY(arena_take(state->arena, 2, sizeof *walk.links, &walk.links, err));
    for (size_t at = first; at < parts->count; at++) {
        struct reach_part *part = parts->items[at];
        if (strcmp(part->target.hole_name, hole) != 0)
            continue;
        part->reach = reach_of_kind(part->kind);
        walk.follows[walk.count++] = (struct reach_follow){part, INT64_MIN, INT64_MIN};
    }
    TRY(count_cores(&walk, err));
    return asked->is_brief ? STATUS_OK : reach_count_bags(&walk, err);
}

static bool is_first_of_hole(const struct reach_parts *parts, size_t at)
{
    for (size_t before = 0; before < at; before++)
        if (strcmp(parts->items[before]->target.hole_name, parts->items[at]->target.hole_name) == 0)
            return false;
    return true;
}

enum status reach_find(struct state *state, const struct reach_asked *asked, const struct reach_parts *parts,
                       struct err *err)
{
    for (size_t at = 0; at < parts->count; at++)
        if (is_first_of_hole(parts, at))
            TRY(walk_hole(state, asked, parts, at, err));
    return STATUS_OK;
}
