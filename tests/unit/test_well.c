/* SPDX-License-Identifier: MIT */
/* Bores against string: where segments end, what their volumes add up to, and which wells are refused. */
#include "unit.h"

#include <math.h>

#include "coretally/domain/well.h"

#define PI 3.14159265358979323846
#define MILLIMETRE INT64_C(1000)

/* A well to change: bores riser, casing, open hole; string collars, heavy pipe, pipe up to the floor. */
struct well {
    struct bore bores[BORES_MAX + 1];
    struct part parts[PARTS_MAX + 1];
    struct geometry geometry;
};

static void well_init(struct well *well)
{
    *well = (struct well){
        .bores = {{BORE_RISER, 0, 1000 * METRE, 495300, NAN, LENGTH_NONE},
                  {BORE_CASING, 1000 * METRE, 2500 * METRE, 312420, NAN, LENGTH_NONE},
                  {BORE_OPEN, 2500 * METRE, LENGTH_NONE, 311150, NAN, LENGTH_NONE}},
        .parts = {{"collars", 200 * METRE, 203200, 71440},
                  {"heavy pipe", 100 * METRE, 139700, 76200},
                  {"pipe", LENGTH_NONE, 127000, 108610}},
    };
    well->geometry = (struct geometry){
        .bores = well->bores,
        .bore_count = 3,
        .parts = well->parts,
        .part_count = 3,
        .inlet_um = LENGTH_NONE,
        .flowline_m3 = NAN,
        .supply_m3 = NAN,
        .shaker_delay_s = NAN,
        .loss_um = LENGTH_NONE,
        .loss_pct = NAN,
    };
}

static bool is_near(double value, double expected, double relative)
{
    return fabs(value - expected) <= relative * fabs(expected);
}

static double ring_m2(int64_t outer_um, int64_t inner_um)
{
    const double outer_m = (double)outer_um * 1e-6;
    const double inner_m = (double)inner_um * 1e-6;
    return PI / 4 * (outer_m * outer_m - inner_m * inner_m);
}

/* Segments are named by bore and part, B0 to the first bore, P0 to the first part. */
static void segments_end_where_something_changes(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        int64_t bit_m;
        struct {
            int64_t bottom_m;
            size_t bore;
            size_t part;
        } segments[6]; /* up to a bottom of 0 */
    } rows[] = {
        {"all of it in open hole", 3500, {{1000, 0, 2}, {2500, 1, 2}, {3200, 2, 2}, {3300, 2, 1}, {3500, 2, 0}}},
        {"collars end at the shoe", 2700, {{1000, 0, 2}, {2400, 1, 2}, {2500, 1, 1}, {2700, 2, 0}}},
        {"heavy pipe ends at the shoe", 2800, {{1000, 0, 2}, {2500, 1, 2}, {2600, 2, 1}, {2800, 2, 0}}},
        {"collars across the shoe", 2600, {{1000, 0, 2}, {2300, 1, 2}, {2400, 1, 1}, {2500, 1, 0}, {2600, 2, 0}}},
        {"bit at the shoe", 2500, {{1000, 0, 2}, {2200, 1, 2}, {2300, 1, 1}, {2500, 1, 0}}},
        {"bit inside the riser", 900, {{600, 0, 2}, {700, 0, 1}, {900, 0, 0}}},
        {"pipe just gone", 300, {{100, 0, 1}, {300, 0, 0}}},
        {"heavy pipe half above the floor", 250, {{50, 0, 1}, {250, 0, 0}}},
        {"collars alone", 200, {{200, 0, 0}}},
        {"collars half above the floor", 100, {{100, 0, 0}}},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct well well;
        struct segments split;
        struct err err;
        well_init(&well);
        ROW(rows[at].what, well_split(&well.geometry, rows[at].bit_m * METRE, &split, &err) == STATUS_OK);
        int64_t top_um = 0;
        double sum_m3 = 0;
        size_t count = 0;
        for (; rows[at].segments[count].bottom_m; count++) {
            const struct segment *segment = &split.items[count];
            const struct bore *bore = &well.bores[rows[at].segments[count].bore];
            const struct part *part = &well.parts[rows[at].segments[count].part];
            ROW(rows[at].what, count < split.count && segment->bore == bore && segment->part == part);
            ROW(rows[at].what, segment->top_um == top_um);
            top_um = rows[at].segments[count].bottom_m * METRE;
            ROW(rows[at].what, segment->bottom_um == top_um);
            ROW(rows[at].what, is_near(segment->area_m2, ring_m2(bore->diameter_um, part->outer_um), 1e-12));
            const double length_m = (double)(segment->bottom_um - segment->top_um) * 1e-6;
            ROW(rows[at].what, is_near(segment->volume_m3, segment->area_m2 * length_m, 1e-12));
            sum_m3 += segment->volume_m3;
        }
        ROW(rows[at].what, split.count == count && is_near(split.volume_m3, sum_m3, 1e-12));
        ROW(rows[at].what, top_um == rows[at].bit_m * METRE);
    }
}

/* The most bores and parts that there may be still fit into the segments. */
static void the_largest_well_fits(void **state)
{
    (void)state;
    struct well well;
    struct segments split;
    struct err err;
    well_init(&well);
    for (int64_t at = 0; at < BORES_MAX; at++)
        well.bores[at] = (struct bore){BORE_CASING, at * 100 * METRE, (at + 1) * 100 * METRE, 400000, NAN, LENGTH_NONE};
    for (int64_t at = 0; at < PARTS_MAX; at++)
        well.parts[at] = (struct part){"pipe", 39 * METRE + at, 127000, LENGTH_NONE};
    well.parts[PARTS_MAX - 1].length_um = LENGTH_NONE;
    well.geometry.bore_count = BORES_MAX;
    well.geometry.part_count = PARTS_MAX;
    assert_int_equal(well_split(&well.geometry, BORES_MAX * 100 * METRE, &split, &err), STATUS_OK);
    assert_int_equal(split.count, BORES_MAX + PARTS_MAX - 1);
    assert_true(is_near(split.volume_m3, ring_m2(400000, 127000) * BORES_MAX * 100, 1e-12));
    well.geometry.bore_count = BORES_MAX + 1;
    assert_int_equal(well_check(&well.geometry, &err), STATUS_RULE);
    well.geometry.bore_count = BORES_MAX;
    well.geometry.part_count = PARTS_MAX + 1;
    assert_int_equal(well_check(&well.geometry, &err), STATUS_RULE);
}

static void open_hole_washes_out(void **state)
{
    (void)state;
    struct well well;
    struct segments split;
    struct err err;
    well_init(&well);
    assert_true(bore_diameter_m(&well.bores[2]) == 0.31115);
    well.bores[2].washout_pct = 10;
    assert_true(is_near(bore_diameter_m(&well.bores[2]), 0.342265, 1e-12));
    assert_int_equal(well_split(&well.geometry, 3500 * METRE, &split, &err), STATUS_OK);
    assert_true(is_near(split.items[2].area_m2, ring_m2(342265, 127000), 1e-12));
    assert_true(is_near(split.items[1].area_m2, ring_m2(312420, 127000), 1e-12)); /* the casing does not */
    well.bores[2].washout_pct = 0;
    assert_true(bore_diameter_m(&well.bores[2]) == 0.31115);
    well.bores[2].tolerance_um = 6 * MILLIMETRE; /* how good a diameter is changes nothing in the nominal volume */
    struct segments same;
    assert_int_equal(well_split(&well.geometry, 3500 * METRE, &split, &err), STATUS_OK);
    well.bores[2].tolerance_um = LENGTH_NONE;
    assert_int_equal(well_split(&well.geometry, 3500 * METRE, &same, &err), STATUS_OK);
    assert_true(split.volume_m3 == same.volume_m3);
    well.bores[2].bottom_um = 3500 * METRE; /* open hole may have a bottom */
    assert_int_equal(well_split(&well.geometry, 3500 * METRE, &same, &err), STATUS_OK);
    assert_true(split.volume_m3 == same.volume_m3);
    assert_int_equal(well_split(&well.geometry, 3500 * METRE + 1, &same, &err), STATUS_RULE);
    assert_non_null(strstr(err.reason, "end at 3500.000 m"));
}

enum place {
    BORE0_TOP,
    BORE0_DIAMETER,
    BORE1_TOP,
    BORE1_BOTTOM,
    BORE1_DIAMETER,
    BORE1_WASHOUT,
    BORE2_DIAMETER,
    BORE2_WASHOUT,
    BORE2_TOLERANCE,
    PART0_LENGTH,
    PART0_OUTER,
    PART0_INNER,
    PART2_LENGTH,
    BORE_COUNT,
    PART_COUNT,
    INLET,
    LOSS_DEPTH,
    LOSS,
    BIT
};

static void well_change(struct well *well, enum place place, double value, int64_t *bit_um)
{
    int64_t *const lengths[] = {
        [BORE0_TOP] = &well->bores[0].top_um,
        [BORE0_DIAMETER] = &well->bores[0].diameter_um,
        [BORE1_TOP] = &well->bores[1].top_um,
        [BORE1_BOTTOM] = &well->bores[1].bottom_um,
        [BORE1_DIAMETER] = &well->bores[1].diameter_um,
        [BORE2_DIAMETER] = &well->bores[2].diameter_um,
        [BORE2_TOLERANCE] = &well->bores[2].tolerance_um,
        [PART0_LENGTH] = &well->parts[0].length_um,
        [PART0_OUTER] = &well->parts[0].outer_um,
        [PART0_INNER] = &well->parts[0].inner_um,
        [PART2_LENGTH] = &well->parts[2].length_um,
        [INLET] = &well->geometry.inlet_um,
        [LOSS_DEPTH] = &well->geometry.loss_um,
        [BIT] = bit_um,
    };
    if (place == BORE1_WASHOUT)
        well->bores[1].washout_pct = value;
    else if (place == BORE2_WASHOUT)
        well->bores[2].washout_pct = value;
    else if (place == LOSS)
        well->geometry.loss_pct = value;
    else if (place == BORE_COUNT)
        well->geometry.bore_count = (size_t)value;
    else if (place == PART_COUNT)
        well->geometry.part_count = (size_t)value;
    else
        *lengths[place] = isnan(value) ? LENGTH_NONE : llround(value);
}

/* value: um; a count; percent. NAN: not recorded. says NULL: accepted. */
static void impossible_wells_are_refused(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        enum place place;
        double value;
        const char *subject;
        const char *says;
        const char *hints;
        bool at_this_bit; /* refused by the split alone, not by the check of the well */
    } rows[] = {
        {"as it is", BIT, 3500e6, NULL, NULL, NULL, false},
        {"gap", BORE1_TOP, 1001e6, "casing", "a gap between 1000.000 m", "each begins", false},
        {"gap of a micrometre", BORE1_TOP, 1000e6 + 1, "casing", "a gap", "each begins", false},
        {"overlap", BORE1_TOP, 999e6, "casing", "an overlap between 1000.000 m", "each begins", false},
        {"does not begin at the floor", BORE0_TOP, 1, "riser", "a gap between 0.000 m, the bottom of the rig floor",
         "first at 0", false},
        {"casing without bottom", BORE1_BOTTOM, NAN, "casing", "a casing has a bottom", "casing,1000,2500", false},
        {"bottom at its top", BORE1_BOTTOM, 1000e6, "casing", "does not lie below its top", NULL, false},
        {"bottom above its top", BORE1_BOTTOM, 900e6, "casing", "does not lie below its top", NULL, false},
        {"casing washes out", BORE1_WASHOUT, 5, "casing", "only open hole", NULL, false},
        {"washout of 200 %", BORE2_WASHOUT, 200, NULL, NULL, NULL, false},
        {"washout past 200 %", BORE2_WASHOUT, 201, "open", "201 %", "percent of the diameter", false},
        {"washout of 0", BORE2_WASHOUT, 0, NULL, NULL, NULL, false},
        {"tight hole", BORE2_WASHOUT, -1, "open", "outside 0 to 200 %", "percent of the diameter", false},
        {"inches as millimetres", BORE2_DIAMETER, 12250, "open", "12.25 mm is outside 50 to 2000 mm", "12.250in",
         false},
        {"no diameter at all", BORE2_DIAMETER, 0, "open", "outside 50", "mm", false},
        {"too wide", BORE0_DIAMETER, 2000001, "riser", "to 2000 mm", "mm", false},
        {"tolerance of half", BORE2_TOLERANCE, 155575, "open", "half of itself", NULL, false},
        {"tolerance", BORE2_TOLERANCE, 155574, NULL, NULL, NULL, false},
        {"pipe of 8 mm", PART0_OUTER, 8000, "collars", "8.00 mm is outside 20 to 2000 mm", "8.000in", false},
        {"wall of none", PART0_INNER, 203200, "collars", "not less than its outside", NULL, false},
        {"inside of 0", PART0_INNER, 0, "collars", "inside diameter", NULL, false},
        {"inside not stated", PART0_INNER, NAN, NULL, NULL, NULL, false},
        {"two without length", PART0_LENGTH, NAN, "collars", "only the last part", "from the bit up", false},
        {"length of 0", PART0_LENGTH, 0, "collars", "longer than 0 m", NULL, false},
        {"length below 0", PART0_LENGTH, -1, "collars", "longer than 0 m", NULL, false},
        {"no bore", BORE_COUNT, 0, "well", "1 to 16 bores", "--bores", false},
        {"no string", PART_COUNT, 0, "well", "1 to 40 parts", "--string", false},
        {"inlet", INLET, 1000e6, NULL, NULL, NULL, false},
        {"inlet at the floor", INLET, 0, "inlet", "cannot enter at 0.000 m", "riser", false},
        {"loss without its share", LOSS_DEPTH, 2100e6, "loss", "a depth and a share", "--loss", false},
        {"share without its depth", LOSS, 30, "loss", "a depth and a share", "--loss", false},
        {"pipe as wide as the hole", PART0_OUTER, 311150, "collars", "does not go into the open of 311.1", "mm", true},
        {"pipe a micrometre narrower", PART0_OUTER, 311149, NULL, NULL, NULL, false},
        {"pipe wider than the casing", BORE1_DIAMETER, 120000, "pipe", "does not go into the casing of 120.0 mm", "mm",
         true},
        {"string ends at the floor", PART2_LENGTH, 3200e6, NULL, NULL, NULL, false},
        {"string longer than the hole", PART2_LENGTH, 9000e6, NULL, NULL, NULL, false},
        {"string too short", PART2_LENGTH, 3199e6, "pipe", "ends 1.000 m below the rig floor", "last part", true},
        {"bit at the floor", BIT, 0, "bit", "0.000 m is not below", NULL, true},
        {"bit above the floor", BIT, -1, "bit", "not below", NULL, true},
        {"bit below the bores", BORE_COUNT, 2, "casing", "end at 2500.000 m, the bit is at 3500.000 m", "open,2500",
         true},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct well well;
        int64_t bit_um = 3500 * METRE;
        struct err err = {0};
        static const struct segments untouched = {.count = 77, .volume_m3 = 77};
        struct segments split = untouched;
        well_init(&well);
        well_change(&well, rows[at].place, rows[at].value, &bit_um);
        const enum status checked = well_check(&well.geometry, &err);
        ROW(rows[at].what, checked == (rows[at].says && !rows[at].at_this_bit ? STATUS_RULE : STATUS_OK));
        const enum status status = well_split(&well.geometry, bit_um, &split, &err);
        if (!rows[at].says) {
            ROW(rows[at].what, status == STATUS_OK);
            continue;
        }
        ROW(rows[at].what, status == STATUS_RULE && strstr(err.reason, rows[at].says) != NULL);
        ROW_TEXT(rows[at].what, err.subject, rows[at].subject);
        ROW(rows[at].what, !rows[at].hints || strstr(err.hint, rows[at].hints) != NULL);
        ROW(rows[at].what, split.count == 77 && split.volume_m3 == 77);
    }
}

static void losses_are_from_none_to_all(void **state)
{
    (void)state;
    static const struct {
        double pct;
        bool taken;
    } rows[] = {{0, true}, {30, true}, {100, true}, {-1, false}, {101, false}};
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct well well;
        struct err err;
        well_init(&well);
        well.geometry.loss_um = 2100 * METRE;
        well.geometry.loss_pct = rows[at].pct;
        assert_int_equal(well_check(&well.geometry, &err), rows[at].taken ? STATUS_OK : STATUS_RULE);
    }
    struct well well;
    struct err err;
    well_init(&well);
    well.geometry.bore_count = 2; /* an inlet at or below the bottom of everything */
    well.geometry.inlet_um = 2500 * METRE;
    assert_int_equal(well_check(&well.geometry, &err), STATUS_RULE);
    well.geometry.inlet_um = 2500 * METRE - 1;
    assert_int_equal(well_check(&well.geometry, &err), STATUS_OK);
    well.geometry.bore_count = 3;
    well.bores[1].kind = BORE_OPEN; /* open hole down to the bottom, and something below it */
    well.bores[1].bottom_um = LENGTH_NONE;
    assert_int_equal(well_check(&well.geometry, &err), STATUS_RULE);
    assert_non_null(strstr(err.reason, "below open hole"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(segments_end_where_something_changes),
        cmocka_unit_test(the_largest_well_fits),
        cmocka_unit_test(open_hole_washes_out),
        cmocka_unit_test(impossible_wells_are_refused),
        cmocka_unit_test(losses_are_from_none_to_all),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
