/* SPDX-License-Identifier: MIT */
/* Depths of anything that has a name, one or many: a row a name with the usual scales, or a row a scale. */
#include <string.h>
#include <strings.h>

#include "coretally/base/limits.h"
#include "bag_act.h"
#include "span.h"

enum { DEPTH_COLUMNS = 11, SCALE_COLUMNS = 9 };

/* The scales that --scale asks for; none: the usual table. */
struct asked {
    bool by_scale;
    enum scale first;
    enum scale last;
};

/* One row: a name on one scale, with the method that the scale was made by. */
static enum status add_scale_row(struct run *run, const struct span *span, enum scale scale, struct sheet *sheet,
                                 struct err *err)
{
    struct depth top;
    struct depth bottom;
    span_depths(span, scale, &top, &bottom);
    const bool is_known = top.um != LENGTH_NONE && bottom.um != LENGTH_NONE;
    const bool is_upside_down = is_known && bottom.um < top.um; /* kept although typed so */
    const struct length_text um[] = {run_length(run, top.um, 3), run_length(run, bottom.um, 3),
                                     run_length(run, is_known ? (top.um + bottom.um) / 2 : LENGTH_NONE, 3),
                                     run_length(run, is_upside_down ? bottom.low_um : top.low_um, 3),
                                     run_length(run, is_upside_down ? top.high_um : bottom.high_um, 3)};
    const char *method = top.um == LENGTH_NONE ? bottom.method : top.method;
    const char *cells[SCALE_COLUMNS] = {span->name, scale_words[scale], method,
                                        um[0].text, um[1].text,         um[2].text,
                                        um[3].text, um[4].text,         span_note(span, &top, &bottom)};
    return sheet_add(sheet, cells, err);
}

/* A bag on MRF and MSF, and by the survey on TVD and TVDSF; the other scales are those of cores. */
static enum status add_bag_row(struct run *run, const struct bag_target *at, const struct lag_depth *bag,
                               enum scale scale, struct sheet *sheet, struct err *err)
{
    const struct hole *hole = &at->target.hole;
    const int64_t mrf_um[] = {bag->top_um, bag->bottom_um, bag->low_um, bag->high_um};
    int64_t um[4];
    const char *why = bag->why;
    const char *method = NULL;
    for (size_t part = 0; part < 4; part++) {
        um[part] = LENGTH_NONE;
        if (mrf_um[part] == LENGTH_NONE)
            continue;
        const int64_t cut_us = part == 0 || part == 2 ? bag->first.cut_us : bag->last.cut_us;
        const struct depth depth =
            drilled_from_drf(hole, mrf_um[part], (struct instant){.utc_us = cut_us, .known = true}, scale);
        um[part] = depth.um;
        method = part == 0 ? depth.method : method;
        why = part == 0 && !why ? depth.why : why;
    }
    const bool is_known = um[0] != LENGTH_NONE && um[1] != LENGTH_NONE;
    const struct length_text cells_um[] = {run_length(run, um[0], 3), run_length(run, um[1], 3),
                                           run_length(run, is_known ? (um[0] + um[1]) / 2 : LENGTH_NONE, 3),
                                           run_length(run, um[2], 3), run_length(run, um[3], 3)};
    const char *word = scale == SCALE_DRF ? "MRF" : scale == SCALE_DSF ? "MSF" : scale_words[scale];
    const char *cells[SCALE_COLUMNS] = {at->name,
                                        word,
                                        scale == SCALE_DRF && is_known ? "lag through the pump log" : method,
                                        cells_um[0].text,
                                        cells_um[1].text,
                                        cells_um[2].text,
                                        cells_um[3].text,
                                        cells_um[4].text,
                                        at->bag->withdrawn ? "the bag is withdrawn" : why};
    return sheet_add(sheet, cells, err);
}

static enum status add_bag_rows(struct run *run, const struct asked *asked, const struct name *name,
                                struct sheet *sheet, struct err *err)
{
    struct target target = {.name = *name};
    struct bag_target at = {0};
    struct lag_hole hole;
    struct lag_depth depth;
    TRY(resolve_hole(run, name, &target, err));
    TRY(bag_read(run, &target, name->bag, name->bag_number, &at, err));
    if (!at.bag)
        return err_set(err, STATUS_UNKNOWN, at.name, "it is not recorded");
    if (asked->first == asked->last && !scale_is_drilled(asked->first)) {
        err_set(err, STATUS_RULE, at.name, "what is taken at the shaker has no %s", scale_words[asked->first]);
        return err_hint(err, "it has MRF, MSF, TVD and TVDSF");
    }
    TRY(lag_hole_try(run, &at.target, &hole, err));
    enum status status = bag_depth(run, &hole, at.set.kind, at.bag, &depth, err);
    for (int scale = (int)asked->first; status == STATUS_OK && scale <= (int)asked->last; scale++)
        if (scale_is_drilled((enum scale)scale))
            status = add_bag_row(run, &at, &depth, (enum scale)scale, sheet, err);
    lag_hole_close(&hole);
    run_say_caution(run);
    return status;
}

static enum status add_scale_rows(struct run *run, const struct asked *asked, const char *typed, struct sheet *sheet,
                                  struct err *err)
{
    struct span span;
    struct name name;
    TRY(resolve_name(run, typed, &name, err));
    if (name.level == NAME_BAG)
        return add_bag_rows(run, asked, &name, sheet, err);
    TRY(span_read(run, typed, &span, err));
    for (int scale = (int)asked->first; scale <= (int)asked->last; scale++)
        TRY(add_scale_row(run, &span, (enum scale)scale, sheet, err));
    return STATUS_OK;
}

static enum status add_depth_row(struct run *run, const char *typed, struct sheet *sheet, struct err *err)
{
    struct span span;
    struct depth dsf[2];
    struct depth a[2];
    struct depth b[2];
    char mid[LENGTH_TEXT_MAX] = "";
    TRY(span_read(run, typed, &span, err));
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

static enum status add_rows(struct run *run, const struct asked *asked, const char *typed, struct sheet *sheet,
                            struct err *err)
{
    return asked->by_scale ? add_scale_rows(run, asked, typed, sheet, err) : add_depth_row(run, typed, sheet, err);
}

static enum status read_asked(struct run *run, struct asked *out, struct err *err)
{
    const char *scale = run_option(run, "scale");
    *out = (struct asked){.by_scale = scale != NULL, .first = SCALE_DRF, .last = SCALE_TVDSF};
    if (!scale || strcasecmp(scale, "all") == 0)
        return STATUS_OK;
    TRY(scale_typed(scale, &out->first, err));
    out->last = out->first;
    return STATUS_OK;
}

/* Names a line each from standard input; a line that is refused is told and counted, and the rest goes on. */
static enum status add_lines(struct run *run, const struct asked *asked, struct sheet *sheet, size_t *refused,
                             struct err *err)
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
        const enum status status = add_rows(run, asked, line, sheet, &own);
        run->arena = whole;
        arena_clear(&scratch);
        if (status == STATUS_OK)
            continue;
        if (own.status == STATUS_SYSTEM || own.status == STATUS_DAMAGED) {
            *err = own;
            return own.status;
        }
        (void)fprintf(run->talk, "line %zu: %s: %s\n", number, own.subject, own.reason);
        const char *cells[DEPTH_COLUMNS] = {line};
        cells[(asked->by_scale ? SCALE_COLUMNS : DEPTH_COLUMNS) - 1] = own.reason;
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
    struct asked asked;
    TRY(read_asked(run, &asked, err));
    TRY(run_open(run, STORE_READ, err));
    const char *unit = run_unit(run);
    const struct column by_scale[SCALE_COLUMNS] = {
        {"name", NULL, false}, {"scale", NULL, false}, {"method", NULL, false},
        {"top", unit, true},   {"bottom", unit, true}, {"mid", unit, true},
        {"low", unit, true},   {"high", unit, true},   {"note", NULL, false}};
    const struct column columns[DEPTH_COLUMNS] = {
        {"name", NULL, false},          {"csf-a top", unit, true},    {"csf-a bottom", unit, true},
        {"csf-a mid", unit, true},      {"csf-a low", unit, true},    {"csf-a high", unit, true},
        {"csf-b top", unit, true},      {"csf-b bottom", unit, true}, {"dsf run top", unit, true},
        {"dsf run bottom", unit, true}, {"note", NULL, false}};
    sheet_init(&sheet, run->arena, asked.by_scale ? by_scale : columns, asked.by_scale ? SCALE_COLUMNS : DEPTH_COLUMNS);
    if (run->arg_count == 1 && strcmp(run->args[0], "-") == 0)
        TRY(add_lines(run, &asked, &sheet, &refused, err));
    else
        for (size_t at = 0; at < run->arg_count; at++)
            TRY(add_rows(run, &asked, run->args[at], &sheet, err));
    TRY(run_print_sheet(run, &sheet, err));
    if (refused)
        return err_set(err, STATUS_INPUT, "standard input", "%zu of %zu names have no depth; they are listed above",
                       refused, sheet.row_count);
    return STATUS_OK;
}

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
              "far off CSF-A may be: core not recovered, driller's tolerance, heave. With - names are read from "
              "standard input,\n"
              "a line each.",
    .use = USE_READING,
    .options = depth_options,
    .least = 1,
    .most = 1000,
    .run = run_depth,
};
