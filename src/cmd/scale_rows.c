/* SPDX-License-Identifier: MIT */
/* A name on one scale after the other, a row each. */
#include "scale_rows.h"

#include <string.h>

void scale_columns(const struct run *run, struct column out[SCALE_COLUMNS])
{
    const char *unit = run_unit(run);
    const struct column columns[SCALE_COLUMNS] = {
        {"name", NULL, false}, {"scale", NULL, false}, {"method", NULL, false},
        {"top", unit, true},   {"bottom", unit, true}, {"mid", unit, true},
        {"low", unit, true},   {"high", unit, true},   {"note", NULL, false}};
    memcpy(out, columns, sizeof columns);
}

/* A thing on a scale. */
struct ends {
    const char *name;
    const char *scale;
    const char *method;
    int64_t top_um;
    int64_t bottom_um;
    int64_t low_um;
    int64_t high_um;
    const char *note;
};

static void fill_row(const struct ends *ends, enum scale scale, struct scale_row *out)
{
    const bool is_known = ends->top_um != LENGTH_NONE && ends->bottom_um != LENGTH_NONE;
    const int64_t mid_um = is_known ? (ends->top_um + ends->bottom_um) / 2 : LENGTH_NONE;
    const struct cell cells[SCALE_COLUMNS] = {
        cell_text(ends->name),        cell_text(ends->scale),          cell_text(ends->method),
        cell_length(ends->top_um, 3), cell_length(ends->bottom_um, 3), cell_length(mid_um, 3),
        cell_length(ends->low_um, 3), cell_length(ends->high_um, 3),   cell_text(ends->note)};
    *out = (struct scale_row){.scale = scale, .word = ends->scale, .has_top = ends->top_um != LENGTH_NONE};
    memcpy(out->cells, cells, sizeof cells);
}

/* One row: a name on one scale, with the method that the scale was made by. */
static void span_row(const struct span *span, enum scale scale, struct scale_row *out)
{
    struct depth top;
    struct depth bottom;
    span_depths(span, scale, &top, &bottom);
    const bool is_known = top.um != LENGTH_NONE && bottom.um != LENGTH_NONE;
    const bool is_upside_down = is_known && bottom.um < top.um; /* kept although typed so */
    const struct ends ends = {.name = span->name,
                              .scale = scale_words[scale],
                              .method = top.um == LENGTH_NONE ? bottom.method : top.method,
                              .top_um = top.um,
                              .bottom_um = bottom.um,
                              .low_um = is_upside_down ? bottom.low_um : top.low_um,
                              .high_um = is_upside_down ? top.high_um : bottom.high_um,
                              .note = span_note(span, &top, &bottom)};
    fill_row(&ends, scale, out);
}

/* A bag on MRF and MSF, and by the survey on TVD and TVDSF; the other scales are those of cores. */
static void bag_row(const struct bag_target *at, const struct lag_depth *bag, enum scale scale, struct scale_row *out)
{
    struct depth depths[BAG_ENDS];
    bag_depths(&at->target.hole, bag, scale, depths);
    const char *why = bag->why ? bag->why : depths[BAG_TOP].why;
    const bool is_known = depths[BAG_TOP].um != LENGTH_NONE && depths[BAG_BOTTOM].um != LENGTH_NONE;
    const bool is_lag = scale == SCALE_DRF && is_known;
    const struct ends ends = {.name = at->name,
                              .scale = bag_scale_word(scale),
                              .method = is_lag ? "lag through the pump log" : depths[BAG_TOP].method,
                              .top_um = depths[BAG_TOP].um,
                              .bottom_um = depths[BAG_BOTTOM].um,
                              .low_um = depths[BAG_LOW].um,
                              .high_um = depths[BAG_HIGH].um,
                              .note = at->bag->withdrawn ? "the bag is withdrawn" : why};
    fill_row(&ends, scale, out);
}

enum status scale_rows_of_bag(struct run *run, const struct bag_target *at, const struct scales *asked,
                              scale_row_take *take, void *context, struct err *err)
{
    struct lag_hole hole;
    struct lag_depth depth;
    struct scale_row row;
    if (asked->first == asked->last && !scale_is_drilled(asked->first)) {
        err_set(err, STATUS_RULE, at->name, "what is taken at the shaker has no %s", scale_words[asked->first]);
        return err_hint(err, "it has MRF, MSF, TVD and TVDSF");
    }
    TRY(lag_hole_try(run->state, &at->target, &hole, err));
    enum status status = bag_depth(run->state, &hole, at->set.kind, at->bag, &depth, err);
    for (int scale = (int)asked->first; status == STATUS_OK && scale <= (int)asked->last; scale++)
        if (scale_is_drilled((enum scale)scale)) {
            bag_row(at, &depth, (enum scale)scale, &row);
            status = take(context, &row, err);
        }
    lag_hole_close(&hole);
    run_say_caution(run);
    return status;
}

enum status scale_rows_of_span(const struct span *span, const struct scales *asked, scale_row_take *take, void *context,
                               struct err *err)
{
    struct scale_row row;
    for (int scale = (int)asked->first; scale <= (int)asked->last; scale++) {
        span_row(span, (enum scale)scale, &row);
        TRY(take(context, &row, err));
    }
    return STATUS_OK;
}

enum status scale_rows_each(struct run *run, const struct scales *asked, const char *typed, scale_row_take *take,
                            void *context, struct err *err)
{
    struct name name;
    struct span span;
    struct target target;
    struct bag_target at = {0};
    TRY(resolve_name(run->state, typed, &name, err));
    if (name.level != NAME_BAG) {
        TRY(span_named(run->state, typed, &name, &span, err));
        return scale_rows_of_span(&span, asked, take, context, err);
    }
    target = (struct target){.name = name};
    TRY(resolve_hole(run->state, &name, &target, err));
    TRY(bag_read(run->state, &target, name.bag, name.bag_number, &at, err));
    if (!at.bag)
        return err_set(err, STATUS_UNKNOWN, at.name, "it is not recorded");
    return scale_rows_of_bag(run, &at, asked, take, context, err);
}

static enum status add_row(void *context, const struct scale_row *row, struct err *err)
{
    struct sheet *const sheet = context;
    return sheet_add_row(sheet, row->cells, err);
}

enum status scale_rows_add(struct run *run, const struct scales *asked, const char *typed, struct sheet *sheet,
                           struct err *err)
{
    return scale_rows_each(run, asked, typed, add_row, sheet, err);
}
