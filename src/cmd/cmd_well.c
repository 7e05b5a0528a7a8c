/* SPDX-License-Identifier: MIT */
/* Well geometry, state by state: add, amend, withdraw, show, list. */
#include <string.h>

#include "coretally/intake/well_file.h"
#include "coretally/kind/kind.h"
#include "coretally/state/lag_hole.h"
#include "coretally/say/lag_table.h"
#include "numbered.h"
#include "run_commit.h"
#include "lag_case.h"

static enum status run_well_add(struct run *run, struct err *err);
static enum status run_well_amend(struct run *run, struct err *err);
static enum status run_well_withdraw(struct run *run, struct err *err);
static enum status run_well_show(struct run *run, struct err *err);
static enum status run_well_list(struct run *run, struct err *err);

static const struct option add_options[] = {
    {"file", "FILE", "bores and string from a CSV file, or all of it from JSON; may hold several states"},
    {0},
};

const struct command well_add_command = {
    .words = "well add",
    .arguments = "HOLE",
    .purpose = "record the well from a given time on: bores, string, booster inlet, losses",
    .example = "well add U0013A --from '2026-03-09 00:00' --bores 'riser,0,1000,19.5in; casing,1000,2500,12.3in; "
               "open,2500,,12.25in,5' --string 'collars,200,8in,2.81in; drill pipe,,5in,4.276in' --inlet 1000",
    .detail =
        "A further state takes over what no option says: --from TIME --loss-depth 2700 --loss 30 when losses begin,\n"
        "--from TIME --bores '...' when casing is set. Bores from the rig floor down: kind,top,bottom,inside\n"
        "diameter[,washout %[,tolerance]]. String from the bit up: name,length,outside,inside; the last part without "
        "a\n"
        "length. Bare lengths are m, bare diameters mm. CSV: what,name,top_m,bottom_m,length_m,outside_mm,inside_mm.",
    .use = USE_MOVING,
    .on = ON_HOLE,
    .table = &geometry_table,
    .fields = well_fields_amended,
    .options = add_options,
    .least = 1,
    .most = 1,
    .run = run_well_add,
};

const struct command well_amend_command = {
    .words = "well amend",
    .arguments = "HOLE NUMBER",
    .purpose = "amend a state of the well; the earlier version stays in history",
    .example = "well amend U0013A 2 --shaker-delay 4min --reason \"timed with rice\"",
    .detail = "NUMBER is that of the state in well list. All lag from its time on follows.",
    .use = USE_MOVING,
    .on = ON_HOLE,
    .needs_reason = true,
    .table = &geometry_table,
    .fields = well_fields_amended,
    .options = restore_options,
    .least = 2,
    .most = 2,
    .run = run_well_amend,
};

const struct command well_withdraw_command = {
    .words = "well withdraw",
    .arguments = "HOLE NUMBER",
    .purpose = "withdraw a state of the well; it stays in the registry, marked",
    .example = "well withdraw U0013A 3 --reason \"the losses were at the pits\"",
    .use = USE_MOVING,
    .on = ON_HOLE,
    .needs_reason = true,
    .least = 2,
    .most = 2,
    .run = run_well_withdraw,
};

static const struct option show_options[] = {
    {"at", "TIME", "the state in force then; default: the latest"},
    {"history", NULL, "with NUMBER: every version, newest first"},
    LAG_CASE_OPTIONS,
    {0},
};

const struct command well_show_command = {
    .words = "well show",
    .arguments = "HOLE [NUMBER]",
    .purpose = "the table of segments, volumes and velocities of a well; with NUMBER what was recorded",
    .detail =
        "Without --bit the bit is on bottom at that time, by the log. Diameters as recorded; what lag checks found:\n"
        "coretally check list.",
    .example = "well show U0013A --at '2026-03-09 14:00' --bit 3120 --flow 2.5m3/min --booster 1m3/min",
    .use = USE_READING,
    .options = show_options,
    .least = 1,
    .most = 2,
    .run = run_well_show,
};

const struct command well_list_command = {
    .words = "well list",
    .arguments = "HOLE",
    .purpose = "the states of the well of a hole, a line each",
    .example = "well list U0013A",
    .use = USE_READING,
    .on = ON_HOLE,
    .least = 1,
    .most = 1,
    .run = run_well_list,
};

/* What the state in force at --from says holds on unless the file or an option says otherwise; a state of a file takes
 * over from the one before it. */
static enum status prepare(struct run *run, const struct target *target, struct numbered_items *items, struct err *err)
{
    struct geometry *states = items->first;
    struct well_file file = {0};
    struct numbered_set set;
    struct instant from = {.utc_us = INT64_MAX};
    const char *const path = run_option(run, "file");
    if (run_option(run, "from"))
        TRY(instant_take(run_option(run, "from"), target->hole.zone_min, &from, err));
    TRY(numbered_set_read(run->state, &well_form, target->hole_name, &set, err));
    well_begin(&set, from.utc_us, states);
    if (!path)
        return STATUS_OK;
    TRY(well_file_read(run->state->arena, run->in, path, target->hole.zone_min, &file, err));
    if (file.state_count > 1 && run_option(run, "from")) {
        err_set(err, STATUS_USAGE, "--from", "the file says from when each of its %zu states holds", file.state_count);
        return err_hint(err, "leave --from out");
    }
    items->first = file.states; /* JSON holds everything */
    items->count = file.state_count;
    if (file.is_whole)
        return STATUS_OK;
    TRY(well_follow(run->state, states, file.states, file.state_count, &states, err));
    items->first = states;
    return STATUS_OK;
}

static const struct numbered_command well_numbered = {
    .act = &well_act,
    .prepare = prepare,
};

static enum status run_well_add(struct run *run, struct err *err)
{
    return run_numbered_add(run, &well_numbered, err);
}

static enum status run_well_amend(struct run *run, struct err *err)
{
    return run_numbered_amend(run, &well_numbered, err);
}

static enum status run_well_withdraw(struct run *run, struct err *err)
{
    return run_numbered_withdraw(run, &well_numbered, err);
}

/* Without --bit: the bottom of the hole at that time or at the end of the log, where there is one. */
static enum status read_bottom(struct run *run, const struct target *target, int64_t at_us, struct lag_case *lag_case,
                               struct err *err)
{
    struct lag_hole hole;
    int64_t first_us = 0;
    int64_t last_us = 0;
    TRY(lag_hole_try(run->state, target, &hole, err));
    enum status status = hole.why ? STATUS_OK : lag_hole_span(run->state, &hole, &first_us, &last_us, err);
    if (status == STATUS_OK && !hole.why && at_us >= first_us) {
        at_us = at_us < last_us ? at_us : last_us;
        status = lag_hole_cover(run->state, &hole, at_us, at_us, err);
        if (status == STATUS_OK && hole.log.count)
            lag_case->bit_um = lag_log_depth(&hole.log, hole.log.hole_um, at_us);
    }
    lag_hole_close(&hole);
    return status;
}

static enum status run_well_show(struct run *run, struct err *err)
{
    struct numbered_set set;
    struct instant at = {.utc_us = INT64_MAX};
    if (run->arg_count < 2 && run_option(run, "history")) {
        err_set(err, STATUS_USAGE, "--history", "which state is not stated");
        return err_hint(err, "its number is in: coretally well list %s", run->args[0]);
    }
    TRY(run_open(run, STORE_READ, err));
    TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, &run->target, err));
    if (run->arg_count == 2)
        return run_numbered_show(run, &well_numbered, err);
    const struct target target = run->target;
    TRY(numbered_set_read(run->state, &well_form, target.hole_name, &set, err));
    numbered_tell_former(run, &well_form, &set);
    if (run_option(run, "at"))
        TRY(instant_take(run_option(run, "at"), target.hole.zone_min, &at, err));
    const size_t state = geometry_at(set.items, set.count, at.utc_us);
    if (state == SIZE_MAX) {
        err_set(err, STATUS_UNKNOWN, target.hole_name, "no well geometry is recorded for this time");
        return err_hint(err, "coretally well add %s --from TIME --bores ... --string ...", target.hole_name);
    }
    struct lag_case lag_case = {.geometry = *(const struct geometry *)numbered_item(&well_form, &set, state)};
    lag_case.bit_um = well_trial_bit(&lag_case.geometry);
    if (!run_option(run, "bit"))
        TRY(read_bottom(run, &target, at.utc_us, &lag_case, err));
    TRY(lag_case_read(run, &lag_case, err));
    char from[INSTANT_TEXT_MAX];
    instant_format(lag_case.geometry.from, from);
    (void)fprintf(run->talk, "state %d of the well of %s, from %s, bit at %s m\n", (int)lag_case.geometry.number,
                  target.hole_name, from, length_text(lag_case.bit_um, UNIT_M, 2).text);
    return lag_case_show(run, &lag_case, err);
}

static enum status run_well_list(struct run *run, struct err *err)
{
    static const struct column columns[] = {
        {"number", NULL, true},  {"from", NULL, false},   {"bores", NULL, false},
        {"string", NULL, false}, {"inlet", "m", true},    {"loss", "%", true},
        {"loss at", "m", true},  {"remark", NULL, false}, {"withdrawn", NULL, false}};
    struct target target = run->target;
    struct numbered_set set;
    struct sheet sheet;
    TRY(numbered_set_read(run->state, &well_form, target.hole_name, &set, err));
    sheet_init(&sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t at = 0; at < set.count; at++) {
        const struct geometry *state = numbered_item(&well_form, &set, at);
        static const char *const shown[] = {"bores", "string"};
        struct bytes lists[2];
        for (size_t list = 0; list < 2; list++) {
            struct text text;
            text_init(&text, run->state->arena);
            field_format(field_find(&geometry_table, shown[list]), state, &text);
            TRY(text_done(&text, &lists[list], err));
        }
        const struct cell cells[] = {
            cell_number(state->number),     cell_instant(state->from),       cell_text(lists[0].data),
            cell_text(lists[1].data),       cell_length(state->inlet_um, 1), cell_amount(state->loss_pct, 1),
            cell_length(state->loss_um, 1), cell_text(state->remark),        cell_text(state->withdrawn)};
        TRY(sheet_add_row(&sheet, cells, err));
    }
    if (!set.count)
        (void)fprintf(run->talk, "no well geometry is recorded yet: coretally well add %s --from TIME --bores ...\n",
                      target.hole_name);
    return run_print_sheet(run, &sheet, err);
}
