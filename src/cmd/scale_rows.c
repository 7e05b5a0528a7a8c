/* SPDX-License-Identifier: MIT */
/* A name on one scale after the other, a row each. */
#include "scale_rows.h"

#include <string.h>

#include "coretally/state/bag.h"

void scale_columns(const struct run *run, struct column out[SCALE_COLUMNS])
{
    const char *unit = run_unit(run);
    const struct column columns[SCALE_COLUMNS] = {
        {"name", NULL, false}, {"scale", NULL, false}, {"method", NULL, false},
        {"top", unit, true},   {"bottom", unit, true}, {"mid", unit, true},
        {"low", unit, true},   {"high", unit, true},   {"note", NULL, false}};
    memcpy(out, columns, sizeof columns);
}

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
    struct depth ends[BAG_ENDS];
    bag_depths(&at->target.hole, bag, scale, ends);
    const int64_t um[] = {ends[BAG_TOP].um, ends[BAG_BOTTOM].um, ends[BAG_LOW].um, ends[BAG_HIGH].um};
    const char *why = bag->why ? bag->why : ends[BAG_TOP].why;
    const char *method = ends[BAG_TOP].method;
    const bool is_known = um[0] != LENGTH_NONE && um[1] != LENGTH_NONE;
    const struct length_text cells_um[] = {run_length(run, um[0], 3), run_length(run, um[1], 3),
                                           run_length(run, is_known ? (um[0] + um[1]) / 2 : LENGTH_NONE, 3),
                                           run_length(run, um[2], 3), run_length(run, um[3], 3)};
    const char *cells[SCALE_COLUMNS] = {
        at->name,         bag_scale_word(scale), scale == SCALE_DRF && is_known ? "lag through the pump log" : method,
        cells_um[0].text, cells_um[1].text,      cells_um[2].text,
        cells_um[3].text, cells_um[4].text,      at->bag->withdrawn ? "the bag is withdrawn" : why};
    return sheet_add(sheet, cells, err);
}

static enum status add_bag_rows(struct run *run, const struct scales *asked, const struct name *name,
                                struct sheet *sheet, struct err *err)
{
    struct target target = {.name = *name};
    struct bag_target at = {0};
    struct lag_hole hole;
    struct lag_depth depth;
    TRY(resolve_hole(run->state, name, &target, err));
    TRY(bag_read(run->state, &target, name->bag, name->bag_number, &at, err));
    if (!at.bag)
        return err_set(err, STATUS_UNKNOWN, at.name, "it is not recorded");
    if (asked->first == asked->last && !scale_is_drilled(asked->first)) {
        err_set(err, STATUS_RULE, at.name, "what is taken at the shaker has no %s", scale_words[asked->first]);
        return err_hint(err, "it has MRF, MSF, TVD and TVDSF");
    }
    TRY(lag_hole_try(run->state, &at.target, &hole, err));
    enum status status = bag_depth(run->state, &hole, at.set.kind, at.bag, &depth, err);
    for (int scale = (int)asked->first; status == STATUS_OK && scale <= (int)asked->last; scale++)
        if (scale_is_drilled((enum scale)scale))
            status = add_bag_row(run, &at, &depth, (enum scale)scale, sheet, err);
    lag_hole_close(&hole);
    run_say_caution(run);
    return status;
}

enum status scale_rows_add(struct run *run, const struct scales *asked, const char *typed, struct sheet *sheet,
                           struct err *err)
{
    struct span span;
    struct name name;
    TRY(resolve_name(run->state, typed, &name, err));
    if (name.level == NAME_BAG)
        return add_bag_rows(run, asked, &name, sheet, err);
    TRY(span_read(run->state, typed, &span, err));
    for (int scale = (int)asked->first; scale <= (int)asked->last; scale++)
        TRY(add_scale_row(run, &span, (enum scale)scale, sheet, err));
    return STATUS_OK;
}
