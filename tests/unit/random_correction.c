/* SPDX-License-Identifier: MIT */
/* Random histories of corrections. */
#include "random_correction.h"

#include <stdio.h>
#include <stdlib.h>

enum { LAST_MINUTE = 3000 };

static bool one_in(uint64_t *seed, int64_t many)
{
    return random_within(seed, 1, many) == 1;
}

static struct instant some_time(uint64_t *seed, int64_t unknown_in)
{
    return part_time(one_in(seed, unknown_in) ? -1 : random_within(seed, 0, LAST_MINUTE));
}

static int64_t some_length(uint64_t *seed, int64_t most_um)
{
    return one_in(seed, 2) ? LENGTH_NONE : random_within(seed, 0, most_um);
}

bool correction_names(const struct correction *it, int32_t number)
{
    for (const char *at = it->supersedes; at && *at;) {
        char *end = NULL;
        if (strtol(at, &end, 10) == number)
            return true;
        at = *end ? end + 1 : end;
    }
    return false;
}

static void random_cores(uint64_t *seed, struct random_history *out)
{
    int64_t reached_um = 3000 * METRE + random_within(seed, 0, 200 * METRE);
    out->core_count = (size_t)random_within(seed, 1, CORES_MOST);
    for (size_t at = 0; at < out->core_count; at++) {
        const size_t count = (size_t)random_within(seed, 1, SECTIONS_MOST);
        struct core *core = &out->cores[at];
        for (size_t section = 0; section < count; section++)
            out->sections[at][section] = part_section((int32_t)section + 1, random_within(seed, 0, 3 * METRE));
        if (count > 1 && one_in(seed, 3))
            out->sections[at][count - 1].number = SECTION_CATCHER;
        *core = part_core(reached_um, reached_um + random_within(seed, 0, 10 * METRE), out->sections[at], count);
        core->number = (int32_t)at + 1;
        core->type = "HXRW"[random_within(seed, 0, 3)];
        core->on_deck = some_time(seed, 8);
        reached_um = core->bottom_um;
        if (one_in(seed, 6))
            core->advance_by = one_in(seed, 2) ? ADVANCE_UNKNOWN : ADVANCE_RECOVERY;
        if (one_in(seed, 4)) {
            core->datum = DATUM_SEAFLOOR;
            core->top_um -= 2900 * METRE;
            core->bottom_um -= 2900 * METRE;
        }
    }
}

/* Now and then a range of what it is for; most of them meet some of the cores. */
static void random_ranges(uint64_t *seed, const struct random_history *history, struct correction *it, bool depths)
{
    if (depths && one_in(seed, 2))
        it->top_um = random_within(seed, 2950, 3200) * METRE;
    if (depths && one_in(seed, 4))
        it->bottom_um = (it->top_um == LENGTH_NONE ? 3000 * METRE : it->top_um) + random_within(seed, 1, 100) * METRE;
    if (one_in(seed, 4))
        it->from = some_time(seed, LAST_MINUTE);
    if (one_in(seed, 6))
        it->to = part_time((it->from.known ? (it->from.utc_us - part_time(0).utc_us) / 60000000 : 0) +
                           random_within(seed, 1, LAST_MINUTE));
    if (one_in(seed, 4))
        it->first_core = (int32_t)random_within(seed, 1, (int64_t)history->core_count);
    if (one_in(seed, 6))
        it->last_core = (int32_t)random_within(seed, it->first_core ? it->first_core : 1, (int64_t)history->core_count);
}

/* A run retyped keeps its bottom below its top. */
static void random_reading(uint64_t *seed, const struct random_history *history, struct correction *it)
{
    const struct core *core = &history->cores[random_within(seed, 0, (int64_t)history->core_count - 1)];
    it->core = core->number;
    if (one_in(seed, 2)) {
        it->core_top_um = core->top_um + random_within(seed, -20 * METRE, 20 * METRE);
        it->core_bottom_um = it->core_top_um + random_within(seed, 0, 12 * METRE);
    } else if (one_in(seed, 2))
        it->core_top_um = core->bottom_um - random_within(seed, 0, 20 * METRE);
    else
        it->core_bottom_um = core->top_um + random_within(seed, 0, 12 * METRE);
}

static void random_stretch(uint64_t *seed, struct correction *it)
{
    it->stretch = (enum stretch_method)random_within(seed, STRETCH_WEIGHT, STRETCH_HEAT);
    if (it->stretch == STRETCH_WEIGHT)
        it->mud_kg_m3 = (double)random_within(seed, 1000, 2000);
    else if (it->stretch == STRETCH_HEAT)
        it->rise_k = (double)random_within(seed, 0, 100);
    else {
        it->load_kn = (double)random_within(seed, 0, 1000);
        if (one_in(seed, 2))
            it->area_mm2 = (double)random_within(seed, 1000, 5000);
        else
            it->pipe_weight_kg_m = (double)random_within(seed, 20, 40);
    }
}

/* Rows in order; count of them. */
static size_t random_table(uint64_t *seed, enum correction_kind kind, const struct random_history *history,
                           struct random_rows *rows)
{
    const size_t count = (size_t)random_within(seed, 1, ROWS_MOST);
    int64_t depth_um = random_within(seed, 0, 100 * METRE);
    int64_t matched_um = random_within(seed, 0, 100 * METRE);
    int64_t minute = one_in(seed, 4) ? random_within(seed, 0, LAST_MINUTE) : 0;
    for (size_t row = 0; row < count; row++) {
        const struct core *core = &history->cores[random_within(seed, 0, (int64_t)history->core_count - 1)];
        const int32_t top = (int32_t)random_within(seed, 0, (int64_t)core->section_count - 1);
        const int32_t bottom = (int32_t)random_within(seed, top, (int64_t)core->section_count - 1);
        rows->heights[row] = (struct tide_height){part_time(minute), random_within(seed, -3 * METRE, 3 * METRE)};
        rows->steps[row] = (struct growth_step){depth_um, (double)random_within(seed, 50, 200) / 100};
        rows->points[row] = (struct match_point){depth_um, matched_um};
        rows->stations[row] = (struct survey_station){kind == CORRECTION_SURVEY ? depth_um * 10 : depth_um,
                                                      (double)random_within(seed, 0, 800) / 10,
                                                      (double)random_within(seed, 0, 3600) / 10};
        rows->intervals[row] = (struct splice_interval){(int32_t)row + 1,
                                                        core->number,
                                                        core->sections[top].number,
                                                        random_within(seed, 0, core->sections[top].curated_um),
                                                        core->sections[bottom].number,
                                                        core->sections[bottom].curated_um};
        depth_um += random_within(seed, METRE, 100 * METRE);
        matched_um += random_within(seed, 0, 100 * METRE);
        minute += random_within(seed, 1, LAST_MINUTE / 2);
    }
    return count;
}

static size_t random_offsets(uint64_t *seed, const struct random_history *history, struct random_rows *rows)
{
    size_t count = 0;
    for (size_t at = 0; at < history->core_count; at++)
        if (one_in(seed, 2) || (count == 0 && at + 1 == history->core_count))
            rows->offsets[count++] = (struct core_offset){.core = (int32_t)at + 1,
                                                          .offset_um = random_within(seed, -5 * METRE, 20 * METRE),
                                                          .method = (enum tie_method)random_within(seed, 1, 3)};
    return count;
}

static void random_correction(uint64_t *seed, const struct random_history *history, struct random_rows *rows,
                              struct correction *it)
{
    const size_t count = random_table(seed, it->kind, history, rows);
    switch (it->kind) {
    case CORRECTION_READING:
        random_reading(seed, history, it);
        break;
    case CORRECTION_TALLY:
        it->amount_um = random_within(seed, -10 * METRE, 10 * METRE);
        random_ranges(seed, history, it, true);
        break;
    case CORRECTION_STRETCH:
        random_stretch(seed, it);
        random_ranges(seed, history, it, true);
        break;
    case CORRECTION_TIDE:
        it->heights = rows->heights;
        it->height_count = count;
        random_ranges(seed, history, it, false);
        break;
    case CORRECTION_SHIFT:
        it->core = (int32_t)random_within(seed, 1, (int64_t)history->core_count);
        it->amount_um = random_within(seed, -2 * METRE, 2 * METRE);
        break;
    case CORRECTION_SEAFLOOR:
        it->seafloor_um = 2900 * METRE + random_within(seed, -5 * METRE, 5 * METRE);
        it->seafloor_by = (enum seafloor_method)random_within(seed, SEAFLOOR_TAGGED, SEAFLOOR_OTHER);
        it->seafloor_at = some_time(seed, 3);
        random_ranges(seed, history, it, false);
        break;
    case CORRECTION_COMPOSITE:
        it->offsets = rows->offsets;
        it->offset_count = random_offsets(seed, history, rows);
        break;
    case CORRECTION_GROWTH:
        it->steps = rows->steps;
        it->step_count = count;
        break;
    case CORRECTION_SPLICE:
        it->intervals = rows->intervals;
        it->interval_count = count;
        break;
    case CORRECTION_WIRELINE:
        it->points = rows->points;
        it->point_count = count;
        break;
    case CORRECTION_SURVEY:
        it->stations = rows->stations;
        it->station_count = count;
        break;
    case CORRECTION_NONE:
    case CORRECTION_KIND_COUNT:
        break;
    }
}

/* The names of some earlier ones, and of all those in force that it would repeat. */
static void random_names(uint64_t *seed, struct random_history *out, size_t at)
{
    const struct correction *in_force[HISTORY_MOST];
    const size_t kept = corrections_in_force(out->corrections, at, in_force);
    struct correction *it = &out->corrections[at];
    char *names = out->rows[at].supersedes;
    names[0] = '\0';
    for (size_t earlier = 0; earlier < at; earlier++) {
        bool named = one_in(seed, 6);
        for (size_t one = 0; one < kept; one++)
            named |= in_force[one] == &out->corrections[earlier] && correction_repeats(in_force[one], it);
        const size_t used = strlen(names);
        if (named)
            (void)snprintf(names + used, NAMES_SIZE - used, "%s%zu", used ? " " : "", earlier + 1);
    }
    it->supersedes = names[0] ? names : NULL;
}

/* One in force that another in force repeats, or NULL; withdrawing one may have brought it back. */
static const struct correction *repeated(const struct random_history *history)
{
    const struct correction *in_force[HISTORY_MOST];
    const size_t kept = corrections_in_force(history->corrections, history->count, in_force);
    for (size_t a = 0; a < kept; a++)
        for (size_t b = a + 1; b < kept; b++)
            if (correction_repeats(in_force[a], in_force[b]))
                return in_force[b];
    return NULL;
}

void random_history(uint64_t *seed, struct random_history *out)
{
    struct err err = {0};
    out->hole = part_hole(one_in(seed, 12) ? LENGTH_NONE : 2900 * METRE);
    out->hole.seafloor_at = some_time(seed, 4);
    out->hole.tolerance_um = some_length(seed, METRE);
    out->hole.heave_um = some_length(seed, METRE);
    out->hole.tide_um = some_length(seed, 2 * METRE);
    random_cores(seed, out);
    out->count = (size_t)random_within(seed, 1, HISTORY_MOST);
    for (size_t at = 0; at < out->count; at++) {
        struct correction *it = &out->corrections[at];
        *it = part_correction((enum correction_kind)random_within(seed, CORRECTION_READING, CORRECTION_SURVEY),
                              (int32_t)at + 1);
        random_correction(seed, out, &out->rows[at], it);
        if (correction_check_kind(it, &err) != STATUS_OK || correction_check_rows(it, &err) != STATUS_OK)
            fail_msg("%s: %s", err.subject, err.reason);
        random_names(seed, out, at);
        it->withdrawn = one_in(seed, 5) ? "a slip" : NULL;
    }
    for (const struct correction *it = repeated(out); it; it = repeated(out))
        out->corrections[it->number - 1].withdrawn = "it repeats another";
}
