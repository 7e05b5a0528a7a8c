/* SPDX-License-Identifier: MIT */
/* Has a correction what its kind needs, and are its rows in order? */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "coretally/base/quantity.h"
#include "coretally/domain/survey.h"
#include "coretally/domain/stretch.h"

/* What a correction can hold, as bits. */
#define PART_LIST(X)                                                                                                   \
    X(DEPTHS, "a depth range (--top, --bottom)")                                                                       \
    X(TIMES, "a time range (--from, --to)")                                                                            \
    X(CORES, "a range of cores (--first-core, --last-core)")                                                           \
    X(CORE, "one core")                                                                                                \
    X(AMOUNT, "an amount")                                                                                             \
    X(RETYPED, "the depth retyped (--core-top, --core-bottom)")                                                        \
    X(SEAFLOOR, "the seafloor's depth below rig floor")                                                                \
    X(METHOD, "the method of the seafloor (--seafloor-by)")                                                            \
    X(FOUND, "the time of the seafloor (--seafloor-at)")                                                               \
    X(STRETCH, "how it is worked out (--stretch weight, load or heat)")                                                \
    X(LOAD, "the load (--load)")                                                                                       \
    X(STEEL, "what carries it (--area or --pipe-weight)")                                                              \
    X(MUD, "the density of the mud (--mud)")                                                                           \
    X(RISE, "the mean rise of temperature (--rise)")                                                                   \
    X(PIPE, "properties of the steel")                                                                                 \
    X(HEIGHTS, "a table of tide heights")                                                                              \
    X(OFFSETS, "a table of composite offsets")                                                                         \
    X(STEPS, "a table of growth factors")                                                                              \
    X(INTERVALS, "a table of splice intervals")                                                                        \
    X(POINTS, "a table of matched depths")                                                                             \
    X(STATIONS, "a table of survey stations")

enum part_place {
#define PART_ID(id, words) PLACE_##id,
    PART_LIST(PART_ID)
#undef PART_ID
        PART_COUNT
};
#define PART(id) (1u << PLACE_##id)

static const char *const part_words[] = {
#define PART_WORDS(id, words) words,
    PART_LIST(PART_WORDS)
#undef PART_WORDS
};

#define RANGES (PART(DEPTHS) | PART(TIMES) | PART(CORES))

static const struct {
    unsigned needs;
    unsigned takes;
} kinds[CORRECTION_KIND_COUNT] = {
    [CORRECTION_READING] = {PART(CORE) | PART(RETYPED), 0},
    [CORRECTION_TALLY] = {PART(AMOUNT), RANGES},
    [CORRECTION_STRETCH] = {PART(STRETCH), RANGES},
    [CORRECTION_TIDE] = {PART(HEIGHTS), PART(TIMES) | PART(CORES)},
    [CORRECTION_SHIFT] = {PART(CORE) | PART(AMOUNT), 0},
    [CORRECTION_SEAFLOOR] = {PART(SEAFLOOR) | PART(METHOD), PART(TIMES) | PART(CORES) | PART(FOUND)},
    [CORRECTION_COMPOSITE] = {PART(OFFSETS), 0},
    [CORRECTION_GROWTH] = {PART(STEPS), 0},
    [CORRECTION_SPLICE] = {PART(INTERVALS), 0},
    [CORRECTION_WIRELINE] = {PART(POINTS), 0},
    [CORRECTION_SURVEY] = {PART(STATIONS), 0},
};

static const struct {
    unsigned needs;
    unsigned takes;
} stretches[] = {
    [STRETCH_NONE] = {0, 0},
    [STRETCH_WEIGHT] = {PART(MUD), PART(PIPE)},
    [STRETCH_LOAD] = {PART(LOAD) | PART(STEEL), PART(PIPE)},
    [STRETCH_HEAT] = {PART(RISE), PART(PIPE)},
};

static unsigned parts_of(const struct correction *it)
{
    const bool has[PART_COUNT] = {
        [PLACE_DEPTHS] = it->top_um != LENGTH_NONE || it->bottom_um != LENGTH_NONE,
        [PLACE_TIMES] = it->from.known || it->to.known,
        [PLACE_CORES] = it->first_core || it->last_core,
        [PLACE_CORE] = it->core != 0,
        [PLACE_AMOUNT] = it->amount_um != LENGTH_NONE,
        [PLACE_RETYPED] = it->core_top_um != LENGTH_NONE || it->core_bottom_um != LENGTH_NONE,
        [PLACE_SEAFLOOR] = it->seafloor_um != LENGTH_NONE,
        [PLACE_METHOD] = it->seafloor_by != SEAFLOOR_NONE,
        [PLACE_FOUND] = it->seafloor_at.known,
        [PLACE_STRETCH] = it->stretch != STRETCH_NONE,
        [PLACE_LOAD] = !isnan(it->load_kn),
        [PLACE_STEEL] = !isnan(it->area_mm2) || !isnan(it->pipe_weight_kg_m),
        [PLACE_MUD] = !isnan(it->mud_kg_m3),
        [PLACE_RISE] = !isnan(it->rise_k),
        [PLACE_PIPE] =
            !isnan(it->modulus_gpa) || !isnan(it->steel_kg_m3) || !isnan(it->poisson) || !isnan(it->expansion_um_m_k),
        [PLACE_HEIGHTS] = it->height_count != 0,
        [PLACE_OFFSETS] = it->offset_count != 0,
        [PLACE_STEPS] = it->step_count != 0,
        [PLACE_INTERVALS] = it->interval_count != 0,
        [PLACE_POINTS] = it->point_count != 0,
        [PLACE_STATIONS] = it->station_count != 0,
    };
    unsigned bits = 0;
    for (unsigned at = 0; at < PART_COUNT; at++)
        bits |= has[at] ? 1u << at : 0;
    return bits;
}

static enum status refuse(struct err *err, const struct correction *it, const char *before, unsigned parts)
{
    unsigned at = 0;
    while (!(parts & (1u << at)))
        at++;
    return err_set(err, STATUS_INPUT, correction_words[it->kind], "%s %s", before, part_words[at]);
}

/* Ranges the right way round. */
static enum status check_ranges(const struct correction *it, struct err *err)
{
    const char *word = correction_words[it->kind];
    if (it->top_um != LENGTH_NONE && it->bottom_um != LENGTH_NONE && it->bottom_um <= it->top_um)
        return err_set(err, STATUS_INPUT, word, "its range ends at %s m, not below its beginning at %s m",
                       length_text(it->bottom_um, UNIT_M, 3).text, length_text(it->top_um, UNIT_M, 3).text);
    if (it->core_top_um != LENGTH_NONE && it->core_bottom_um != LENGTH_NONE && it->core_bottom_um < it->core_top_um)
        return err_set(err, STATUS_INPUT, word, "the run would end at %s m, above its top at %s m",
                       length_text(it->core_bottom_um, UNIT_M, 3).text, length_text(it->core_top_um, UNIT_M, 3).text);
    if (it->from.known && it->to.known && it->to.utc_us <= it->from.utc_us)
        return err_set(err, STATUS_INPUT, word, "its time range ends before it begins");
    if (it->first_core && it->last_core && it->last_core < it->first_core)
        return err_set(err, STATUS_INPUT, word, "its range of cores ends at %d, before it begins at %d",
                       (int)it->last_core, (int)it->first_core);
    return STATUS_OK;
}

/* A divisor of 0 gives no length. */
static enum status check_steel(const struct correction *it, struct err *err)
{
    const double divisors[] = {it->modulus_gpa, it->area_mm2, it->pipe_weight_kg_m};
    for (size_t at = 0; at < sizeof divisors / sizeof divisors[0]; at++)
        if (divisors[at] <= 0)
            return err_set(err, STATUS_INPUT, correction_words[it->kind],
                           "modulus, area and weight of the pipe must be more than 0");
    const int64_t metre_um = 1000000;
    if (it->stretch != STRETCH_NONE && llabs(stretch_of(it, 1000 * metre_um)) > 20 * metre_um) {
        err_set(err, STATUS_INPUT, correction_words[it->kind],
                "1000 m of pipe would be %s m longer; steel does not stretch that far",
                length_text(stretch_of(it, 1000 * metre_um), UNIT_M, 1).text);
        return err_hint(err,
                        "look at the units: load in kN, area in mm2, pipe weight in kg/m, mud in kg/m3, rise in K");
    }
    if (it->mud_kg_m3 < 500) {
        err_set(err, STATUS_INPUT, correction_words[it->kind], "no mud has a density of %g kg/m3", it->mud_kg_m3);
        return err_hint(err, "a bare number is kg/m3; type 1.2g/cm3 or 10ppg");
    }
    if (it->poisson > 0.5)
        return err_set(err, STATUS_INPUT, correction_words[it->kind], "Poisson's ratio is at most 0.5");
    return STATUS_OK;
}

enum status correction_check_kind(const struct correction *it, struct err *err)
{
    const unsigned has = parts_of(it);
    const unsigned needs = kinds[it->kind].needs | stretches[it->stretch].needs;
    const unsigned takes = kinds[it->kind].takes | stretches[it->stretch].takes;
    if (needs & ~has)
        return refuse(err, it, "this is missing:", needs & ~has);
    if (has & ~(needs | takes))
        return refuse(err, it, "a correction of this kind does not take", has & ~(needs | takes));
    TRY(check_ranges(it, err));
    return check_steel(it, err);
}

static enum status refuse_row(struct err *err, const struct correction *it, size_t row, const char *why)
{
    char where[ERR_SUBJECT_MAX];
    (void)snprintf(where, sizeof where, "%s, row %zu", correction_words[it->kind], row + 1);
    return err_set(err, STATUS_INPUT, where, "%s", why);
}

enum status correction_check_rows(const struct correction *it, struct err *err)
{
    for (size_t at = 1; at < it->height_count; at++)
        if (it->heights[at].at.utc_us <= it->heights[at - 1].at.utc_us)
            return refuse_row(err, it, at, "its time does not come after that of the row before");
    for (size_t at = 1; at < it->offset_count; at++)
        if (it->offsets[at].core <= it->offsets[at - 1].core)
            return err_set(err, STATUS_INPUT, correction_words[it->kind], "core %d is listed twice, or out of order",
                           (int)it->offsets[at].core);
    for (size_t at = 1; at < it->interval_count; at++)
        if (it->intervals[at].order <= it->intervals[at - 1].order)
            return refuse_row(err, it, at, "its place in the splice does not come after that of the row before");
    for (size_t at = 0; at < it->interval_count; at++) {
        const struct splice_interval *interval = &it->intervals[at];
        if (interval->bottom_section < interval->top_section ||
            (interval->bottom_section == interval->top_section && interval->bottom_um < interval->top_um))
            return refuse_row(err, it, at, "it ends above its beginning");
    }
    for (size_t at = 0; at < it->step_count; at++) {
        if (at > 0 && it->steps[at].top_um <= it->steps[at - 1].top_um)
            return refuse_row(err, it, at, "it does not lie below the row before");
        if (!(it->steps[at].factor >= 0.5 && it->steps[at].factor <= 2))
            return refuse_row(err, it, at, "a growth factor lies between 0.5 and 2");
    }
    for (size_t at = 1; at < it->point_count; at++)
        if (it->points[at].depth_um <= it->points[at - 1].depth_um ||
            it->points[at].matched_um < it->points[at - 1].matched_um)
            return refuse_row(
                err, it, at,
                "its core depth must lie below that of the row before, and its wireline depth must not lie above");
    for (size_t at = 0; at < it->station_count; at++) {
        if (at > 0 && it->stations[at].depth_um <= it->stations[at - 1].depth_um)
            return refuse_row(err, it, at, "it does not lie below the station before");
        if (!(it->stations[at].inclination_deg <= 180) || !(it->stations[at].azimuth_deg <= 360))
            return refuse_row(err, it, at, "an inclination is at most 180 and an azimuth at most 360 degrees");
        if (at > 0 && survey_bend_deg(&it->stations[at - 1], &it->stations[at]) > SURVEY_BEND_DEG)
            return refuse_row(err, it, at, "the hole would turn back on itself");
    }
    return STATUS_OK;
}
