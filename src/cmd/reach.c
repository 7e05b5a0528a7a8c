/* SPDX-License-Identifier: MIT */
/* What a change of corrections moves. Samples of a core that does not move are not read. */
#include "reach.h"

#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/state/bag.h"
#include "import.h"
#include "coretally/state/span.h"

struct walk {
    struct run *run;
    const struct target *target;
    const struct hole *without;
    const struct hole *with;
    enum correction_kind kind;
    struct reach *reach;
    int64_t last_without_um; /* tops of the core before */
    int64_t last_with_um;
    struct sheet *each; /* NULL: not asked for */
    int64_t next_ms;
};

/* An interval before and after. */
struct ends {
    struct depth before; /* of the top; of the bottom where the top stays */
    struct depth after;
};

static void place_both(const struct walk *walk, const struct core *core, int32_t section, int64_t offset_um,
                       struct depth *before, struct depth *after)
{
    const struct place old = {walk->without, core, section, offset_um};
    const struct place new = {walk->with, core, section, offset_um};
    *before = place_depth(&old, walk->reach->scale, NULL);
    *after = place_depth(&new, walk->reach->scale, NULL);
}

/* Its top, or its bottom where the top does not change. */
static struct ends look_at(const struct walk *walk, const struct core *core, int32_t section, int64_t top_um,
                           int64_t bottom_um)
{
    struct ends ends;
    place_both(walk, core, section, top_um, &ends.before, &ends.after);
    if (ends.before.um == ends.after.um && bottom_um != LENGTH_NONE)
        place_both(walk, core, section, bottom_um, &ends.before, &ends.after);
    return ends;
}

/* On these a core moves as a whole: what its top does, all of it does. */
static bool moves_whole(enum correction_kind kind)
{
    return kind != CORRECTION_READING && kind < CORRECTION_GROWTH;
}

/* A sample that moves, or loses or gains its depth, as a row. */
static enum status add_each(struct walk *walk, const struct core *core, const struct sample *sample,
                            const struct depth *before, const struct depth *after, struct err *err)
{
    struct target target = *walk->target;
    char name[NAME_TEXT_MAX];
    if (!walk->each || before->um == after->um)
        return STATUS_OK;
    target.name.core = core->number;
    target.name.type = core->type;
    target_sample_name(walk->run->state, &target, sample, name);
    const bool both = before->um != LENGTH_NONE && after->um != LENGTH_NONE;
    const struct cell cells[] = {cell_text(name), cell_text(scale_words[walk->reach->scale]),
                                 cell_length(before->um, 3), cell_length(after->um, 3),
                                 cell_length(both ? after->um - before->um : LENGTH_NONE, 3)};
    return sheet_add_row(walk->each, cells, err);
}

static enum status count_samples(struct walk *walk, const struct core *core, const struct depth *before,
                                 const struct depth *after, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct sample_set set;
    bool there = false;
    size_t standing = 0;
    const bool as_one = moves_whole(walk->kind) && !walk->each && core_curated(core) != LENGTH_NONE;
    if (moves_whole(walk->kind) && before->um == after->um)
        return STATUS_OK;
    const struct core old = core_retyped(walk->without, core);
    const struct core new = core_retyped(walk->with, core);
    const bool is_same = old.top_um == new.top_um &&old.bottom_um == new.bottom_um;
    if (walk->kind == CORRECTION_READING && is_same)
        return STATUS_OK;
    samples_path(walk->target->hole_name, core->number, path);
    TRY(state_read(walk->run->state, path, &sample_set_table, &set, &there, err));
    for (size_t at = 0; at < set.sample_count; at++) {
        const struct sample *sample = &set.samples[at];
        if (sample->withdrawn || !core_section(core, sample->section))
            continue;
        standing++;
        if (as_one)
            continue;
        const struct ends ends = look_at(walk, core, sample->section, sample->top_um, sample->bottom_um);
        reach_add(walk->reach, REACH_SAMPLES, &ends.before, &ends.after, 1);
        TRY(add_each(walk, core, sample, &ends.before, &ends.after, err));
    }
    if (as_one)
        reach_add(walk->reach, REACH_SAMPLES, before, after, standing);
    return STATUS_OK;
}

/* The depth of a bag is made with the hole that its lag names, and with the log of the state that it was read of. */
static enum status hold_in(struct state *state, const struct things *things, const struct held_label *held,
                           struct label_now *out, struct err *err)
{
    const struct target *const own = things->lag ? things->lag->target : NULL;
    struct store *const store = state->store;
    state->store = things->store;
    if (things->lag)
        things->lag->target = &things->target;
    const enum status status = label_hold(state, things, &things->items[held->thing], held->label, out, err);
    if (things->lag)
        things->lag->target = own;
    state->store = store;
    return status;
}

/* The label of a list at a place of another list that may have grown or been ordered anew; NULL: not in it. */
static const struct held_label *find_held(const struct things *things, const struct label *label, size_t at)
{
    const struct label_set *set = &things->labels;
    if (at < set->label_count && record_is_equal(&label_table, &set->labels[at], label))
        return &things->held[at];
    for (size_t other = 0; other < set->label_count; other++)
        if (record_is_equal(&label_table, &set->labels[other], label))
            return &things->held[other];
    return NULL;
}

enum status reach_add_labels(struct state *state, const struct things *before, const struct things *after,
                             struct reach *reach, struct err *err)
{
    for (size_t at = 0; at < before->labels.label_count; at++) {
        const struct held_label *was = &before->held[at];
        const struct held_label *is = find_held(after, was->label, at);
        struct label_now old;
        struct label_now new;
        if (!was->is_newest || !is || before->items[was->thing].kind == THING_GONE)
            continue;
        TRY(hold_in(state, before, was, &old, err));
        TRY(hold_in(state, after, is, &new, err));
        reach->labels_stale += old.freshness == LABEL_FRESH && new.freshness == LABEL_STALE;
        reach->labels_fresh += old.freshness == LABEL_STALE && new.freshness == LABEL_FRESH;
        reach->labels_gone += new.freshness == LABEL_GONE;
    }
    return STATUS_OK;
}

/* The same things with the corrections of the walk left out, and with them. */
static enum status count_labels(struct walk *walk, const struct things *things, struct err *err)
{
    struct things before = *things;
    struct things after = *things;
    before.target.hole = *walk->without;
    after.target.hole = *walk->with;
    return reach_add_labels(walk->run->state, &before, &after, walk->reach, err);
}

/* Labels of a core have scales of their own: looked at whether the core moves on that of the walk or not. A file that
 * cannot be read stops no correction. */
static enum status count_core_labels(struct walk *walk, int32_t number, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct bytes labels = {0};
    struct things things;
    struct err unread = {0};
    bool there = false;
    core_labels_path(walk->target->hole_name, number, path);
    TRY(state_bytes(walk->run->state, path, &labels, err));
    if (!labels.data || run_option(walk->run, "brief"))
        return STATUS_OK;
    const enum status status = things_of_core(walk->run->state, walk->target, number, &things, &there, &unread);
    if (status == STATUS_DAMAGED) {
        (void)fprintf(walk->run->talk, "note: labels not looked at: %s: %s\n", unread.subject, unread.reason);
        return STATUS_OK;
    }
    if (status != STATUS_OK) {
        *err = unread;
        return status;
    }
    return count_labels(walk, &things, err);
}

/* Core tops never decrease with core number: would this one, and did not? */
static void look_at_order(struct walk *walk, const struct core *core)
{
    const struct depth before = core_top_depth(walk->without, core, SCALE_DSF, NULL);
    const struct depth after = core_top_depth(walk->with, core, SCALE_DSF, NULL);
    if (core_is_wide(core) || before.um == LENGTH_NONE || after.um == LENGTH_NONE)
        return;
    if (after.um < -ABOVE_PLAIN_UM && before.um >= -ABOVE_PLAIN_UM && walk->reach->above_count++ == 0)
        walk->reach->above = core->number;
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
    TRY(state_read(walk->run->state, path, &core_table, &core, &there, err));
    if (!there || core.withdrawn)
        return STATUS_OK;
    look_at_order(walk, &core);
    struct depth before = {.um = LENGTH_NONE};
    struct depth after = before;
    for (size_t at = 0; at < core.section_count; at++) {
        if (core.sections[at].withdrawn)
            continue;
        const struct ends ends = look_at(walk, &core, core.sections[at].number, 0, section_curated(&core.sections[at]));
        if (!is_brief)
            reach_add(walk->reach, REACH_SECTIONS, &ends.before, &ends.after, 1);
        if (!any || before.um == after.um) { /* the core: its first part that moves */
            before = ends.before;
            after = ends.after;
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
    TRY(count_core_labels(walk, number, err));
    return any && !is_brief ? count_samples(walk, &core, &before, &after, err) : STATUS_OK;
}

static enum status count_cores(struct walk *walk, struct err *err)
{
    struct run *run = walk->run;
    int32_t *numbers = NULL;
    size_t count = 0;
    TRY(state_cores(run->state, walk->target->hole_name, &numbers, &count, err));
    for (size_t at = 0; at < count; at++) {
        struct arena scratch; /* what a core reads dies with it */
        struct arena *const whole = run->state->arena;
        state_progress(run->state, "cores", at, count, &walk->next_ms);
        arena_init(&scratch, ARENA_LIMIT_BYTES);
        run->state->arena = &scratch;
        const enum status status = count_core(walk, numbers[at], err);
        run->state->arena = whole;
        arena_clear(&scratch);
        TRY(status);
    }
    return STATUS_OK;
}

static struct ends look_at_bag(const struct walk *walk, const struct lag_passage *passage, enum scale scale)
{
    const struct instant cut = {.utc_us = passage->cut_us, .known = true};
    return (struct ends){drilled_depth(walk->without, passage->hole_um, DATUM_RIG_FLOOR, cut, scale, NULL),
                         drilled_depth(walk->with, passage->hole_um, DATUM_RIG_FLOOR, cut, scale, NULL)};
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
    TRY(lag_hole_back(walk->run->state, lag, &nominal, bag->from.utc_us, &passage, err));
    if (passage.end != LAG_ARRIVED)
        return STATUS_OK;
    struct ends ends = look_at_bag(walk, &passage, scale);
    if (ends.before.um == ends.after.um && bag->to.known) {
        TRY(lag_hole_back(walk->run->state, lag, &nominal, bag->to.utc_us, &passage, err));
        if (passage.end == LAG_ARRIVED)
            ends = look_at_bag(walk, &passage, scale);
    }
    reach_add(walk->reach, REACH_BAGS, &ends.before, &ends.after, 1);
    return STATUS_OK;
}

static enum status count_hundreds(struct walk *walk, struct lag_hole *lag, enum bag_kind kind, struct err *err)
{
    struct run *run = walk->run;
    int32_t *hundreds = NULL;
    size_t count = 0;
    TRY(bag_hundreds(run->state, walk->target->hole_name, kind, &hundreds, &count, err));
    for (size_t at = 0; at < count; at++) {
        struct bag_set set = {0};
        char path[REGISTRY_PATH_MAX];
        bool there = false;
        state_progress(run->state, "hundreds of bags", at, count, &walk->next_ms);
        bags_path(walk->target->hole_name, kind, hundreds[at], path);
        TRY(state_read(run->state, path, &bag_set_table, &set, &there, err));
        for (size_t bag = 0; bag < set.bag_count; bag++)
            TRY(count_bag(walk, lag, kind, &set.bags[bag], err));
        struct things things;
        TRY(things_of_bags(run->state, walk->target, kind, hundreds[at], lag, &things, err));
        TRY(count_labels(walk, &things, err));
    }
    return STATUS_OK;
}

static enum status count_bags(struct walk *walk, struct err *err)
{
    struct lag_hole lag;
    struct known_files files = {0};
    char folder[REGISTRY_PATH_MAX];
    enum status status = STATUS_OK;
    if (!walk->reach->has_bags)
        return STATUS_OK;
    (void)snprintf(folder, sizeof folder, "holes/%.12s/bags", walk->target->hole_name);
    TRY(state_list(walk->run->state, folder, &files, err));
    if (!files.count)
        return STATUS_OK;
    TRY(lag_hole_try(walk->run->state, walk->target, &lag, err));
    lag.ahead = 7;
    for (enum bag_kind kind = BAG_CUTTINGS; !lag.why && status == STATUS_OK && kind <= BAG_MUD; kind++)
        status = count_hundreds(walk, &lag, kind, err);
    lag_hole_close(&lag);
    return status;
}

enum status reach_find(struct run *run, const struct target *target, const struct hole *without,
                       const struct hole *with, enum correction_kind kind, struct sheet *each, struct reach *out,
                       struct err *err)
{
    struct reach reach = reach_of_kind(kind);
    struct walk walk = {.run = run,
                        .target = target,
                        .without = without,
                        .with = with,
                        .kind = kind,
                        .reach = &reach,
                        .each = each,
                        .last_without_um = INT64_MIN,
                        .last_with_um = INT64_MIN};
    TRY(count_cores(&walk, err));
    if (!run_option(run, "brief"))
        TRY(count_bags(&walk, err));
    *out = reach;
    return STATUS_OK;
}
