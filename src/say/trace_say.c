/* SPDX-License-Identifier: MIT */
/* What a thing is and where it sits: facts of a core, of a place in it, of a sample, of a bag; what moved it. */
#include "coretally/say/trace_say.h"

#include <string.h>

#include "coretally/domain/recovery.h"
#include "coretally/ask/link.h"
#include "coretally/state/correction_text.h"

/* A line of two columns, unless the value is empty; the text begins anew. */
static enum status add_fact(struct sheet *sheet, const char *what, struct text *value, struct err *err)
{
    struct bytes bytes = {0};
    TRY(text_done(value, &bytes, err));
    const struct cell cells[] = {cell_text(what), cell_text(bytes.data)};
    value->len = 0;
    value->data = NULL;
    value->room = 0;
    return bytes.len ? sheet_add_row(sheet, cells, err) : STATUS_OK;
}

static enum status add_core_facts(struct run *run, const struct trace *trace, struct sheet *sheet, struct err *err)
{
    const struct core *core = &trace->core;
    const struct core_type *type = core_type_find(core->type);
    char percent[RECOVERY_TEXT_MAX];
    char deck[INSTANT_TEXT_MAX];
    struct text text;
    text_init(&text, run->state->arena);
    recovery_format(core_recovered(core), core_advance(core), 1, percent);
    text_addf(&text, "%d%c, %s", (int)core->number, core->type, type ? type->meaning : "type not in the list");
    if (trace->core_top_um != LENGTH_NONE)
        text_addf(&text, "; %s", run_length(run, trace->core_top_um, 3).text);
    if (trace->core_bottom_um != LENGTH_NONE)
        text_addf(&text, "-%s %s DRF", run_length(run, trace->core_bottom_um, 3).text, run_unit(run));
    TRY(add_fact(sheet, "core", &text, err));
    if (core_recovered(core) != LENGTH_NONE)
        text_addf(&text, "%s %s", run_length(run, core_recovered(core), 3).text, run_unit(run));
    if (core_advance(core) != LENGTH_NONE && core_recovered(core) != LENGTH_NONE)
        text_addf(&text, " of %s %s, %s%s", run_length(run, core_advance(core), 3).text, run_unit(run), percent,
                  strcmp(percent, "n/a") == 0 ? "" : " %");
    TRY(add_fact(sheet, "recovered", &text, err));
    if (core->on_deck.known) {
        instant_format(core->on_deck, deck);
        text_add(&text, deck);
    }
    TRY(add_fact(sheet, "on deck", &text, err));
    text_add(&text, core->hazard ? core->hazard : "");
    TRY(add_fact(sheet, "hazard of the core", &text, err));
    if (core->withdrawn)
        text_addf(&text, "the core is withdrawn: %s", core->withdrawn);
    return add_fact(sheet, "withdrawn", &text, err);
}

static enum status add_place_facts(struct run *run, const struct trace *trace, struct sheet *sheet, struct err *err)
{
    const struct span *span = trace->span;
    const struct target *target = &span->target;
    char label[SECTION_TEXT_MAX];
    struct text text;
    text_init(&text, run->state->arena);
    section_format(target->section->number, label);
    text_addf(&text, "%s", label);
    if (section_curated(target->section) != LENGTH_NONE)
        text_addf(&text, ", %s %s long", run_length(run, section_curated(target->section), 3).text, run_unit(run));
    if (trace->section_start_um != LENGTH_NONE)
        text_addf(&text, ", begins %s %s below the core top", run_length(run, trace->section_start_um, 3).text,
                  run_unit(run));
    TRY(add_fact(sheet, "section", &text, err));
    if (target->name.level < NAME_POINT)
        return STATUS_OK;
    text_addf(&text, "%s", length_text(span->top.offset_um, UNIT_CM, 1).text);
    if (span->bottom.offset_um != span->top.offset_um)
        text_addf(&text, "-%s", length_text(span->bottom.offset_um, UNIT_CM, 1).text);
    text_add(&text, " cm from the section top");
    return add_fact(sheet, "interval", &text, err);
}

/* Fields of a record that are told, those that have a value; has_units: amounts with the unit behind. */
static enum status add_fields(const struct table *table, const char *const *names, const void *record, bool has_units,
                              struct sheet *sheet, struct err *err)
{
    struct text text;
    text_init(&text, sheet->arena);
    for (; *names; names++) {
        const struct field *field = field_find(table, *names);
        field_format(field, record, &text);
        if (text.len && has_units && field->suffix)
            text_addf(&text, " %s", field->suffix);
        TRY(add_fact(sheet, *names, &text, err));
    }
    return STATUS_OK;
}

static enum status add_sample_facts(struct state *state, const struct trace *trace, struct sheet *sheet,
                                    struct err *err)
{
    static const char *const told[] = {"half",   "volume", "mass", "purpose", "requester", "taken",     "used_up",
                                       "hazard", "lab_id", "was",  "doubt",   "remark",    "withdrawn", NULL};
    const struct target *target = &trace->span->target;
    struct text text;
    text_init(&text, state->arena);
    if (!trace->sample) {
        text_add(&text, "no sample of this interval is recorded; the depths are those of the place");
        return target->name.level == NAME_SAMPLE ? add_fact(sheet, "sample", &text, err) : STATUS_OK;
    }
    TRY(add_fields(&sample_table, told, trace->sample, true, sheet, err));
    if (trace->sample->of)
        text_add(&text, trace->sample->of);
    TRY(add_fact(sheet, "sub-sample of", &text, err));
    for (size_t at = 0; at < trace->part_count; at++) {
        char name[NAME_TEXT_MAX];
        target_sample_name(state, target, trace->parts[at], name);
        text_addf(&text, "%s%s", text.len ? "; " : "", name);
    }
    return add_fact(sheet, "sub-samples", &text, err);
}

static enum status add_bag_facts(const struct bag *bag, struct sheet *sheet, struct err *err)
{
    static const char *const told[] = {"from",     "to",     "mass",         "volume",    "lithology",
                                       "fraction", "washed", "contaminants", "bypassed",  "requester",
                                       "hazard",   "doubt",  "remark",       "withdrawn", NULL};
    return add_fields(&bag_table, told, bag, false, sheet, err);
}

enum status trace_facts_add(struct run *run, const struct trace *trace, struct sheet *sheet, struct err *err)
{
    if (trace->bag)
        return add_bag_facts(trace->bag->bag, sheet, err);
    TRY(add_core_facts(run, trace, sheet, err));
    if (trace->span->target.section)
        TRY(add_place_facts(run, trace, sheet, err));
    return add_sample_facts(run->state, trace, sheet, err);
}

static enum status add_moved(struct run *run, const struct trace_moved *moved, struct sheet *sheet, struct err *err)
{
    struct text why;
    struct bytes bytes;
    char number[32];
    char hole[HOLE_TEXT_MAX];
    hole_text(moved->hole, hole);
    (void)snprintf(number, sizeof number, "%s %d", hole, (int)moved->correction->number);
    text_init(&why, run->state->arena);
    correction_add_why(moved->correction, &why);
    TRY(text_done(&why, &bytes, err));
    const struct cell cells[] = {cell_text(number),
                                 cell_text(correction_words[moved->correction->kind]),
                                 cell_text(scale_words[moved->scale]),
                                 cell_length(moved->amount_um, 3),
                                 cell_commit(moved->commit.id),
                                 cell_text(moved->commit.author),
                                 cell_instant(moved->commit.when),
                                 cell_text(bytes.data)};
    return sheet_add_row(sheet, cells, err);
}

enum status trace_moved_add(struct run *run, const struct trace *trace, struct sheet *sheet, struct err *err)
{
    for (size_t at = 0; at < trace->moved_count; at++)
        TRY(add_moved(run, &trace->moved[at], sheet, err));
    return STATUS_OK;
}
