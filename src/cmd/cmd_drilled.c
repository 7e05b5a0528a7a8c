/* SPDX-License-Identifier: MIT */
/* Intervals drilled without coring: add, amend, withdraw, show, list. */
#include <string.h>

#include "coretally/ask/kept.h"
#include "coretally/domain/depth.h"
#include "numbered.h"
#include "run_commit.h"
#include "coretally/kind/kind.h"

static enum status run_drilled_add(struct run *run, struct err *err);
static enum status run_drilled_withdraw(struct run *run, struct err *err);
static enum status run_drilled_amend(struct run *run, struct err *err);
static enum status run_drilled_show(struct run *run, struct err *err);
static enum status run_drilled_list(struct run *run, struct err *err);

static const char *const drilled_options[] = {"datum", "remark", NULL};

const struct command drilled_add_command = {
    .words = "drilled add",
    .arguments = "HOLE TOP BOTTOM",
    .purpose = "record an interval drilled without coring",
    .example = "drilled add U0012A 3136.1 3150.0",
    .detail = "TOP and BOTTOM are metres below the datum of the hole's last core (the rig floor without one), unless\n"
              "--datum says otherwise.",
    .use = USE_WRITING,
    .on = ON_HOLE,
    .table = &drilled_table,
    .fields = drilled_options,
    .least = 3,
    .most = 3,
    .run = run_drilled_add,
};

const struct command drilled_withdraw_command = {
    .words = "drilled withdraw",
    .arguments = "HOLE NUMBER",
    .purpose = "withdraw a drilled interval; it stays in the registry, marked",
    .example = "drilled withdraw U0012A 1 --reason \"was cored as 13X\"",
    .use = USE_WRITING,
    .on = ON_HOLE,
    .needs_reason = true,
    .least = 2,
    .most = 2,
    .run = run_drilled_withdraw,
};

const struct command drilled_amend_command = {
    .words = "drilled amend",
    .arguments = "HOLE NUMBER",
    .purpose = "amend a drilled interval; the earlier version stays in history",
    .example = "drilled amend U0012A 1 --bottom 3151.2 --reason \"tally sheet 15\"",
    .use = USE_WRITING,
    .on = ON_HOLE,
    .needs_reason = true,
    .table = &drilled_table,
    .fields = drilled_fields_amended,
    .options = restore_options,
    .least = 2,
    .most = 2,
    .run = run_drilled_amend,
};

const struct command drilled_show_command = {
    .words = "drilled show",
    .arguments = "HOLE NUMBER",
    .purpose = "everything recorded about a drilled interval",
    .example = "drilled show U0012A 1",
    .use = USE_READING,
    .on = ON_HOLE,
    .options = history_options,
    .least = 2,
    .most = 2,
    .run = run_drilled_show,
};

const struct command drilled_list_command = {
    .words = "drilled list",
    .arguments = "HOLE",
    .purpose = "the intervals of a hole that were drilled without coring",
    .example = "drilled list U0012A",
    .use = USE_READING,
    .on = ON_HOLE,
    .least = 1,
    .most = 1,
    .run = run_drilled_list,
};

/* Top and bottom, and the datum of the hole's last core unless --datum says otherwise. */
static enum status prepare(struct run *run, const struct target *target, struct numbered_items *items, struct err *err)
{
    struct drilled *interval = items->first;
    TRY(run_set(run->state, &drilled_table, "top", run->args[1], INT_NONE, interval, err));
    TRY(run_set(run->state, &drilled_table, "bottom", run->args[2], INT_NONE, interval, err));
    return drilled_begin(run->state, target->hole_name, interval, err);
}

static size_t list_extras(const struct target *target, const void *item, struct extra *out)
{
    const struct drilled *interval = item;
    out[0] = (struct extra){
        "dsf_top", "top below seafloor",
        drilled_depth(&target->hole, interval->top_um, interval->datum, (struct instant){0}, SCALE_DSF, NULL).um};
    out[1] = (struct extra){
        "dsf_bottom", "bottom below seafloor",
        drilled_depth(&target->hole, interval->bottom_um, interval->datum, (struct instant){0}, SCALE_DSF, NULL).um};
    return 2;
}

static enum status find_open(struct run *run, const struct target *target, const void *item, struct findings *out,
                             struct err *err)
{
    struct numbered_set set;
    TRY(numbered_set_read(run->state, &drilled_form, target->hole_name, &set, err));
    const struct drilled_set others = {target->hole_name, set.items, set.count};
    return kept_open_drilled(run->state, target, item, &others, out, err);
}

static const struct numbered_command drilled_numbered = {
    .act = &drilled_act,
    .prepare = prepare,
    .extras = list_extras,
    .find_open = find_open,
};

static enum status run_drilled_add(struct run *run, struct err *err)
{
    return run_numbered_add(run, &drilled_numbered, err);
}

static enum status run_drilled_withdraw(struct run *run, struct err *err)
{
    return run_numbered_withdraw(run, &drilled_numbered, err);
}

static enum status run_drilled_amend(struct run *run, struct err *err)
{
    return run_numbered_amend(run, &drilled_numbered, err);
}

static enum status run_drilled_show(struct run *run, struct err *err)
{
    return run_numbered_show(run, &drilled_numbered, err);
}

static enum status run_drilled_list(struct run *run, struct err *err)
{
    struct target target = run->target;
    struct numbered_set set;
    struct sheet sheet;
    TRY(numbered_set_read(run->state, &drilled_form, target.hole_name, &set, err));
    numbered_tell_former(run, &drilled_form, &set);
    const char *unit = run_unit(run);
    const struct column columns[] = {{"number", NULL, true},  {"dsf top", unit, true},   {"dsf bottom", unit, true},
                                     {"dsf low", unit, true}, {"dsf high", unit, true},  {"length", unit, true},
                                     {"remark", NULL, false}, {"withdrawn", NULL, false}};
    sheet_init(&sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t at = 0; at < set.count; at++) {
        const struct drilled *it = numbered_item(&drilled_form, &set, at);
        const struct instant when = {0};
        const struct depth top = drilled_depth(&target.hole, it->top_um, it->datum, when, SCALE_DSF, NULL);
        const struct depth bottom = drilled_depth(&target.hole, it->bottom_um, it->datum, when, SCALE_DSF, NULL);
        const struct cell cells[] = {cell_number(it->number),        cell_length(top.um, 3),
                                     cell_length(bottom.um, 3),      cell_length(top.low_um, 3),
                                     cell_length(bottom.high_um, 3), cell_length(it->bottom_um - it->top_um, 3),
                                     cell_text(it->remark),          cell_text(it->withdrawn)};
        TRY(sheet_add_row(&sheet, cells, err));
    }
    return run_print_sheet(run, &sheet, err);
}
