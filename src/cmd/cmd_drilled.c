/* SPDX-License-Identifier: MIT */
/* Intervals drilled without coring: add, amend, withdraw, show, list. */
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/domain/depth.h"
#include "numbered.h"

static const char *const drilled_options[] = {"datum", "remark", NULL};

/* Cores that the interval meets, the first one named. */
static enum status check_cores(struct run *run, const char *hole, const struct drilled *interval,
                               struct findings *findings, struct err *err)
{
    int32_t *numbers = NULL;
    size_t count = 0;
    TRY(state_cores(run->state, hole, &numbers, &count, err));
    for (size_t at = 0; at < count; at++) {
        struct core core;
        char path[REGISTRY_PATH_MAX];
        bool there = false;
        core_path(hole, numbers[at], path);
        TRY(state_read(run->state, path, &core_table, &core, &there, err));
        const int64_t bottom_um = core_bottom(&core);
        if (core.withdrawn || core_is_wide(&core) || core.datum != interval->datum || bottom_um == LENGTH_NONE ||
            interval->top_um >= bottom_um || interval->bottom_um <= core.top_um)
            continue;
        findings_add(findings, RULE_DRILLED_OVERLAP, "it overlaps core %d%c, %s to %s m", (int)core.number, core.type,
                     length_text(core.top_um, UNIT_M, 3).text, length_text(bottom_um, UNIT_M, 3).text);
        findings_hint(findings, "look at the depths once more, or add --sure");
        break;
    }
    return STATUS_OK;
}

/* The interval against its hole, the other intervals and the cores. */
static enum status check_interval(struct run *run, const struct target *target, const struct numbered_set *set,
                                  const void *item, bool is_silent, struct findings *findings, struct err *err)
{
    (void)is_silent;
    const struct drilled *interval = item;
    const int64_t seafloor_um = interval->datum == DATUM_SEAFLOOR ? 0 : hole_seafloor(&target->hole);
    drilled_check(interval, set->items, set->count, findings);
    TRY(check_cores(run, target->hole_name, interval, findings, err));
    if (seafloor_um != LENGTH_NONE && interval->top_um < seafloor_um - DEPTH_SLACK_UM) {
        findings_add(findings, RULE_ABOVE_SEAFLOOR, "the top %s m lies above the seafloor at %s m",
                     length_text(interval->top_um, UNIT_M, 3).text, length_text(seafloor_um, UNIT_M, 3).text);
        findings_hint(findings, "depths below seafloor need --datum seafloor; otherwise add --sure");
    }
    return STATUS_OK;
}

static void write_line(const char *hole, const void *item, const char *what, struct text *out)
{
    const struct drilled *interval = item;
    text_addf(out, "Hole %s drilled without coring%s: %s", hole, what, length_text(interval->top_um, UNIT_M, 3).text);
    text_addf(out, "-%s m below %s", length_text(interval->bottom_um, UNIT_M, 3).text,
              interval->datum == DATUM_SEAFLOOR ? "seafloor" : "rig floor");
}

/* Top and bottom, and the datum of the hole's last core unless --datum says otherwise. */
static enum status prepare(struct run *run, const struct target *target, const struct numbered_set *set, void **items,
                           size_t *count, struct err *err)
{
    struct drilled *interval = *items;
    (void)count;
    struct core_neighbours around = {0};
    (void)set;
    TRY(run_set(run->state, &drilled_table, "top", run->args[1], INT_NONE, interval, err));
    TRY(run_set(run->state, &drilled_table, "bottom", run->args[2], INT_NONE, interval, err));
    TRY(resolve_neighbours(run->state, target->hole_name, CORE_NUMBER_MAX, &around, err));
    interval->datum = around.above ? around.above->datum : DATUM_RIG_FLOOR;
    return STATUS_OK;
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

const struct numbered drilled_kind = {
    .noun = "drilled interval",
    .set = &drilled_set_table,
    .item = &drilled_table,
    .path = drilled_path,
    .prepare = prepare,
    .check = check_interval,
    .line = write_line,
    .extras = list_extras,
};

static enum status run_drilled_add(struct run *run, struct err *err)
{
    return numbered_add(run, &drilled_kind, err);
}

const struct command drilled_add_command = {
    .words = "drilled add",
    .arguments = "HOLE TOP BOTTOM",
    .purpose = "record an interval drilled without coring",
    .example = "drilled add U0012A 3136.1 3150.0",
    .detail = "TOP and BOTTOM are metres below the datum of the hole's last core (the rig floor without one), unless\n"
              "--datum says otherwise.",
    .use = USE_WRITING,
    .table = &drilled_table,
    .fields = drilled_options,
    .least = 3,
    .most = 3,
    .run = run_drilled_add,
};

static enum status run_drilled_withdraw(struct run *run, struct err *err)
{
    return numbered_withdraw(run, &drilled_kind, err);
}

const struct command drilled_withdraw_command = {
    .words = "drilled withdraw",
    .arguments = "HOLE NUMBER",
    .purpose = "withdraw a drilled interval; it stays in the registry, marked",
    .example = "drilled withdraw U0012A 1 --reason \"was cored as 13X\"",
    .use = USE_WRITING,
    .least = 2,
    .most = 2,
    .run = run_drilled_withdraw,
};

static const char *const amend_options[] = {"top", "bottom", "datum", "remark", NULL};

static enum status run_drilled_amend(struct run *run, struct err *err)
{
    return numbered_amend(run, &drilled_kind, err);
}

const struct command drilled_amend_command = {
    .words = "drilled amend",
    .arguments = "HOLE NUMBER",
    .purpose = "amend a drilled interval; the earlier version stays in history",
    .example = "drilled amend U0012A 1 --bottom 3151.2 --reason \"tally sheet 15\"",
    .use = USE_WRITING,
    .table = &drilled_table,
    .fields = amend_options,
    .options = restore_options,
    .least = 2,
    .most = 2,
    .run = run_drilled_amend,
};

static enum status run_drilled_show(struct run *run, struct err *err)
{
    return numbered_show(run, &drilled_kind, err);
}

const struct command drilled_show_command = {
    .words = "drilled show",
    .arguments = "HOLE NUMBER",
    .purpose = "everything recorded about a drilled interval",
    .example = "drilled show U0012A 1",
    .use = USE_READING,
    .options = history_options,
    .least = 2,
    .most = 2,
    .run = run_drilled_show,
};

static enum status run_drilled_list(struct run *run, struct err *err)
{
    struct target target;
    struct numbered_set set;
    struct sheet sheet;
    TRY(run_open(run, STORE_READ, err));
    TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, &target, err));
    TRY(numbered_read(run->state, &drilled_kind, target.hole_name, &set, err));
    const char *unit = run_unit(run);
    const struct column columns[] = {{"number", NULL, true},  {"dsf top", unit, true},   {"dsf bottom", unit, true},
                                     {"dsf low", unit, true}, {"dsf high", unit, true},  {"length", unit, true},
                                     {"remark", NULL, false}, {"withdrawn", NULL, false}};
    sheet_init(&sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t at = 0; at < set.count; at++) {
        const struct drilled *it = numbered_item(&drilled_kind, &set, at);
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

const struct command drilled_list_command = {
    .words = "drilled list",
    .arguments = "HOLE",
    .purpose = "the intervals of a hole that were drilled without coring",
    .example = "drilled list U0012A",
    .use = USE_READING,
    .least = 1,
    .most = 1,
    .run = run_drilled_list,
};
