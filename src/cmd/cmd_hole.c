/* SPDX-License-Identifier: MIT */
/* Holes: add, amend, withdraw, show, list. */
#include <string.h>

#include "coretally/act/hole.h"
#include "coretally/domain/depth.h"
#include "coretally/kind/kind.h"
#include "coretally/say/show.h"
#include "run_commit.h"

static enum status run_hole_add(struct run *run, struct err *err);
static enum status run_hole_amend(struct run *run, struct err *err);
static enum status run_hole_withdraw(struct run *run, struct err *err);
static enum status run_hole_show(struct run *run, struct err *err);
static enum status run_hole_list(struct run *run, struct err *err);

const struct command hole_add_command = {
    .words = "hole add",
    .arguments = "HOLE",
    .purpose = "record a hole: seafloor, rig floor, returns, the ship's time zone",
    .example =
        "hole add U0012A --returns seafloor --rig-floor 11.2 --seafloor 3021.4 --seafloor-by tagged --zone +05:30",
    .detail = "A mudline core gives the seafloor as bit + stroke - recovered:\n"
              "  --seafloor-by mudline --mudline-bit 3018.0 --mudline-stroke 9.5 --mudline-recovered 7.1",
    .use = USE_WRITING,
    .table = &hole_table,
    .fields = hole_fields_amended,
    .least = 1,
    .most = 1,
    .run = run_hole_add,
};

const struct command hole_amend_command = {
    .words = "hole amend",
    .arguments = "HOLE",
    .purpose = "amend a hole; the earlier version stays in history",
    .example = "hole amend U0012A --seafloor 3021.4 --reason \"typed 3012.4 for 3021.4, tally sheet 1\"",
    .detail = "An option with an empty value takes the field out: --heave \"\"\n"
              "A seafloor that was found anew is a correction: coretally correction add HOLE seafloor DEPTH",
    .use = USE_MOVING,
    .on = ON_HOLE,
    .needs_reason = true,
    .table = &hole_table,
    .fields = hole_fields_amended,
    .options = restore_options,
    .least = 1,
    .most = 1,
    .run = run_hole_amend,
};

const struct command hole_withdraw_command = {
    .words = "hole withdraw",
    .arguments = "HOLE",
    .purpose = "withdraw a hole that carries no standing core; it stays in the registry, marked",
    .example = "hole withdraw U0012B --reason \"never spudded\"",
    .use = USE_MOVING,
    .on = ON_HOLE,
    .needs_reason = true,
    .least = 1,
    .most = 1,
    .run = run_hole_withdraw,
};

const struct command hole_show_command = {
    .words = "hole show",
    .arguments = "HOLE",
    .purpose = "everything recorded about a hole",
    .example = "hole show U0012A",
    .use = USE_READING,
    .on = ON_HOLE,
    .options = history_options,
    .least = 1,
    .most = 1,
    .run = run_hole_show,
};

const struct command hole_list_command = {
    .words = "hole list",
    .arguments = "",
    .purpose = "the holes, a line each",
    .example = "hole list",
    .use = USE_READING,
    .on = ON_STATE,
    .run = run_hole_list,
};

/* The zone first: times may be typed by the ship's clock. */
static enum status take_fields(struct run *run, struct hole *hole, bool *any, struct err *err)
{
    if (run_option(run, "zone"))
        TRY(run_set(run->state, &hole_table, "zone", run_option(run, "zone"), INT_NONE, hole, err));
    return run_take_fields(run, &hole_table, hole->zone_min, hole, any, err);
}

static enum status run_hole_add(struct run *run, struct err *err)
{
    struct name name;
    struct hole hole;
    struct draft draft;
    bool any = false;
    TRY(name_parse(run->args[0], &name, err));
    if (name.level != NAME_HOLE)
        return err_set(err, STATUS_INPUT, run->args[0], "this names more than a hole; type a hole such as U0012A");
    TRY(run_open(run, STORE_WRITE, err));
    if (*name.expedition && strcmp(name.expedition, run->state->expedition.number) != 0)
        return err_set(err, STATUS_UNKNOWN, run->args[0], "this registry belongs to expedition %s",
                       run->state->expedition.number);
    record_init(&hole_table, &hole);
    hole.site = name.site;
    hole.letter = name.letter;
    TRY(take_fields(run, &hole, &any, err));
    TRY(hole_add(run->state, &hole, &draft, err));
    return run_draft(run, &draft, err);
}

static enum status run_hole_amend(struct run *run, struct err *err)
{
    struct target target = run->target;
    struct draft draft;
    bool any = false;
    struct hole hole = target.hole;
    TRY(run_standing(run, target.hole_name, &hole.withdrawn, err));
    TRY(take_fields(run, &hole, &any, err));
    TRY(hole_amend(run->state, &target, &hole, &draft, err));
    return run_draft(run, &draft, err);
}

static enum status run_hole_withdraw(struct run *run, struct err *err)
{
    struct target target = run->target;
    struct draft draft;
    TRY(hole_withdraw(run->state, &target, run_option(run, "reason"), &draft, err));
    return run_draft(run, &draft, err);
}

static enum status run_hole_show(struct run *run, struct err *err)
{
    struct target target = run->target;
    const struct record_at at = record_of_hole(target.hole_name, &target.hole);
    if (run_option(run, "history"))
        return show_history(run, &at, err);
    const int64_t seafloor_um = hole_seafloor(&target.hole);
    const int64_t water_um = hole_water_depth(&target.hole);
    const struct extra extras[] = {{"seafloor_drf", "below rig floor, as recorded", seafloor_um},
                                   {"water_depth", "seafloor less rig floor above sea level", water_um},
                                   {"seafloor_corrected", "below rig floor, with its corrections",
                                    hole_seafloor_corrected(&target.hole, (struct instant){0})}};
    return show_record(run, target.hole_name, &at, &(struct below){extras, 3, NULL, 0}, err);
}

static enum status run_hole_list(struct run *run, struct err *err)
{
    struct names holes = {0};
    TRY(state_holes(run->state, &holes, err));
    const char *unit = run_unit(run);
    const struct column columns[] = {{"hole", NULL, false},    {"returns", NULL, false}, {"rig floor", unit, true},
                                     {"seafloor", unit, true}, {"by", NULL, false},      {"water depth", unit, true},
                                     {"zone", NULL, false},    {"cores", NULL, true},    {"withdrawn", NULL, false}};
    struct sheet sheet;
    sheet_init(&sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t at = 0; at < holes.count; at++) {
        struct hole hole;
        char path[REGISTRY_PATH_MAX];
        char zone[ZONE_TEXT_MAX] = "";
        int32_t *numbers = NULL;
        size_t count = 0;
        bool there = false;
        hole_path(holes.items[at], path);
        TRY(state_read(run->state, path, &hole_table, &hole, &there, err));
        TRY(state_cores(run->state, holes.items[at], &numbers, &count, err));
        if (hole.zone_min != INT_NONE)
            zone_format(hole.zone_min, zone);
        const struct cell cells[] = {cell_text(holes.items[at]),
                                     cell_text(returns_words[hole.returns]),
                                     cell_length(hole.rig_floor_um, 2),
                                     cell_length(hole_seafloor(&hole), 2),
                                     cell_text(seafloor_words[hole.seafloor_by]),
                                     cell_length(hole_water_depth(&hole), 2),
                                     cell_text(zone),
                                     cell_count(count),
                                     cell_text(hole.withdrawn)};
        TRY(sheet_add_row(&sheet, cells, err));
    }
    if (!holes.count)
        (void)fprintf(run->talk, "no hole is recorded yet: coretally hole add U0012A --returns seafloor\n");
    return run_print_sheet(run, &sheet, err);
}
