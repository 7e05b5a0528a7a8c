/* SPDX-License-Identifier: MIT */
/* Lag checks: the diameter of the open hole from a tracer, and the well with it. */
#include "coretally/domain/lag_check.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "lag_way.h"

/* No hole is this much wider than its bit. Common practice, no source. */
#define WIDEST_FACTOR 3.0

/* The geometry with its open hole at one diameter; bores: room for BORES_MAX. */
static struct geometry with_diameter(const struct geometry *geometry, double diameter_m, struct bore *bores)
{
    struct geometry changed = *geometry;
    memcpy(bores, geometry->bores, geometry->bore_count * sizeof *bores);
    for (size_t at = 0; at < geometry->bore_count; at++)
        if (bores[at].kind == BORE_OPEN) {
            bores[at].diameter_um = llround(diameter_m * 1e6);
            bores[at].washout_pct = NAN;
        }
    changed.bores = bores;
    return changed;
}

/* Widest pipe in the open hole, and the hole's own diameter there; false without open hole. */
static bool open_hole_widths(const struct segments *split, double *pipe_m, double *bore_m)
{
    *pipe_m = *bore_m = 0;
    for (size_t at = 0; at < split->count; at++) {
        const struct segment *segment = &split->items[at];
        const double outside_m = (double)segment->part->outer_um * 1e-6;
        if (segment->bore->kind != BORE_OPEN)
            continue;
        *pipe_m = outside_m > *pipe_m ? outside_m : *pipe_m;
        *bore_m = bore_diameter_m(segment->bore);
    }
    return *bore_m > 0;
}

/* When the tracer comes up with the open hole at one diameter; INT64_MAX: not before the log ends. */
static enum status comes_up(const struct lag_log *log, const struct lag_well *well, const struct geometry *geometry,
                            double diameter_m, const struct lag_check_result *result, int64_t *out_us, struct err *err)
{
    struct bore bores[BORES_MAX];
    struct lag_passage passage = {0};
    const struct geometry state = with_diameter(geometry, diameter_m, bores);
    const struct lag_terms terms = {.flow_factor = 1};
    TRY(way_pass(log, well, &state, &terms, result->at_bit_us, result->bit_um, &passage, err));
    *out_us = passage.end == LAG_ARRIVED ? passage.at_shaker_us : INT64_MAX;
    return STATUS_OK;
}

/* Where the tracer left the bit. */
static enum status go_down(const struct lag_log *log, const struct lag_well *well, const struct lag_check *check,
                           struct lag_check_result *out, struct err *err)
{
    const int64_t in_us = check->in.utc_us;
    if (check->seen.utc_us <= in_us)
        return err_set(err, STATUS_RULE, "seen", "the tracer was seen before it went in");
    if (log->count == 0 || in_us < log->time_us[0] || check->seen.utc_us > log->time_us[log->count - 1]) {
        err_set(err, STATUS_RULE, "in", "the pump log does not reach from tracer in to tracer seen");
        return err_hint(err, "add the rest of the log first: coretally log add");
    }
    const size_t state = geometry_at(well->states, well->count, in_us);
    if (state == SIZE_MAX) {
        err_set(err, STATUS_RULE, "in", "no well geometry is recorded for this time");
        return err_hint(err, "coretally well add with a --from before it");
    }
    const struct geometry *geometry = &well->states[state];
    const double inside_m3 = string_volume(geometry, lag_log_depth(log, log->bit_um, in_us));
    if (isnan(inside_m3)) {
        err_set(err, STATUS_RULE, "string",
                "the tracer goes down the string, and an inside diameter of it is not recorded");
        return err_hint(err, "coretally well amend with --string 'name,length,outside,inside; ...'");
    }
    const double down_m3 = inside_m3 + (isnan(geometry->supply_m3) ? 0 : geometry->supply_m3);
    if (!lag_log_reach(log, log->at_bit_m3, lag_log_at(log, log->at_bit_m3, in_us) + down_m3, &out->at_bit_us) ||
        out->at_bit_us >= check->seen.utc_us)
        return err_set(err, STATUS_RULE, "seen",
                       "the %.2f m3 of supply line and string were not yet pumped through when the tracer was seen",
                       down_m3);
    out->state = geometry_at(well->states, well->count, out->at_bit_us); /* the well may have changed on the way down */
    out->bit_um = lag_log_depth(log, log->bit_um, out->at_bit_us);
    out->hole_um = lag_log_depth(log, log->hole_um, out->at_bit_us);
    out->strokes = lag_log_at(log, log->strokes, check->seen.utc_us) - lag_log_at(log, log->strokes, in_us);
    return STATUS_OK;
}

/* Halve the range of diameters until the tracer comes up when it was seen. */
static enum status solve(const struct lag_log *log, const struct lag_well *well, const struct geometry *geometry,
                         double pipe_m, double widest_m, int64_t seen_us, struct lag_check_result *out, struct err *err)
{
    double low_m = fmax(pipe_m + 1e-4, (double)NARROWEST_BORE_UM * 1e-6);
    double high_m = fmin(widest_m, (double)WIDEST_BORE_UM * 1e-6);
    int64_t at_us = 0;
    TRY(comes_up(log, well, geometry, low_m, out, &at_us, err));
    if (at_us > seen_us) {
        char early[40] = "";
        if (at_us != INT64_MAX)
            (void)snprintf(early, sizeof early, "%.1f min ", (double)(at_us - seen_us) / 6e7);
        err_set(err, STATUS_RULE, "seen", "the tracer was seen %sbefore it could have come up, even with no open hole",
                early);
        return err_hint(err, "check both times, the pumps' outputs and the casing");
    }
    TRY(comes_up(log, well, geometry, high_m, out, &at_us, err));
    if (at_us < seen_us) {
        err_set(err, STATUS_RULE, "seen", "the open hole would have to be wider than %.0f mm", high_m * 1000);
        return err_hint(err, "check both times, the pumps' outputs, and whether mud is lost");
    }
    for (int step = 0; step < 60 && high_m - low_m > 1e-7; step++) {
        const double middle_m = (low_m + high_m) / 2;
        TRY(comes_up(log, well, geometry, middle_m, out, &at_us, err));
        if (at_us >= seen_us)
            high_m = middle_m;
        else
            low_m = middle_m;
    }
    out->effective_m = high_m;
    return STATUS_OK;
}

enum status lag_check_find(const struct lag_log *log, const struct lag_well *well, const struct lag_check *check,
                           struct lag_check_result *out, struct err *err)
{
    struct lag_check_result found = {.theory_us = INT64_MIN, .nominal_m = NAN, .effective_m = NAN, .measured_m3 = NAN};
    struct lag_passage passage = {0};
    struct segments split;
    struct bore bores[BORES_MAX];
    double pipe_m = 0;
    TRY(go_down(log, well, check, &found, err));
    struct geometry geometry = well->states[found.state];
    geometry.slip.method = SLIP_NONE; /* a tracer moves with the mud */
    const struct lag_terms terms = {.flow_factor = 1};
    TRY(way_pass(log, well, &geometry, &terms, found.at_bit_us, found.bit_um, &passage, err));
    if (passage.end == LAG_LOST) {
        err_set(err, STATUS_RULE, "seen", "with the well as recorded, %s", lag_end_meaning(LAG_LOST));
        return err_hint(err, "coretally well amend with --loss as it was");
    }
    if (passage.end == LAG_ARRIVED)
        found.theory_us = passage.at_shaker_us;
    TRY(well_split(&geometry, found.bit_um, &split, err));
    found.theory_m3 = split.volume_m3;
    if (open_hole_widths(&split, &pipe_m, &found.nominal_m)) {
        TRY(solve(log, well, &geometry, pipe_m, found.nominal_m * WIDEST_FACTOR, check->seen.utc_us, &found, err));
        geometry = with_diameter(&geometry, found.effective_m, bores);
        TRY(well_split(&geometry, found.bit_um, &split, err));
        found.measured_m3 = split.volume_m3;
    } else
        found.nominal_m = NAN;
    *out = found;
    return STATUS_OK;
}

static bool is_same_bores(const struct geometry *a, const struct geometry *b)
{
    if (a->bore_count != b->bore_count)
        return false;
    for (size_t at = 0; at < a->bore_count; at++) {
        const struct bore *left = &a->bores[at];
        const struct bore *right = &b->bores[at];
        const bool same_washout =
            isnan(left->washout_pct) ? isnan(right->washout_pct) : left->washout_pct == right->washout_pct;
        if (left->kind != right->kind || left->top_um != right->top_um || left->bottom_um != right->bottom_um ||
            left->diameter_um != right->diameter_um || !same_washout)
            return false;
    }
    return true;
}

size_t lag_calibrate(const struct geometry *recorded, size_t state_count, const struct lag_check *checks,
                     const struct lag_check_result *results, size_t count, struct geometry *states,
                     struct lag_origin *origins, struct bore *bores)
{
    size_t made = 0;
    size_t check = 0;
    size_t in_force = SIZE_MAX; /* the check that the open hole is taken from */
    const struct geometry *current = NULL;
    for (size_t at = 0; at < state_count || check < count;) {
        if (at < state_count && recorded[at].withdrawn) {
            at++;
            continue;
        }
        const bool is_check =
            check < count && (at == state_count || results[check].at_bit_us < recorded[at].from.utc_us);
        int64_t from_us = 0;
        if (is_check) {
            from_us = results[check].at_bit_us;
            in_force = isnan(results[check].effective_m) ? in_force : check;
            check++;
        } else {
            if (current && !is_same_bores(current, &recorded[at]))
                in_force = SIZE_MAX;
            current = &recorded[at];
            from_us = current->from.utc_us;
            at++;
        }
        if (!current)
            continue;
        states[made] = in_force == SIZE_MAX
                           ? *current
                           : with_diameter(current, results[in_force].effective_m, bores + made * BORES_MAX);
        states[made].from.utc_us = from_us;
        origins[made].geometry = current->number;
        origins[made].check = in_force == SIZE_MAX ? 0 : checks[in_force].number;
        made++;
    }
    return made;
}
