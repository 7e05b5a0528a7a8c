/* SPDX-License-Identifier: MIT */
/* From a name to everything that is known of the thing: what and where it is, every depth with bounds, what corrected
 * it. One on a screen, or a table of them. */
#include <string.h>

#include "coretally/say/label_trace_say.h"
#include "coretally/say/scale_rows.h"
#include "trace_file.h"
#include "coretally/ask/trace_part.h"
#include "coretally/say/trace_say.h"

static enum status run_trace(struct run *run, struct err *err);

static const struct option trace_options[] = {
    {"file", "FILE", "a CSV table of names, - for standard input; it comes out row by row with depths behind"},
    {"column", "NAME", "which column holds the names; default: name"},
    {"scale", "SCALES", "with --file: one or more scales, by ','; default: CSF-A"},
    {"any-interval", NULL, "with --file: gives depths for intervals that are not recorded samples, too"},
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

enum { TRACE_FACTS, TRACE_DEPTHS, TRACE_CORRECTIONS, TRACE_SHEETS };

/* The labels of a thing as they are shown. */
struct label_sheets {
    struct sheet labels;
    struct sheet since;
    const char *verdict; /* a line a thing; NULL where there is nothing to say */
    bool is_stale;
};

/* What a person reads first: the label in the hand, if it is stale; then what the thing is. */
static void add_people(struct text *out, const struct sheet sheets[TRACE_SHEETS], const struct label_sheets *labels)
{
    const struct sheet *const order[] = {&labels->since, &sheets[TRACE_FACTS], &sheets[TRACE_DEPTHS],
                                         &sheets[TRACE_CORRECTIONS], &labels->labels};
    bool is_first = !labels->verdict;
    if (labels->verdict)
        text_add(out, labels->verdict);
    for (size_t at = 0; at < sizeof order / sizeof order[0]; at++) {
        if (!order[at]->row_count)
            continue;
        text_add(out, is_first || at == 0 ? "" : "\n");
        sheet_render(order[at], SHEET_PEOPLE, out);
        is_first = false;
    }
}

/* Tables one below the other, or the members of one object; as CSV the depths alone. */
static enum status print_trace(struct run *run, const char *name, bool is_bag, const struct sheet sheets[TRACE_SHEETS],
                               const struct label_sheets *labels, struct err *err)
{
    static const char *const keys[] = {"facts", "depths", "corrections", "labels", "since_label"};
    const struct sheet *const members[] = {&sheets[TRACE_FACTS], &sheets[TRACE_DEPTHS], &sheets[TRACE_CORRECTIONS],
                                           &labels->labels, &labels->since};
    struct text text;
    text_init(&text, run->state->arena);
    if (run->format == SHEET_CSV)
        sheet_render(&sheets[TRACE_DEPTHS], run->format, &text);
    else if (run->format == SHEET_PEOPLE) {
        text_addf(&text, "%s\n", name);
        add_people(&text, sheets, labels);
        if (!sheets[TRACE_CORRECTIONS].row_count) {
            text_add(&text, "no correction has moved it");
            if (is_bag)
                text_addf(&text, "; what its lag did: coretally history '%s'", name);
            text_add(&text, "\n");
        }
        text_addf(&text, "state %.10s of the registry; step by step: coretally explain '%s'\n",
                  store_state(run->state->store), name);
    } else {
        text_add(&text, "{\"name\":");
        text_add_json(&text, name);
        text_addf(&text, ",\"stale\":%s", labels->is_stale ? "true" : "false");
        for (size_t at = 0; at < sizeof keys / sizeof keys[0]; at++) {
            text_addf(&text, ",\"%s\":", keys[at]);
            sheet_render(members[at], run->format, &text);
        }
        text_addf(&text, ",\"state\":\"%s\"}\n", store_state(run->state->store));
    }
    return run_print_text(run, &text, err);
}

/* The depths of one thing, without its name, which stands above. For people the made scales that it does not have are
 * left out, but named. */
static enum status add_depths(struct run *run, const struct trace *trace, struct sheet *out, struct err *err)
{
    struct on_scales all;
    struct text without;
    struct bytes bytes = {0};
    if (trace->span)
        on_scales_of_span(trace->span, SCALE_DRF, SCALE_TVDSF, &all);
    else {
        TRY(on_scales_of_bag(run->state, trace->bag, SCALE_DRF, SCALE_TVDSF, &all, err));
        run_say_caution(run);
    }
    text_init(&without, run->state->arena);
    for (size_t at = 0; at < all.count; at++) {
        const struct on_scale *it = &all.items[at];
        struct cell row[SCALE_COLUMNS];
        scale_row(all.name, it, row);
        if (run->format != SHEET_PEOPLE || it->top_um != LENGTH_NONE || it->scale < SCALE_CCSF)
            TRY(sheet_add_row(out, row + 1, err));
        else
            text_addf(&without, "%s%s", without.len ? ", " : "", it->word);
    }
    TRY(text_done(&without, &bytes, err));
    if (bytes.len)
        (void)fprintf(run->talk, "note: no depth on %s; coretally depth --scale all says why\n", bytes.data);
    return STATUS_OK;
}

static enum status show_labels(struct arena *arena, const struct label_report *report, const struct name *name,
                               struct label_sheets *out, struct err *err)
{
    struct text verdict;
    struct bytes bytes = {0};
    TRY(label_trace_rows(arena, report, &out->labels, err));
    TRY(label_since_rows(arena, report, &out->since, err));
    text_init(&verdict, arena);
    label_verdicts_add(report, name, &verdict);
    TRY(text_done(&verdict, &bytes, err));
    out->verdict = bytes.len ? bytes.data : NULL;
    out->is_stale = report->stale != NULL;
    return STATUS_OK;
}

/* Labels that cannot be read stop no trace. */
static enum status read_labels(struct run *run, const char *typed, const struct name *name, struct label_sheets *out,
                               struct err *err)
{
    struct label_report report = {.stale = NULL};
    struct err unread = {0};
    const enum status status = label_report(run->state, typed, name, &report, &unread);
    if (status == STATUS_DAMAGED)
        (void)fprintf(run->talk, "note: its labels cannot be read: %s: %s\n", unread.subject, unread.reason);
    else if (status != STATUS_OK) {
        *err = unread;
        return status;
    }
    return show_labels(run->state->arena, &report, name, out, err);
}

/* What is no more may have a label in somebody's hand. Without one the refusal stands. */
static enum status report_gone(struct run *run, const char *typed, const struct name *name, const struct err *refusal,
                               const struct sheet sheets[TRACE_SHEETS], struct err *err)
{
    struct label_sheets labels = {.verdict = NULL};
    struct target target;
    struct err absent = {0};
    if (resolve_hole(run->state, name, &target, &absent) == STATUS_OK)
        TRY(read_labels(run, typed, name, &labels, err));
    if (status_is_failure(absent.status)) {
        *err = absent;
        return absent.status;
    }
    if (absent.status != STATUS_OK || !labels.labels.row_count) {
        *err = *refusal;
        return refusal->status;
    }
    (void)fprintf(run->talk, "note: %s: %s\n", refusal->subject, refusal->reason);
    return print_trace(run, typed, name->level == NAME_BAG, sheets, &labels, err);
}

static enum status run_trace(struct run *run, struct err *err)
{
    static const struct column facts[] = {{"what", NULL, false}, {"value", NULL, false}};
    const struct column corrections[] = {
        {"correction", NULL, false}, {"what", NULL, false}, {"scale", NULL, false}, {"moved", run_unit(run), true},
        {"commit", NULL, false},     {"by", NULL, false},   {"when", NULL, false},  {"reason", NULL, false}};
    struct column depths[SCALE_COLUMNS];
    struct sheet sheets[TRACE_SHEETS];
    struct label_sheets labels = {.verdict = NULL};
    struct name name;
    if ((run_option(run, "file") != NULL) == (run->arg_count == 1)) {
        err_set(err, STATUS_USAGE, "trace", "type one name, or --file with a table of them");
        return err_hint(err, "for example: coretally %s", run->command->example);
    }
    if (run_option(run, "file"))
        return trace_file(run, run_option(run, "file"), err);
    TRY(run_open(run, STORE_READ, err));
    scale_columns(run, depths);
    sheet_init(&sheets[TRACE_FACTS], run->state->arena, facts, 2);
    sheet_init(&sheets[TRACE_DEPTHS], run->state->arena, depths + 1, SCALE_COLUMNS - 1); /* the name stands above */
    sheet_init(&sheets[TRACE_CORRECTIONS], run->state->arena, corrections, sizeof corrections / sizeof corrections[0]);
    const char *typed = NULL;
    TRY(trace_part(run->state, run->args[0], &typed, &name, err));
    struct trace trace;
    struct err refusal = {0};
    const enum status status = trace_look(run->state, typed, &name, &trace, &refusal);
    if (status == STATUS_UNKNOWN || status == STATUS_RULE) /* it may have a label that tells more */
        return report_gone(run, typed, &name, &refusal, sheets, err);
    if (status != STATUS_OK) {
        *err = refusal;
        return status;
    }
    TRY(trace_facts_add(run, &trace, &sheets[TRACE_FACTS], err));
    TRY(trace_moved_add(run, &trace, &sheets[TRACE_CORRECTIONS], err));
    TRY(add_depths(run, &trace, &sheets[TRACE_DEPTHS], err));
    TRY(read_labels(run, typed, &name, &labels, err));
    return print_trace(run, trace.name, name.level == NAME_BAG, sheets, &labels, err);
}
