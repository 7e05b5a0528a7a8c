/* SPDX-License-Identifier: MIT */
/* A core with its samples: what they name is there, no rule refuses them, depths go down. */
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/domain/depth_order.h"
#include "parts.h"

#define METRES(um) (length_text((um), UNIT_M, 3).text)

static void hold_depths(struct verify *verify, const struct hole_view *view, const char *path, const struct core *core)
{
    static const enum scale scales[] = {SCALE_CSF_A, SCALE_CSF_B};
    struct depth_step step;
    char item[SECTION_TEXT_MAX];
    if (!view->has_hole)
        return;
    const struct core retyped = core_retyped(&view->hole, core);
    if (retyped.bottom_um != LENGTH_NONE && retyped.bottom_um < retyped.top_um)
        flaw_add(verify, FLAW_RULE_BROKEN, path, "", "%s: with its corrections the run goes from %s m up to %s m",
                 rule_word(RULE_DEPTH_BACKWARDS), METRES(retyped.top_um), METRES(retyped.bottom_um));
    for (size_t at = 0; at < sizeof scales / sizeof scales[0]; at++)
        if (core_depths_decrease(&view->hole, core, scales[at], &step)) {
            section_format(step.section, item);
            flaw_add(verify, FLAW_DEPTH_ORDER, path, item, "%s goes from %s m up to %s m at section %s",
                     scale_words[scales[at]], METRES(step.above_um), METRES(step.below_um), item);
        }
    if (core_passes_bottom(&view->hole, core, &step)) {
        section_format(step.section, item);
        flaw_add(verify, FLAW_DEPTH_PAST, path, item, "CSF-B of the end of section %s is %s m, the run ends at %s m",
                 item, METRES(step.below_um), METRES(step.above_um));
    }
}

/* Two standing samples of one section: was there an order of entry in which neither was refused? What a rule takes may
 * have been marked after the other was taken, or kept marked from an archive's table. */
static void hold_pair(struct verify *verify, const char *path, const struct sample *a, const struct sample *b)
{
    struct findings later[2] = {{.count = 0}, {.count = 0}};
    char item[SAMPLE_KEY_MAX];
    sample_check_other(a, b, &later[0]);
    sample_check_other(b, a, &later[1]);
    for (size_t at = 0; at < 2; at++) {
        const char *doubt = at ? b->doubt : a->doubt;
        if (findings_level(&later[at]) < RULE_TAKEN ||
            (doubt && sample_list_has(doubt, rule_word(later[at].items[0].rule))))
            return;
    }
    sample_key(b, item);
    verify_rules(verify, path, item, &later[1], NULL);
}

/* Samples of one section stand in order of their tops, so each meets only those that follow until one begins below its
 * bottom. */
static void hold_pairs(struct verify *verify, const char *path, const struct sample_set *set)
{
    for (size_t at = 0; at < set->sample_count; at++) {
        const struct sample *sample = &set->samples[at];
        if (sample->withdrawn || sample->of)
            continue;
        for (size_t other = at + 1; other < set->sample_count; other++) {
            const struct sample *next = &set->samples[other];
            if (next->section != sample->section || next->of || next->top_um > sample->bottom_um)
                break;
            if (!next->withdrawn)
                hold_pair(verify, path, sample, next);
        }
    }
}

static enum status hold_sample(struct verify *verify, struct state *at, const char *path, const struct core *core,
                               const struct sample_set *set, const struct sample *sample, struct err *err)
{
    struct findings findings = {0};
    struct sample whole;
    const struct sample *parent = NULL;
    char item[SAMPLE_KEY_MAX];
    char section[SECTION_TEXT_MAX];
    sample_key(sample, item);
    section_format(sample->section, section);
    if (sample->of) {
        parent = sample_find(set->samples, set->sample_count, sample->of);
        if (!parent || (parent->withdrawn && !sample->withdrawn)) {
            flaw_add(verify, FLAW_REFERENCE_MISSING, path, item, "its parent %s is %s", sample->of,
                     parent ? "withdrawn" : "not recorded");
            return STATUS_OK;
        }
        whole = *parent;
        whole.used_up = false; /* it may well be used up by what was taken from it */
        parent = &whole;
    }
    if (sample->withdrawn)
        return STATUS_OK;
    if (core->withdrawn || !core_section(core, sample->section)) {
        flaw_add(verify, FLAW_REFERENCE_MISSING, path, item,
                 core->withdrawn ? "it stands while its core is withdrawn" : "section %s of the core does not stand",
                 section);
        return STATUS_OK;
    }
    sample_check(core, sample, NULL, 0, 0, parent, &findings);
    verify_rules(verify, path, item, &findings, sample->doubt);
    TRY(doubts_of_sample(at, core, sample, &findings, err));
    verify_doubts(verify, path, item, &findings, sample->doubt);
    return STATUS_OK;
}

static enum status look_at_samples(struct verify *verify, const struct hole_view *view, int32_t number,
                                   const struct core *core, struct arena *arena, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct place_known place;
    struct sample_set set;
    struct state state;
    bool sound = false;
    samples_path(view->name, number, path);
    if (!registry_place(path, &place))
        return STATUS_OK;
    TRY(verify_read(verify, &place, arena, &set, &sound, err));
    if (!sound)
        return STATUS_OK;
    if (!view_has_core(view, number))
        flaw_add(verify, FLAW_REFERENCE_MISSING, path, "", "%zu samples of a core that is not recorded",
                 set.sample_count);
    if (!core)
        return STATUS_OK;
    state_at(verify->state, verify->store, &state);
    for (size_t at = 0; at < set.sample_count; at++)
        TRY(hold_sample(verify, &state, path, core, &set, &set.samples[at], err));
    hold_pairs(verify, path, &set);
    return STATUS_OK;
}

/* Read into an arena of the caller's. *sound: the core can be relied on. */
static enum status look_at_core(struct verify *verify, const struct hole_view *view, int32_t number,
                                struct arena *arena, struct core *core, bool *sound, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct place_known place;
    *sound = false;
    core_path(view->name, number, path);
    if (registry_place(path, &place))
        TRY(verify_read(verify, &place, arena, core, sound, err));
    if (*sound)
        verify_former_names(verify, view, path, core);
    if (*sound && !core->withdrawn)
        hold_depths(verify, view, path, core);
    return look_at_samples(verify, view, number, *sound ? core : NULL, arena, err);
}

/* Down the hole: of the cores before the rules want lengths, letters and times alone, and no more of them is kept. */
struct descent {
    struct arena arena; /* of one core */
    struct core above;
    struct core wash;
    struct core timed;
    struct core_neighbours before;
    struct drilled_set drilled;
};

static const struct core *keep_bare(struct core *kept, const struct core *core)
{
    *kept = *core;
    kept->hole = kept->order_note = NULL;
    kept->sections = NULL;
    kept->section_count = 0;
    return kept;
}

static void pass(struct descent *descent, const struct core *core)
{
    struct core_neighbours *before = &descent->before;
    if (core->on_deck.known)
        before->timed_above = keep_bare(&descent->timed, core);
    if (core->type == 'W')
        before->wash = keep_bare(&descent->wash, core);
    if (core_is_wide(core))
        return;
    before->above = keep_bare(&descent->above, core);
    before->wash = NULL;
}

static enum status hold_neighbours(struct verify *verify, const struct hole_view *view, const struct core *core,
                                   const struct core_neighbours *before, struct err *err)
{
    struct findings findings = {0};
    struct state state;
    char path[REGISTRY_PATH_MAX];
    if (!view->has_hole || verify->is_rules)
        return STATUS_OK;
    state_at(verify->state, verify->store, &state);
    core_path(view->name, core->number, path);
    TRY(doubts_of_core(&state, &view->hole, core, before, &findings, err));
    verify_doubts(verify, path, "", &findings, NULL);
    return STATUS_OK;
}

static enum status step_down(struct verify *verify, const struct hole_view *view, struct descent *descent,
                             int32_t number, struct err *err)
{
    struct core core;
    bool sound = false;
    arena_clear(&descent->arena);
    TRY(look_at_core(verify, view, number, &descent->arena, &core, &sound, err));
    if (!sound || core.withdrawn)
        return STATUS_OK;
    TRY(hold_neighbours(verify, view, &core, &descent->before, err));
    pass(descent, &core);
    return STATUS_OK;
}

/* Numbers of every file under cores/, once, ascending: samples and labels may stand without their core. */
static enum status list_numbers(const struct hole_view *view, int32_t **out, size_t *count, struct err *err)
{
    *count = 0;
    TRY(arena_take(view->arena, view->place_count, sizeof **out, out, err));
    for (size_t at = 0; at < view->place_count; at++)
        if (place_is_of_core(&view->places[at]) && (!*count || (*out)[*count - 1] != view->places[at].number))
            (*out)[(*count)++] = view->places[at].number;
    return STATUS_OK;
}

static enum status read_drilled(struct verify *verify, const struct hole_view *view, struct descent *out,
                                struct err *err)
{
    struct state at;
    struct err why = {0};
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    state_at(verify->state, verify->store, &at);
    at.arena = view->arena;
    drilled_path(view->name, path);
    const enum status status = state_read(&at, path, &drilled_set_table, &out->drilled, &there, &why);
    if (status == STATUS_SYSTEM)
        *err = why;
    if (status == STATUS_OK) {
        out->before.drilled = out->drilled.intervals;
        out->before.drilled_count = out->drilled.interval_count;
    }
    return status == STATUS_SYSTEM ? status : STATUS_OK;
}

static enum status descend(struct verify *verify, const struct hole_view *view, struct err *err)
{
    struct descent descent = {.before = {.above = NULL}};
    int32_t *numbers = NULL;
    size_t count = 0;
    TRY(list_numbers(view, &numbers, &count, err));
    TRY(read_drilled(verify, view, &descent, err));
    arena_init(&descent.arena, ARENA_LIMIT_BYTES);
    enum status status = STATUS_OK;
    for (size_t at = 0; status == STATUS_OK && at < count; at++)
        status = step_down(verify, view, &descent, numbers[at], err);
    arena_clear(&descent.arena);
    return status;
}

static bool is_wanted(const int32_t *wanted, size_t count, int32_t number)
{
    for (size_t at = 0; at < count; at++)
        if (wanted[at] == number)
            return true;
    return false;
}

/* A core and those that are compared with it, each once. *last: the last of them so far. */
static enum status doubt_around(struct verify *verify, const struct hole_view *view, struct core_roll *roll,
                                const int32_t *wanted, size_t count, size_t at, int32_t *last, struct err *err)
{
    struct core_neighbours around = {0};
    TRY(core_roll_around(roll, wanted[at], 0, &around, err));
    TRY(core_roll_timed(roll, wanted[at], 0, &around, err));
    const int32_t numbers[] = {wanted[at], around.below ? around.below->number : 0,
                               around.timed_below ? around.timed_below->number : 0};
    for (size_t it = 0; it < sizeof numbers / sizeof numbers[0]; it++) {
        struct findings findings = {0};
        char path[REGISTRY_PATH_MAX];
        if (it && (numbers[it] <= *last || is_wanted(wanted, count, numbers[it])))
            continue;
        core_path(view->name, numbers[it], path);
        TRY(doubts_of_numbered(roll, &view->hole, numbers[it], &findings, err));
        verify_doubts(verify, path, "", &findings, NULL);
        *last = numbers[it];
    }
    return STATUS_OK;
}

/* For a few cores what stands around them is read, too; of that the order alone matters. What cannot be read is told
 * where it stands. */
static enum status look_around(struct verify *verify, const struct hole_view *view, const int32_t *wanted, size_t count,
                               struct err *err)
{
    struct state aside;
    struct core_roll roll;
    struct err why = {0};
    int32_t last = 0;
    if (!view->has_hole || verify->is_rules)
        return STATUS_OK;
    state_nest(verify->state, &aside);
    aside.store = verify->store;
    enum status status = core_roll_open(&aside, view->name, &roll, &why);
    for (size_t at = 0; status == STATUS_OK && at < count; at++)
        status = doubt_around(verify, view, &roll, wanted, count, at, &last, &why);
    state_leave(&aside);
    if (status == STATUS_SYSTEM)
        *err = why;
    return status == STATUS_SYSTEM ? status : STATUS_OK;
}

enum status verify_cores(struct verify *verify, const struct hole_view *view, const int32_t *wanted, size_t count,
                         struct err *err)
{
    struct arena arena;
    bool sound = false;
    struct core core;
    arena_init(&arena, ARENA_LIMIT_BYTES);
    enum status status = STATUS_OK;
    if (!wanted)
        return descend(verify, view, err);
    for (size_t at = 0; status == STATUS_OK && at < count; at++) {
        status = look_at_core(verify, view, wanted[at], &arena, &core, &sound, err);
        arena_clear(&arena);
    }
    return status == STATUS_OK ? look_around(verify, view, wanted, count, err) : status;
}
