/* SPDX-License-Identifier: MIT */
/* A field that is open decided about: by the act that amends a record of its kind, or confirmed. */
#include "coretally/act/settle.h"

#include <assert.h>
#include <string.h>

#include "coretally/act/bag.h"
#include "coretally/act/core.h"
#include "coretally/act/core_rename.h"
#include "coretally/act/expedition.h"
#include "coretally/act/hole.h"
#include "coretally/act/numbered.h"
#include "coretally/act/sample.h"
#include "coretally/act/section.h"

/* A decision under way. */
struct deciding {
    const struct settling *asked;
    const struct open_point *point;
    struct target target; /* the hole, and the core with its samples where the record is of one */
    void *record;         /* as it shall be */
};

static enum status refuse_kind(const struct open_point *point, struct err *err)
{
    err_set(err, STATUS_RULE, point->thing, "its %s is not amended by an act",
            point->it.field ? point->it.field : "file");
    return err_hint(err, "leave the value out to confirm what stands, or record it anew");
}

/* The hole of the record, with what its rules ask for. */
static enum status find_target(struct state *state, struct deciding *it, struct err *err)
{
    const struct place_known *known = &it->point->at.known;
    struct target *target = &it->target;
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    if (!*known->hole)
        return STATUS_OK;
    TRY(name_parse(known->hole, &target->name, err));
    TRY(resolve_hole(state, &target->name, target, err));
    if (!place_is_of_core(known))
        return STATUS_OK;
    core_path(known->hole, known->number, path);
    TRY(state_read(state, path, &core_table, &target->core, &there, err));
    if (!there)
        return err_set(err, STATUS_DAMAGED, path, "the core of %s is not recorded", it->point->thing);
    target->name.level = NAME_CORE;
    target->name.core = target->core.number;
    target->name.type = target->core.type;
    samples_path(known->hole, known->number, path);
    TRY(state_read(state, path, &sample_set_table, &target->samples, &target->has_samples, err));
    target->samples.hole = target->core.hole;
    target->samples.core = target->core.number;
    target->sample = target->samples.sample_count;
    return STATUS_OK;
}

/* --- one kind of record after the other; each is amended as its command does --- */

static enum status settle_core(struct state *state, struct deciding *it, struct draft *out, struct err *err)
{
    struct renamed *renamed = NULL;
    const struct core *core = it->record;
    char wanted[CORE_ID_MAX];
    if (strcmp(it->point->it.field, "type") != 0 && strcmp(it->point->it.field, "number") != 0)
        return core_amend(state, &it->target, core, out, err);
    core_id_format((struct core_id){core->number, core->type}, wanted);
    TRY(arena_take(state->arena, 1, sizeof *renamed, &renamed, err));
    return core_rename(state, it->point->typed, wanted, renamed, out, err);
}

static enum status settle_section(struct state *state, struct deciding *it, struct draft *out, struct err *err)
{
    it->target.section = section_in(&it->target.core, ((const struct section *)it->record)->number);
    it->target.name.level = NAME_SECTION;
    it->target.name.section = it->target.section->number;
    return section_amend(state, &it->target, it->record, out, err);
}

static enum status settle_sample(struct state *state, struct deciding *it, struct draft *out, struct err *err)
{
    struct target *target = &it->target;
    const struct sample *found = sample_then(&target->samples, it->point->record);
    assert(found);
    target->name.level = NAME_SAMPLE;
    name_set_sample(&target->name, found);
    target->sample = (size_t)(found - target->samples.samples);
    target->section = core_section(&target->core, found->section);
    return sample_amend(state, target, it->point->typed, it->record, out, err);
}

static enum status settle_bag(struct state *state, struct deciding *it, struct draft *out, struct err *err)
{
    struct bag_target *at = NULL;
    struct bag_draft *drafted = NULL;
    const struct bag *bag = it->record;
    TRY(arena_take(state->arena, 1, sizeof *at, &at, err));
    TRY(arena_take(state->arena, 1, sizeof *drafted, &drafted, err));
    TRY(bag_read(state, &it->target, it->point->at.known.bag, bag->number, at, err));
    TRY(bag_amend(state, at, bag, drafted, err));
    *out = drafted->draft;
    return STATUS_OK;
}

/* Of a correction only words change: why it is withdrawn, and its remark. What it says is said by another one. */
static enum status settle_correction(struct state *state, struct deciding *it, struct draft *out, struct err *err)
{
    struct correction *correction = it->record;
    const bool returns = !correction->withdrawn && ((const struct correction *)it->point->record)->withdrawn;
    if (returns || (strcmp(it->point->it.field, "withdrawn") != 0 && strcmp(it->point->it.field, "remark") != 0))
        return refuse_kind(it->point, err);
    draft_init(out);
    correction->version = correction->version ? correction->version + 1 : 2;
    out->changed = (struct changed){&correction_table, it->point->record, correction};
    return draft_write(state, out, it->point->it.path, &correction_table, correction, err);
}

static enum status settle_numbered(struct state *state, struct deciding *it, struct draft *out, struct err *err)
{
    static const struct numbered_act *const acts[] = {&drilled_act, &well_act, &pumps_act, &lag_check_act};
    for (size_t at = 0; at < sizeof acts / sizeof acts[0]; at++)
        if (acts[at]->form->set == it->point->at.known.known->table)
            return numbered_amend(state, acts[at], &it->target, it->record, out, err);
    return refuse_kind(it->point, err);
}

static enum status settle_hole(struct state *state, struct deciding *it, struct draft *out, struct err *err)
{
    struct hole hole = it->target.hole; /* with its corrections in force, as its rules want it */
    struct text text;
    struct bytes bytes;
    text_init(&text, state->arena);
    field_format(it->point->at.field, it->record, &text);
    TRY(text_done(&text, &bytes, err));
    TRY(field_set(it->point->at.field, bytes.data, it->point->at.field->unit, hole.zone_min, state->arena, &hole, err));
    return hole_amend(state, &it->target, &hole, out, err);
}

static enum status amend(struct state *state, struct deciding *it, struct draft *out, struct err *err)
{
    const struct table *file = it->point->at.known.known->table;
    const struct table *part = it->point->at.part;
    if (file == &expedition_table)
        return expedition_amend(state, it->record, out, err);
    if (file == &hole_table)
        return settle_hole(state, it, out, err);
    if (part == &core_table)
        return settle_core(state, it, out, err);
    if (part == &section_table)
        return settle_section(state, it, out, err);
    if (part == &sample_table)
        return settle_sample(state, it, out, err);
    if (part == &bag_table)
        return settle_bag(state, it, out, err);
    if (part == &correction_table)
        return settle_correction(state, it, out, err);
    return settle_numbered(state, it, out, err);
}

/* The record as it shall be; *changes: it is not what stands. */
static enum status take_value(struct state *state, struct deciding *it, bool *changes, struct err *err)
{
    const struct open_point *point = it->point;
    const struct field *field = point->at.field;
    *changes = false;
    if (!point->at.part && it->asked->value)
        return refuse_kind(point, err);
    if (!point->at.part)
        return STATUS_OK;
    TRY(arena_take(state->arena, 1, point->at.part->size, &it->record, err));
    memcpy(it->record, point->record, point->at.part->size);
    if (!it->asked->value)
        return STATUS_OK;
    if (!field)
        return refuse_kind(point, err);
    TRY(field_set(field, it->asked->value, field->unit, it->target.hole.zone_min, state->arena, it->record, err));
    *changes = !field_is_equal(field, it->record, point->record);
    return STATUS_OK;
}

enum status settle(struct state *state, const struct settling *asked, struct draft *out, struct err *err)
{
    struct deciding *it = NULL;
    bool changes = false;
    draft_init(out);
    if (asked->point->at.part && !asked->point->record)
        return err_set(err, STATUS_DAMAGED, asked->point->path, "the record that it is about is not there");
    TRY(arena_take(state->arena, 1, sizeof *it, &it, err)); /* the draft points into it */
    *it = (struct deciding){.asked = asked, .point = asked->point, .target = {.hole = {.zone_min = INT_NONE}}};
    TRY(find_target(state, it, err));
    TRY(take_value(state, it, &changes, err));
    if (changes)
        TRY(amend(state, it, out, err));
    out->needs_reason = true;
    TRY(draft_copy(state, asked->point->thing, &out->name, err));
    return draft_remove(state, out, asked->point->path, err);
}
