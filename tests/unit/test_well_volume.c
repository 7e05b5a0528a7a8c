/* SPDX-License-Identifier: MIT */
/* What follows from a split well: volumes between any two depths, the inside of the string, the hole that a measured
 * volume stands for, and which state of the well is in force. */
#include "unit.h"

#include <math.h>

#include "coretally/domain/well.h"

#define PI 3.14159265358979323846

struct well {
    struct bore bores[5];
    struct part parts[6];
    struct geometry geometry;
};

/* A random well that can be: bores narrow downwards, pipe is narrower than any of them, open hole comes last. */
static void well_draw(struct well *well, uint64_t *seed)
{
    *well = (struct well){0};
    const size_t bores = (size_t)random_within(seed, 1, (int64_t)COUNT_OF(well->bores));
    const size_t parts = (size_t)random_within(seed, 1, (int64_t)COUNT_OF(well->parts));
    int64_t top_um = 0;
    for (size_t at = 0; at < bores; at++) {
        const int64_t bottom_um = top_um + random_within(seed, 1, 900 * METRE);
        const bool last = at + 1 == bores;
        well->bores[at] = (struct bore){last ? BORE_OPEN
                                        : at ? BORE_CASING
                                             : BORE_RISER,
                                        top_um,
                                        last ? LENGTH_NONE : bottom_um,
                                        random_within(seed, 210000, 600000),
                                        last ? (double)random_within(seed, 0, 40) : NAN,
                                        LENGTH_NONE};
        top_um = bottom_um;
    }
    for (size_t at = 0; at < parts; at++) {
        const int64_t outer_um = random_within(seed, 60000, 200000);
        well->parts[at] = (struct part){"part", at + 1 == parts ? LENGTH_NONE : random_within(seed, 1, 600 * METRE),
                                        outer_um, outer_um - random_within(seed, 5000, 50000)};
    }
    well->geometry = (struct geometry){.bores = well->bores,
                                       .bore_count = bores,
                                       .parts = well->parts,
                                       .part_count = parts,
                                       .inlet_um = LENGTH_NONE,
                                       .loss_um = LENGTH_NONE,
                                       .loss_pct = NAN};
}

/* What is at one depth, found by looking there: no segment is made. */
static const struct bore *bore_there(const struct geometry *geometry, int64_t depth_um)
{
    for (size_t at = 0; at < geometry->bore_count; at++)
        if (geometry->bores[at].bottom_um == LENGTH_NONE || depth_um < geometry->bores[at].bottom_um)
            return &geometry->bores[at];
    return NULL;
}

static const struct part *part_there(const struct geometry *geometry, int64_t bit_um, int64_t depth_um)
{
    int64_t above_bit_um = bit_um - depth_um;
    for (size_t at = 0; at < geometry->part_count; at++) {
        if (geometry->parts[at].length_um == LENGTH_NONE || above_bit_um <= geometry->parts[at].length_um)
            return &geometry->parts[at];
        above_bit_um -= geometry->parts[at].length_um;
    }
    return NULL;
}

enum { SLICES = 4000 };

/* Sum over thin slices; each slice across a step is wrong by no more than itself. */
static double slices_m3(const struct geometry *geometry, int64_t bit_um, int64_t top_um, int64_t bottom_um, bool inside)
{
    double volume_m3 = 0;
    const double slice_m = (double)(bottom_um - top_um) * 1e-6 / SLICES;
    for (int at = 0; at < SLICES; at++) {
        const int64_t depth_um = top_um + (int64_t)((double)(bottom_um - top_um) * (at + 0.5) / SLICES);
        const struct part *part = part_there(geometry, bit_um, depth_um);
        const double hole_m = bore_diameter_m(bore_there(geometry, depth_um));
        const double pipe_m = (double)part->outer_um * 1e-6;
        const double bore_m = (double)part->inner_um * 1e-6;
        volume_m3 += PI / 4 * (inside ? bore_m * bore_m : hole_m * hole_m - pipe_m * pipe_m) * slice_m;
    }
    return volume_m3;
}

static void volumes_are_those_of_thin_slices(void **state)
{
    (void)state;
    uint64_t seed = 20;
    for (int round = 0; round < 300; round++) {
        struct well well;
        struct segments split;
        struct err err;
        well_draw(&well, &seed);
        const int64_t shoe_um = well.bores[well.geometry.bore_count - 1].top_um;
        const int64_t bit_um = random_within(&seed, 1, shoe_um + 2000 * METRE);
        assert_int_equal(well_split(&well.geometry, bit_um, &split, &err), STATUS_OK);
        const int64_t top_um = random_within(&seed, 0, bit_um);
        const int64_t bottom_um = random_within(&seed, top_um, bit_um);
        /* at most one slice a step, each of at most the widest area: 0.84 m wide, 0.56 m2 */
        const double slack_m3 = 10 * 0.56 * (double)(bottom_um - top_um) * 1e-6 / SLICES + 1e-9;
        const double volume_m3 = segments_volume(&split, top_um, bottom_um);
        assert_true(fabs(volume_m3 - slices_m3(&well.geometry, bit_um, top_um, bottom_um, false)) <= slack_m3);
        const double whole_slack_m3 = 10 * 0.56 * (double)bit_um * 1e-6 / SLICES + 1e-9;
        assert_true(fabs(split.volume_m3 - slices_m3(&well.geometry, bit_um, 0, bit_um, false)) <= whole_slack_m3);
        assert_true(fabs(string_volume(&well.geometry, bit_um) - slices_m3(&well.geometry, bit_um, 0, bit_um, true)) <=
                    whole_slack_m3);
    }
}

/* Parts sum to the whole; deeper holds more. */
static void volumes_add_up(void **state)
{
    (void)state;
    uint64_t seed = 21;
    for (int round = 0; round < 2000; round++) {
        struct well well;
        struct segments split;
        struct err err;
        well_draw(&well, &seed);
        const int64_t bit_um = random_within(&seed, 1, 5000 * METRE);
        assert_int_equal(well_split(&well.geometry, bit_um, &split, &err), STATUS_OK);
        const int64_t middle_um = random_within(&seed, 0, bit_um);
        const double above_m3 = segments_volume(&split, 0, middle_um);
        const double below_m3 = segments_volume(&split, middle_um, bit_um);
        assert_true(fabs(above_m3 + below_m3 - split.volume_m3) <= 1e-12 * split.volume_m3);
        assert_true(above_m3 >= 0 && below_m3 >= 0 && segments_volume(&split, middle_um, middle_um) == 0);
        assert_true(fabs(segments_volume(&split, 0, bit_um) - split.volume_m3) <= 1e-12 * split.volume_m3);
        assert_true(segments_volume(&split, -METRE, bit_um + METRE) == segments_volume(&split, 0, bit_um));
        assert_true(segments_volume(&split, bit_um, bit_um + METRE) == 0);
        for (size_t at = 0; at < split.count; at++) {
            assert_true(split.items[at].top_um == (at ? split.items[at - 1].bottom_um : 0));
            assert_true(split.items[at].bottom_um > split.items[at].top_um && split.items[at].area_m2 > 0);
        }
        assert_int_equal(split.items[split.count - 1].bottom_um, bit_um);
    }
}

static void the_string_needs_its_inside_diameters(void **state)
{
    (void)state;
    struct part parts[] = {{"collars", 200 * METRE, 203200, 71440}, {"pipe", LENGTH_NONE, 127000, LENGTH_NONE}};
    const struct geometry geometry = {.parts = parts, .part_count = 2};
    assert_true(isnan(string_volume(&geometry, 3000 * METRE)));
    const double collars_m3 = PI / 4 * 0.07144 * 0.07144 * 150;
    assert_true(fabs(string_volume(&geometry, 150 * METRE) - collars_m3) <= 1e-12); /* no pipe below the floor */
    parts[1].inner_um = 108610;
    const double whole_m3 = PI / 4 * (0.07144 * 0.07144 * 200 + 0.10861 * 0.10861 * 2800);
    assert_true(fabs(string_volume(&geometry, 3000 * METRE) - whole_m3) <= 1e-12);
    parts[1].length_um = 2900 * METRE; /* what stands above the floor does not count */
    assert_true(fabs(string_volume(&geometry, 3000 * METRE) - whole_m3) <= 1e-12);
}

/* Give the open hole another width, take its volume, and get the width back. */
static void the_hole_is_as_wide_as_its_volume(void **state)
{
    (void)state;
    uint64_t seed = 22;
    for (int round = 0; round < 2000; round++) {
        struct well well;
        struct segments split;
        struct err err;
        double nominal_m3 = NAN;
        well_draw(&well, &seed);
        struct bore *open = &well.bores[well.geometry.bore_count - 1];
        const int64_t bit_um = open->top_um + random_within(&seed, METRE, 2000 * METRE);
        assert_int_equal(well_split(&well.geometry, bit_um, &split, &err), STATUS_OK);
        const double recorded_m3 = segments_volume(&split, open->top_um, bit_um);
        double found_m = open_hole_diameter(&well.geometry, bit_um, recorded_m3, &nominal_m3);
        assert_true(fabs(found_m - bore_diameter_m(open)) <= 1e-9);
        assert_true(fabs(nominal_m3 - recorded_m3) <= 1e-9 * recorded_m3);
        struct bore other = *open;
        other.diameter_um = random_within(&seed, 210000, 700000);
        const struct bore kept = *open;
        *open = other;
        assert_int_equal(well_split(&well.geometry, bit_um, &split, &err), STATUS_OK);
        const double other_m3 = segments_volume(&split, open->top_um, bit_um);
        *open = kept;
        found_m = open_hole_diameter(&well.geometry, bit_um, other_m3, NULL);
        assert_true(fabs(found_m - bore_diameter_m(&other)) <= 1e-9);
    }
}

static void no_open_hole_has_no_width(void **state)
{
    (void)state;
    struct bore bores[] = {{BORE_CASING, 0, 2500 * METRE, 312420, NAN, LENGTH_NONE},
                           {BORE_OPEN, 2500 * METRE, LENGTH_NONE, 311150, NAN, LENGTH_NONE}};
    struct part parts[] = {{"pipe", LENGTH_NONE, 127000, 108610}};
    const struct geometry geometry = {.bores = bores,
                                      .bore_count = 2,
                                      .parts = parts,
                                      .part_count = 1,
                                      .inlet_um = LENGTH_NONE,
                                      .loss_um = LENGTH_NONE,
                                      .loss_pct = NAN};
    double nominal_m3 = NAN;
    assert_true(isnan(open_hole_diameter(&geometry, 2500 * METRE, 10, &nominal_m3))); /* the bit is at the shoe */
    assert_true(isnan(open_hole_diameter(&geometry, 0, 10, &nominal_m3)));            /* a split that is refused */
    assert_true(isnan(open_hole_diameter(&geometry, 3000 * METRE, -0.001, &nominal_m3)));
    assert_true(isnan(open_hole_diameter(&geometry, 3000 * METRE, NAN, &nominal_m3)));
    assert_true(fabs(open_hole_diameter(&geometry, 3000 * METRE, 0, &nominal_m3) - 0.127) <= 1e-12); /* the pipe's */
    assert_true(fabs(nominal_m3 - PI / 4 * (0.31115 * 0.31115 - 0.127 * 0.127) * 500) <= 1e-9);
}

static void the_latest_state_before_counts(void **state)
{
    (void)state;
    struct geometry states[] = {{.number = 1}, {.number = 2}, {.number = 3}, {.number = 4}};
    states[0].from.utc_us = 100;
    states[1].from.utc_us = 300;
    states[2].from.utc_us = 200;
    states[3].from.utc_us = 250;
    states[3].withdrawn = "not run";
    static const struct {
        const char *what;
        int64_t utc_us;
        size_t found;
    } rows[] = {
        {"before the first", 99, SIZE_MAX},
        {"from its instant", 100, 0},
        {"until the next", 199, 0},
        {"the second", 200, 2},
        {"withdrawn", 260, 2},
        {"the third", 300, 1},
        {"long after", INT64_MAX, 1},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++)
        ROW(rows[at].what, geometry_at(states, COUNT_OF(states), rows[at].utc_us) == rows[at].found);
    assert_true(geometry_at(states, 0, 300) == SIZE_MAX);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(volumes_are_those_of_thin_slices),
        cmocka_unit_test(volumes_add_up),
        cmocka_unit_test(the_string_needs_its_inside_diameters),
        cmocka_unit_test(the_hole_is_as_wide_as_its_volume),
        cmocka_unit_test(no_open_hole_has_no_width),
        cmocka_unit_test(the_latest_state_before_counts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
