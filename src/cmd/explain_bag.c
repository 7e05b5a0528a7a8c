/* SPDX-License-Identifier: MIT */
/* The derivation of a bag's depth: window, delays, segments, what was pumped by the log, calibration, commits. */
#include "explain_bag.h"

#include <math.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/state/bag.h"
#include "coretally/ask/link.h"
#include "numbered.h"

/* A commit as two cells. */
struct source_cells {
    char id[16];
    const char *who;
};

/* The commit of the row at a time. */
struct known {
    int64_t time_us;
    struct source_cells source;
};

enum { KNOWN_MAX = 8 };

struct telling {
    struct run *run;
    struct state *state;
    struct bag_target *at;
    struct lag_hole *hole;
    struct sheet *sheet;
    struct known known[KNOWN_MAX];
    size_t known_count;
};

static enum status fill_source(struct state *state, const struct commit *commit, struct source_cells *out,
                               struct err *err)
{
    char when[INSTANT_TEXT_MAX];
    struct text text;
    struct bytes bytes;
    instant_format(commit->when, when);
    text_init(&text, state->arena);
    text_addf(&text, "%s, %s", commit->author, when);
    TRY(text_done(&text, &bytes, err));
    (void)snprintf(out->id, sizeof out->id, "%.10s", commit->id);
    out->who = bytes.data;
    return STATUS_OK;
}

static enum status source_of_numbered(struct state *state, const struct numbered *kind, const char *hole,
                                      int32_t number, const void *present, struct source_cells *out, struct err *err)
{
    const struct numbered_key key = {kind, number};
    const struct record_at at = record_of_numbered(hole, &key, present);
    struct commit commit = {0};
    TRY(origin_find(state, &at, NULL, &commit, err));
    return fill_source(state, &commit, out, err);
}

/* The oldest commit since which the day of the log has the row at this time; of each version only who and when is kept.
 */
static enum status find_log_commit(struct state *state, const char *hole, int64_t time_us, struct source_cells *out,
                                   struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct history *history = NULL;
    bool any = false;
    enum status status = STATUS_OK;
    log_day_path(hole, log_day_of(time_us), path);
    TRY(history_open(state->store, path, &history, err));
    for (bool more = true; status == STATUS_OK && more;) {
        struct arena scratch;
        struct commit commit = {0};
        struct bytes bytes = {0};
        char id[HASH_TEXT_MAX] = "";
        struct log_day stored = {0};
        struct err why = {0};
        bool has_row = false;
        arena_init(&scratch, ARENA_LIMIT_BYTES);
        status = history_next(history, &scratch, &commit, id, &more, err);
        const bool is_there = status == STATUS_OK && more && *id;
        if (is_there)
            status = history_bytes(state->store, id, path, &scratch, &bytes, err);
        if (status == STATUS_OK && is_there && log_day_decode(bytes, &scratch, &stored, &why) != STATUS_OK)
            status = origin_tell_unreadable(state, path, &commit, &why, err);
        else if (status == STATUS_OK && is_there) {
            const struct log_block *last = &stored.blocks[stored.block_count - 1];
            has_row = last->cells[(last->row_count - 1) * (1 + last->channel_count)] >= time_us || !any;
        }
        if (has_row)
            status = fill_source(state, &commit, out, err);
        any = any || has_row;
        more = more && has_row;
        arena_clear(&scratch);
    }
    history_close(history);
    return status;
}

/* The same, remembered: the steps of a way ask for few times. */
static enum status source_of_log(struct telling *telling, int64_t time_us, struct source_cells *out, struct err *err)
{
    for (size_t at = 0; at < telling->known_count; at++)
        if (telling->known[at].time_us == time_us) {
            *out = telling->known[at].source;
            return STATUS_OK;
        }
    TRY(find_log_commit(telling->state, telling->hole->target->hole_name, time_us, out, err));
    if (telling->known_count < KNOWN_MAX)
        telling->known[telling->known_count++] = (struct known){time_us, *out};
    return STATUS_OK;
}

static enum status add_link(const struct telling *telling, const char *what, struct cell amount, const char *unit,
                            struct cell result, const struct source_cells *source, struct err *err)
{
    const struct cell cells[] = {cell_text(what),
                                 amount,
                                 cell_text(unit),
                                 result,
                                 cell_text(source ? source->id : NULL),
                                 cell_text(source ? source->who : NULL)};
    return sheet_add_row(telling->sheet, cells, err);
}

/* Segments between two depths, from the top down. */
static enum status add_segments(const struct telling *telling, const struct segments *split, int64_t top_um,
                                int64_t bottom_um, const struct source_cells *source, struct err *err)
{
    for (size_t at = 0; at < split->count; at++) {
        const struct segment *segment = &split->items[at];
        char what[200];
        if (segment->top_um < top_um || segment->bottom_um > bottom_um)
            continue;
        (void)snprintf(what, sizeof what, "  %s %.1f mm, %.60s %s mm, %s-%s m", bore_words[segment->bore->kind],
                       bore_diameter_m(segment->bore) * 1000, segment->part->name,
                       length_text(segment->part->outer_um, UNIT_MM, 1).text,
                       length_text(segment->top_um, UNIT_M, 2).text, length_text(segment->bottom_um, UNIT_M, 2).text);
        TRY(add_link(telling, what, cell_amount(segment->volume_m3, 3), "m3", cell_nothing(), source, err));
    }
    return STATUS_OK;
}

/* What the log says went by between two times. */
static enum status add_pumped(struct telling *telling, const char *what, const double *amounts, int64_t from_us,
                              int64_t to_us, int64_t result_us, struct err *err)
{
    struct source_cells source = {.id = ""};
    const struct lag_log *log = &telling->hole->log;
    const double pumped_m3 = lag_log_at(log, amounts, to_us) - lag_log_at(log, amounts, from_us);
    TRY(source_of_log(telling, from_us, &source, err));
    return add_link(telling, what, cell_amount(pumped_m3, 3), "m3",
                    cell_instant(ship_instant(&telling->hole->target->hole, result_us)), &source, err);
}

static const struct geometry *recorded_state(const struct lag_hole *hole, size_t state)
{
    for (size_t at = 0; at < hole->wells.state_count; at++)
        if (hole->wells.states[at].number == hole->origins[state].geometry)
            return &hole->wells.states[at];
    return NULL;
}

/* A link of the chain, with its correction. */
static enum status add_depth_link(struct telling *telling, const struct depth_link *link, const char *result,
                                  struct err *err)
{
    struct commit commit = {0};
    struct source_cells source;
    char what[300];
    const char *rule = NULL;
    const char *why = NULL;
    TRY(link_words(telling->state, link, 0, &rule, &why, err));
    TRY(link_commit(telling->state, link, &commit, err));
    TRY(fill_source(telling->state, &commit, &source, err));
    (void)snprintf(what, sizeof what, "%s%s", rule, result);
    TRY(add_link(telling, what, cell_length_in(link->amount_um, UNIT_M, 3), "m",
                 cell_length_in(link->result_um, UNIT_M, 3), &source, err));
    return why ? add_link(telling, why, cell_nothing(), "", cell_nothing(), NULL, err) : STATUS_OK;
}

/* From the bottom of the hole as reported to MRF and MSF. */
static enum status add_corrected(struct telling *telling, const struct lag_passage *passage, struct err *err)
{
    const struct hole *hole = &telling->hole->target->hole;
    const struct instant cut = {.utc_us = passage->cut_us, .known = true};
    struct source_cells rows = {.id = ""};
    struct depth_links links = {0};
    const struct depth mrf = drilled_depth(hole, passage->hole_um, DATUM_RIG_FLOOR, cut, SCALE_DRF, &links);
    const size_t on_mrf = links.count; /* the links of MSF go through those of MRF once more */
    links = (struct depth_links){0};
    const struct depth msf = drilled_depth(hole, passage->hole_um, DATUM_RIG_FLOOR, cut, SCALE_DSF, &links);
    TRY(source_of_log(telling, passage->left_bit_us, &rows, err));
    TRY(add_link(telling, on_mrf == 1 ? "bottom of the hole then = MRF" : "bottom of the hole then, as reported",
                 cell_nothing(), "", cell_length_in(passage->hole_um, UNIT_M, 3), &rows, err));
    for (size_t at = 1; at < links.count; at++)
        TRY(add_depth_link(telling, &links.items[at],
                           at + 1 == on_mrf                                 ? " = MRF"
                           : at + 1 == links.count && msf.um != LENGTH_NONE ? " = MSF"
                                                                            : "",
                           err));
    const char *why = mrf.why ? mrf.why : msf.why;
    return why ? add_link(telling, why, cell_nothing(), "", cell_text("n/a"), NULL, err) : STATUS_OK;
}

/* The way of what arrived at one end of the window. */
static enum status add_way(struct telling *telling, const char *what, const struct lag_passage *passage,
                           struct err *err)
{
    const struct lag_hole *hole = telling->hole;
    struct state *state = telling->state;
    const struct geometry *well_state = &hole->well.states[passage->state];
    const int64_t inlet_um = well_state->inlet_um == LENGTH_NONE ? 0 : well_state->inlet_um;
    const double flowline_m3 = isnan(well_state->flowline_m3) ? 0 : well_state->flowline_m3;
    const bool is_fluid = telling->at->set.kind != BAG_CUTTINGS; /* taken at the flowline */
    const double delay_s = is_fluid || isnan(well_state->shaker_delay_s) ? 0 : well_state->shaker_delay_s;
    const int64_t off_line_us = passage->at_shaker_us - llround(delay_s * 1e6);
    const int64_t inlet_us = passage->at_inlet_us == INT64_MIN ? off_line_us : passage->at_inlet_us;
    struct segments split;
    struct source_cells bag;
    struct source_cells well;
    struct commit commit = {0};
    const struct record_at at = record_of_bag(hole->target->hole_name, telling->at->set.kind, telling->at->bag);
    TRY(origin_find(state, &at, NULL, &commit, err));
    TRY(fill_source(state, &commit, &bag, err));
    TRY(source_of_numbered(state, &well_kind, hole->target->hole_name, hole->origins[passage->state].geometry,
                           recorded_state(hole, passage->state), &well, err));
    TRY(well_split(well_state, passage->hole_um, &split, err));
    segments_cut(&split, inlet_um);
    const struct cell taken = cell_instant(ship_instant(&hole->target->hole, passage->at_shaker_us));
    const struct cell off_line = cell_instant(ship_instant(&hole->target->hole, off_line_us));
    TRY(add_link(telling, what, cell_nothing(), "", taken, &bag, err));
    if (!is_fluid)
        TRY(add_link(telling, "less the shaker delay", cell_amount(delay_s > 0 ? -delay_s / 60 : 0, 2), "min", off_line,
                     &well, err));
    TRY(add_link(telling, "flowline", cell_amount(flowline_m3, 3), "m3", cell_nothing(), &well, err));
    if (inlet_um) {
        TRY(add_segments(telling, &split, 0, inlet_um, &well, err));
        TRY(add_pumped(telling, "came up since it passed the booster inlet", hole->log.at_top_m3, inlet_us, off_line_us,
                       inlet_us, err));
    }
    TRY(add_segments(telling, &split, inlet_um, passage->hole_um, &well, err));
    TRY(add_pumped(telling, "pumped through the bit since it left", hole->log.at_bit_m3, passage->left_bit_us, inlet_us,
                   passage->left_bit_us, err));
    return add_corrected(telling, passage, err);
}

/* Losses are those of the time when the mud came by: every state of the well on the way counts, each of them once. */
static enum status add_losses(const struct telling *telling, const struct lag_depth *depth, struct err *err)
{
    const struct lag_hole *hole = telling->hole;
    int32_t told = 0;
    bool is_lost = false;
    for (size_t at = depth->first.state; at < hole->well.count; at++) {
        const struct geometry *state = &hole->well.states[at];
        const int32_t number = hole->origins[at].geometry;
        struct source_cells source;
        char what[200];
        if (state->from.utc_us > depth->last.at_shaker_us)
            break;
        const bool is_losing = state->loss_um != LENGTH_NONE;
        if ((!is_losing && !is_lost) || number == told)
            continue;
        told = number;
        is_lost = is_losing;
        TRY(source_of_numbered(telling->state, &well_kind, hole->target->hole_name, number, recorded_state(hole, at),
                               &source, err));
        const struct ship_time from = ship_time(&hole->target->hole, state->from.utc_us);
        if (is_losing)
            (void)snprintf(what, sizeof what, "lost at %s m, of the mud that passes from %s on",
                           length_text(state->loss_um, UNIT_M, 2).text, from.text);
        else
            (void)snprintf(what, sizeof what, "lost no more from %s on", from.text);
        TRY(add_link(telling, what, cell_amount(is_losing ? state->loss_pct : 0, 1), "%", cell_nothing(), &source,
                     err));
    }
    return STATUS_OK;
}

/* Pumps, slip and lag check that the way rests on. */
static enum status add_inputs(const struct telling *telling, const struct lag_depth *depth, struct err *err)
{
    const struct lag_hole *hole = telling->hole;
    struct state *state = telling->state;
    struct source_cells source;
    char what[200];
    char from[INSTANT_TEXT_MAX];
    for (size_t at = 0; at < hole->pumps.pump_count; at++) {
        const struct pump *pump = &hole->pumps.pumps[at];
        if (pump_at(hole->pumps.pumps, hole->pumps.pump_count, pump->name, depth->first.left_bit_us) != pump &&
            pump_at(hole->pumps.pumps, hole->pumps.pump_count, pump->name, depth->last.at_shaker_us) != pump)
            continue;
        instant_format(pump->from, from);
        (void)snprintf(what, sizeof what, "pump %s (%s) from %s: a stroke", pump->name,
                       pump->line == LINE_BOOSTER ? "booster" : "string", from);
        TRY(source_of_numbered(state, &pumps_kind, hole->target->hole_name, pump->number, pump, &source, err));
        TRY(add_link(telling, what, cell_amount(pump_output(pump) * 1000, 3), "l", cell_nothing(), &source, err));
    }
    const int32_t number = hole->origins[depth->first.state].check;
    for (size_t at = 0; at < hole->measured_count; at++) {
        if (hole->measured[at].number != number)
            continue;
        TRY(source_of_numbered(state, &lag_check_kind, hole->target->hole_name, number, &hole->measured[at], &source,
                               err));
        (void)snprintf(what, sizeof what, "lag check %d: open hole", (int)number);
        TRY(add_link(telling, what, cell_amount(hole->results[at].effective_m * 1000, 1), "mm", cell_nothing(), &source,
                     err));
    }
    const struct slip *slip = &hole->well.states[depth->first.state].slip;
    double slip_m_s = 0;
    if (telling->at->set.kind == BAG_CUTTINGS && slip->method != SLIP_NONE &&
        slip_velocity(slip, &slip_m_s, NULL, err) == STATUS_OK) {
        (void)snprintf(what, sizeof what, "cuttings fall behind by %s", slip_words[slip->method]);
        TRY(add_link(telling, what, cell_amount(slip_m_s * 60, 2), "m/min", cell_nothing(), NULL, err));
    }
    TRY(add_losses(telling, depth, err));
    (void)snprintf(what, sizeof what, "low: output -%g %%, wide hole, less tolerance and heave", hole->tolerance_pct);
    TRY(add_link(telling, what, cell_nothing(), "", cell_length_in(depth->low_um, telling->run->unit, 3), NULL, err));
    (void)snprintf(what, sizeof what, "high: output +%g %%, narrow hole, plus tolerance and heave",
                   hole->tolerance_pct);
    return add_link(telling, what, cell_nothing(), "", cell_length_in(depth->high_um, telling->run->unit, 3), NULL,
                    err);
}

static enum status tell(struct run *run, struct bag_target *at, struct lag_hole *hole, struct err *err)
{
    static const struct column columns[] = {{"link", NULL, false},   {"amount", NULL, true},  {"unit", NULL, false},
                                            {"result", NULL, false}, {"commit", NULL, false}, {"by", NULL, false}};
    struct lag_depth depth;
    struct sheet sheet;
    struct findings findings = {0};
    struct telling telling = {.run = run, .state = run->state, .at = at, .hole = hole, .sheet = &sheet};
    sheet_init(&sheet, run->state->arena, columns, 6);
    TRY(bag_depth(run->state, hole, at->set.kind, at->bag, &depth, err));
    if (depth.why) {
        (void)fprintf(run->format == SHEET_PEOPLE ? run->out : run->talk, "%s: n/a, %s\n", at->name, depth.why);
        return run_print_sheet(run, &sheet, err);
    }
    TRY(add_way(&telling, at->bag->to.known ? "collected from" : "taken", &depth.first, err));
    if (at->bag->to.known)
        TRY(add_way(&telling, "collected to", &depth.last, err));
    TRY(add_inputs(&telling, &depth, err));
    if (run->format == SHEET_PEOPLE) {
        (void)fprintf(run->out, "%s MRF: %s-%s m below rig floor", at->name, length_text(depth.top_um, UNIT_M, 3).text,
                      length_text(depth.bottom_um, UNIT_M, 3).text);
        const struct length_text low = length_text(depth.low_um, UNIT_M, 3);
        const struct length_text high = length_text(depth.high_um, UNIT_M, 3);
        (void)fprintf(run->out, " (low %s, high %s)\n", depth.low_um == LENGTH_NONE ? "n/a" : low.text,
                      depth.high_um == LENGTH_NONE ? "n/a" : high.text);
    }
    TRY(run_print_sheet(run, &sheet, err));
    lag_depth_check(&at->target.hole, &depth, &findings);
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

enum status explain_bag(struct run *run, struct err *err)
{
    struct bag_target at = {0};
    struct lag_hole hole;
    if (run_option(run, "scale"))
        return err_set(err, STATUS_USAGE, "--scale", "what is taken at the shaker has MRF and MSF; both are shown");
    TRY(bag_resolve(run->state, run->args[0], &at, err));
    TRY(lag_hole_try(run->state, &at.target, &hole, err));
    const enum status status = tell(run, &at, &hole, err);
    lag_hole_close(&hole);
    return status;
}
