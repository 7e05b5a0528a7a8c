/* SPDX-License-Identifier: MIT */
/* Each kind of correction with what it needs, without it, and with each thing that it does not take; rows of its
 * tables. */
#include "unit.h"

#include <stdio.h>

#include "correction_parts.h"

/* What a correction may hold, and what the refusal calls it. */
enum part {
    DEPTHS,
    TIMES,
    CORES,
    CORE,
    AMOUNT,
    RETYPED,
    SEAFLOOR,
    METHOD,
    FOUND,
    STRETCH,
    LOAD,
    STEEL,
    MUD,
    RISE,
    PIPE,
    HEIGHTS,
    OFFSETS,
    STEPS,
    INTERVALS,
    POINTS,
    STATIONS,
    PARTS
};

static const char *const said[PARTS] = {
    "--top, --bottom",
    "--from, --to",
    "--first-core, --last-core",
    "one core",
    "an amount",
    "--core-top, --core-bottom",
    "seafloor's depth",
    "--seafloor-by",
    "--seafloor-at",
    "--stretch",
    "--load",
    "--area or --pipe-weight",
    "--mud",
    "--rise",
    "properties of the steel",
    "tide heights",
    "composite offsets",
    "growth factors",
    "splice intervals",
    "matched depths",
    "survey stations",
};

static struct tide_height heights[] = {{{.known = true}, 0}};
static struct core_offset offsets[] = {{.core = 1}};
static struct growth_step steps[] = {{0, 1.1}};
static struct splice_interval intervals[] = {{1, 1, 1, 0, 1, METRE}};
static struct match_point points[] = {{0, 0}};
static struct survey_station stations[] = {{0, 0, 0}};

/* Says it in one of its ways. */
static void say(struct correction *it, enum part part, int way)
{
    switch (part) {
    case DEPTHS:
        *(way ? &it->bottom_um : &it->top_um) = 3100 * METRE;
        break;
    case TIMES:
        *(way ? &it->to : &it->from) = part_time(10);
        break;
    case CORES:
        *(way ? &it->last_core : &it->first_core) = 3;
        break;
    case CORE:
        it->core = 3;
        break;
    case AMOUNT:
        it->amount_um = 0;
        break;
    case RETYPED:
        *(way ? &it->core_bottom_um : &it->core_top_um) = 3100 * METRE;
        break;
    case SEAFLOOR:
        it->seafloor_um = 3000 * METRE;
        break;
    case METHOD:
        it->seafloor_by = SEAFLOOR_CAMERA;
        break;
    case FOUND:
        it->seafloor_at = part_time(10);
        break;
    case STRETCH:
        it->stretch = STRETCH_HEAT;
        break;
    case LOAD:
        it->load_kn = 100;
        break;
    case STEEL:
        *(way ? &it->pipe_weight_kg_m : &it->area_mm2) = 100;
        break;
    case MUD:
        it->mud_kg_m3 = 1030;
        break;
    case RISE:
        it->rise_k = 0;
        break;
    case PIPE:
        *(way == 0   ? &it->modulus_gpa
          : way == 1 ? &it->steel_kg_m3
          : way == 2 ? &it->poisson
                     : &it->expansion_um_m_k) = way == 0 ? 206 : 0.5;
        break;
    case HEIGHTS:
        it->heights = heights;
        it->height_count = 1;
        break;
    case OFFSETS:
        it->offsets = offsets;
        it->offset_count = 1;
        break;
    case STEPS:
        it->steps = steps;
        it->step_count = 1;
        break;
    case INTERVALS:
        it->intervals = intervals;
        it->interval_count = 1;
        break;
    case POINTS:
        it->points = points;
        it->point_count = 1;
        break;
    case STATIONS:
        it->stations = stations;
        it->station_count = 1;
        break;
    case PARTS:
        break;
    }
}

static int ways(enum part part)
{
    return part == PIPE                                                                           ? 4
           : part == DEPTHS || part == TIMES || part == CORES || part == RETYPED || part == STEEL ? 2
                                                                                                  : 1;
}

/* Kinds as the notes of the trade have them; stretch apart by its method. */
static const struct kind {
    enum correction_kind kind;
    enum stretch_method stretch;
    unsigned needs;
    unsigned takes;
} kinds[] = {
#define BIT(part) (1u << (part))
#define RANGES (BIT(DEPTHS) | BIT(TIMES) | BIT(CORES))
    {CORRECTION_READING, STRETCH_NONE, BIT(CORE) | BIT(RETYPED), 0},
    {CORRECTION_TALLY, STRETCH_NONE, BIT(AMOUNT), RANGES},
    {CORRECTION_STRETCH, STRETCH_WEIGHT, BIT(MUD), BIT(STRETCH) | BIT(PIPE) | RANGES},
    {CORRECTION_STRETCH, STRETCH_LOAD, BIT(LOAD) | BIT(STEEL), BIT(STRETCH) | BIT(PIPE) | RANGES},
    {CORRECTION_STRETCH, STRETCH_HEAT, BIT(RISE), BIT(STRETCH) | BIT(PIPE) | RANGES},
    {CORRECTION_TIDE, STRETCH_NONE, BIT(HEIGHTS), BIT(TIMES) | BIT(CORES)},
    {CORRECTION_SHIFT, STRETCH_NONE, BIT(CORE) | BIT(AMOUNT), 0},
    {CORRECTION_SEAFLOOR, STRETCH_NONE, BIT(SEAFLOOR) | BIT(METHOD), BIT(TIMES) | BIT(CORES) | BIT(FOUND)},
    {CORRECTION_COMPOSITE, STRETCH_NONE, BIT(OFFSETS), 0},
    {CORRECTION_GROWTH, STRETCH_NONE, BIT(STEPS), 0},
    {CORRECTION_SPLICE, STRETCH_NONE, BIT(INTERVALS), 0},
    {CORRECTION_WIRELINE, STRETCH_NONE, BIT(POINTS), 0},
    {CORRECTION_SURVEY, STRETCH_NONE, BIT(STATIONS), 0},
};

/* One of a kind with all that it needs, but for left_out. */
static struct correction of_kind(const struct kind *kind, unsigned left_out)
{
    struct correction it = part_correction(kind->kind, 1);
    it.stretch = kind->stretch;
    for (int part = 0; part < PARTS; part++)
        if (kind->needs & ~left_out & BIT(part))
            say(&it, (enum part)part, 0);
    return it;
}

static void what_a_kind_needs_is_asked_for(void **state)
{
    (void)state;
    unsigned seen = 0;
    for (size_t at = 0; at < COUNT_OF(kinds); at++) {
        const char *word = correction_words[kinds[at].kind];
        struct err err = {0};
        struct correction it = of_kind(&kinds[at], 0);
        if (correction_check_kind(&it, &err) != STATUS_OK)
            fail_msg("%s: %s", word, err.reason);
        for (int part = 0; part < PARTS; part++) {
            if (!(kinds[at].needs & BIT(part)))
                continue;
            it = of_kind(&kinds[at], BIT(part));
            err = (struct err){0};
            if (correction_check_kind(&it, &err) != STATUS_INPUT || !strstr(err.reason, "missing") ||
                !strstr(err.reason, said[part]) || strcmp(err.subject, word) != 0)
                fail_msg("%s without %s: '%s' '%s'", word, said[part], err.subject, err.reason);
            for (int way = 1; way < ways((enum part)part); way++) { /* said in another way */
                say(&it, (enum part)part, way);
                ROW(said[part], correction_check_kind(&it, &err) == STATUS_OK);
            }
        }
        seen |= BIT(kinds[at].kind);
    }
    assert_int_equal(seen, BIT(CORRECTION_KIND_COUNT) - 2); /* every kind, but none at all */
    struct err err = {0};
    struct correction none = part_correction(CORRECTION_STRETCH, 1);
    assert_int_equal(correction_check_kind(&none, &err), STATUS_INPUT);
    assert_non_null(strstr(err.reason, "weight, load or heat"));
}

static void what_a_kind_does_not_take_is_refused(void **state)
{
    (void)state;
    int refused = 0;
    for (size_t at = 0; at < COUNT_OF(kinds); at++)
        for (int part = 0; part < PARTS; part++)
            for (int way = 0; way < ways((enum part)part); way++) {
                const char *word = correction_words[kinds[at].kind];
                struct correction it = of_kind(&kinds[at], 0);
                struct err err = {0};
                const bool fits = ((kinds[at].needs | kinds[at].takes) & BIT(part)) != 0;
                if (kinds[at].kind == CORRECTION_STRETCH && part == STRETCH)
                    continue; /* it is said already */
                say(&it, (enum part)part, way);
                const enum status status = correction_check_kind(&it, &err);
                if (fits && status != STATUS_OK)
                    fail_msg("%s with %s: %s", word, said[part], err.reason);
                if (fits)
                    continue;
                /* heat on a kind that is no stretch: its own needs are asked for first */
                const char *what = part == STRETCH ? said[RISE] : said[part];
                if (status != STATUS_INPUT || !strstr(err.reason, what) || strcmp(err.subject, word) != 0)
                    fail_msg("%s with %s: '%s' '%s'", word, said[part], err.subject, err.reason);
                refused++;
            }
    assert_true(refused > 200);
    struct correction it = of_kind(&kinds[1], 0);
    struct err err = {0};
    it.stretch = STRETCH_HEAT;
    it.rise_k = 10;
    assert_int_equal(correction_check_kind(&it, &err), STATUS_INPUT);
    assert_non_null(strstr(err.reason, "does not take"));
}

static void ranges_lie_the_right_way_round(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        int64_t top_um;
        int64_t bottom_um;
        int64_t from;
        int64_t to;
        int32_t first_core;
        int32_t last_core;
        const char *says; /* NULL: fine */
    } rows[] = {
        {"thin", 3100 * METRE, 3100 * METRE + 1, -1, -1, 0, 0, NULL},
        {"no depth in it", 3100 * METRE, 3100 * METRE, -1, -1, 0, 0, "ends at 3100.000 m"},
        {"upside down", 3100 * METRE, 3099 * METRE, -1, -1, 0, 0,
         "ends at 3099.000 m, not below its beginning at 3100.000"},
        {"a minute", LENGTH_NONE, LENGTH_NONE, 10, 11, 0, 0, NULL},
        {"no time in it", LENGTH_NONE, LENGTH_NONE, 10, 10, 0, 0, "ends before it begins"},
        {"backwards", LENGTH_NONE, LENGTH_NONE, 10, 9, 0, 0, "ends before it begins"},
        {"one core", LENGTH_NONE, LENGTH_NONE, -1, -1, 5, 5, NULL},
        {"cores backwards", LENGTH_NONE, LENGTH_NONE, -1, -1, 5, 4, "ends at 4, before it begins at 5"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct correction it = of_kind(&kinds[1], 0);
        struct err err = {0};
        it.top_um = rows[at].top_um;
        it.bottom_um = rows[at].bottom_um;
        it.from = part_time(rows[at].from);
        it.to = part_time(rows[at].to);
        it.first_core = rows[at].first_core;
        it.last_core = rows[at].last_core;
        const enum status status = correction_check_kind(&it, &err);
        ROW(rows[at].what, status == (rows[at].says ? STATUS_INPUT : STATUS_OK));
        ROW(rows[at].what, !rows[at].says || strstr(err.reason, rows[at].says) != NULL);
    }
}

static void a_run_retyped_does_not_end_above_its_top(void **state)
{
    (void)state;
    struct correction it = of_kind(&kinds[0], 0);
    struct err err = {0};
    it.core_top_um = 3110 * METRE;
    it.core_bottom_um = 3110 * METRE;
    assert_int_equal(correction_check_kind(&it, &err), STATUS_OK); /* no advance is an advance */
    it.core_bottom_um = 3100 * METRE;
    assert_int_equal(correction_check_kind(&it, &err), STATUS_INPUT);
}

static void steel_is_something(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        double modulus_gpa;
        double area_mm2;
        double pipe_weight_kg_m;
        double poisson;
        const char *says; /* NULL: fine */
    } rows[] = {
        {"steel", 206, 2000, NAN, 0.28, NULL},
        {"by weight", NAN, NAN, 30, NAN, NULL},
        {"rubber", 0.01, 2000, 30, 0.5, "steel does not stretch that far"},
        {"as much as steel takes", 2.5, 2000, NAN, NAN, NULL},
        {"modulus 0", 0, 2000, NAN, NAN, "more than 0"},
        {"area 0", NAN, 0, NAN, NAN, "more than 0"},
        {"weight 0", NAN, NAN, 0, NAN, "more than 0"},
        {"area below", NAN, -1, 30, NAN, "more than 0"},
        {"Poisson", NAN, 2000, NAN, 0.51, "at most 0.5"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct correction it = part_correction(CORRECTION_STRETCH, 1);
        struct err err = {0};
        it.stretch = STRETCH_LOAD;
        it.load_kn = 100;
        it.modulus_gpa = rows[at].modulus_gpa;
        it.area_mm2 = rows[at].area_mm2;
        it.pipe_weight_kg_m = rows[at].pipe_weight_kg_m;
        it.poisson = rows[at].poisson;
        const enum status status = correction_check_kind(&it, &err);
        ROW(rows[at].what, status == (rows[at].says ? STATUS_INPUT : STATUS_OK));
        ROW(rows[at].what, !rows[at].says || strstr(err.reason, rows[at].says) != NULL);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_a_kind_needs_is_asked_for),
        cmocka_unit_test(what_a_kind_does_not_take_is_refused),
        cmocka_unit_test(ranges_lie_the_right_way_round),
        cmocka_unit_test(a_run_retyped_does_not_end_above_its_top),
        cmocka_unit_test(steel_is_something),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
