/* SPDX-License-Identifier: MIT */
/* The steps of a bag's depth as rows. */
#include "coretally/say/explain_bag_say.h"

#include "coretally/ask/explain_bag.h"
#include "coretally/say/source_say.h"

/* A step as cells. */
struct row {
    char what[300];
    const char *long_what; /* in its place, of any length; NULL */
    struct cell amount;
    const char *unit;
    struct cell result;
};

static void fill_segment(const struct bag_step *step, struct row *out)
{
    const struct segment *segment = &step->segment;
    (void)snprintf(out->what, sizeof out->what, "  %s %.1f mm, %.60s %s mm, %s-%s m", bore_words[segment->bore->kind],
                   bore_diameter_m(segment->bore) * 1000, segment->part->name,
                   length_text(segment->part->outer_um, UNIT_MM, 1).text, length_text(segment->top_um, UNIT_M, 2).text,
                   length_text(segment->bottom_um, UNIT_M, 2).text);
    out->amount = cell_amount(step->amount, 3);
    out->unit = "m3";
}

/* The way of the mud. */
static void fill_way(const struct hole *hole, const struct bag_step *step, bool is_window, struct row *out)
{
    switch (step->kind) {
    case BAG_STEP_TAKEN:
        (void)snprintf(out->what, sizeof out->what, "%s", is_window ? "collected from" : "taken");
        break;
    case BAG_STEP_TAKEN_TO:
        (void)snprintf(out->what, sizeof out->what, "collected to");
        break;
    case BAG_STEP_SHAKER:
        (void)snprintf(out->what, sizeof out->what, "less the shaker delay");
        out->amount = cell_amount(step->amount > 0 ? -step->amount / 60 : 0, 2);
        out->unit = "min";
        break;
    case BAG_STEP_FLOWLINE:
        (void)snprintf(out->what, sizeof out->what, "flowline");
        break;
    default:
        (void)snprintf(out->what, sizeof out->what, "%s",
                       step->kind == BAG_STEP_PUMPED_INLET ? "came up since it passed the booster inlet"
                                                           : "pumped through the bit since it left");
        break;
    }
    if (step->kind >= BAG_STEP_FLOWLINE) {
        out->amount = cell_amount(step->amount, 3);
        out->unit = "m3";
    }
    if (step->kind != BAG_STEP_FLOWLINE)
        out->result = cell_instant(ship_instant(hole, step->at_us));
}

/* From the bottom of the hole on. */
static void fill_depth(const struct bag_step *step, struct row *out)
{
    if (step->kind == BAG_STEP_NO_DEPTH) {
        out->long_what = step->why;
        out->result = cell_text("n/a");
        return;
    }
    if (step->kind == BAG_STEP_BOTTOM)
        (void)snprintf(out->what, sizeof out->what, "%s",
                       step->scale == SCALE_DRF ? "bottom of the hole then = MRF"
                                                : "bottom of the hole then, as reported");
    else {
        (void)snprintf(out->what, sizeof out->what, "%s%s", step->rule,
                       step->scale == SCALE_DRF   ? " = MRF"
                       : step->scale == SCALE_DSF ? " = MSF"
                                                  : "");
        out->amount = cell_length_in(step->amount_um, UNIT_M, 3);
        out->unit = "m";
    }
    out->result = cell_length_in(step->um, UNIT_M, 3);
}

/* What the way rests on, and the bounds. */
static void fill_input(const struct run *run, const struct hole *hole, const struct bag_step *step, struct row *out)
{
    char from[INSTANT_TEXT_MAX];
    switch (step->kind) {
    case BAG_STEP_PUMP:
        instant_format(step->pump->from, from);
        (void)snprintf(out->what, sizeof out->what, "pump %s (%s) from %s: a stroke", step->pump->name,
                       step->pump->line == LINE_BOOSTER ? "booster" : "string", from);
        out->amount = cell_amount(pump_output(step->pump) * 1000, 3);
        out->unit = "l";
        break;
    case BAG_STEP_CHECK:
        (void)snprintf(out->what, sizeof out->what, "lag check %d: open hole", (int)step->number);
        out->amount = cell_amount(step->amount * 1000, 1);
        out->unit = "mm";
        break;
    case BAG_STEP_SLIP:
        (void)snprintf(out->what, sizeof out->what, "cuttings fall behind by %s", slip_words[step->slip]);
        out->amount = cell_amount(step->amount * 60, 2);
        out->unit = "m/min";
        break;
    case BAG_STEP_LOSS:
        (void)snprintf(out->what, sizeof out->what, "lost at %s m, of the mud that passes from %s on",
                       length_text(step->um, UNIT_M, 2).text, ship_time(hole, step->at_us).text);
        break;
    case BAG_STEP_LOSS_ENDS:
        (void)snprintf(out->what, sizeof out->what, "lost no more from %s on", ship_time(hole, step->at_us).text);
        break;
    default:
        (void)snprintf(out->what, sizeof out->what,
                       step->kind == BAG_STEP_LOW ? "low: output -%g %%, wide hole, less tolerance and heave"
                                                  : "high: output +%g %%, narrow hole, plus tolerance and heave",
                       step->amount);
        out->result = cell_length_in(step->um, run->unit, 3);
        break;
    }
    if (step->kind == BAG_STEP_LOSS || step->kind == BAG_STEP_LOSS_ENDS) {
        out->amount = cell_amount(step->amount, 1);
        out->unit = "%";
    }
}

static enum status add_step(const struct run *run, const struct bag_target *at, const struct bag_step *step,
                            struct sheet *sheet, struct err *err)
{
    const struct hole *hole = &at->target.hole;
    struct row row = {.amount = cell_nothing(), .result = cell_nothing()};
    const char *who = NULL;
    if (step->kind == BAG_STEP_SEGMENT)
        fill_segment(step, &row);
    else if (step->kind <= BAG_STEP_PUMPED_BIT)
        fill_way(hole, step, at->bag->to.known, &row);
    else if (step->kind <= BAG_STEP_NO_DEPTH)
        fill_depth(step, &row);
    else
        fill_input(run, hole, step, &row);
    TRY(source_who(run->state, &step->source, &who, err));
    const struct cell cells[] = {cell_text(row.long_what ? row.long_what : row.what),
                                 row.amount,
                                 cell_text(row.unit),
                                 row.result,
                                 cell_commit(step->source.id),
                                 cell_text(who)};
    TRY(sheet_add_row(sheet, cells, err));
    const struct cell because[] = {cell_text(step->why), cell_nothing(), cell_nothing(),
                                   cell_nothing(),       cell_nothing(), cell_nothing()};
    return step->kind == BAG_STEP_LINK && step->why ? sheet_add_row(sheet, because, err) : STATUS_OK;
}

static void say_range(const struct run *run, const char *name, const struct lag_depth *depth)
{
    (void)fprintf(run->out, "%s MRF: %s-%s m below rig floor", name, length_text(depth->top_um, UNIT_M, 3).text,
                  length_text(depth->bottom_um, UNIT_M, 3).text);
    const struct length_text low = length_text(depth->low_um, UNIT_M, 3);
    const struct length_text high = length_text(depth->high_um, UNIT_M, 3);
    (void)fprintf(run->out, " (low %s, high %s)\n", depth->low_um == LENGTH_NONE ? "n/a" : low.text,
                  depth->high_um == LENGTH_NONE ? "n/a" : high.text);
}

static enum status say(struct run *run, const struct bag_target *at, const struct bag_explanation *it, struct err *err)
{
    static const struct column columns[] = {{"link", NULL, false},   {"amount", NULL, true},  {"unit", NULL, false},
                                            {"result", NULL, false}, {"commit", NULL, false}, {"by", NULL, false}};
    struct sheet sheet;
    struct findings findings = {0};
    sheet_init(&sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    if (it->depth.why) {
        (void)fprintf(run->format == SHEET_PEOPLE ? run->out : run->talk, "%s: n/a, %s\n", at->name, it->depth.why);
        return run_print_sheet(run, &sheet, err);
    }
    for (size_t step = 0; step < it->count; step++)
        TRY(add_step(run, at, &it->steps[step], &sheet, err));
    if (run->format == SHEET_PEOPLE)
        say_range(run, at->name, &it->depth);
    TRY(run_print_sheet(run, &sheet, err));
    lag_depth_check(&at->target.hole, &it->depth, &findings);
    run_tell(run, at->name, &findings);
    if (run->format == SHEET_PEOPLE)
        (void)fprintf(
            run->out,
            "MRF, MSF: mud depth below rig floor, below seafloor: the bottom of the hole when the mud left it\n"
            "state %.10s of the registry\n",
            store_state(run->state->store));
    run_say_caution(run);
    return STATUS_OK;
}

enum status explain_bag_say(struct run *run, struct err *err)
{
    struct bag_target at = {0};
    struct lag_hole hole;
    struct bag_explanation it;
    if (run_option(run, "scale"))
        return err_set(err, STATUS_USAGE, "--scale", "what is taken at the shaker has MRF and MSF; both are shown");
    TRY(bag_resolve(run->state, run->args[0], &at, err));
    TRY(lag_hole_try(run->state, &at.target, &hole, err));
    enum status status = explain_bag(run->state, &at, &hole, &it, err);
    if (status == STATUS_OK)
        status = say(run, &at, &it, err);
    lag_hole_close(&hole);
    return status;
}
