/* SPDX-License-Identifier: MIT */
/* Depths of anything that has a name, one or many; explain prints the chain with the commit behind each input. */
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/domain/depth.h"
#include "command.h"
#include "explain_bag.h"

/* What a name asks for: top and bottom of it in its core. */
struct span {
    struct target target;
    char name[NAME_TEXT_MAX];
    bool in_core; /* below core level: has offsets */
    struct place top;
    struct place bottom;
};

/* A whole core spans from the top of its first standing section to the end of its last one. */
static void read_core_span(struct span *span)
{
    const struct core *core = &span->target.core;
    for (size_t at = 0; at < core->section_count; at++) {
        const struct section *section = &core->sections[at];
        if (section->withdrawn)
            continue;
        const int64_t length_um = section_curated(section);
        if (!span->in_core)
            span->top = (struct place){&span->target.hole, core, section->number, 0};
        span->bottom =
            (struct place){&span->target.hole, core, section->number, length_um == LENGTH_NONE ? 0 : length_um};
        span->in_core = true;
    }
}

/* Why there is no depth, or what a depth must not be read without. NULL: nothing to say. */
static const char *span_note(const struct span *span, const struct depth *a, const struct depth *b)
{
    const struct target *target = &span->target;
    if (target->hole.withdrawn)
        return "the hole is withdrawn";
    if (target->core.withdrawn)
        return "the core is withdrawn";
    if (target->sample < target->samples.sample_count && target->samples.samples[target->sample].withdrawn)
        return "the sample is withdrawn";
    return a->why ? a->why : b->why;
}

static enum status read_span(struct run *run, const char *typed, struct span *out, struct err *err)
{
    struct span span = {0};
    struct target *target = &out->target;
    TRY(resolve(run, typed, NAME_CORE, NAME_SAMPLE, &span.target, err));
    *out = span;
    out->in_core = target->name.level >= NAME_SECTION;
    (void)snprintf(target->name.expedition, sizeof target->name.expedition, "%s", run->expedition.number);
    if (!out->in_core) {
        name_format(&target->name, NAME_PRINTED, out->name);
        read_core_span(out);
        return STATUS_OK;
    }
    int64_t top_um = target->name.top_um;
    int64_t bottom_um = target->name.bottom_um;
    if (target->name.level == NAME_SECTION)
        bottom_um = section_curated(target->section);
    if (target->name.level == NAME_SAMPLE) { /* a recorded one may have been amended; any interval has a depth */
        char key[SAMPLE_KEY_MAX];
        name_sample_key(&target->name, key);
        const struct sample *sample = sample_find(target->samples.samples, target->samples.sample_count, key);
        if (!sample)
            sample = sample_find_former(target->samples.samples, target->samples.sample_count, key);
        if (sample) {
            name_set_sample(&target->name, sample);
            target->section = core_section(&target->core, sample->section);
            target->sample = (size_t)(sample - target->samples.samples);
            top_um = sample->top_um;
            bottom_um = sample->bottom_um;
        }
    }
    name_format(&target->name, NAME_PRINTED, out->name);
    if (!target->section)
        return err_set(err, STATUS_RULE, out->name, "its section is withdrawn, so it has no depth");
    const int64_t length_um = section_curated(target->section);
    if (length_um != LENGTH_NONE && (top_um < 0 || top_um > length_um + SAMPLE_PAST_END_UM)) {
        err_set(err, STATUS_RULE, typed, "%s cm lies outside the section, which is 0-%s cm",
                length_text(top_um, UNIT_CM, 1).text, length_text(length_um, UNIT_CM, 1).text);
        return err_hint(err, "offsets are centimetres from the section top");
    }
    out->top = (struct place){&target->hole, &target->core, target->section->number, top_um};
    out->bottom = out->top;
    out->bottom.offset_um = bottom_um == LENGTH_NONE ? top_um : bottom_um;
    return STATUS_OK;
}

/* Top and bottom on a scale. Below core level DSF and DRF are those of the core's run. */
static void span_depths(const struct span *span, enum scale scale, struct depth *top, struct depth *bottom)
{
    const struct core *core = &span->target.core;
    const struct hole *hole = &span->target.hole;
    if (scale == SCALE_DRF || scale == SCALE_DSF) {
        *top = drilled_depth(hole, core->top_um, core->datum, scale, NULL);
        *bottom = drilled_depth(hole, core_bottom(core), core->datum, scale, NULL);
        return;
    }
    if (!span->in_core) {
        *top = (struct depth){.um = LENGTH_NONE,
                              .low_um = LENGTH_NONE,
                              .high_um = LENGTH_NONE,
                              .why = core_recovered(core) == 0 ? "the barrel came up empty" : "no section is recorded"};
        *bottom = *top;
        return;
    }
    *top = place_depth(&span->top, scale, NULL);
    *bottom = place_depth(&span->bottom, scale, NULL);
}

enum { DEPTH_COLUMNS = 11 };

static enum status add_depth_row(struct run *run, const char *typed, struct sheet *sheet, struct err *err)
{
    struct span span;
    struct depth dsf[2];
    struct depth a[2];
    struct depth b[2];
    char mid[LENGTH_TEXT_MAX] = "";
    TRY(read_span(run, typed, &span, err));
    span_depths(&span, SCALE_DSF, &dsf[0], &dsf[1]);
    span_depths(&span, SCALE_CSF_A, &a[0], &a[1]);
    span_depths(&span, SCALE_CSF_B, &b[0], &b[1]);
    if (a[0].um != LENGTH_NONE && a[1].um != LENGTH_NONE)
        length_format((a[0].um + a[1].um) / 2, run->unit, 3, mid);
    /* A bound is missing when the run's advance or recovery is; that is shown as not known. */
    const struct length_text um[] = {
        run_length(run, a[0].um, 3),     run_length(run, a[1].um, 3),
        run_length(run, a[0].low_um, 3), run_length(run, a[1].um == LENGTH_NONE ? LENGTH_NONE : a[1].high_um, 3),
        run_length(run, b[0].um, 3),     run_length(run, b[1].um, 3),
        run_length(run, dsf[0].um, 3),   run_length(run, dsf[1].um, 3)};
    const char *why = span_note(&span, &a[0], &b[0]);
    const char *cells[DEPTH_COLUMNS] = {span.name,  um[0].text, um[1].text, mid,        um[2].text, um[3].text,
                                        um[4].text, um[5].text, um[6].text, um[7].text, why};
    return sheet_add(sheet, cells, err);
}

/* Names a line each from standard input; a line that is refused is told and counted, and the rest goes on. */
static enum status add_lines(struct run *run, struct sheet *sheet, size_t *refused, struct err *err)
{
    char line[512];
    for (size_t number = 1; fgets(line, sizeof line, run->in); number++) {
        line[strcspn(line, "\r\n")] = '\0';
        if (!*line)
            continue;
        struct err own = {0};
        struct arena scratch; /* what a name reads dies with its row; the sheet keeps its own copies */
        struct arena *const whole = run->arena;
        arena_init(&scratch, ARENA_LIMIT_BYTES);
        run->arena = &scratch;
        const enum status status = add_depth_row(run, line, sheet, &own);
        run->arena = whole;
        arena_clear(&scratch);
        if (status == STATUS_OK)
            continue;
        if (own.status == STATUS_SYSTEM || own.status == STATUS_DAMAGED) {
            *err = own;
            return own.status;
        }
        (void)fprintf(run->talk, "line %zu: %s: %s\n", number, own.subject, own.reason);
        const char *cells[DEPTH_COLUMNS] = {line, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, own.reason};
        TRY(sheet_add(sheet, cells, err));
        (*refused)++;
    }
    if (ferror(run->in))
        return err_set(err, STATUS_SYSTEM, "standard input", "could not be read");
    return STATUS_OK;
}

static enum status run_depth(struct run *run, struct err *err)
{
    struct sheet sheet;
    size_t refused = 0;
    TRY(run_open(run, STORE_READ, err));
    const char *unit = run_unit(run);
    const struct column columns[DEPTH_COLUMNS] = {
        {"name", NULL, false},          {"csf-a top", unit, true},    {"csf-a bottom", unit, true},
        {"csf-a mid", unit, true},      {"csf-a low", unit, true},    {"csf-a high", unit, true},
        {"csf-b top", unit, true},      {"csf-b bottom", unit, true}, {"dsf run top", unit, true},
        {"dsf run bottom", unit, true}, {"note", NULL, false}};
    sheet_init(&sheet, run->arena, columns, DEPTH_COLUMNS);
    if (run->arg_count == 1 && strcmp(run->args[0], "-") == 0)
        TRY(add_lines(run, &sheet, &refused, err));
    else
        for (size_t at = 0; at < run->arg_count; at++)
            TRY(add_depth_row(run, run->args[at], &sheet, err));
    TRY(run_print_sheet(run, &sheet, err));
    if (refused)
        return err_set(err, STATUS_INPUT, "standard input", "%zu of %zu names have no depth; they are listed above",
                       refused, sheet.row_count);
    return STATUS_OK;
}

static const struct option hole_option[] = {
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};

const struct command depth_command = {
    .words = "depth",
    .arguments = "NAME... | -",
    .purpose = "depths of cores, sections, samples, intervals and points on every scale, with bounds",
    .example = "depth 'U0012A-12H-3W, 45-47 cm' 'U0012A-12H-CC'",
    .detail = "DSF is the drilled interval of the core; CSF-A and CSF-B are the depths of the thing itself. low and "
              "high tell how\n"
              "far off CSF-A may be: core not recovered, driller's tolerance, heave. With - names are read from "
              "standard input,\n"
              "a line each.",
    .use = USE_READING,
    .options = hole_option,
    .least = 1,
    .most = 1000,
    .run = run_depth,
};

/* --- explain --- */

/* The commit behind an input, as text: "a1b2c3d4e5 2026-03-01T04:12:00Z Tamm". */
static enum status input_commit(struct run *run, const struct span *span, const struct depth_link *link,
                                const char **id, const char **who, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char when[INSTANT_TEXT_MAX];
    struct commit commit = {0};
    const struct target *target = &span->target;
    struct text text;
    struct bytes bytes;
    static const char *const of_run[] = {"top", "datum", NULL};
    static const char *const of_seafloor[] = {"seafloor",       "seafloor_by",       "mudline_bit",
                                              "mudline_stroke", "mudline_recovered", NULL};
    static const char *const of_tolerance[] = {"tolerance", "heave", NULL};
    static const char *const of_advance[] = {"top", "bottom", "advance_by", "recovered", "type", NULL};
    static const char *const of_offset[] = {"section", "top", "bottom", NULL};
    const struct sample *sample =
        target->sample < target->samples.sample_count ? &target->samples.samples[target->sample] : NULL;
    if (link->input == INPUT_SECTIONS_ABOVE || (link->input == INPUT_OFFSET && !sample)) {
        *id = NULL;
        *who = link->input == INPUT_OFFSET ? "as typed" : NULL; /* the sections follow with their own commits */
        return STATUS_OK;
    }
    core_path(target->hole_name, target->core.number, path);
    if (link->input == INPUT_SEAFLOOR || link->input == INPUT_TOLERANCE) {
        hole_path(target->hole_name, path);
        TRY(origin_find(run, path, &hole_table, pick_whole, NULL, &hole_table,
                        link->input == INPUT_SEAFLOOR ? of_seafloor : of_tolerance, &target->hole, &commit, err));
    } else if (link->input == INPUT_OFFSET) {
        samples_path(target->hole_name, target->core.number, path);
        TRY(origin_find(run, path, &sample_set_table, pick_sample, sample, &sample_table, of_offset, sample, &commit,
                        err));
    } else
        TRY(origin_find(run, path, &core_table, pick_whole, NULL, &core_table,
                        link->input == INPUT_CORE_TOP ? of_run : of_advance, &target->core, &commit, err));
    instant_format(commit.when, when);
    text_init(&text, run->arena);
    text_addf(&text, "%s, %s", commit.author, when);
    TRY(text_done(&text, &bytes, err));
    *who = bytes.data;
    return arena_copy(run->arena, commit.id, strlen(commit.id), id, err);
}

static enum status add_link(struct run *run, const struct span *span, const struct depth_link *link,
                            struct sheet *sheet, struct err *err)
{
    const char *id = NULL;
    const char *who = NULL;
    char step[64] = "";
    TRY(input_commit(run, span, link, &id, &who, err));
    if (link->amount_um != LENGTH_NONE)
        (void)snprintf(step, sizeof step, "%s%s", link->amount_um >= 0 && run->format == SHEET_PEOPLE ? "+" : "",
                       run_length(run, link->amount_um, 3).text);
    char short_id[16];
    (void)snprintf(short_id, sizeof short_id, "%.10s", id ? id : "");
    const struct length_text result = run_length(run, link->result_um, 3);
    const char *cells[] = {link->rule, step, result.text, short_id, who};
    return sheet_add(sheet, cells, err);
}

/* A section's own line: its length, and the commit that put it there. */
static enum status add_section_link(struct run *run, const struct span *span, const struct section *section,
                                    struct sheet *sheet, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char what[64];
    char label[SECTION_TEXT_MAX];
    char id[16];
    char when[INSTANT_TEXT_MAX];
    struct commit commit = {0};
    struct text text;
    struct bytes bytes;
    static const char *const of_length[] = {"curated", "liner", "voids", "pieces", "withdrawn", NULL};
    core_path(span->target.hole_name, span->target.core.number, path);
    TRY(origin_find(run, path, &core_table, pick_section, &section->number, &section_table, of_length, section, &commit,
                    err));
    section_format(section->number, label);
    (void)snprintf(what, sizeof what, "  section %s, curated length", label);
    (void)snprintf(id, sizeof id, "%.10s", commit.id);
    instant_format(commit.when, when);
    text_init(&text, run->arena);
    text_addf(&text, "%s, %s", commit.author, when);
    TRY(text_done(&text, &bytes, err));
    const struct length_text length = run_length(run, section_curated(section), 3);
    const char *cells[] = {what, length.text, NULL, id, bytes.data};
    return sheet_add(sheet, cells, err);
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
    const struct depth depth = span->in_core
                                   ? place_depth(&span->top, scale, &links)
                                   : drilled_depth(&span->target.hole, core->top_um, core->datum, scale, &links);
    sheet_init(&sheet, run->arena, columns, 5);
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
    }
    return run_print_sheet(run, &sheet, err);
}

static enum status run_explain(struct run *run, struct err *err)
{
    struct span span;
    struct name name;
    const char *wanted = run_option(run, "scale");
    TRY(run_open(run, STORE_READ, err));
    TRY(resolve_name(run, run->args[0], &name, err));
    if (name.level == NAME_BAG)
        return explain_bag(run, err);
    TRY(read_span(run, run->args[0], &span, err));
    enum scale scale = span.target.name.level > NAME_CORE ? SCALE_CSF_B : SCALE_DSF;
    if (wanted) {
        int at = 0;
        while (at < SCALE_COUNT && name_distance(wanted, scale_words[at]) != 0)
            at++;
        if (at == SCALE_COUNT) {
            err_set(err, STATUS_INPUT, wanted, "this is no depth scale that is kept here");
            return err_hint(err, "scales are DRF, DSF, CSF-A and CSF-B");
        }
        scale = (enum scale)at;
        if (!span.in_core && scale > SCALE_DSF)
            return err_set(err, STATUS_INPUT, wanted, "the core has no sections, so drilled depths only: DRF and DSF");
    }
    TRY(explain_scale(run, &span, scale, err));
    if (run->format == SHEET_PEOPLE)
        (void)fprintf(run->out, "%s: %s\nstate %.10s of the registry\n", scale_words[scale], scale_meanings[scale],
                      store_state(run->store));
    return STATUS_OK;
}

static const struct option explain_options[] = {
    {"scale", "SCALE", "DRF, DSF, CSF-A or CSF-B; the default is CSF-B, which passes every link"},
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
