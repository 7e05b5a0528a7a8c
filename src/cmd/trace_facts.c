/* SPDX-License-Identifier: MIT */
/* Facts of a core, of a place in it, of a sample. */
#include "trace_facts.h"

#include <string.h>

#include "coretally/domain/recovery.h"

enum status trace_add_fact(struct sheet *sheet, const char *what, struct text *value, struct err *err)
{
    struct bytes bytes = {0};
    TRY(text_done(value, &bytes, err));
    const char *cells[] = {what, bytes.len ? bytes.data : NULL};
    value->len = 0;
    value->data = NULL;
    value->room = 0;
    return bytes.len ? sheet_add(sheet, cells, err) : STATUS_OK;
}

static enum status add_core_facts(struct run *run, const struct span *span, struct sheet *sheet, struct err *err)
{
    const struct hole *hole = &span->target.hole;
    const struct core core = core_retyped(hole, &span->target.core);
    const struct depth top = core_top_depth(hole, &span->target.core, SCALE_DRF, NULL);
    const struct depth bottom = core_bottom_depth(hole, &span->target.core, SCALE_DRF);
    const struct core_type *type = core_type_find(core.type);
    char percent[RECOVERY_TEXT_MAX];
    char deck[INSTANT_TEXT_MAX];
    struct text text;
    text_init(&text, run->state->arena);
    recovery_format(core_recovered(&core), core_advance(&core), 1, percent);
    text_addf(&text, "%d%c, %s", (int)core.number, core.type, type ? type->meaning : "type not in the list");
    if (top.um != LENGTH_NONE)
        text_addf(&text, "; %s", run_length(run, top.um, 3).text);
    if (bottom.um != LENGTH_NONE)
        text_addf(&text, "-%s %s DRF", run_length(run, bottom.um, 3).text, run_unit(run));
    TRY(trace_add_fact(sheet, "core", &text, err));
    if (core_recovered(&core) != LENGTH_NONE)
        text_addf(&text, "%s %s", run_length(run, core_recovered(&core), 3).text, run_unit(run));
    if (core_advance(&core) != LENGTH_NONE && core_recovered(&core) != LENGTH_NONE)
        text_addf(&text, " of %s %s, %s%s", run_length(run, core_advance(&core), 3).text, run_unit(run), percent,
                  strcmp(percent, "n/a") == 0 ? "" : " %");
    TRY(trace_add_fact(sheet, "recovered", &text, err));
    if (core.on_deck.known) {
        instant_format(core.on_deck, deck);
        text_add(&text, deck);
    }
    TRY(trace_add_fact(sheet, "on deck", &text, err));
    text_add(&text, core.hazard ? core.hazard : "");
    TRY(trace_add_fact(sheet, "hazard of the core", &text, err));
    if (core.withdrawn)
        text_addf(&text, "the core is withdrawn: %s", core.withdrawn);
    return trace_add_fact(sheet, "withdrawn", &text, err);
}

static enum status add_place_facts(struct run *run, const struct span *span, struct sheet *sheet, struct err *err)
{
    const struct target *target = &span->target;
    int32_t missing = 0;
    char label[SECTION_TEXT_MAX];
    struct text text;
    text_init(&text, run->state->arena);
    section_format(target->section->number, label);
    const int64_t start_um = core_section_start(&target->core, target->section->number, &missing);
    text_addf(&text, "%s", label);
    if (section_curated(target->section) != LENGTH_NONE)
        text_addf(&text, ", %s %s long", run_length(run, section_curated(target->section), 3).text, run_unit(run));
    if (start_um != LENGTH_NONE)
        text_addf(&text, ", begins %s %s below the core top", run_length(run, start_um, 3).text, run_unit(run));
    TRY(trace_add_fact(sheet, "section", &text, err));
    if (target->name.level < NAME_POINT)
        return STATUS_OK;
    text_addf(&text, "%s", length_text(span->top.offset_um, UNIT_CM, 1).text);
    if (span->bottom.offset_um != span->top.offset_um)
        text_addf(&text, "-%s", length_text(span->bottom.offset_um, UNIT_CM, 1).text);
    text_add(&text, " cm from the section top");
    return trace_add_fact(sheet, "interval", &text, err);
}

static enum status add_sample_facts(struct state *state, const struct span *span, struct sheet *sheet, struct err *err)
{
    static const char *const told[] = {"half",   "volume", "mass", "purpose", "requester", "taken",    "used_up",
                                       "hazard", "lab_id", "was",  "doubt",   "remark",    "withdrawn"};
    const struct target *target = &span->target;
    const struct sample_set *set = &target->samples;
    struct text text;
    char key[SAMPLE_KEY_MAX];
    text_init(&text, state->arena);
    if (target->sample >= set->sample_count) {
        text_add(&text, "no sample of this interval is recorded; the depths are those of the place");
        return target->name.level == NAME_SAMPLE ? trace_add_fact(sheet, "sample", &text, err) : STATUS_OK;
    }
    const struct sample *sample = &set->samples[target->sample];
    for (size_t at = 0; at < sizeof told / sizeof told[0]; at++) {
        const struct field *field = field_find(&sample_table, told[at]);
        field_format(field, sample, &text);
        if (text.len && field->suffix)
            text_addf(&text, " %s", field->suffix);
        TRY(trace_add_fact(sheet, told[at], &text, err));
    }
    if (sample->of)
        text_add(&text, sample->of);
    TRY(trace_add_fact(sheet, "sub-sample of", &text, err));
    sample_key(sample, key);
    for (size_t at = 0; at < set->sample_count; at++) {
        char name[NAME_TEXT_MAX];
        if (!set->samples[at].of || strcmp(set->samples[at].of, key) != 0 || set->samples[at].withdrawn)
            continue;
        target_sample_name(state, target, &set->samples[at], name);
        text_addf(&text, "%s%s", text.len ? "; " : "", name);
    }
    return trace_add_fact(sheet, "sub-samples", &text, err);
}

enum status trace_span_facts(struct run *run, const struct span *span, struct sheet *sheet, struct err *err)
{
    TRY(add_core_facts(run, span, sheet, err));
    if (span->target.section)
        TRY(add_place_facts(run, span, sheet, err));
    return add_sample_facts(run->state, span, sheet, err);
}
