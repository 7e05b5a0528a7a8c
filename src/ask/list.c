/* SPDX-License-Identifier: MIT */
/* Lists of a hole. */
#include "coretally/ask/list.h"

#include "coretally/state/doubt.h"
#include "coretally/state/namesake.h"
#include "coretally/state/open.h"

/* --- cores and sections --- */

static enum status take_core(struct state *state, struct core_roll *roll, const struct target *target, list_core *take,
                             void *context, struct err *err)
{
    const struct core *core = &target->core;
    struct findings findings = {0};
    struct listed_core it = {.target = target,
                             .core = core,
                             .retyped = core_retyped(&target->hole, core),
                             .drf_top = core_top_depth(&target->hole, core, SCALE_DRF, NULL),
                             .dsf_top = core_top_depth(&target->hole, core, SCALE_DSF, NULL),
                             .dsf_bottom = core_bottom_depth(&target->hole, core, SCALE_DSF),
                             .findings = &findings};
    target_core_name(state, target, it.name);
    TRY(core_doubts(roll, target, core, &findings, err));
    return take(context, &it, err);
}

enum status list_cores(struct state *state, const struct target *target, list_core *take, void *context,
                       struct err *err)
{
    struct target each = *target;
    struct core_roll roll;
    TRY(core_roll_open(state, each.hole_name, &roll, err));
    for (size_t at = 0; at < roll.count; at++) {
        const struct core *core = NULL;
        if (target->name.level >= NAME_CORE && roll.numbers[at] != target->name.core)
            continue;
        TRY(core_roll_at(&roll, at, &core, err));
        each.core = *core;
        each.name.core = core->number;
        each.name.type = core->type;
        TRY(take_core(state, &roll, &each, take, context, err));
    }
    return STATUS_OK;
}

void list_section(struct state *state, const struct listed_core *core, const struct section *section,
                  struct listed_section *out)
{
    const struct depth none = {.um = LENGTH_NONE, .low_um = LENGTH_NONE, .high_um = LENGTH_NONE};
    const struct target *target = core->target;
    const int64_t curated_um = section_curated(section);
    struct place place = {&target->hole, &target->core, section->number, 0};
    *out = (struct listed_section){.section = section, .top = none, .bottom = none, .csf_b_top = none};
    target_section_name(state, target, section->number, out->name);
    if (section->withdrawn || target->core.withdrawn)
        return;
    out->top = place_depth(&place, SCALE_CSF_A, NULL);
    out->csf_b_top = place_depth(&place, SCALE_CSF_B, NULL);
    place.offset_um = curated_um;
    if (curated_um != LENGTH_NONE)
        out->bottom = place_depth(&place, SCALE_CSF_A, NULL);
}

/* --- samples --- */

/* What was joined by git is judged here: no act looked at the sample and the other side's section together. */
static const char *sample_note(const struct target *target, const struct sample *sample, const struct depth *top)
{
    const struct section *section = core_section(&target->core, sample->section);
    if (sample->withdrawn)
        return "withdrawn";
    if (target->core.withdrawn)
        return "the core is withdrawn";
    if (!section)
        return "its section is withdrawn";
    if (!sample->doubt && sample_is_outside(section, sample))
        return rule_word(RULE_SAMPLE_OUTSIDE);
    return sample->doubt ? sample->doubt : top->why;
}

static void look_at_sample(struct state *state, const struct target *target, const struct sample *sample,
                           enum scale scale, struct listed_sample *out)
{
    const struct depth none = {.um = LENGTH_NONE, .low_um = LENGTH_NONE, .high_um = LENGTH_NONE};
    *out = (struct listed_sample){.sample = sample, .top = none, .bottom = none};
    target_sample_name(state, target, sample, out->name);
    if (core_section(&target->core, sample->section)) {
        const struct place places[] = {{&target->hole, &target->core, sample->section, sample->top_um},
                                       {&target->hole, &target->core, sample->section, sample->bottom_um}};
        out->top = place_depth(&places[0], scale, NULL);
        out->bottom = scale == SCALE_DRF || scale == SCALE_DSF ? core_bottom_depth(&target->hole, &target->core, scale)
                                                               : place_depth(&places[1], scale, NULL);
    }
    if (out->bottom.um < out->top.um) { /* kept although typed upside down */
        out->top.low_um = out->bottom.low_um;
        out->bottom.high_um = out->top.high_um;
    }
    out->note = sample_note(target, sample, &out->top);
}

static bool is_asked(const struct name *name, const struct sample *sample)
{
    return name->level < NAME_SECTION ||
           (sample->section == name->section && (name->half == HALF_NONE || name->half == sample->half));
}

static enum status list_core_samples(struct state *state, struct target *target, int32_t number,
                                     const struct sample_asked *asked, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct sample_set set;
    bool there = false;
    core_path(target->hole_name, number, path);
    TRY(state_read(state, path, &core_table, &target->core, &there, err));
    samples_path(target->hole_name, number, path);
    TRY(state_read(state, path, &sample_set_table, &set, &there, err));
    target->name.core = target->core.number;
    target->name.type = target->core.type;
    for (size_t at = 0; at < set.sample_count; at++) {
        struct listed_sample it;
        if (!is_asked(&target->name, &set.samples[at]))
            continue;
        const struct record_at open = record_of_sample(target->hole_name, number, &set.samples[at]);
        look_at_sample(state, target, &set.samples[at], asked->scale, &it);
        TRY(open_note(state, &open, it.note, &it.note, err));
        TRY(open_note_depth(state, target->hole_name, number, it.note, &it.note, err));
        TRY(namesake_note(state, set.samples[at].was, "", it.note, &it.note, err));
        TRY(asked->take(asked->context, &it, err));
    }
    return STATUS_OK;
}

enum status list_samples(struct state *state, const struct target *target, const struct sample_asked *asked,
                         struct err *err)
{
    struct target each = *target;
    int32_t *numbers = NULL;
    size_t count = 0;
    const int32_t only = target->name.level >= NAME_CORE ? target->name.core : 0;
    TRY(state_cores(state, target->hole_name, &numbers, &count, err));
    for (size_t at = 0; at < count; at++) {
        struct state inner; /* what a core has dies with it */
        if (only && numbers[at] != only)
            continue;
        state_nest(state, &inner);
        const enum status status = list_core_samples(&inner, &each, numbers[at], asked, err);
        state_leave(&inner);
        TRY(status);
    }
    return STATUS_OK;
}

/* --- bags --- */

struct bag_walk {
    struct state *state;
    const struct bag_asked *asked;
    struct lag_hole *hole;
    size_t done;
    int64_t next_ms;
};

static bool is_in_range(const struct bag_asked *asked, const struct lag_depth *depth)
{
    if (asked->from_um != LENGTH_NONE && (depth->why || depth->bottom_um < asked->from_um))
        return false;
    return asked->to_um == LENGTH_NONE || (!depth->why && depth->top_um <= asked->to_um);
}

static enum status take_bag(struct bag_walk *walk, const struct bag *bag, struct err *err)
{
    const struct target *target = walk->hole->target;
    struct findings findings = {0};
    struct lag_depth depth;
    struct listed_bag it = {.bag = bag, .depth = &depth, .findings = &findings};
    struct name name = target->name;
    state_progress(walk->state, "bags", walk->done, 0, &walk->next_ms);
    walk->done++;
    TRY(bag_depth(walk->state, walk->hole, walk->asked->kind, bag, &depth, err));
    if (!is_in_range(walk->asked, &depth))
        return STATUS_OK;
    (void)snprintf(name.expedition, sizeof name.expedition, "%s", walk->state->expedition.number);
    name.level = NAME_BAG;
    name.bag = walk->asked->kind;
    name.bag_number = bag->number;
    name_format(&name, NAME_PRINTED, it.name);
    it.msf_top_um = lag_depth_msf(&target->hole, depth.top_um, depth.first.cut_us);
    it.msf_bottom_um = lag_depth_msf(&target->hole, depth.bottom_um, depth.last.cut_us);
    lag_depth_check(&target->hole, &depth, &findings);
    return walk->asked->take(walk->asked->context, &it, err);
}

static enum status take_bags(struct bag_walk *walk, bool *any, struct err *err)
{
    const char *hole = walk->hole->target->hole_name;
    int32_t *hundreds = NULL;
    size_t count = 0;
    TRY(state_hundreds(walk->state, hole, walk->asked->kind, &hundreds, &count, err));
    *any = count != 0;
    for (size_t at = 0; at < count; at++) {
        struct bag_set set = {0};
        char path[REGISTRY_PATH_MAX];
        bool there = false;
        bags_path(hole, walk->asked->kind, hundreds[at], path);
        TRY(state_read(walk->state, path, &bag_set_table, &set, &there, err));
        for (size_t bag = 0; bag < set.bag_count; bag++)
            TRY(take_bag(walk, &set.bags[bag], err));
    }
    return STATUS_OK;
}

enum status list_bags(struct state *state, const struct target *target, const struct bag_asked *asked, bool *any,
                      struct err *err)
{
    struct lag_hole hole;
    struct bag_walk walk = {.state = state, .asked = asked, .hole = &hole};
    *any = false;
    TRY(lag_hole_try(state, target, &hole, err));
    hole.ahead = 7; /* bags come in order of time: a week of the log at once */
    const enum status status = take_bags(&walk, any, err);
    lag_hole_close(&hole);
    return status;
}
