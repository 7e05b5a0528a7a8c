/* SPDX-License-Identifier: MIT */
/* A depth link by link, with the commit behind each input. */
#include <string.h>

#include "coretally/ask/link.h"
#include "explain_bag.h"
#include "coretally/state/span.h"

/* The commit behind an input, as text: "a1b2c3d4e5 2026-03-01T04:12:00Z Tamm". */
static enum status input_commit(struct run *run, const struct span *span, const struct depth_link *link,
                                const char **id, const char **who, struct err *err)
{
    char when[INSTANT_TEXT_MAX];
    struct commit commit = {0};
    const struct target *target = &span->target;
    struct text text;
    struct bytes bytes;
    static const char *const of_run[] = {"top", "datum", NULL};
    static const char *const of_tolerance[] = {"tolerance", "heave", "tide", NULL};
    static const char *const of_advance[] = {"top", "bottom", "advance_by", "recovered", "type", NULL};
    static const char *const of_offset[] = {"section", "top", "bottom", NULL};
    const struct sample *sample =
        target->sample < target->samples.sample_count ? &target->samples.samples[target->sample] : NULL;
    if (link->input == INPUT_SECTIONS_ABOVE || (link->input == INPUT_OFFSET && !sample)) {
        *id = NULL;
        *who = link->input == INPUT_OFFSET ? "as typed" : NULL; /* the sections follow with their own commits */
        return STATUS_OK;
    }
    if (link->input == INPUT_SEAFLOOR || link->input == INPUT_CORRECTION)
        TRY(link_commit(run->state, link, &commit, err));
    else if (link->input == INPUT_TOLERANCE) {
        const struct record_at at = record_of_hole(target->hole_name, &target->hole);
        TRY(origin_find(run->state, &at, of_tolerance, &commit, err));
    } else if (link->input == INPUT_OFFSET) {
        const struct record_at at = record_of_sample(target->hole_name, target->core.number, sample);
        TRY(origin_find(run->state, &at, of_offset, &commit, err));
    } else {
        const struct record_at at = record_of_core(target->hole_name, &target->core);
        TRY(origin_find(run->state, &at, link->input == INPUT_CORE_TOP ? of_run : of_advance, &commit, err));
    }
    instant_format(commit.when, when);
    text_init(&text, run->state->arena);
    text_addf(&text, "%s, %s", commit.author, when);
    TRY(text_done(&text, &bytes, err));
    *who = bytes.data;
    return arena_copy(run->state->arena, commit.id, strlen(commit.id), id, err);
}

static enum status add_link(struct run *run, const struct span *span, const struct depth_link *link,
                            struct sheet *sheet, struct err *err)
{
    const char *id = NULL;
    const char *who = NULL;
    const char *rule = NULL;
    const char *why = NULL;
    TRY(input_commit(run, span, link, &id, &who, err));
    TRY(link_words(run->state, link, span->target.core.number, &rule, &why, err));
    const struct cell cells[] = {cell_text(rule), cell_step(link->amount_um, 3), cell_length(link->result_um, 3),
                                 cell_commit(id), cell_text(who)};
    TRY(sheet_add_row(sheet, cells, err));
    const struct cell because[] = {cell_text(why), cell_nothing(), cell_nothing(), cell_nothing(), cell_nothing()};
    return why ? sheet_add_row(sheet, because, err) : STATUS_OK;
}

/* A section's own line: its length, and the commit that put it there. */
static enum status add_section_link(struct run *run, const struct span *span, const struct section *section,
                                    struct sheet *sheet, struct err *err)
{
    const struct record_at at = record_of_section(span->target.hole_name, span->target.core.number, section);
    char what[64];
    char label[SECTION_TEXT_MAX];
    char when[INSTANT_TEXT_MAX];
    struct commit commit = {0};
    struct text text;
    struct bytes bytes;
    static const char *const of_length[] = {"curated", "liner", "voids", "pieces", "withdrawn", NULL};
    TRY(origin_find(run->state, &at, of_length, &commit, err));
    section_format(section->number, label);
    (void)snprintf(what, sizeof what, "  section %s, curated length", label);
    instant_format(commit.when, when);
    text_init(&text, run->state->arena);
    text_addf(&text, "%s, %s", commit.author, when);
    TRY(text_done(&text, &bytes, err));
    const struct cell cells[] = {cell_text(what), cell_length(section_curated(section), 3), cell_nothing(),
                                 cell_commit(commit.id), cell_text(bytes.data)};
    return sheet_add_row(sheet, cells, err);
}

static enum status explain_scale(struct run *run, const struct span *span, enum scale scale, struct err *err)
{
    const char *unit = run_unit(run);
    const struct column columns[] = {{"link", NULL, false},
                                     {"step", unit, true},
                                     {"depth", unit, true},
                                     {"commit", NULL, false},
                                     {"by", NULL, false}};
    struct depth_links links = {0};
    struct sheet sheet;
    const struct core *core = &span->target.core;
    const struct depth depth = span->in_core ? place_depth(&span->top, scale, &links)
                                             : core_top_depth(&span->target.hole, core, scale, &links);
    sheet_init(&sheet, run->state->arena, columns, 5);
    for (size_t at = 0; at < links.count; at++) {
        const bool compressed = links.items[at].input == INPUT_COMPRESSION && links.items[at].amount_um != LENGTH_NONE;
        TRY(add_link(run, span, &links.items[at], &sheet, err));
        for (size_t section = 0; section < core->section_count; section++) {
            const struct section *it = &core->sections[section];
            if (!it->withdrawn && ((compressed && it->number >= span->top.section) ||
                                   (links.items[at].input == INPUT_SECTIONS_ABOVE && it->number < span->top.section)))
                TRY(add_section_link(run, span, it, &sheet, err));
        }
    }
    if (links.dropped)
        (void)fprintf(run->talk, "note: %zu more links are not shown\n", links.dropped);
    if (run->format == SHEET_PEOPLE) {
        const char *note = span_note(span, &depth, &depth);
        if (depth.um != LENGTH_NONE && note)
            (void)fprintf(run->out, "note: %s\n", note);
        if (depth.um == LENGTH_NONE)
            (void)fprintf(run->out, "%s %s: n/a, %s\n", span->name, scale_words[scale], depth.why);
        else
            (void)fprintf(run->out, "%s %s top: %s %s (low %s, high %s)\n", span->name, scale_words[scale],
                          run_length(run, depth.um, 3).text, unit, run_length(run, depth.low_um, 3).text,
                          depth.high_um == LENGTH_NONE ? "n/a" : run_length(run, depth.high_um, 3).text);
        if (depth.um != LENGTH_NONE)
            (void)fprintf(run->out, "method: %s\n", depth.method);
    }
    return run_print_sheet(run, &sheet, err);
}

static enum status run_explain(struct run *run, struct err *err)
{
    struct span span;
    struct name name;
    const char *wanted = run_option(run, "scale");
    TRY(run_open(run, STORE_READ, err));
    TRY(resolve_name(run->state, run->args[0], &name, err));
    if (name.level == NAME_BAG)
        return explain_bag(run, err);
    TRY(span_read(run->state, run->args[0], &span, err));
    enum scale scale = span.target.name.level > NAME_CORE ? SCALE_CSF_B : SCALE_DSF;
    TRY(scale_option(run, "scale", &scale, err));
    if (!span.in_core && !scale_is_drilled(scale))
        return err_set(err, STATUS_INPUT, wanted,
                       "the core has no sections, so drilled depths only: DRF, DSF, TVD and TVDSF");
    TRY(explain_scale(run, &span, scale, err));
    if (run->format == SHEET_PEOPLE)
        (void)fprintf(run->out, "%s: %s\nstate %.10s of the registry\n", scale_words[scale], scale_meanings[scale],
                      store_state(run->state->store));
    return STATUS_OK;
}

static const struct option explain_options[] = {
    {"scale", "SCALE", "DRF, DSF, CSF-A, CSF-B, CCSF, CCSF-B, CCSF-D, WMSF, TVD, TVDSF; the default is CSF-B"},
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};

const struct command explain_command = {
    .words = "explain",
    .arguments = "NAME",
    .purpose = "every link from the driller's reading to a depth, with the commit behind each input",
    .example = "explain 'U0012A-12H-3W, 45-47 cm'",
    .use = USE_READING,
    .options = explain_options,
    .least = 1,
    .most = 1,
    .run = run_explain,
};
