/* SPDX-License-Identifier: MIT */
/* Mud pumps: add, amend, withdraw, show, list. */
#include <math.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "numbered.h"

_Static_assert(sizeof(struct pump_set) == sizeof(struct numbered_set), "pump_set has the shape of a numbered set");

static const char *const pump_options[] = {"from",       "kind",   "line",      "bore",   "rod", "stroke",
                                           "efficiency", "output", "tolerance", "remark", NULL};

/* The name; what the record of this name in force at --from says holds on unless an option says otherwise. */
static enum status prepare(struct run *run, const struct target *target, const struct numbered_set *set, void **items,
                           size_t *count, struct err *err)
{
    struct pump *pump = *items;
    (void)count;
    struct instant from = {.utc_us = INT64_MAX};
    if (run_option(run, "from"))
        TRY(instant_take(run_option(run, "from"), target->hole.zone_min, &from, err));
    const struct pump *latest = pump_at(set->items, set->count, run->args[1], from.utc_us);
    if (!latest)
        latest = pump_at(set->items, set->count, run->args[1], INT64_MAX);
    const char *kind = run_option(run, "kind");
    if (latest && kind && strcmp(kind, pump_words[latest->kind]) != 0)
        pump->line = latest->line; /* built otherwise: none of its dimensions holds on */
    else if (latest) {
        *pump = *latest;
        pump->from = (struct instant){0};
        pump->remark = NULL;
        pump->version = 0;
    }
    return run_set(run->state, &pump_table, "name", run->args[1], INT_NONE, pump, err);
}

static enum status check(struct run *run, const struct target *target, const struct numbered_set *set, const void *item,
                         bool is_silent, struct findings *findings, struct err *err)
{
    (void)target;
    (void)is_silent;
    const struct pump *pump = item;
    const struct pump *others = set->items;
    for (size_t at = 0; at < set->count; at++)
        if (others[at].number != pump->number && !others[at].withdrawn && strcmp(others[at].name, pump->name) == 0 &&
            others[at].from.utc_us == pump->from.utc_us) {
            err_set(err, STATUS_EXISTS, pump->name, "this pump is already recorded from this very time");
            return err_hint(err, "amend it (its number is %d), or type another --from", (int)others[at].number);
        }
    TRY(pump_check(pump, err));
    pump_doubt(pump, findings);
    time_check(RULE_TIME_FUTURE, "the time from which it holds", pump->from, run->state->now.utc_us, AHEAD_US,
               findings);
    return STATUS_OK;
}

static void write_line(const char *hole, const void *item, const char *what, struct text *out)
{
    const struct pump *pump = item;
    char from[INSTANT_TEXT_MAX];
    instant_format(pump->from, from);
    text_addf(out, "Pump %s of hole %s%s: %s, %.3f l a stroke into the %s, from %s", pump->name, hole, what,
              pump_words[pump->kind], pump_output(pump) * 1000, pump->line == LINE_BOOSTER ? "riser" : "string", from);
}

static int order_pumps(const void *a, const void *b)
{
    const struct pump *left = a;
    const struct pump *right = b;
    const int names = strcmp(left->name, right->name);
    return names ? names : (left->from.utc_us > right->from.utc_us) - (left->from.utc_us < right->from.utc_us);
}

const struct numbered pumps_kind = {
    .noun = "pump record",
    .set = &pump_set_table,
    .item = &pump_table,
    .path = pumps_path,
    .order = order_pumps,
    .prepare = prepare,
    .check = check,
    .line = write_line,
};

static enum status run_pump_add(struct run *run, struct err *err)
{
    return numbered_add(run, &pumps_kind, err);
}

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
    .table = &pump_table,
    .fields = pump_options,
    .least = 2,
    .most = 2,
    .run = run_pump_add,
};

static enum status run_pump_amend(struct run *run, struct err *err)
{
    return numbered_amend(run, &pumps_kind, err);
}

const struct command pump_amend_command = {
    .words = "pump amend",
    .arguments = "HOLE NUMBER",
    .purpose = "amend a pump record; the earlier version stays in history",
    .example = "pump amend U0013A 1 --efficiency 95 --reason \"measured over the trip tank\"",
    .detail =
        "NUMBER is that of the record, the first column of pump list, and not the name of the pump. All lag over its\n"
        "time follows.",
    .use = USE_MOVING,
    .table = &pump_table,
    .fields = pump_options,
    .options = restore_options,
    .least = 2,
    .most = 2,
    .run = run_pump_amend,
};

static enum status run_pump_withdraw(struct run *run, struct err *err)
{
    return numbered_withdraw(run, &pumps_kind, err);
}

const struct command pump_withdraw_command = {
    .words = "pump withdraw",
    .arguments = "HOLE NUMBER",
    .purpose = "withdraw a pump record; it stays in the registry, marked",
    .example = "pump withdraw U0013A 3 --reason \"liners were not changed\"",
    .use = USE_MOVING,
    .least = 2,
    .most = 2,
    .run = run_pump_withdraw,
};

static enum status run_pump_show(struct run *run, struct err *err)
{
    return numbered_show(run, &pumps_kind, err);
}

const struct command pump_show_command = {
    .words = "pump show",
    .arguments = "HOLE NUMBER",
    .purpose = "everything recorded about a pump record",
    .example = "pump show U0013A 1",
    .use = USE_READING,
    .options = history_options,
    .least = 2,
    .most = 2,
    .run = run_pump_show,
};

static enum status run_pump_list(struct run *run, struct err *err)
{
    struct target target;
    struct numbered_set set;
    struct sheet sheet;
    TRY(run_open(run, STORE_READ, err));
    TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, &target, err));
    TRY(numbered_read(run->state, &pumps_kind, target.hole_name, &set, err));
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
        const struct pump *pump = numbered_item(&pumps_kind, &set, at);
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

const struct command pump_list_command = {
    .words = "pump list",
    .arguments = "HOLE",
    .purpose = "the pump records of a hole, a line each",
    .example = "pump list U0013A",
    .use = USE_READING,
    .least = 1,
    .most = 1,
    .run = run_pump_list,
};
