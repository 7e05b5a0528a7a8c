/* SPDX-License-Identifier: MIT */
/* Segments and totals of a well at a steady flow. */
#include "coretally/say/lag_table.h"

#include <math.h>

static enum status add_segments(struct run *run, const struct lag_steady *steady, struct sheet *sheet, struct err *err)
{
    const bool feet = run->unit == UNIT_FT;
    double total_m3 = 0;
    for (size_t at = 0; at < steady->split.count; at++) {
        const struct segment *it = &steady->split.items[at];
        total_m3 += it->volume_m3;
        /* 1 m2 is 1000 l/m, and 0.3048 m3/ft */
        const double capacity = it->area_m2 * (feet ? 0.3048 / CUBIC_METRES_PER_BARREL : 1000);
        const struct cell cells[] = {
            cell_length(it->top_um, 2),
            cell_length(it->bottom_um, 2),
            cell_length(it->bottom_um - it->top_um, 2),
            cell_text(bore_words[it->bore->kind]),
            cell_amount(bore_diameter_m(it->bore) * (feet ? 1 / 0.0254 : 1000), feet ? 3 : 1),
            cell_text(it->part->name),
            cell_length(it->part->outer_um, feet ? 3 : 1),
            cell_amount(capacity, feet ? 5 : 3),
            run_volume(run, it->volume_m3, 3),
            run_volume(run, total_m3, 3),
            cell_amount(steady->velocity_m_s[at] * 60 / (feet ? 0.3048 : 1), 2),
            cell_amount(steady->ratio[at] * 100, 1),
        };
        TRY(sheet_add_row(sheet, cells, err));
    }
    return STATUS_OK;
}

/* An amount as one unit system has it. */
struct in_unit {
    double amount;
    const char *unit;
    int decimals;
};

/* A total in both. */
static enum status add_total(struct sheet *sheet, const char *what, struct in_unit a, struct in_unit b, struct err *err)
{
    const struct cell cells[] = {cell_text(what), cell_amount(a.amount, a.decimals), cell_text(a.unit),
                                 cell_amount(b.amount, b.decimals), cell_text(isnan(b.amount) ? NULL : b.unit)};
    return sheet_add_row(sheet, cells, err);
}

static enum status add_volume(struct sheet *sheet, const char *what, double volume_m3, struct err *err)
{
    return add_total(sheet, what, (struct in_unit){volume_m3, "m3", 3},
                     (struct in_unit){volume_m3 / CUBIC_METRES_PER_BARREL, "bbl", 2}, err);
}

/* A time with the strokes of the pump into the string during it. */
static enum status add_time(struct sheet *sheet, const char *what, double seconds, double strokes_s, struct err *err)
{
    return add_total(sheet, what, (struct in_unit){seconds / 60, "min", 2},
                     (struct in_unit){seconds * strokes_s, "strokes", 0}, err);
}

/* What a tracer measured of the annulus below the inlet: strokes less the shaker delay, supply line and string, and
 * less flowline and riser, which the booster helped to fill. */
static enum status measure_below(const struct lag_case *lag_case, const struct lag_steady *steady, double *out_m3,
                                 struct err *err)
{
    const struct geometry *geometry = &lag_case->geometry;
    const double delay_s = isnan(geometry->shaker_delay_s) ? 0 : geometry->shaker_delay_s;
    const double above_m3 = steady->flowline_m3 + steady->above_inlet_m3;
    const double down_m3 = steady->string_m3 + steady->supply_m3;
    const double flow = lag_case->flow_m3_min;
    if (isnan(steady->string_m3)) {
        err_set(err, STATUS_RULE, "--tracer-strokes",
                "the tracer went down the string, whose inside diameter is not stated");
        return err_hint(err, "give every part of the string its inside diameter: collars,200,8in,2.81in");
    }
    if (geometry->loss_um != LENGTH_NONE) {
        err_set(err, STATUS_RULE, "--tracer-strokes", "strokes alone do not tell a lost tracer from a wide hole");
        return err_hint(err, "with losses record the check against the pump log: coretally check add");
    }
    if ((delay_s > 0 || lag_case->booster_m3_min > 0) && isnan(flow)) {
        err_set(err, STATUS_USAGE, "--tracer-strokes", "with a shaker delay or a booster the flow is needed, too");
        return err_hint(err, "add --spm 80 or --flow 300gpm");
    }
    const double share = lag_case->booster_m3_min > 0 ? flow / (flow + lag_case->booster_m3_min) : 1;
    *out_m3 = lag_case->tracer_strokes * lag_case->output_m3 - (delay_s > 0 ? delay_s / 60 * flow : 0) - down_m3 -
              above_m3 * share;
    return STATUS_OK;
}

static enum status add_check(const struct lag_case *lag_case, const struct lag_steady *steady, struct sheet *sheet,
                             struct err *err)
{
    double below_m3 = 0;
    double nominal_m3 = 0;
    TRY(measure_below(lag_case, steady, &below_m3, err));
    const double as_recorded_m = open_hole_diameter(&lag_case->geometry, lag_case->bit_um, 0, &nominal_m3);
    const double open_m3 = below_m3 - (steady->below_inlet_m3 - nominal_m3);
    const double diameter_m = open_hole_diameter(&lag_case->geometry, lag_case->bit_um, open_m3, NULL);
    if (nominal_m3 > 0 && (isnan(diameter_m) || isnan(as_recorded_m) || open_m3 > 3 * nominal_m3)) {
        err_set(err, STATUS_RULE, "--tracer-strokes",
                "%.0f strokes leave %.2f m3 for the open hole, recorded are %.2f m3", lag_case->tracer_strokes, open_m3,
                nominal_m3);
        return err_hint(err, "look at the strokes, the output of a stroke and the casing");
    }
    TRY(add_volume(sheet, "tracer: pumped", lag_case->tracer_strokes * lag_case->output_m3, err));
    TRY(add_volume(sheet, "tracer: annulus measured", below_m3 + steady->above_inlet_m3, err));
    TRY(add_volume(sheet, "tracer: open hole, measured", open_m3, err));
    TRY(add_volume(sheet, "open hole as recorded", nominal_m3, err));
    return add_total(sheet, "open hole, effective diameter", (struct in_unit){diameter_m * 1000, "mm", 2},
                     (struct in_unit){diameter_m / 0.0254, "in", 3}, err);
}

static enum status add_totals(const struct lag_case *lag_case, const struct lag_steady *steady, struct sheet *sheet,
                              struct err *err)
{
    const bool boosted = lag_case->geometry.inlet_um != LENGTH_NONE;
    const double flow = lag_case->flow_m3_min;
    const double output = lag_case->output_m3;
    const double strokes_s = flow / 60 / output;
    TRY(add_volume(sheet, "annulus", steady->split.volume_m3, err));
    if (boosted) {
        TRY(add_volume(sheet, "  above the booster inlet", steady->above_inlet_m3, err));
        TRY(add_volume(sheet, "  below the booster inlet", steady->below_inlet_m3, err));
    }
    if (steady->flowline_m3 > 0)
        TRY(add_volume(sheet, "flowline", steady->flowline_m3, err));
    TRY(add_volume(sheet, "string, inside", steady->string_m3, err));
    if (steady->supply_m3 > 0)
        TRY(add_volume(sheet, "supply line", steady->supply_m3, err));
    if (!isnan(output))
        TRY(add_total(sheet, "output of a stroke", (struct in_unit){output * 1000, "l", 3},
                      (struct in_unit){output / CUBIC_METRES_PER_BARREL, "bbl", 5}, err));
    if (isnan(flow) && !isnan(output) && !boosted)
        TRY(add_total(sheet, "lag", (struct in_unit){NAN, "min", 2},
                      (struct in_unit){(steady->split.volume_m3 + steady->flowline_m3) / output, "strokes", 0}, err));
    if (!isnan(lag_case->tracer_strokes))
        TRY(add_check(lag_case, steady, sheet, err));
    if (isnan(flow))
        return STATUS_OK;
    TRY(add_total(sheet, "flow into the string", (struct in_unit){flow, "m3/min", 3},
                  (struct in_unit){flow / CUBIC_METRES_PER_GALLON, "gpm", 1}, err));
    if (lag_case->booster_m3_min > 0)
        TRY(add_total(sheet, "booster", (struct in_unit){lag_case->booster_m3_min, "m3/min", 3},
                      (struct in_unit){lag_case->booster_m3_min / CUBIC_METRES_PER_GALLON, "gpm", 1}, err));
    if (!isnan(steady->slip_m_s))
        TRY(add_total(sheet, "slip of the cuttings", (struct in_unit){steady->slip_m_s * 60, "m/min", 2},
                      (struct in_unit){steady->slip_m_s / 0.3048, "ft/s", 3}, err));
    const bool slips = !isnan(steady->slip_m_s);
    TRY(add_time(sheet, "bottoms-up: bit to rig floor", steady->mud_up_s, strokes_s, err));
    TRY(add_time(sheet, slips ? "lag of the cuttings: bit to sample" : "lag: bit to sample", steady->lag_s, strokes_s,
                 err));
    TRY(add_time(sheet, "down: pumps to bit", steady->down_s, strokes_s, err));
    return add_time(sheet, slips ? "round trip of the mud" : "round trip", steady->mud_lag_s + steady->down_s,
                    strokes_s, err);
}

static enum status print_both(struct run *run, const struct sheet *segments, const struct sheet *totals,
                              struct err *err)
{
    struct text text;
    text_init(&text, run->state->arena);
    if (run->format == SHEET_CSV) { /* one table a file */
        sheet_render(run_option(run, "totals") ? totals : segments, run->format, &text);
        return run_print_text(run, &text, err);
    }
    if (run->format == SHEET_JSON)
        text_add(&text, "{\"segments\":");
    sheet_render(segments, run->format, &text);
    if (run->format == SHEET_JSON)
        text_add(&text, ",\"totals\":");
    else
        text_add(&text, "\n");
    sheet_render(totals, run->format, &text);
    if (run->format == SHEET_JSON)
        text_add(&text, "}\n");
    return run_print_text(run, &text, err);
}

enum status lag_case_show(struct run *run, const struct lag_case *lag_case, struct err *err)
{
    const bool feet = run->unit == UNIT_FT;
    const char *unit = run_unit(run);
    const char *width = feet ? "in" : "mm";
    const struct column columns[] = {{"top", unit, true},
                                     {"bottom", unit, true},
                                     {"length", unit, true},
                                     {"bore", NULL, false},
                                     {"bore diameter", width, true},
                                     {"pipe", NULL, false},
                                     {"pipe diameter", width, true},
                                     {"capacity", feet ? "bbl/ft" : "l/m", true},
                                     {"volume", run_volume_unit(run), true},
                                     {"from the floor", run_volume_unit(run), true},
                                     {"mud", feet ? "ft/min" : "m/min", true},
                                     {"transport", "%", true}};
    static const struct column total_columns[] = {{"quantity", NULL, false},
                                                  {"value", NULL, true},
                                                  {"unit", NULL, false},
                                                  {"or", NULL, true},
                                                  {"in", NULL, false}};
    struct sheet segments;
    struct sheet totals;
    struct lag_steady steady;
    const struct lag_steady_input input = {.geometry = &lag_case->geometry,
                                           .bit_um = lag_case->bit_um,
                                           .flow_m3_min = lag_case->flow_m3_min,
                                           .booster_m3_min = lag_case->booster_m3_min};
    if (lag_case->geometry.inlet_um != LENGTH_NONE && lag_case->geometry.inlet_um >= lag_case->bit_um) {
        err_set(err, STATUS_RULE, "--inlet", "the booster enters at %s m, and the bit is at %s m",
                length_text(lag_case->geometry.inlet_um, UNIT_M, 2).text,
                length_text(lag_case->bit_um, UNIT_M, 2).text);
        return err_hint(err, "it enters at the foot of the riser, above the bit");
    }
    TRY(lag_steady_find(&input, &steady, err));
    sheet_init(&segments, run->state->arena, columns,
               sizeof columns / sizeof columns[0] - (isnan(steady.slip_m_s) ? 1 : 0));
    sheet_init(&totals, run->state->arena, total_columns, 5);
    TRY(add_segments(run, &steady, &segments, err));
    TRY(add_totals(lag_case, &steady, &totals, err));
    TRY(print_both(run, &segments, &totals, err));
    if (steady.end != LAG_ARRIVED)
        (void)fprintf(run->talk, "note: %s\n", lag_end_meaning(steady.end));
    run_say_caution(run);
    return STATUS_OK;
}
