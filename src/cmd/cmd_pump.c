/* SPDX-License-Identifier: MIT */
/* Mud pumps: add, amend, withdraw, show, list. */
#include <math.h>
#include <string.h>

#include "numbered.h"
#include "run_commit.h"
#include "coretally/kind/kind.h"

static enum status run_pump_add(struct run *run, struct err *err);
static enum status run_pump_amend(struct run *run, struct err *err);
static enum status run_pump_withdraw(struct run *run, struct err *err);
static enum status run_pump_show(struct run *run, struct err *err);
static enum status run_pump_list(struct run *run, struct err *err);

const struct command pump_add_command = {
    .words = "pump add",
    .arguments = "HOLE NAME",
    .purpose = "record a mud pump, or what changed on one, from a given time on",
    .example = "pump add U0013A 1 --from '2026-03-09 00:00' --kind triplex --bore 6in --stroke 12in --efficiency 97",
    .detail =
        "NAME is what the log's column counts: 1, 2, B. A further record of the same name holds from its own time\n"
        "on and takes over what no option says: --from TIME --bore 5.5in for changed liners. --line booster for the\n"
        "pump that feeds the riser. --kind measured --output 0.102bbl/stk where the output was measured.",
    .use = USE_MOVING,
    .on = ON_HOLE,
    .table = &pump_table,
    .fields = pump_fields_amended,
    .least = 2,
    .most = 2,
    .run = run_pump_add,
};

const struct command pump_amend_command = {
    .words = "pump amend",
    .arguments = "HOLE NUMBER",
    .purpose = "amend a pump record; the earlier version stays in history",
    .example = "pump amend U0013A 1 --efficiency 95 --reason \"measured over the trip tank\"",
    .detail =
        "NUMBER is that of the record, the first column of pump list, and not the name of the pump. All lag over its\n"
        "time follows.",
    .use = USE_MOVING,
    .on = ON_HOLE,
    .needs_reason = true,
    .table = &pump_table,
    .fields = pump_fields_amended,
    .options = restore_options,
    .least = 2,
    .most = 2,
    .run = run_pump_amend,
};

const struct command pump_withdraw_command = {
    .words = "pump withdraw",
    .arguments = "HOLE NUMBER",
    .purpose = "withdraw a pump record; it stays in the registry, marked",
    .example = "pump withdraw U0013A 3 --reason \"liners were not changed\"",
    .use = USE_MOVING,
    .on = ON_HOLE,
    .needs_reason = true,
    .least = 2,
    .most = 2,
    .run = run_pump_withdraw,
};

const struct command pump_show_command = {
    .words = "pump show",
    .arguments = "HOLE NUMBER",
    .purpose = "everything recorded about a pump record",
    .example = "pump show U0013A 1",
    .use = USE_READING,
    .on = ON_HOLE,
    .options = history_options,
    .least = 2,
    .most = 2,
    .run = run_pump_show,
};

const struct command pump_list_command = {
    .words = "pump list",
    .arguments = "HOLE",
    .purpose = "the pump records of a hole, a line each",
    .example = "pump list U0013A",
    .use = USE_READING,
    .on = ON_HOLE,
    .least = 1,
    .most = 1,
    .run = run_pump_list,
};

/* The name; what the record of this name in force at --from says holds on unless an option says otherwise. */
static enum status prepare(struct run *run, const struct target *target, struct numbered_items *items, struct err *err)
{
    struct pump_asked asked = {.name = run->args[1], .kind = run_option(run, "kind"), .from_us = INT64_MAX};
    struct numbered_set set;
    struct instant from = {0};
    if (run_option(run, "from")) {
        TRY(instant_take(run_option(run, "from"), target->hole.zone_min, &from, err));
        asked.from_us = from.utc_us;
    }
    TRY(numbered_set_read(run->state, &pumps_form, target->hole_name, &set, err));
    pump_begin(&set, &asked, items->first);
    return run_set(run->state, &pump_table, "name", run->args[1], INT_NONE, items->first, err);
}

static const struct numbered_command pump_numbered = {
    .act = &pumps_act,
    .prepare = prepare,
};

static enum status run_pump_add(struct run *run, struct err *err)
{
    return run_numbered_add(run, &pump_numbered, err);
}

static enum status run_pump_amend(struct run *run, struct err *err)
{
    return run_numbered_amend(run, &pump_numbered, err);
}

static enum status run_pump_withdraw(struct run *run, struct err *err)
{
    return run_numbered_withdraw(run, &pump_numbered, err);
}

static enum status run_pump_show(struct run *run, struct err *err)
{
    return run_numbered_show(run, &pump_numbered, err);
}

static enum status run_pump_list(struct run *run, struct err *err)
{
    struct target target = run->target;
    struct numbered_set set;
    struct sheet sheet;
    TRY(numbered_set_read(run->state, &pumps_form, target.hole_name, &set, err));
    numbered_tell_former(run, &pumps_form, &set);
    const bool feet = run->unit == UNIT_FT;
    const char *unit = feet ? "in" : "mm";
    const struct column columns[] = {{"number", NULL, true},    {"name", NULL, false},
                                     {"from", NULL, false},     {"kind", NULL, false},
                                     {"line", NULL, false},     {"bore", unit, true},
                                     {"rod", unit, true},       {"stroke", unit, true},
                                     {"efficiency", "%", true}, {"output", feet ? "bbl" : "l", true},
                                     {"tolerance", "%", true},  {"withdrawn", NULL, false}};
    sheet_init(&sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t at = 0; at < set.count; at++) {
        const struct pump *pump = numbered_item(&pumps_form, &set, at);
        const double output = pump_output(pump) * (feet ? 1 / CUBIC_METRES_PER_BARREL : 1000);
        const struct cell cells[] = {cell_number(pump->number),
                                     cell_text(pump->name),
                                     cell_instant(pump->from),
                                     cell_text(pump_words[pump->kind]),
                                     cell_text(pump->line == LINE_BOOSTER ? "booster" : "string"),
                                     cell_length(pump->bore_um, 2),
                                     cell_length(pump->rod_um, 2),
                                     cell_length(pump->stroke_um, 2),
                                     cell_amount(pump->efficiency_pct, 1),
                                     cell_amount(output, feet ? 5 : 3),
                                     cell_amount(pump->tolerance_pct, 1),
                                     cell_text(pump->withdrawn)};
        TRY(sheet_add_row(&sheet, cells, err));
    }
    if (!set.count)
        (void)fprintf(run->talk, "no pump is recorded yet: coretally pump add %s 1 --from TIME --kind triplex ...\n",
                      target.hole_name);
    return run_print_sheet(run, &sheet, err);
}
