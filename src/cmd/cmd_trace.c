/* SPDX-License-Identifier: MIT */
/* From a name to everything that is known of the thing: what and where it is, every depth with bounds, what corrected
 * it. One on a screen, or a table of them. */
#include <string.h>

#include "coretally/domain/recovery.h"
#include "bag_act.h"
#include "correction_text.h"
#include "label_trace.h"
#include "scale_rows.h"
#include "trace_file.h"
#include "trace_part.h"

/* A fact a line. */
static enum status add_fact(struct sheet *sheet, const char *what, struct text *value, struct err *err)
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
    text_init(&text, run->arena);
    recovery_format(core_recovered(&core), core_advance(&core), 1, percent);
    text_addf(&text, "%d%c, %s", (int)core.number, core.type, type ? type->meaning : "type not in the list");
    if (top.um != LENGTH_NONE)
        text_addf(&text, "; %s", run_length(run, top.um, 3).text);
    if (bottom.um != LENGTH_NONE)
        text_addf(&text, "-%s %s DRF", run_length(run, bottom.um, 3).text, run_unit(run));
    TRY(add_fact(sheet, "core", &text, err));
    if (core_recovered(&core) != LENGTH_NONE)
        text_addf(&text, "%s %s", run_length(run, core_recovered(&core), 3).text, run_unit(run));
    if (core_advance(&core) != LENGTH_NONE && core_recovered(&core) != LENGTH_NONE)
        text_addf(&text, " of %s %s, %s%s", run_length(run, core_advance(&core), 3).text, run_unit(run), percent,
                  strcmp(percent, "n/a") == 0 ? "" : " %");
    TRY(add_fact(sheet, "recovered", &text, err));
    if (core.on_deck.known) {
        instant_format(core.on_deck, deck);
        text_add(&text, deck);
    }
    TRY(add_fact(sheet, "on deck", &text, err));
    text_add(&text, core.hazard ? core.hazard : "");
    TRY(add_fact(sheet, "hazard of the core", &text, err));
    if (core.withdrawn)
        text_addf(&text, "the core is withdrawn: %s", core.withdrawn);
    return add_fact(sheet, "withdrawn", &text, err);
}

static enum status add_place_facts(struct run *run, const struct span *span, struct sheet *sheet, struct err *err)
{
    const struct target *target = &span->target;
    int32_t missing = 0;
    char label[SECTION_TEXT_MAX];
    struct text text;
    text_init(&text, run->arena);
    section_format(target->section->number, label);
    const int64_t start_um = core_section_start(&target->core, target->section->number, &missing);
    text_addf(&text, "%s", label);
    if (section_curated(target->section) != LENGTH_NONE)
        text_addf(&text, ", %s %s long", run_length(run, section_curated(target->section), 3).text, run_unit(run));
    if (start_um != LENGTH_NONE)
        text_addf(&text, ", begins %s %s below the core top", run_length(run, start_um, 3).text, run_unit(run));
    TRY(add_fact(sheet, "section", &text, err));
    if (target->name.level < NAME_POINT)
        return STATUS_OK;
    text_addf(&text, "%s", length_text(span->top.offset_um, UNIT_CM, 1).text);
    if (span->bottom.offset_um != span->top.offset_um)
        text_addf(&text, "-%s", length_text(span->bottom.offset_um, UNIT_CM, 1).text);
    text_add(&text, " cm from the section top");
    return add_fact(sheet, "interval", &text, err);
}

static enum status add_sample_facts(struct run *run, const struct span *span, struct sheet *sheet, struct err *err)
{
    static const char *const told[] = {"half",   "volume", "mass", "purpose", "requester", "taken",    "used_up",
                                       "hazard", "lab_id", "was",  "doubt",   "remark",    "withdrawn"};
    const struct target *target = &span->target;
    const struct sample_set *set = &target->samples;
    struct text text;
    char key[SAMPLE_KEY_MAX];
    text_init(&text, run->arena);
    if (target->sample >= set->sample_count) {
        text_add(&text, "no sample of this interval is recorded; the depths are those of the place");
        return target->name.level == NAME_SAMPLE ? add_fact(sheet, "sample", &text, err) : STATUS_OK;
    }
    const struct sample *sample = &set->samples[target->sample];
    for (size_t at = 0; at < sizeof told / sizeof told[0]; at++) {
        const struct field *field = field_find(&sample_table, told[at]);
        field_format(field, sample, &text);
        if (text.len && field->suffix)
            text_addf(&text, " %s", field->suffix);
        TRY(add_fact(sheet, told[at], &text, err));
    }
    if (sample->of)
        text_add(&text, sample->of);
    TRY(add_fact(sheet, "sub-sample of", &text, err));
    sample_key(sample, key);
    for (size_t at = 0; at < set->sample_count; at++) {
        char name[NAME_TEXT_MAX];
        if (!set->samples[at].of || strcmp(set->samples[at].of, key) != 0 || set->samples[at].withdrawn)
            continue;
        target_sample_name(run, target, &set->samples[at], name);
        text_addf(&text, "%s%s", text.len ? "; " : "", name);
    }
    return add_fact(sheet, "sub-samples", &text, err);
}

/* A correction that moved it: how far, on the first scale that shows it. */
struct moved {
    const struct correction *correction;
    const struct hole *hole;
    enum scale scale;
    int64_t amount_um;
};

enum { MOVED_MAX = DEPTH_LINKS_MAX };

struct gathered {
    struct moved items[MOVED_MAX];
    size_t count;
};

/* The corrections among the links of a scale that no scale before has shown. */
static void gather(struct gathered *gathered, enum scale scale, const struct depth_links *links)
{
    const size_t before = gathered->count;
    for (size_t at = 0; at < links->count; at++) {
        const struct depth_link *link = &links->items[at];
        size_t place = 0;
        while (place < gathered->count && gathered->items[place].correction != link->correction)
            place++;
        if (!link->correction || place < before || place == MOVED_MAX)
            continue;
        if (place == gathered->count)
            gathered->items[gathered->count++] = (struct moved){link->correction, link->hole, scale, 0};
        if (link->amount_um != LENGTH_NONE)
            gathered->items[place].amount_um += link->amount_um;
    }
}

static void gather_span(const struct span *span, struct gathered *out)
{
    static const enum scale scales[] = {SCALE_CSF_B, SCALE_CCSF, SCALE_CCSF_B, SCALE_CCSF_D, SCALE_WMSF, SCALE_TVD};
    for (size_t at = 0; at < sizeof scales / sizeof scales[0]; at++) {
        struct depth_links links = {0};
        if (span->in_core)
            (void)place_depth(&span->top, scales[at], &links);
        else
            (void)core_top_depth(&span->target.hole, &span->target.core, at ? SCALE_TVD : SCALE_DSF, &links);
        gather(out, span->in_core ? scales[at] : at ? SCALE_TVD : SCALE_DSF, &links);
    }
}

static void gather_bag(const struct hole *hole, const struct lag_passage *passage, struct gathered *out)
{
    static const enum scale scales[] = {SCALE_DSF, SCALE_TVD};
    const struct instant cut = {.utc_us = passage->cut_us, .known = true};
    for (size_t at = 0; at < 2; at++) {
        struct depth_links links = {0};
        (void)drilled_depth(hole, passage->hole_um, DATUM_RIG_FLOOR, cut, scales[at], &links);
        gather(out, scales[at], &links);
    }
}

static enum status add_moved(struct run *run, const struct moved *moved, struct sheet *sheet, struct err *err)
{
    const struct depth_link link = {.input = INPUT_CORRECTION, .correction = moved->correction, .hole = moved->hole};
    struct commit commit = {0};
    struct text why;
    struct bytes bytes;
    char number[32];
    char hole[HOLE_TEXT_MAX];
    char id[16];
    char when[INSTANT_TEXT_MAX];
    TRY(link_commit(run, &link, &commit, err));
    hole_text(moved->hole, hole);
    (void)snprintf(number, sizeof number, "%s %d", hole, (int)moved->correction->number);
    (void)snprintf(id, sizeof id, "%.10s", commit.id);
    instant_format(commit.when, when);
    text_init(&why, run->arena);
    correction_add_why(moved->correction, &why);
    TRY(text_done(&why, &bytes, err));
    const char *cells[] = {number,
                           correction_words[moved->correction->kind],
                           scale_words[moved->scale],
                           run_length(run, moved->amount_um, 3).text,
                           id,
                           commit.author,
                           when,
                           bytes.data};
    return sheet_add(sheet, cells, err);
}

enum { TRACE_FACTS, TRACE_DEPTHS, TRACE_CORRECTIONS, TRACE_SHEETS };

/* What a person reads first: the label in the hand, if it is stale; then what the thing is. */
static void add_people(struct text *out, const struct sheet sheets[TRACE_SHEETS], const struct label_report *labels)
{
    const struct sheet *const order[] = {&labels->since, &sheets[TRACE_FACTS], &sheets[TRACE_DEPTHS],
                                         &sheets[TRACE_CORRECTIONS], &labels->labels};
    bool is_first = !labels->verdict;
    if (labels->verdict)
        text_addf(out, "%s\n", labels->verdict);
    for (size_t at = 0; at < sizeof order / sizeof order[0]; at++) {
        if (!order[at]->row_count)
            continue;
        text_add(out, is_first || at == 0 ? "" : "\n");
        sheet_render(order[at], SHEET_PEOPLE, out);
        is_first = false;
    }
}

/* Tables one below the other, or the members of one object; as CSV the depths alone. */
static enum status print_trace(struct run *run, const char *name, const struct sheet sheets[TRACE_SHEETS],
                               const struct label_report *labels, struct err *err)
{
    static const char *const keys[] = {"facts", "depths", "corrections", "labels", "since_label"};
    const struct sheet *const members[] = {&sheets[TRACE_FACTS], &sheets[TRACE_DEPTHS], &sheets[TRACE_CORRECTIONS],
                                           &labels->labels, &labels->since};
    struct text text;
    text_init(&text, run->arena);
    if (run->format == SHEET_CSV)
        sheet_render(&sheets[TRACE_DEPTHS], run->format, &text);
    else if (run->format == SHEET_PEOPLE) {
        text_addf(&text, "%s\n", name);
        add_people(&text, sheets, labels);
        text_addf(&text, "%sstate %.10s of the registry; step by step: coretally explain '%s'\n",
                  sheets[TRACE_CORRECTIONS].row_count ? "" : "no correction has moved it\n", store_state(run->store),
                  name);
    } else {
        text_add(&text, "{\"name\":");
        text_add_json(&text, name);
        text_addf(&text, ",\"stale\":%s", labels->is_stale ? "true" : "false");
        for (size_t at = 0; at < sizeof keys / sizeof keys[0]; at++) {
            text_addf(&text, ",\"%s\":", keys[at]);
            sheet_render(members[at], run->format, &text);
        }
        text_addf(&text, ",\"state\":\"%s\"}\n", store_state(run->store));
    }
    return run_print_text(run, &text, err);
}

static enum status add_span(struct run *run, const char *typed, const char **name, struct sheet *facts,
                            struct sheet *corrections, struct err *err)
{
    struct span *span = NULL;
    struct gathered gathered = {.count = 0};
    TRY(arena_take(run->arena, 1, sizeof *span, &span, err));
    TRY(span_read(run, typed, span, err));
    *name = span->name;
    TRY(add_core_facts(run, span, facts, err));
    if (span->target.section)
        TRY(add_place_facts(run, span, facts, err));
    TRY(add_sample_facts(run, span, facts, err));
    gather_span(span, &gathered);
    for (size_t at = 0; at < gathered.count; at++)
        TRY(add_moved(run, &gathered.items[at], corrections, err));
    return STATUS_OK;
}

static enum status add_bag(struct run *run, const struct name *name, const char **printed, struct sheet *facts,
                           struct sheet *corrections, struct err *err)
{
    static const char *const told[] = {"from",     "to",     "mass",         "volume",   "lithology",
                                       "fraction", "washed", "contaminants", "bypassed", "requester",
                                       "hazard",   "doubt",  "remark",       "withdrawn"};
    struct target target = {.name = *name};
    struct bag_target at = {0};
    struct text text;
    TRY(resolve_hole(run, name, &target, err));
    TRY(bag_read(run, &target, name->bag, name->bag_number, &at, err));
    if (!at.bag)
        return err_set(err, STATUS_UNKNOWN, at.name, "it is not recorded");
    TRY(arena_copy(run->arena, at.name, strlen(at.name), printed, err));
    text_init(&text, run->arena);
    for (size_t field = 0; field < sizeof told / sizeof told[0]; field++) {
        field_format(field_find(&bag_table, told[field]), at.bag, &text);
        TRY(add_fact(facts, told[field], &text, err));
    }
    struct lag_hole hole;
    struct lag_depth depth;
    struct gathered gathered = {.count = 0};
    TRY(lag_hole_try(run, &at.target, &hole, err));
    const enum status status = bag_depth(run, &hole, at.set.kind, at.bag, &depth, err);
    lag_hole_close(&hole);
    TRY(status);
    if (!depth.why)
        gather_bag(&at.target.hole, &depth.first, &gathered);
    for (size_t moved = 0; moved < gathered.count; moved++)
        TRY(add_moved(run, &gathered.items[moved], corrections, err));
    return STATUS_OK;
}

/* The rows without their name. For people the made scales that the thing does not have are left out, but named. */
static enum status take_depths(struct run *run, const struct sheet *rows, struct sheet *out, struct err *err)
{
    struct text without;
    struct bytes bytes = {0};
    text_init(&without, run->arena);
    for (size_t at = 0; at < rows->row_count; at++) {
        const char **cells = rows->cells + at * SCALE_COLUMNS + 1;
        const bool is_known = cells[2] && *cells[2];
        const enum scale scale = scale_find(cells[0]);
        if (run->format != SHEET_PEOPLE || is_known || scale < SCALE_CCSF)
            TRY(sheet_add(out, cells, err));
        else
            text_addf(&without, "%s%s", without.len ? ", " : "", cells[0]);
    }
    TRY(text_done(&without, &bytes, err));
    if (bytes.len)
        (void)fprintf(run->talk, "note: no depth on %s; coretally depth --scale all says why\n", bytes.data);
    return STATUS_OK;
}

static enum status run_trace(struct run *run, struct err *err)
{
    static const struct column facts[] = {{"what", NULL, false}, {"value", NULL, false}};
    const struct column corrections[] = {
        {"correction", NULL, false}, {"what", NULL, false}, {"scale", NULL, false}, {"moved", run_unit(run), true},
        {"commit", NULL, false},     {"by", NULL, false},   {"when", NULL, false},  {"reason", NULL, false}};
    const struct scales all = {true, SCALE_DRF, SCALE_TVDSF};
    struct column depths[SCALE_COLUMNS];
    struct sheet sheets[TRACE_SHEETS];
    struct label_report labels;
    struct name name;
    const char *printed = run->arg_count ? run->args[0] : NULL;
    if ((run_option(run, "file") != NULL) == (run->arg_count == 1)) {
        err_set(err, STATUS_USAGE, "trace", "type one name, or --file with a table of them");
        return err_hint(err, "for example: coretally %s", run->command->example);
    }
    if (run_option(run, "file"))
        return trace_file(run, run_option(run, "file"), err);
    TRY(run_open(run, STORE_READ, err));
    scale_columns(run, depths);
    sheet_init(&sheets[TRACE_FACTS], run->arena, facts, 2);
    sheet_init(&sheets[TRACE_DEPTHS], run->arena, depths + 1, SCALE_COLUMNS - 1); /* the name stands above */
    sheet_init(&sheets[TRACE_CORRECTIONS], run->arena, corrections, sizeof corrections / sizeof corrections[0]);
    const char *typed = NULL;
    TRY(trace_part(run, run->args[0], &typed, err));
    TRY(resolve_name(run, typed, &name, err));
    if (name.level == NAME_BAG)
        TRY(add_bag(run, &name, &printed, &sheets[TRACE_FACTS], &sheets[TRACE_CORRECTIONS], err));
    else
        TRY(add_span(run, typed, &printed, &sheets[TRACE_FACTS], &sheets[TRACE_CORRECTIONS], err));
    struct sheet rows;
    sheet_init(&rows, run->arena, depths, SCALE_COLUMNS);
    TRY(scale_rows_add(run, &all, typed, &rows, err));
    TRY(take_depths(run, &rows, &sheets[TRACE_DEPTHS], err));
    TRY(label_report(run, typed, &name, &labels, err));
    return print_trace(run, printed, sheets, &labels, err);
}

static const struct option trace_options[] = {
    {"file", "FILE", "a CSV table of names, - for standard input; it comes out row by row with depths behind"},
    {"column", "NAME", "which column holds the names; default: name"},
    {"scale", "SCALES", "with --file: one or more scales, by ','; default: CSF-A"},
    {"any-interval", NULL, "with --file: intervals that are no recorded sample have depths, too"},
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};

const struct command trace_command = {
    .words = "trace",
    .arguments = "NAME | --file FILE",
    .purpose =
        "from a name to what is known of it: where it sits, every depth with bounds, what moved it; or a whole table",
    .example = "trace 'U0012A-12H-3W, 45-47 cm'",
    .detail = "With --file the rows of a table keyed by names come out in their order, their own columns first, then "
              "for each\n"
              "scale top, bottom, low, high and method. Names that are not found keep their row, with a note; they are "
              "counted\n"
              "and listed, and the exit code says so. It works from a clone, without any link.",
    .use = USE_READING,
    .options = trace_options,
    .least = 0,
    .most = 1,
    .run = run_trace,
};
