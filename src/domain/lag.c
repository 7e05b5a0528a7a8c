/* SPDX-License-Identifier: MIT */
/* A parcel of mud followed forward and back by comparing volumes. */
#include "coretally/domain/lag.h"

#include <math.h>

#include "lag_way.h"

const char *lag_end_meaning(enum lag_end end)
{
    static const char *const meanings[] = {
        [LAG_ARRIVED] = "",
        [LAG_ON_THE_WAY] = "still on its way up where the log ends",
        [LAG_BEFORE_LOG] = "cut before the log begins",
        [LAG_AFTER_LOG] = "the log ends before this time",
        [LAG_NO_WELL] = "no well geometry is recorded for the time when it was cut",
        [LAG_LOST] = "the mud that carried it was lost on the way: it does not arrive",
        [LAG_SINKS] = "the cuttings sink as fast as the mud rises: they do not arrive",
        [LAG_NOT_DRILLED] = "this depth is not drilled yet",
    };
    return meanings[end];
}

struct geometry geometry_vary(const struct geometry *geometry, int sign, struct bore *bores)
{
    struct geometry varied = *geometry;
    for (size_t at = 0; sign && at < geometry->bore_count && at < BORES_MAX; at++) {
        bores[at] = geometry->bores[at];
        if (bores[at].tolerance_um != LENGTH_NONE)
            bores[at].diameter_um += sign * bores[at].tolerance_um;
        bores[at].tolerance_um = LENGTH_NONE; /* it is in the diameter now */
        varied.bores = bores;
    }
    return varied;
}

/* What a question takes of a geometry: its diameters at one end of their tolerance; gas and mud neither fall behind nor
 * lie on the shaker. */
static struct geometry asked_geometry(const struct geometry *geometry, const struct lag_terms *terms,
                                      struct bore *bores)
{
    struct geometry asked = geometry_vary(geometry, terms->tolerance_sign, bores);
    if (terms->is_fluid) {
        asked.slip.method = SLIP_NONE;
        asked.shaker_delay_s = NAN;
    }
    return asked;
}

static int64_t delay_us(const struct geometry *geometry)
{
    return isnan(geometry->shaker_delay_s) ? 0 : llround(geometry->shaker_delay_s * 1e6);
}

static void fill_passage(const struct lag_log *log, const struct way *way, int64_t left_bit_us, struct lag_passage *out)
{
    const size_t row = lag_log_row(log, left_bit_us + 1);
    out->left_bit_us = left_bit_us;
    out->hole_um = way->bottom_um;
    out->annulus_m3 = way->split.volume_m3;
    out->new_hole = row > 0 && row < log->count && log->hole_um[row] > log->hole_um[row - 1];
    out->cut_us = lag_log_drilled(log, out->hole_um);
    out->strokes = NAN;
    out->at_inlet_us = INT64_MIN;
    out->at_shaker_us = INT64_MIN;
}

/* With its mud, or behind it. */
static enum status rise_find(const struct lag_log *log, const struct lag_well *well, const struct way *way,
                             int64_t left_bit_us, int64_t until_us, struct rise *out, struct err *err)
{
    if (way->geometry->slip.method != SLIP_NONE)
        return way_walk(log, well, way, left_bit_us, until_us, out, err);
    way_rise(log, well, way, left_bit_us, out);
    return STATUS_OK;
}

enum status way_pass(const struct lag_log *log, const struct lag_well *well, const struct geometry *geometry,
                     const struct lag_terms *terms, int64_t left_bit_us, int64_t depth_um, struct lag_passage *out,
                     struct err *err)
{
    struct bore bores[BORES_MAX];
    struct way way;
    struct rise rise;
    struct lag_passage passage = {0};
    const struct geometry varied = asked_geometry(geometry, terms, bores);
    TRY(way_find(&varied, depth_um, terms->flow_factor, &way, err));
    TRY(rise_find(log, well, &way, left_bit_us, INT64_MAX, &rise, err));
    fill_passage(log, &way, left_bit_us, &passage);
    passage.end = rise.lost ? LAG_LOST : rise.end;
    passage.at_inlet_us = rise.at_inlet_us;
    if (passage.end == LAG_ARRIVED) {
        passage.at_shaker_us = rise.at_end_us + delay_us(&varied);
        passage.strokes =
            lag_log_at(log, log->strokes, passage.at_shaker_us) - lag_log_at(log, log->strokes, left_bit_us);
    }
    for (int stage = 0; stage < STAGE_COUNT && passage.end != LAG_LOST; stage++) {
        passage.left_stage_m3[stage] = rise.left_m3[stage];
        passage.left_m3 += rise.left_m3[stage];
    }
    *out = passage;
    return STATUS_OK;
}

/* The passage from the bottom of the hole at depth_um, left at left_bit_us. */
static enum status pass(const struct lag_log *log, const struct lag_well *well, const struct lag_terms *terms,
                        int64_t left_bit_us, int64_t depth_um, struct lag_passage *out, struct err *err)
{
    const size_t state = geometry_at(well->states, well->count, left_bit_us);
    if (state == SIZE_MAX) {
        *out =
            (struct lag_passage){.end = LAG_NO_WELL, .left_bit_us = left_bit_us, .hole_um = depth_um, .strokes = NAN};
        return STATUS_OK;
    }
    TRY(way_pass(log, well, &well->states[state], terms, left_bit_us, depth_um, out, err));
    out->state = state;
    return STATUS_OK;
}

enum status lag_forward(const struct lag_log *log, const struct lag_well *well, const struct lag_terms *terms,
                        int64_t left_bit_us, struct lag_passage *out, struct err *err)
{
    if (log->count == 0 || left_bit_us > log->time_us[log->count - 1]) {
        *out = (struct lag_passage){.end = LAG_AFTER_LOG, .left_bit_us = left_bit_us, .strokes = NAN};
        return STATUS_OK;
    }
    if (left_bit_us < log->time_us[0]) {
        *out = (struct lag_passage){.end = LAG_BEFORE_LOG, .left_bit_us = left_bit_us, .strokes = NAN};
        return STATUS_OK;
    }
    return pass(log, well, terms, left_bit_us, lag_log_depth(log, log->hole_um, left_bit_us), out, err);
}

enum status lag_of_depth(const struct lag_log *log, const struct lag_well *well, const struct lag_terms *terms,
                         int64_t depth_um, struct lag_passage *out, struct err *err)
{
    struct lag_passage none = {.hole_um = depth_um, .strokes = NAN, .left_bit_us = INT64_MIN};
    none.end = log->count == 0 || log->hole_um[log->count - 1] < depth_um ? LAG_NOT_DRILLED
               : log->hole_um[0] >= depth_um                              ? LAG_BEFORE_LOG
                                                                          : LAG_ARRIVED;
    if (none.end != LAG_ARRIVED) {
        *out = none;
        return STATUS_OK;
    }
    return pass(log, well, terms, lag_log_drilled(log, depth_um), depth_um, out, err);
}

#define LOOK_BACK_US ((int64_t)3600 * 1000000)

/* One state searched for what ends its way at an instant. */
struct back {
    const struct lag_log *log;
    const struct lag_well *well;
    const struct lag_terms *terms;
    const struct geometry *geometry;
    int64_t at_end_us; /* of the flowline */
};

/* Does what left at time_us end its way then or later? What leaves later never arrives earlier while bores and string
 * stay the same: so the answer turns once. */
static enum status is_late(const struct back *back, int64_t time_us, bool *late, struct err *err)
{
    struct way way;
    struct rise rise;
    const int64_t depth_um = lag_log_depth(back->log, back->log->hole_um, time_us);
    TRY(way_find(back->geometry, depth_um, back->terms->flow_factor, &way, err));
    TRY(rise_find(back->log, back->well, &way, time_us, back->at_end_us, &rise, err));
    *late = rise.end != LAG_ARRIVED || rise.at_end_us >= back->at_end_us;
    return STATUS_OK;
}

/* First instant in [low, high] that is late, to the microsecond. *side: -1 when low itself is late, 1 when nothing is.
 * Lags are hours and logs are months: look back in doubling steps before halving. */
static enum status search(const struct back *back, int64_t low_us, int64_t high_us, int64_t *out_us, int *side,
                          struct err *err)
{
    bool late = false;
    TRY(is_late(back, low_us, &late, err));
    *side = late ? -1 : 0;
    if (late)
        return STATUS_OK;
    TRY(is_late(back, high_us, &late, err));
    *side = late ? 0 : 1;
    if (!late)
        return STATUS_OK;
    for (int64_t step_us = LOOK_BACK_US; high_us - low_us > step_us; step_us *= 2) {
        const int64_t earlier_us = high_us - step_us;
        TRY(is_late(back, earlier_us, &late, err));
        if (!late) {
            low_us = earlier_us;
            break;
        }
        high_us = earlier_us;
    }
    while (high_us - low_us > 1) {
        const int64_t middle_us = low_us + (high_us - low_us) / 2;
        TRY(is_late(back, middle_us, &late, err));
        if (late)
            high_us = middle_us;
        else
            low_us = middle_us;
    }
    *out_us = high_us;
    return STATUS_OK;
}

/* Search one state for what is at the shaker; *side as in search. */
static enum status search_state(const struct back *any, size_t state, int64_t at_shaker_us, int64_t from_us,
                                int64_t to_us, int64_t *left_us, int *side, struct err *err)
{
    struct bore bores[BORES_MAX];
    const struct geometry geometry = asked_geometry(&any->well->states[state], any->terms, bores);
    const struct back back = {.log = any->log,
                              .well = any->well,
                              .terms = any->terms,
                              .geometry = &geometry,
                              .at_end_us = at_shaker_us - delay_us(&geometry)};
    to_us = to_us < back.at_end_us ? to_us : back.at_end_us;
    *side = -1;
    return from_us > to_us ? STATUS_OK : search(&back, from_us, to_us, left_us, side, err);
}

/* The state before an instant: the latest from below it. */
static size_t state_before(const struct lag_well *well, int64_t time_us)
{
    return time_us == INT64_MIN ? SIZE_MAX : geometry_at(well->states, well->count, time_us - 1);
}

enum status lag_back(const struct lag_log *log, const struct lag_well *well, const struct lag_terms *terms,
                     int64_t at_shaker_us, struct lag_passage *out, struct err *err)
{
    struct lag_passage none = {.end = LAG_BEFORE_LOG, .at_shaker_us = at_shaker_us, .strokes = NAN};
    if (log->count == 0 || at_shaker_us > log->time_us[log->count - 1])
        none.end = LAG_AFTER_LOG;
    const struct back back = {.log = log, .well = well, .terms = terms};
    int64_t end_us = at_shaker_us;
    int64_t left_us = INT64_MIN;
    for (size_t state = state_before(well, at_shaker_us + 1); none.end != LAG_AFTER_LOG;
         state = state_before(well, well->states[state].from.utc_us)) {
        if (state == SIZE_MAX) {
            none.end = LAG_NO_WELL;
            break;
        }
        const int64_t from_us = well->states[state].from.utc_us;
        int side = 0;
        TRY(search_state(&back, state, at_shaker_us, from_us > log->time_us[0] ? from_us : log->time_us[0], end_us,
                         &left_us, &side, err));
        if (side > 0) /* between two states whose volumes differ: the end of the earlier one */
            left_us = end_us;
        if (side >= 0 || from_us <= log->time_us[0])
            break;
        end_us = from_us - 1;
    }
    if (left_us == INT64_MIN) {
        *out = none;
        return STATUS_OK;
    }
    TRY(pass(log, well, terms, left_us, lag_log_depth(log, log->hole_um, left_us), out, err));
    out->arrived_us = out->end == LAG_ARRIVED ? out->at_shaker_us : at_shaker_us;
    out->at_shaker_us = at_shaker_us;
    out->strokes = lag_log_at(log, log->strokes, at_shaker_us) - lag_log_at(log, log->strokes, left_us);
    out->end = LAG_ARRIVED;
    return STATUS_OK;
}
