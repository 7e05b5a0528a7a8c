/* SPDX-License-Identifier: MIT */
/* Depths of anything that has a name, one or many: a row a name with the usual scales, or a row a scale. */
#include <string.h>
#include <strings.h>

#include "coretally/say/scale_rows.h"
#include "coretally/state/open.h"

static enum status run_depth(struct run *run, struct err *err);

static const struct option depth_options[] = {
    {"scale", "SCALE", "one scale (CCSF, TVD, ...) or all: a row each, with the method it was made by"},
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
              "far off CSF-A may be: core not recovered, driller's tolerance, heave, tide. With - names are read from "
              "standard input,\none a line.",
    .use = USE_READING,
    .options = depth_options,
    .least = 1,
    .most = 1000,
    .run = run_depth,
};

enum { DEPTH_COLUMNS = 11 };

/* The scales that are asked for; by_scale false: a row with the usual ones. */
struct scales {
    bool by_scale;
    enum scale first;
    enum scale last;
};

static enum status add_depth_row(struct state *state, const char *typed, struct sheet *sheet, struct err *err)
{
    struct span span;
    struct depth dsf[2];
    struct depth a[2];
    struct depth b[2];
    TRY(span_read(state, typed, &span, err));
    span_depths(&span, SCALE_DSF, &dsf[0], &dsf[1]);
    span_depths(&span, SCALE_CSF_A, &a[0], &a[1]);
    span_depths(&span, SCALE_CSF_B, &b[0], &b[1]);
    const char *note = span_note(&span, &a[0], &b[0]);
    if (span.target.sample < span.target.samples.sample_count) {
        const struct record_at own = record_of_sample(span.target.hole_name, span.target.core.number,
                                                      &span.target.samples.samples[span.target.sample]);
        TRY(open_note(state, &own, note, &note, err));
    }
    TRY(open_note_depth(state, span.target.hole_name, span.target.core.number, note, &note, err));
    const bool is_known = a[0].um != LENGTH_NONE && a[1].um != LENGTH_NONE;
    /* A bound is missing when the run's advance or recovery is; that is shown as not known. */
    const struct cell cells[DEPTH_COLUMNS] = {
        cell_text(span.name),
        cell_length(a[0].um, 3),
        cell_length(a[1].um, 3),
        cell_length(is_known ? (a[0].um + a[1].um) / 2 : LENGTH_NONE, 3),
        cell_length(a[0].low_um, 3),
        cell_length(a[1].um == LENGTH_NONE ? LENGTH_NONE : a[1].high_um, 3),
        cell_length(b[0].um, 3),
        cell_length(b[1].um, 3),
        cell_length(dsf[0].um, 3),
        cell_length(dsf[1].um, 3),
        cell_text(note),
    };
    return sheet_add_row(sheet, cells, err);
}

static enum status add_scale_rows(struct run *run, struct state *state, const struct scales *asked, const char *typed,
                                  struct sheet *sheet, struct err *err)
{
    struct on_scales all;
    TRY(on_scales_find(state, typed, asked->first, asked->last, &all, err));
    if (all.is_bag)
        run_say_caution(run);
    for (size_t at = 0; at < all.count; at++) {
        struct cell row[SCALE_COLUMNS];
        scale_row(all.name, &all.items[at], row);
        TRY(sheet_add_row(sheet, row, err));
    }
    return STATUS_OK;
}

static enum status add_rows(struct run *run, struct state *state, const struct scales *asked, const char *typed,
                            struct sheet *sheet, struct err *err)
{
    return asked->by_scale ? add_scale_rows(run, state, asked, typed, sheet, err)
                           : add_depth_row(state, typed, sheet, err);
}

static enum status read_asked(struct run *run, struct scales *out, struct err *err)
{
    const char *scale = run_option(run, "scale");
    *out = (struct scales){.by_scale = scale != NULL, .first = SCALE_DRF, .last = SCALE_TVDSF};
    if (!scale || strcasecmp(scale, "all") == 0)
        return STATUS_OK;
    TRY(scale_typed(scale, &out->first, err));
    out->last = out->first;
    return STATUS_OK;
}

/* Names a line each from standard input; a line that is refused is told and counted, and the rest goes on. shelf: holds
 * what the names have in common; a long list must not fill the memory, so a full one is emptied. */
static enum status add_lines(struct run *run, struct state *shelf, const struct scales *asked, struct sheet *sheet,
                             size_t *refused, struct err *err)
{
    char line[512];
    for (size_t number = 1; fgets(line, sizeof line, run->in); number++) {
        line[strcspn(line, "\r\n")] = '\0';
        if (!*line)
            continue;
        struct err own = {0};
        struct state inner; /* what is worked out of a name dies with its row; the sheet keeps its own copies */
        if (shelf->own.used >= NAMES_SHELF_BYTES) {
            state_leave(shelf);
            state_nest(run->state, shelf);
        }
        state_nest_results(shelf, &inner);
        const enum status status = add_rows(run, &inner, asked, line, sheet, &own);
        state_leave(&inner);
        if (status == STATUS_OK)
            continue;
        if (own.status == STATUS_SYSTEM || own.status == STATUS_DAMAGED) {
            *err = own;
            return own.status;
        }
        (void)fprintf(run->talk, "line %zu: %s: %s\n", number, own.subject, own.reason);
        struct cell cells[DEPTH_COLUMNS] = {cell_text(line)}; /* nothing is all zero */
        cells[(asked->by_scale ? SCALE_COLUMNS : DEPTH_COLUMNS) - 1] = cell_text(own.reason);
        TRY(sheet_add_row(sheet, cells, err));
        (*refused)++;
    }
    if (ferror(run->in))
        return err_set(err, STATUS_SYSTEM, "standard input", "could not be read");
    return STATUS_OK;
}

static enum status add_input(struct run *run, const struct scales *asked, struct sheet *sheet, size_t *refused,
                             struct err *err)
{
    struct state shelf;
    state_nest(run->state, &shelf);
    const enum status status = add_lines(run, &shelf, asked, sheet, refused, err);
    state_leave(&shelf);
    return status;
}

static enum status run_depth(struct run *run, struct err *err)
{
    struct sheet sheet;
    size_t refused = 0;
    struct scales asked;
    TRY(read_asked(run, &asked, err));
    TRY(run_open(run, STORE_READ, err));
    const char *unit = run_unit(run);
    struct column by_scale[SCALE_COLUMNS];
    const struct column columns[DEPTH_COLUMNS] = {
        {"name", NULL, false},          {"csf-a top", unit, true},    {"csf-a bottom", unit, true},
        {"csf-a mid", unit, true},      {"csf-a low", unit, true},    {"csf-a high", unit, true},
        {"csf-b top", unit, true},      {"csf-b bottom", unit, true}, {"dsf run top", unit, true},
        {"dsf run bottom", unit, true}, {"note", NULL, false}};
    scale_columns(run, by_scale);
    sheet_init(&sheet, run->state->arena, asked.by_scale ? by_scale : columns,
               asked.by_scale ? SCALE_COLUMNS : DEPTH_COLUMNS);
    if (run->arg_count == 1 && strcmp(run->args[0], "-") == 0)
        TRY(add_input(run, &asked, &sheet, &refused, err));
    else
        for (size_t at = 0; at < run->arg_count; at++)
            TRY(add_rows(run, run->state, &asked, run->args[at], &sheet, err));
    TRY(run_print_sheet(run, &sheet, err));
    if (refused)
        return err_set(err, STATUS_INPUT, "standard input", "%zu of %zu names have no depth; they are listed above",
                       refused, sheet.row_count);
    return STATUS_OK;
}
