/* SPDX-License-Identifier: MIT */
/* The records behind the lag of a hole, and questions that load as much of its log as they need. */
#include "coretally/state/lag_hole.h"

#include <math.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/domain/depth.h"
#include "log_sum.h"

enum { FIRST_DAYS = 1 }; /* looked back at first; doubled until the answer stands */

static enum status read_records(struct state *state, const char *hole, struct lag_hole *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    well_path(hole, path);
    TRY(state_read(state, path, &geometry_set_table, &out->wells, &there, err));
    pumps_path(hole, path);
    TRY(state_read(state, path, &pump_set_table, &out->pumps, &there, err));
    lag_checks_path(hole, path);
    TRY(state_read(state, path, &lag_check_set_table, &out->checks, &there, err));
    TRY(state_log_days(state, hole, &out->days, &out->day_count, err));
    for (size_t at = 0; at < out->pumps.pump_count; at++) {
        const struct pump *pump = &out->pumps.pumps[at];
        if (!pump->withdrawn && !isnan(pump->tolerance_pct) && pump->tolerance_pct > out->tolerance_pct)
            out->tolerance_pct = pump->tolerance_pct;
    }
    return STATUS_OK;
}

/* The records that a lag cannot do without. */
static enum status check_records(const struct lag_hole *hole, struct err *err)
{
    const char *name = hole->target->hole_name;
    if (hole->target->hole.returns == RETURNS_SEAFLOOR) {
        err_set(err, STATUS_RULE, name,
                "the mud of this hole returns to the seafloor (riserless): nothing comes up to lag");
        return err_hint(err, "once the riser is on: coretally hole amend %s --returns ship --reason ...", name);
    }
    if (hole->wells.state_count == 0) {
        err_set(err, STATUS_UNKNOWN, name, "no well geometry is recorded for this hole");
        return err_hint(err, "coretally well add %s --from TIME --bores ... --string ...", name);
    }
    if (hole->day_count == 0) {
        err_set(err, STATUS_UNKNOWN, name, "no pump log is recorded for this hole");
        return err_hint(err, "coretally log add %s FILE; for a steady flow without a log: coretally lag", name);
    }
    return STATUS_OK;
}

static int order_checks(const struct lag_check *a, const struct lag_check *b)
{
    return (a->in.utc_us > b->in.utc_us) - (a->in.utc_us < b->in.utc_us);
}

/* The standing checks in order of time, with the one that is only tried. */
static enum status list_checks(struct state *state, struct lag_hole *hole, int32_t leave_out,
                               const struct lag_check *extra, struct err *err)
{
    const size_t most = hole->checks.check_count + 1;
    TRY(arena_take(state->arena, most, sizeof *hole->measured, &hole->measured, err));
    TRY(arena_take(state->arena, most, sizeof *hole->results, &hole->results, err));
    for (size_t at = 0; at <= hole->checks.check_count; at++) {
        const struct lag_check *check = at < hole->checks.check_count ? &hole->checks.checks[at] : extra;
        if (!check || check->withdrawn || (check != extra && check->number == leave_out))
            continue;
        size_t place = hole->measured_count++;
        for (; place > 0 && order_checks(&hole->measured[place - 1], check) > 0; place--)
            hole->measured[place] = hole->measured[place - 1];
        hole->measured[place] = *check;
    }
    return STATUS_OK;
}

/* Each check from the well as recorded: the diameter that it finds does not rest on the checks before it. One that
 * cannot be worked out is left out and told, but for the one that is only tried. */
static enum status measure(struct state *state, struct lag_hole *hole, const struct lag_check *extra, struct err *err)
{
    const struct lag_well recorded = {hole->wells.states, hole->wells.state_count};
    size_t kept = 0;
    for (size_t at = 0; at < hole->measured_count; at++) {
        const struct lag_check check = hole->measured[at];
        const bool is_tried = extra && check.number == extra->number;
        struct err inner = {0};
        enum status status = lag_hole_cover(state, hole, check.in.utc_us, check.seen.utc_us, &inner);
        if (status == STATUS_OK)
            status = lag_check_find(&hole->log, &recorded, &check, &hole->results[kept], &inner);
        if (status == STATUS_OK) {
            hole->measured[kept++] = check;
            continue;
        }
        char subject[ERR_SUBJECT_MAX];
        (void)snprintf(subject, sizeof subject, "lag check %d of %s, %.100s", (int)check.number,
                       hole->target->hole_name, inner.subject);
        if (is_tried || status != STATUS_RULE) {
            err_set(err, status, subject, "%s", inner.reason);
            return err_hint(err, "%s", inner.hint);
        }
        if (hole->is_quiet)
            continue;
        state_tell(state, "note: %s: %s; it is left out\n  mend it, or: coretally check withdraw %s %d --reason ...\n",
                   subject, inner.reason, hole->target->hole_name, (int)check.number);
    }
    hole->measured_count = kept;
    return STATUS_OK;
}

static enum status calibrate(struct state *state, struct lag_hole *hole, struct err *err)
{
    const size_t most = hole->wells.state_count + hole->measured_count;
    struct geometry *states = NULL;
    struct bore *bores = NULL;
    TRY(arena_take(state->arena, most, sizeof *states, &states, err));
    TRY(arena_take(state->arena, most, sizeof *hole->origins, &hole->origins, err));
    TRY(arena_take(state->arena, hole->measured_count ? most * BORES_MAX : 0, sizeof *bores, &bores, err));
    hole->well.count = lag_calibrate(hole->wells.states, hole->wells.state_count, hole->measured, hole->results,
                                     hole->measured_count, states, hole->origins, bores);
    hole->well.states = states;
    TRY(arena_take(state->arena, most, sizeof *hole->cement_um, &hole->cement_um, err));
    for (size_t at = 0; at < hole->well.count; at++) {
        const struct instant cemented = states[at].cemented;
        hole->cement_um[at] = LENGTH_NONE;
        if (at > 0 && cemented.known && states[at - 1].cemented.known &&
            states[at - 1].cemented.utc_us == cemented.utc_us)
            hole->cement_um[at] = hole->cement_um[at - 1];
        else if (cemented.known) {
            TRY(lag_hole_cover(state, hole, cemented.utc_us, cemented.utc_us, err));
            if (hole->log.count && hole->log.time_us[0] <= cemented.utc_us)
                hole->cement_um[at] = lag_log_depth(&hole->log, hole->log.hole_um, cemented.utc_us);
        }
    }
    return STATUS_OK;
}

/* Days that only have rows which are not recorded yet. */
static enum status add_days(struct state *state, struct lag_hole *hole, struct err *err)
{
    size_t room = hole->day_count;
    for (size_t at = 0; at < hole->fresh_count; at++) {
        size_t place = 0;
        while (place < hole->day_count && hole->days[place] < hole->fresh[at].day)
            place++;
        if (place < hole->day_count && hole->days[place] == hole->fresh[at].day)
            continue;
        TRY(arena_grow(state->arena, &hole->days, hole->day_count, &room, sizeof *hole->days, err));
        memmove(hole->days + place + 1, hole->days + place, (hole->day_count - place) * sizeof *hole->days);
        hole->days[place] = hole->fresh[at].day;
        hole->day_count++;
    }
    return STATUS_OK;
}

static enum status open_hole(struct state *state, int32_t leave_out, const struct lag_check *extra,
                             struct lag_hole *out, struct err *err)
{
    arena_init(&out->arena, ARENA_LIMIT_BYTES);
    enum status status = read_records(state, out->target->hole_name, out, err);
    if (status == STATUS_OK)
        status = add_days(state, out, err);
    if (status == STATUS_OK)
        status = check_records(out, err);
    if (status == STATUS_OK)
        status = list_checks(state, out, leave_out, extra, err);
    if (status == STATUS_OK)
        status = measure(state, out, extra, err);
    if (status == STATUS_OK)
        status = calibrate(state, out, err);
    if (status != STATUS_OK)
        lag_hole_close(out);
    return status;
}

enum status lag_hole_open(struct state *state, const struct target *target, int32_t leave_out,
                          const struct lag_check *extra, struct lag_hole *out, struct err *err)
{
    *out = (struct lag_hole){.target = target};
    return open_hole(state, leave_out, extra, out, err);
}

/* A refusal as one text, for where it stands in the place of a depth. */
enum status lag_why(struct state *state, const struct err *refusal, const char **out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, state->arena);
    text_addf(&text, "%s: %s", refusal->subject, refusal->reason);
    if (*refusal->hint)
        text_addf(&text, " (%s)", refusal->hint);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

static enum status try_hole(struct state *state, const struct target *target, bool is_quiet, struct lag_hole *out,
                            struct err *err)
{
    struct err refusal = {0};
    *out = (struct lag_hole){.target = target, .is_quiet = is_quiet};
    const enum status status = open_hole(state, 0, NULL, out, &refusal);
    if (status == STATUS_UNKNOWN || status == STATUS_RULE) {
        *out = (struct lag_hole){.target = target, .is_quiet = is_quiet};
        arena_init(&out->arena, ARENA_LIMIT_BYTES);
        return lag_why(state, &refusal, &out->why, err);
    }
    if (status != STATUS_OK)
        *err = refusal;
    return status;
}

enum status lag_hole_try(struct state *state, const struct target *target, struct lag_hole *out, struct err *err)
{
    return try_hole(state, target, false, out, err);
}

enum status lag_hole_try_quiet(struct state *state, const struct target *target, struct lag_hole *out, struct err *err)
{
    return try_hole(state, target, true, out, err);
}

enum status lag_hole_open_fresh(struct state *state, const struct target *target, const struct log_day_text *fresh,
                                size_t fresh_count, struct lag_hole *out, struct err *err)
{
    *out = (struct lag_hole){.target = target, .fresh = fresh, .fresh_count = fresh_count};
    return open_hole(state, 0, NULL, out, err);
}

void lag_hole_close(struct lag_hole *hole)
{
    arena_clear(&hole->arena);
}

int64_t lag_hole_msf(const struct lag_hole *hole, const struct lag_passage *passage, int64_t reported_um)
{
    const bool is_cut = passage->end == LAG_ARRIVED || passage->end == LAG_ON_THE_WAY;
    const struct instant cut = {.utc_us = passage->cut_us, .known = is_cut};
    return drilled_depth(&hole->target->hole, reported_um, DATUM_RIG_FLOOR, cut, SCALE_DSF, NULL).um;
}

void lag_hole_say_reported(struct state *state, const struct lag_hole *hole)
{
    if (hole->target->hole.correction_count)
        state_tell(state, "note: %s: these MRF are depths as the driller reports them; MSF is corrected\n",
                   hole->target->hole_name);
}

/* The first of the days that is not before. */
static size_t find_day(const struct lag_hole *hole, int64_t day)
{
    size_t at = 0;
    while (at < hole->day_count && hole->days[at] < day)
        at++;
    return at;
}

static enum status load(struct state *state, struct lag_hole *hole, size_t first, size_t last, struct err *err)
{
    arena_clear(&hole->arena);
    hole->log = (struct lag_log){0};
    hole->first_day = hole->last_day = 0;
    TRY(log_sum(state, hole, first, last, err));
    hole->first_day = first;
    hole->last_day = last;
    return STATUS_OK;
}

enum status lag_hole_cover(struct state *state, struct lag_hole *hole, int64_t from_us, int64_t to_us, struct err *err)
{
    const size_t first = hole->carries ? 0 : find_day(hole, log_day_of(from_us));
    size_t last = find_day(hole, log_day_of(to_us) + 1);
    if (hole->last_day > hole->first_day && first >= hole->first_day && last <= hole->last_day)
        return STATUS_OK;
    last = last + hole->ahead < hole->day_count ? last + hole->ahead : hole->day_count;
    TRY(load(state, hole, first, last, err));
    if (hole->carries && first > 0) /* what a bridge carries on was read on an earlier day: how early is not known */
        TRY(load(state, hole, 0, last, err));
    if (hole->booster_unknown && !hole->is_told && !hole->is_quiet) {
        state_tell(state,
                   "note: %s: the log counts a booster, and the well has no inlet for it: its mud is left out\n"
                   "  if it enters the riser: coretally well amend %s NUMBER --inlet DEPTH --reason ...\n",
                   hole->target->hole_name, hole->target->hole_name);
        hole->is_told = true;
    }
    return STATUS_OK;
}

enum status lag_hole_back(struct state *state, struct lag_hole *hole, const struct lag_terms *terms,
                          int64_t at_shaker_us, struct lag_passage *out, struct err *err)
{
    int64_t to_us = at_shaker_us;
    for (int64_t days = FIRST_DAYS;;) {
        struct lag_passage passage = {0};
        TRY(lag_hole_cover(state, hole, at_shaker_us - days * DAY_US, to_us, err));
        TRY(lag_back(&hole->log, &hole->well, terms, at_shaker_us, &passage, err));
        if (passage.end == LAG_AFTER_LOG && hole->last_day < hole->day_count && to_us == at_shaker_us) {
            const size_t next = find_day(hole, log_day_of(at_shaker_us) + 1); /* between the rows of two days */
            to_us = hole->days[next] * DAY_US;
            if (next > 0) {
                days = (at_shaker_us - hole->days[next - 1] * DAY_US) / DAY_US + 1;
                continue;
            }
            passage.end = LAG_BEFORE_LOG;
        }
        if (passage.end == LAG_AFTER_LOG && log_day_of(at_shaker_us) < hole->days[0])
            passage.end = LAG_BEFORE_LOG;
        /* The depth must have been reached inside the window, or the time of its cutting is not known. */
        const bool is_early = passage.end == LAG_BEFORE_LOG ||
                              (passage.end == LAG_ARRIVED && hole->log.count && passage.cut_us == hole->log.time_us[0]);
        if (!is_early || hole->first_day == 0) {
            *out = passage;
            return STATUS_OK;
        }
        days *= 2;
    }
}

/* Deepest bottom of the hole up to the end of a day; looked up once. */
static enum status deepest(struct state *state, struct lag_hole *hole, size_t day, int64_t *out_um, struct err *err)
{
    if (!hole->bottoms_um) {
        TRY(arena_take(state->arena, hole->day_count, sizeof *hole->bottoms_um, &hole->bottoms_um, err));
        for (size_t at = 0; at < hole->day_count; at++)
            hole->bottoms_um[at] = LENGTH_NONE;
    }
    if (hole->bottoms_um[day] == LENGTH_NONE) {
        const int64_t midnight_us = hole->days[day] * DAY_US;
        TRY(lag_hole_cover(state, hole, midnight_us, midnight_us, err));
        if (hole->log.count)
            hole->bottoms_um[day] = lag_log_depth(&hole->log, hole->log.hole_um, midnight_us + DAY_US - 1);
    }
    *out_um = hole->bottoms_um[day];
    return STATUS_OK;
}

enum status lag_hole_of_depth(struct state *state, struct lag_hole *hole, const struct lag_terms *terms,
                              int64_t depth_um, struct lag_passage *out, struct err *err)
{
    size_t low = 0;
    size_t high = hole->day_count;
    while (low < high) { /* the first day at whose end the hole was that deep */
        const size_t middle = low + (high - low) / 2;
        int64_t bottom_um = 0;
        TRY(deepest(state, hole, middle, &bottom_um, err));
        if (bottom_um < depth_um)
            low = middle + 1;
        else
            high = middle;
    }
    const size_t day = low == hole->day_count ? hole->day_count - 1 : low;
    const int64_t from_us = hole->days[day ? day - 1 : 0] * DAY_US; /* it may have been reached between two days */
    for (int64_t days = FIRST_DAYS;; days *= 2) {
        struct lag_passage passage = {0};
        TRY(lag_hole_cover(state, hole, from_us, (hole->days[day] + days) * DAY_US, err));
        TRY(lag_of_depth(&hole->log, &hole->well, terms, depth_um, &passage, err));
        if ((passage.end != LAG_ON_THE_WAY && passage.end != LAG_SINKS) || hole->last_day == hole->day_count) {
            *out = passage;
            return STATUS_OK;
        }
    }
}

enum status lag_hole_span(struct state *state, const struct lag_hole *hole, int64_t *first_us, int64_t *last_us,
                          struct err *err)
{
    TRY(log_day_span(state, hole, 0, first_us, NULL, err));
    return log_day_span(state, hole, hole->day_count - 1, NULL, last_us, err);
}

struct instant ship_instant(const struct hole *hole, int64_t utc_us)
{
    if (utc_us == INT64_MIN)
        return (struct instant){.known = false};
    const int32_t zone_min = hole->zone_min == INT_NONE ? 0 : hole->zone_min;
    return (struct instant){utc_us - (utc_us % 1000000 + 1000000) % 1000000, zone_min, true};
}

struct ship_time ship_time(const struct hole *hole, int64_t utc_us)
{
    struct ship_time out = {.text = ""};
    const struct instant instant = ship_instant(hole, utc_us);
    if (instant.known)
        instant_format(instant, out.text);
    return out;
}

struct lag_terms lag_terms_nominal(void)
{
    return (struct lag_terms){.flow_factor = 1};
}

struct lag_terms lag_terms_shallow(const struct lag_hole *hole)
{
    return (struct lag_terms){.flow_factor = 1 - hole->tolerance_pct / 100, .tolerance_sign = 1};
}

struct lag_terms lag_terms_deep(const struct lag_hole *hole)
{
    return (struct lag_terms){.flow_factor = 1 + hole->tolerance_pct / 100, .tolerance_sign = -1};
}
