/* SPDX-License-Identifier: MIT */
/* The derivation of a bag's depth: window, delays, segments, what was pumped by the log, calibration, acts. */
#include "coretally/ask/explain_bag.h"

#include <math.h>
#include <string.h>

#include "coretally/ask/link.h"
#include "coretally/base/limits.h"
#include "coretally/state/log.h"
#include "coretally/state/origin.h"

/* One version of a day of the log, newest first. */
struct log_version {
    struct source source;
    int64_t last_us; /* its last row */
    struct err why;  /* status other than OK: it cannot be read */
};

/* The versions of a day as far as they were looked at. */
struct log_day_past {
    struct log_day_past *next;
    int64_t day;
    struct history *history;
    struct log_version *versions;
    size_t count;
    size_t room;
    bool is_ended;
};

/* The act behind the row at a time. */
struct known {
    int64_t time_us;
    struct source source;
};

enum { KNOWN_MAX = 8 };

struct telling {
    struct state *state;
    const struct bag_target *at;
    struct lag_hole *hole;
    struct log_day_past *days;
    struct known known[KNOWN_MAX];
    size_t known_count;
    struct bag_explanation *out;
};

static enum status add_step(const struct telling *telling, const struct bag_step *step, struct err *err)
{
    struct bag_explanation *out = telling->out;
    TRY(arena_grow(telling->state->arena, &out->steps, out->count, &out->room, sizeof *step, err));
    out->steps[out->count++] = *step;
    return STATUS_OK;
}

/* --- who recorded a row of the log --- */

static enum status find_day(struct telling *telling, int64_t day, struct log_day_past **out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct log_day_past *past = telling->days;
    while (past && past->day != day)
        past = past->next;
    if (!past) {
        TRY(arena_take(telling->state->arena, 1, sizeof *past, &past, err));
        log_day_path(telling->hole->target->hole_name, day, path);
        TRY(history_open(telling->state->store, path, &past->history, err));
        past->day = day;
        past->next = telling->days;
        telling->days = past;
    }
    *out = past;
    return STATUS_OK;
}

static int64_t last_row_us(const struct log_day *day)
{
    const struct log_block *last = &day->blocks[day->block_count - 1];
    return last->cells[(last->row_count - 1) * (1 + last->channel_count)];
}

/* The last row of a version; the present one is at hand. */
static enum status read_last(struct telling *telling, int64_t day, const char *id, struct arena *scratch,
                             struct log_version *out, struct err *err)
{
    struct state *state = telling->state;
    const char *hole = telling->hole->target->hole_name;
    const struct log_day *present = NULL;
    char path[REGISTRY_PATH_MAX];
    char now[HASH_TEXT_MAX];
    struct log_day then = {0};
    struct bytes bytes = {0};
    log_day_path(hole, day, path);
    TRY(store_look(state->store, path, now, err));
    if (strcmp(now, id) == 0 && state_log_day(state, hole, day, &present, &out->why) == STATUS_OK && present) {
        out->last_us = last_row_us(present);
        return STATUS_OK;
    }
    out->why = (struct err){0};
    TRY(history_bytes(state->store, id, path, scratch, &bytes, err));
    if (log_day_decode(bytes, scratch, &then, &out->why) == STATUS_OK)
        out->last_us = last_row_us(&then);
    return STATUS_OK;
}

/* Look at one more version of a day; of each only who and when is kept. */
static enum status look_further(struct telling *telling, struct log_day_past *past, struct err *err)
{
    struct arena scratch;
    struct commit commit = {0};
    struct log_version version = {0};
    char id[HASH_TEXT_MAX] = "";
    bool more = false;
    arena_init(&scratch, ARENA_LIMIT_BYTES);
    enum status status = history_next(past->history, &scratch, &commit, id, &more, err);
    past->is_ended = !more || !*id;
    if (status == STATUS_OK && !past->is_ended) {
        status = read_last(telling, past->day, id, &scratch, &version, err);
        if (status == STATUS_OK)
            status = source_of_commit(telling->state, &commit, &version.source, err);
        if (status == STATUS_OK)
            status = arena_grow(telling->state->arena, &past->versions, past->count, &past->room, sizeof version, err);
        if (status == STATUS_OK)
            past->versions[past->count++] = version;
    }
    arena_clear(&scratch);
    return status;
}

/* The oldest act since which the day of the log has the row at this time. */
static enum status find_log_source(struct telling *telling, int64_t time_us, struct source *out, struct err *err)
{
    struct log_day_past *past = NULL;
    TRY(find_day(telling, log_day_of(time_us), &past, err));
    for (size_t at = 0;; at++) {
        if (at == past->count && !past->is_ended)
            TRY(look_further(telling, past, err));
        if (at == past->count)
            return STATUS_OK;
        const struct log_version *version = &past->versions[at];
        if (version->why.status != STATUS_OK) {
            struct commit commit = {0};
            char path[REGISTRY_PATH_MAX];
            log_day_path(telling->hole->target->hole_name, past->day, path);
            memcpy(commit.id, version->source.id, sizeof commit.id);
            return origin_tell_unreadable(telling->state, path, &commit, &version->why, err);
        }
        if (at && version->last_us < time_us)
            return STATUS_OK;
        *out = version->source;
    }
}

/* The same, remembered: the steps of a way ask for few times. */
static enum status source_of_log(struct telling *telling, int64_t time_us, struct source *out, struct err *err)
{
    for (size_t at = 0; at < telling->known_count; at++)
        if (telling->known[at].time_us == time_us) {
            *out = telling->known[at].source;
            return STATUS_OK;
        }
    TRY(find_log_source(telling, time_us, out, err));
    if (telling->known_count < KNOWN_MAX)
        telling->known[telling->known_count++] = (struct known){time_us, *out};
    return STATUS_OK;
}

/* --- the steps --- */

static enum status source_of_item(const struct telling *telling, const struct table *set, const void *item,
                                  struct source *out, struct err *err)
{
    const struct record_at at = record_of_numbered(telling->hole->target->hole_name, set, item);
    return source_find(telling->state, &at, NULL, out, err);
}

static const struct geometry *recorded_state(const struct lag_hole *hole, size_t state)
{
    for (size_t at = 0; at < hole->wells.state_count; at++)
        if (hole->wells.states[at].number == hole->origins[state].geometry)
            return &hole->wells.states[at];
    return NULL;
}

/* Segments between two depths, from the top down. */
static enum status add_segments(const struct telling *telling, const struct segments *split, int64_t top_um,
                                int64_t bottom_um, const struct source *source, struct err *err)
{
    for (size_t at = 0; at < split->count; at++) {
        const struct segment *segment = &split->items[at];
        const struct bag_step step = {
            .kind = BAG_STEP_SEGMENT, .segment = *segment, .amount = segment->volume_m3, .source = *source};
        if (segment->top_um >= top_um && segment->bottom_um <= bottom_um)
            TRY(add_step(telling, &step, err));
    }
    return STATUS_OK;
}

/* What the log says went by between two times; step has its kind and at_us. */
static enum status add_pumped(struct telling *telling, struct bag_step step, const double *amounts, int64_t from_us,
                              int64_t to_us, struct err *err)
{
    const struct lag_log *log = &telling->hole->log;
    step.amount = lag_log_at(log, amounts, to_us) - lag_log_at(log, amounts, from_us);
    TRY(source_of_log(telling, from_us, &step.source, err));
    return add_step(telling, &step, err);
}

/* A link of the chain, with its correction. */
static enum status add_link(const struct telling *telling, const struct depth_link *link, enum scale ends_on,
                            struct err *err)
{
    struct commit commit = {0};
    struct bag_step step = {
        .kind = BAG_STEP_LINK, .scale = ends_on, .amount_um = link->amount_um, .um = link->result_um};
    TRY(link_words(telling->state, link, 0, &step.rule, &step.why, err));
    TRY(link_commit(telling->state, link, &commit, err));
    TRY(source_of_commit(telling->state, &commit, &step.source, err));
    return add_step(telling, &step, err);
}

/* From the bottom of the hole as reported to MRF and MSF. */
static enum status add_corrected(struct telling *telling, const struct lag_passage *passage, struct err *err)
{
    const struct hole *hole = &telling->hole->target->hole;
    const struct instant cut = {.utc_us = passage->cut_us, .known = true};
    struct depth_links links = {0};
    const struct depth mrf = drilled_depth(hole, passage->hole_um, DATUM_RIG_FLOOR, cut, SCALE_DRF, &links);
    const size_t on_mrf = links.count; /* the links of MSF go through those of MRF once more */
    links = (struct depth_links){0};
    const struct depth msf = drilled_depth(hole, passage->hole_um, DATUM_RIG_FLOOR, cut, SCALE_DSF, &links);
    struct bag_step bottom = {
        .kind = BAG_STEP_BOTTOM, .um = passage->hole_um, .scale = on_mrf == 1 ? SCALE_DRF : SCALE_COUNT};
    TRY(source_of_log(telling, passage->left_bit_us, &bottom.source, err));
    TRY(add_step(telling, &bottom, err));
    for (size_t at = 1; at < links.count; at++)
        TRY(add_link(telling, &links.items[at],
                     at + 1 == on_mrf                                 ? SCALE_DRF
                     : at + 1 == links.count && msf.um != LENGTH_NONE ? SCALE_DSF
                                                                      : SCALE_COUNT,
                     err));
    const struct bag_step none = {.kind = BAG_STEP_NO_DEPTH, .why = mrf.why ? mrf.why : msf.why};
    return none.why ? add_step(telling, &none, err) : STATUS_OK;
}

/* The way of what arrived at one end of the window. */
static enum status add_way(struct telling *telling, enum bag_step_kind kind, const struct lag_passage *passage,
                           struct err *err)
{
    const struct lag_hole *hole = telling->hole;
    const struct geometry *well = &hole->well.states[passage->state];
    const int64_t inlet_um = well->inlet_um == LENGTH_NONE ? 0 : well->inlet_um;
    const bool is_fluid = telling->at->set.kind != BAG_CUTTINGS; /* taken at the flowline */
    const double delay_s = is_fluid || isnan(well->shaker_delay_s) ? 0 : well->shaker_delay_s;
    const int64_t off_line_us = passage->at_shaker_us - llround(delay_s * 1e6);
    const int64_t inlet_us = passage->at_inlet_us == INT64_MIN ? off_line_us : passage->at_inlet_us;
    const struct record_at bag = record_of_bag(hole->target->hole_name, telling->at->set.kind, telling->at->bag);
    struct segments split;
    struct bag_step taken = {.kind = kind, .at_us = passage->at_shaker_us};
    struct bag_step shaker = {.kind = BAG_STEP_SHAKER, .amount = delay_s, .at_us = off_line_us};
    TRY(source_find(telling->state, &bag, NULL, &taken.source, err));
    TRY(source_of_item(telling, &geometry_set_table, recorded_state(hole, passage->state), &shaker.source, err));
    const struct bag_step flowline = {
        .kind = BAG_STEP_FLOWLINE, .amount = isnan(well->flowline_m3) ? 0 : well->flowline_m3, .source = shaker.source};
    TRY(well_split(well, passage->hole_um, &split, err));
    segments_cut(&split, inlet_um);
    TRY(add_step(telling, &taken, err));
    if (!is_fluid)
        TRY(add_step(telling, &shaker, err));
    TRY(add_step(telling, &flowline, err));
    if (inlet_um) {
        TRY(add_segments(telling, &split, 0, inlet_um, &shaker.source, err));
        TRY(add_pumped(telling, (struct bag_step){.kind = BAG_STEP_PUMPED_INLET, .at_us = inlet_us},
                       hole->log.at_top_m3, inlet_us, off_line_us, err));
    }
    TRY(add_segments(telling, &split, inlet_um, passage->hole_um, &shaker.source, err));
    TRY(add_pumped(telling, (struct bag_step){.kind = BAG_STEP_PUMPED_BIT, .at_us = passage->left_bit_us},
                   hole->log.at_bit_m3, passage->left_bit_us, inlet_us, err));
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
        if (state->from.utc_us > depth->last.at_shaker_us)
            break;
        const bool is_losing = state->loss_um != LENGTH_NONE;
        if ((!is_losing && !is_lost) || number == told)
            continue;
        told = number;
        is_lost = is_losing;
        struct bag_step step = {.kind = is_losing ? BAG_STEP_LOSS : BAG_STEP_LOSS_ENDS,
                                .um = state->loss_um,
                                .at_us = state->from.utc_us,
                                .amount = is_losing ? state->loss_pct : 0};
        TRY(source_of_item(telling, &geometry_set_table, recorded_state(hole, at), &step.source, err));
        TRY(add_step(telling, &step, err));
    }
    return STATUS_OK;
}

static enum status add_pumps(const struct telling *telling, const struct lag_depth *depth, struct err *err)
{
    const struct pump_set *pumps = &telling->hole->pumps;
    for (size_t at = 0; at < pumps->pump_count; at++) {
        const struct pump *pump = &pumps->pumps[at];
        struct bag_step step = {.kind = BAG_STEP_PUMP, .pump = pump};
        if (pump_at(pumps->pumps, pumps->pump_count, pump->name, depth->first.left_bit_us) != pump &&
            pump_at(pumps->pumps, pumps->pump_count, pump->name, depth->last.at_shaker_us) != pump)
            continue;
        TRY(source_of_item(telling, &pump_set_table, pump, &step.source, err));
        TRY(add_step(telling, &step, err));
    }
    return STATUS_OK;
}

/* Pumps, lag check, slip and losses that the way rests on, and the bounds. */
static enum status add_inputs(const struct telling *telling, const struct lag_depth *depth, struct err *err)
{
    const struct lag_hole *hole = telling->hole;
    const int32_t number = hole->origins[depth->first.state].check;
    const struct slip *slip = &hole->well.states[depth->first.state].slip;
    struct bag_step behind = {.kind = BAG_STEP_SLIP, .slip = slip->method};
    TRY(add_pumps(telling, depth, err));
    for (size_t at = 0; at < hole->measured_count; at++) {
        struct bag_step check = {.kind = BAG_STEP_CHECK, .number = number, .amount = hole->results[at].effective_m};
        if (hole->measured[at].number != number)
            continue;
        TRY(source_of_item(telling, &lag_check_set_table, &hole->measured[at], &check.source, err));
        TRY(add_step(telling, &check, err));
    }
    if (telling->at->set.kind == BAG_CUTTINGS && slip->method != SLIP_NONE &&
        slip_velocity(slip, &behind.amount, NULL, err) == STATUS_OK)
        TRY(add_step(telling, &behind, err));
    TRY(add_losses(telling, depth, err));
    const struct bag_step low = {.kind = BAG_STEP_LOW, .amount = hole->tolerance_pct, .um = depth->low_um};
    const struct bag_step high = {.kind = BAG_STEP_HIGH, .amount = hole->tolerance_pct, .um = depth->high_um};
    TRY(add_step(telling, &low, err));
    return add_step(telling, &high, err);
}

static enum status add_all(struct telling *telling, struct err *err)
{
    const struct lag_depth *depth = &telling->out->depth;
    TRY(add_way(telling, BAG_STEP_TAKEN, &depth->first, err));
    if (telling->at->bag->to.known)
        TRY(add_way(telling, BAG_STEP_TAKEN_TO, &depth->last, err));
    return add_inputs(telling, depth, err);
}

enum status explain_bag(struct state *state, const struct bag_target *at, struct lag_hole *hole,
                        struct bag_explanation *out, struct err *err)
{
    struct telling telling = {.state = state, .at = at, .hole = hole, .out = out};
    *out = (struct bag_explanation){.count = 0};
    TRY(bag_depth(state, hole, at->set.kind, at->bag, &out->depth, err));
    if (out->depth.why)
        return STATUS_OK;
    const enum status status = add_all(&telling, err);
    for (struct log_day_past *past = telling.days; past; past = past->next)
        history_close(past->history);
    return status;
}
