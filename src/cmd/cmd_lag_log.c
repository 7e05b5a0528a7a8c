/* SPDX-License-Identifier: MIT */
/* Lag through the pump log: what is at the shaker at a time, when the cuttings of a depth arrive. */
#include <math.h>
#include <string.h>

#include "coretally/state/lag_depth.h"
#include "coretally/run/command.h"

static enum status run_lag_at(struct run *run, struct err *err);
static enum status run_lag_of(struct run *run, struct err *err);

static const struct option at_options[] = {
    {"to", "TIME", "end of a window: what came over the shaker from TIME to this time"},
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};

const struct command lag_at_command = {
    .words = "lag at",
    .arguments = "HOLE TIME",
    .purpose = "depth and interval of what is at the shaker at a time, through the pump log",
    .example = "lag at U0013A '2026-03-09 14:32'",
    .detail =
        "MRF counts from the rig floor, MSF from the seafloor. low and high: pump output, hole diameter, driller's\n"
        "depth and heave as far as their tolerances are recorded. During a stop: what arrived last. Strokes are those "
        "of\n"
        "all pumps on the string together.",
    .use = USE_READING,
    .on = ON_HOLE,
    .options = at_options,
    .least = 2,
    .most = 2,
    .run = run_lag_at,
};

const struct command lag_of_command = {
    .words = "lag of",
    .arguments = "HOLE DEPTH [DEPTH ...]",
    .purpose = "when, and after how many strokes, the cuttings of a depth reach the shaker",
    .example = "lag of U0013A 2310 2315 2320",
    .detail =
        "Depths are below rig floor (MRF) as the driller reports them; bare numbers are m. Strokes are those of all\n"
        "pumps on the string together.",
    .use = USE_READING,
    .on = ON_HOLE,
    .least = 2,
    .most = 10000,
    .run = run_lag_of,
};

/* One thing to tell: a line for people, a column for programs. */
struct fact {
    struct column column;
    struct cell value;
};

enum { FACTS_MAX = 16 };

struct facts {
    struct run *run;
    struct fact items[FACTS_MAX];
    size_t count;
};

static void add_fact(struct facts *facts, const char *what, const char *unit, struct cell value)
{
    facts->items[facts->count++] = (struct fact){{what, unit, true}, value};
}

static void add_length(struct facts *facts, const char *what, int64_t um)
{
    add_fact(facts, what, run_unit(facts->run), cell_length_in(um, facts->run->unit, 2));
}

static void add_time(struct facts *facts, const char *what, const struct hole *hole, int64_t utc_us)
{
    facts->items[facts->count++] = (struct fact){{what, NULL, false}, cell_instant(ship_instant(hole, utc_us))};
}

static void add_facts(struct facts *facts, const struct lag_hole *hole, const struct lag_depth *depth)
{
    const struct hole *it = &hole->target->hole;
    const struct lag_passage *last = &depth->last;
    const double lag_min = (double)(last->at_shaker_us - last->left_bit_us) / 6e7;
    add_length(facts, "MRF top", depth->top_um);
    add_length(facts, "MRF bottom", depth->bottom_um);
    add_length(facts, "MSF top", lag_depth_msf(it, depth->top_um, depth->first.cut_us));
    add_length(facts, "MSF bottom", lag_depth_msf(it, depth->bottom_um, depth->last.cut_us));
    add_length(facts, "MRF low", depth->low_um);
    add_length(facts, "MRF high", depth->high_um);
    add_time(facts, "cut at", it, last->cut_us);
    add_time(facts, "left the bit at", it, last->left_bit_us);
    add_time(facts, "passed the booster inlet at", it, last->at_inlet_us);
    add_fact(facts, "lag", "min", cell_amount(lag_min, 2));
    add_fact(facts, "strokes", NULL, cell_amount(last->strokes, 0));
    add_fact(facts, "annulus", run_volume_unit(facts->run), run_volume(facts->run, last->annulus_m3, 3));
}

static enum status print_facts(const struct facts *facts, struct err *err)
{
    static const struct column lines[] = {{"quantity", NULL, false}, {"value", NULL, false}, {"unit", NULL, false}};
    struct column columns[FACTS_MAX];
    struct cell cells[FACTS_MAX];
    struct sheet sheet;
    const bool people = facts->run->format == SHEET_PEOPLE;
    for (size_t at = 0; at < facts->count; at++) {
        columns[at] = facts->items[at].column;
        cells[at] = facts->items[at].value;
    }
    sheet_init(&sheet, facts->run->state->arena, people ? lines : columns, people ? 3 : facts->count);
    for (size_t at = 0; people && at < facts->count; at++) {
        const struct cell line[] = {cell_text(columns[at].name), cells[at], cell_text(columns[at].unit)};
        if (!cell_is_nothing(&cells[at]))
            TRY(sheet_add_row(&sheet, line, err));
    }
    if (!people)
        TRY(sheet_add_row(&sheet, cells, err));
    return run_print_sheet(facts->run, &sheet, err);
}

static enum status find_at(struct run *run, struct lag_hole *hole, struct err *err)
{
    const int32_t zone_min = hole->target->hole.zone_min;
    struct instant from;
    struct instant to = {.utc_us = INT64_MIN};
    struct lag_depth depth;
    struct findings findings = {0};
    struct facts facts = {.run = run};
    TRY(instant_take(run->args[1], zone_min, &from, err));
    if (run_option(run, "to"))
        TRY(instant_take(run_option(run, "to"), zone_min, &to, err));
    if (to.known && to.utc_us < from.utc_us)
        return err_set(err, STATUS_INPUT, run_option(run, "to"), "the window ends before it begins");
    const struct at_shaker at = {.from_us = from.utc_us, .to_us = to.utc_us};
    TRY(lag_depth_find(run->state, hole, &at, &depth, err));
    lag_depth_check(&hole->target->hole, &depth, &findings);
    if (depth.why)
        add_length(&facts, "MRF top", LENGTH_NONE);
    else
        add_facts(&facts, hole, &depth);
    TRY(print_facts(&facts, err));
    run_tell(run, run->args[1], &findings);
    run_say_caution(run);
    return STATUS_OK;
}

static enum status run_lag_at(struct run *run, struct err *err)
{
    struct target target = run->target;
    struct lag_hole hole;
    TRY(lag_hole_open(run->state, &target, 0, NULL, &hole, err));
    const enum status status = find_at(run, &hole, err);
    lag_hole_close(&hole);
    return status;
}

/* One row of the table: a depth and its way up. */
static enum status add_arrival(struct run *run, struct lag_hole *hole, int64_t depth_um, struct sheet *sheet,
                               struct err *err)
{
    const struct hole *it = &hole->target->hole;
    const struct lag_terms nominal = lag_terms_nominal();
    struct lag_passage passage;
    struct instant left = {.known = false};
    struct instant arrives = {.known = false};
    double lag_min = NAN;
    TRY(lag_hole_of_depth(run->state, hole, &nominal, depth_um, &passage, err));
    if (passage.end != LAG_NOT_DRILLED && passage.end != LAG_BEFORE_LOG)
        left = ship_instant(it, passage.left_bit_us);
    if (passage.end == LAG_ARRIVED) {
        arrives = ship_instant(it, passage.at_shaker_us);
        lag_min = (double)(passage.at_shaker_us - passage.left_bit_us) / 6e7;
    }
    const struct cell cells[] = {cell_length(depth_um, 2),
                                 cell_length(lag_hole_msf(hole, &passage, depth_um), 2),
                                 cell_instant(left),
                                 cell_instant(arrives),
                                 cell_amount(lag_min, 2),
                                 cell_amount(passage.end == LAG_ARRIVED ? passage.strokes : NAN, 0),
                                 run_volume(run, passage.end == LAG_ON_THE_WAY ? passage.left_m3 : NAN, 2),
                                 cell_text(lag_end_meaning(passage.end))};
    return sheet_add_row(sheet, cells, err);
}

static enum status find_of(struct run *run, struct lag_hole *hole, struct err *err)
{
    const struct column columns[] = {{"MRF", run_unit(run), true},
                                     {"MSF", run_unit(run), true},
                                     {"cut at", NULL, false},
                                     {"at the shaker", NULL, false},
                                     {"lag", "min", true},
                                     {"strokes", NULL, true},
                                     {"still to pump", run_volume_unit(run), true},
                                     {"note", NULL, false}};
    struct sheet sheet;
    sheet_init(&sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t at = 1; at < run->arg_count; at++) {
        int64_t depth_um = 0;
        TRY(length_parse(run->args[at], UNIT_M, &depth_um, err));
        TRY(add_arrival(run, hole, depth_um, &sheet, err));
    }
    lag_hole_say_reported(run->state, hole);
    TRY(run_print_sheet(run, &sheet, err));
    run_say_caution(run);
    return STATUS_OK;
}

static enum status run_lag_of(struct run *run, struct err *err)
{
    struct target target = run->target;
    struct lag_hole hole;
    TRY(lag_hole_open(run->state, &target, 0, NULL, &hole, err));
    const enum status status = find_of(run, &hole, err);
    lag_hole_close(&hole);
    return status;
}
