/* SPDX-License-Identifier: MIT */
/* A core with its samples: what they name is there, no rule refuses them, depths go down. */
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/domain/depth_order.h"
#include "coretally/state/core_roll.h"
#include "parts.h"

#define METRES(um) (length_text((um), UNIT_M, 3).text)

/* A core whose top lies above that of the one before is told unless its record says why. */
static void hold_order(struct verify *verify, const struct hole_view *view, const char *path, const struct core *core,
                       const struct core *above)
{
    const struct core_neighbours around = {.above = above};
    struct findings findings = {0};
    if (!above || !view->has_hole)
        return;
    core_check(&view->hole, core, &around, &findings);
    for (size_t at = 0; at < findings.count; at++)
        if (findings.items[at].rule == RULE_CORE_ORDER)
            flaw_add(verify, FLAW_CORE_ORDER, path, "", "%s", findings.items[at].text);
}

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

static void hold_sample(struct verify *verify, const char *path, const struct core *core, const struct sample_set *set,
                        const struct sample *sample)
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
            return;
        }
        whole = *parent;
        whole.used_up = false; /* it may well be used up by what was taken from it */
        parent = &whole;
    }
    if (sample->withdrawn)
        return;
    if (core->withdrawn || !core_section(core, sample->section)) {
        flaw_add(verify, FLAW_REFERENCE_MISSING, path, item,
                 core->withdrawn ? "it stands while its core is withdrawn" : "section %s of the core does not stand",
                 section);
        return;
    }
    sample_check(core, sample, NULL, 0, 0, parent, &findings);
    verify_rules(verify, path, item, &findings, sample->doubt);
}

static enum status look_at_samples(struct verify *verify, const struct hole_view *view, int32_t number,
                                   const struct core *core, struct arena *arena, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct place_known place;
    struct sample_set set;
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
    for (size_t at = 0; at < set.sample_count; at++)
        hold_sample(verify, path, core, &set, &set.samples[at]);
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

/* Down the hole, the core above kept: two arenas take turns. */
struct descent {
    struct arena arenas[2];
    struct core cores[2];
    size_t turn;
    const struct core *above;
};

static enum status step_down(struct verify *verify, const struct hole_view *view, struct descent *descent,
                             int32_t number, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    bool sound = false;
    struct arena *arena = &descent->arenas[descent->turn];
    struct core *core = &descent->cores[descent->turn];
    arena_clear(arena);
    TRY(look_at_core(verify, view, number, arena, core, &sound, err));
    if (!sound || core->withdrawn)
        return STATUS_OK;
    core_path(view->name, number, path);
    hold_order(verify, view, path, core, descent->above);
    if (core_is_wide(core))
        return STATUS_OK;
    descent->above = core;
    descent->turn = 1 - descent->turn;
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

/* For a few cores the neighbours are read, too; for them only their order matters. */
static enum status look_at_neighbours(struct verify *verify, const struct hole_view *view, int32_t number,
                                      struct err *err)
{
    struct state aside;
    struct core_neighbours around = {0};
    struct core core;
    struct err why = {0};
    bool there = false;
    char path[REGISTRY_PATH_MAX];
    char below[REGISTRY_PATH_MAX];
    state_nest(verify->state, &aside);
    aside.store = verify->store;
    core_path(view->name, number, path);
    enum status status = state_read(&aside, path, &core_table, &core, &there, &why);
    if (status == STATUS_OK && there && !core.withdrawn)
        status = resolve_neighbours(&aside, view->name, number, &around, &why);
    if (status == STATUS_OK && there && !core.withdrawn) {
        hold_order(verify, view, path, &core, around.above);
        if (around.below && !core_is_wide(&core)) {
            core_path(view->name, around.below->number, below);
            hold_order(verify, view, below, around.below, &core);
        }
    }
    state_leave(&aside);
    if (status == STATUS_SYSTEM)
        *err = why; /* what cannot be read is told where it stands */
    return status == STATUS_SYSTEM ? status : STATUS_OK;
}

static enum status look_at_wanted(struct verify *verify, const struct hole_view *view, const int32_t *wanted,
                                  size_t count, struct err *err)
{
    struct descent descent = {.turn = 0};
    arena_init(&descent.arenas[0], ARENA_LIMIT_BYTES);
    enum status status = STATUS_OK;
    for (size_t at = 0; status == STATUS_OK && at < count; at++) {
        descent.above = NULL;
        descent.turn = 0;
        status = step_down(verify, view, &descent, wanted[at], err);
        if (status == STATUS_OK)
            status = look_at_neighbours(verify, view, wanted[at], err);
    }
    arena_clear(&descent.arenas[0]);
    return status;
}

enum status verify_cores(struct verify *verify, const struct hole_view *view, const int32_t *wanted, size_t count,
                         struct err *err)
{
    struct descent descent = {.turn = 0};
    int32_t *numbers = NULL;
    size_t number_count = 0;
    if (wanted)
        return look_at_wanted(verify, view, wanted, count, err);
    TRY(list_numbers(view, &numbers, &number_count, err));
    arena_init(&descent.arenas[0], ARENA_LIMIT_BYTES);
    arena_init(&descent.arenas[1], ARENA_LIMIT_BYTES);
    enum status status = STATUS_OK;
    for (size_t at = 0; status == STATUS_OK && at < number_count; at++)
        status = step_down(verify, view, &descent, numbers[at], err);
    arena_clear(&descent.arenas[0]);
    arena_clear(&descent.arenas[1]);
    return status;
}
