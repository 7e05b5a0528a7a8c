/* SPDX-License-Identifier: MIT */
/* True vertical depth of drilled depths and of places in cores, below rig floor and below seafloor; sidetracks. */
#include "unit.h"

#include <stdlib.h>

#include "correction_parts.h"

static struct correction survey_of(struct survey_station *stations, size_t count)
{
    struct correction it = part_correction(CORRECTION_SURVEY, 1);
    it.stations = stations;
    it.station_count = count;
    return it;
}

static struct survey_station vertical[] = {{3000 * METRE, 0, 0}, {4000 * METRE, 0, 0}};
/* Straight at 60 degrees from 3050 m down: half as deep as long. */
static struct survey_station slanted[] = {{3050 * METRE, 0, 0}, {3050 * METRE + 1, 60, 0}, {4000 * METRE, 60, 0}};

static struct depth place_checked(const struct hole *hole, const struct core *core, int64_t offset_um, enum scale scale)
{
    struct depth_links links = {0};
    const struct place place = {hole, core, 1, offset_um};
    const struct depth depth = place_depth(&place, scale, &links);
    const char *wrong = depth.why ? NULL : part_links_wrong(&links, depth);
    if (wrong)
        fail_msg("%s: links do not add up: %s", scale_words[scale], wrong);
    return depth;
}

/* 3050 m down, then half of what is drilled: 3100 m lie 3075 m deep, 50 m of them below the seafloor at 3025 m. */
static void vertical_depth_by_hand(void **state)
{
    (void)state;
    const struct correction it = survey_of(slanted, COUNT_OF(slanted));
    const struct correction *in_force[1];
    struct section sections[] = {part_section(1, 8 * METRE)};
    struct core core = part_core(3100 * METRE, 3110 * METRE, sections, 1);
    struct hole hole = part_hole(3025 * METRE);
    hole.tolerance_um = METRE;
    part_correct(&hole, &it, 1, in_force);
    struct depth depth = core_top_depth(&hole, &core, SCALE_TVD, NULL);
    assert_true(llabs(depth.um - 3075 * METRE) <= 2);
    assert_true(llabs(depth.um - depth.low_um - METRE / 2) <= 2 && llabs(depth.high_um - depth.um - METRE / 2) <= 2);
    assert_true(llabs(core_top_depth(&hole, &core, SCALE_TVDSF, NULL).um - 50 * METRE) <= 2);
    assert_true(llabs(core_bottom_depth(&hole, &core, SCALE_TVD).um - 3080 * METRE) <= 2);
    assert_true(llabs(core_bottom_depth(&hole, &core, SCALE_TVDSF).um - 55 * METRE) <= 2);
    depth = place_checked(&hole, &core, 4 * METRE, SCALE_TVD);
    assert_true(llabs(depth.um - 3077 * METRE) <= 2);
    assert_true(llabs(depth.high_um - depth.um - 1500000) <= 2); /* 2 m not recovered and 1 m of tolerance */
    assert_true(llabs(place_checked(&hole, &core, 4 * METRE, SCALE_TVDSF).um - 52 * METRE) <= 2);
    core.bottom_um = 3104 * METRE; /* 8 m onto 4: vertical depth goes by CSF-B */
    assert_true(llabs(place_checked(&hole, &core, 4 * METRE, SCALE_TVD).um - 3076 * METRE) <= 2);
    assert_string_equal(depth.method, "minimum curvature");
    depth = drilled_depth(&hole, 4100 * METRE, DATUM_RIG_FLOOR, part_time(-1), SCALE_TVD, NULL);
    assert_true(llabs(depth.um - 3575 * METRE) <= 2);
    assert_non_null(strstr(depth.method, "below the last station"));
    /* read below the seafloor, the same */
    depth = drilled_depth(&hole, 1075 * METRE, DATUM_SEAFLOOR, part_time(-1), SCALE_TVD, NULL);
    assert_true(llabs(depth.um - 3575 * METRE) <= 2);
}

/* In a vertical hole vertical depth is drilled depth, whatever was corrected: TVDSF is DSF, TVD is DRF. */
static void a_vertical_hole_says_nothing_new(void **state)
{
    (void)state;
    struct tide_height heights[] = {{part_time(0), 0}, {part_time(120), 1200000}};
    struct correction all[] = {survey_of(vertical, COUNT_OF(vertical)), part_correction(CORRECTION_TALLY, 2),
                               part_stretch(3), part_correction(CORRECTION_TIDE, 4),
                               part_correction(CORRECTION_SEAFLOOR, 5)};
    const struct correction *in_force[COUNT_OF(all)];
    struct section sections[] = {part_section(1, 8 * METRE)};
    struct core core = part_core(3100 * METRE, 3107 * METRE, sections, 1);
    struct hole hole = part_hole(3025 * METRE);
    core.on_deck = part_time(100);
    hole.seafloor_at = part_time(20);
    hole.tolerance_um = 400000;
    all[1].top_um = 3090 * METRE;
    all[1].amount_um = 9500000;
    all[3].heights = heights;
    all[3].height_count = COUNT_OF(heights);
    all[4].seafloor_um = 3021 * METRE;
    all[4].seafloor_by = SEAFLOOR_TAGGED;
    all[4].seafloor_at = part_time(30);
    for (size_t count = 1; count <= COUNT_OF(all); count++) {
        part_correct(&hole, all, count, in_force);
        struct depth dsf = core_top_depth(&hole, &core, SCALE_DSF, NULL);
        struct depth tvdsf = core_top_depth(&hole, &core, SCALE_TVDSF, NULL);
        assert_true(dsf.um == tvdsf.um && dsf.low_um == tvdsf.low_um && dsf.high_um == tvdsf.high_um);
        assert_int_equal(core_top_depth(&hole, &core, SCALE_DRF, NULL).um,
                         core_top_depth(&hole, &core, SCALE_TVD, NULL).um);
        dsf = place_checked(&hole, &core, 5 * METRE, SCALE_CSF_B);
        tvdsf = place_checked(&hole, &core, 5 * METRE, SCALE_TVDSF);
        assert_true(dsf.um == tvdsf.um && dsf.low_um == tvdsf.low_um && dsf.high_um == tvdsf.high_um);
        for (int64_t um = 3030 * METRE; um < 3200 * METRE; um += 17 * METRE)
            assert_int_equal(drilled_from_drf(&hole, um, (struct instant){0}, SCALE_DSF).um,
                             drilled_from_drf(&hole, um, (struct instant){0}, SCALE_TVDSF).um);
    }
}

/* The same where the seafloor was found anew for some cores, or from a time on. */
static void a_seafloor_of_some_cores_in_a_vertical_hole(void **state)
{
    (void)state;
    struct correction all[] = {survey_of(vertical, COUNT_OF(vertical)), part_correction(CORRECTION_SEAFLOOR, 2)};
    const struct correction *in_force[COUNT_OF(all)];
    struct section sections[] = {part_section(1, 8 * METRE)};
    struct core core = part_core(3100 * METRE, 3110 * METRE, sections, 1);
    struct hole hole = part_hole(3025 * METRE);
    core.on_deck = part_time(100);
    all[1].seafloor_um = 3021 * METRE;
    all[1].seafloor_by = SEAFLOOR_TAGGED;
    for (int by_time = 0; by_time < 2; by_time++) {
        all[1].first_core = by_time ? 0 : 3;
        all[1].from = part_time(by_time ? 50 : -1);
        part_correct(&hole, all, COUNT_OF(all), in_force);
        assert_int_equal(core_top_depth(&hole, &core, SCALE_DSF, NULL).um, 79 * METRE);
        assert_int_equal(core_top_depth(&hole, &core, SCALE_TVDSF, NULL).um, 79 * METRE);
        assert_int_equal(place_checked(&hole, &core, METRE, SCALE_TVDSF).um, 80 * METRE);
    }
}

/* One correction moves core and seafloor; the links say which is which. */
static void links_tell_core_and_seafloor_apart(void **state)
{
    (void)state;
    struct tide_height heights[] = {{part_time(0), 200000}, {part_time(120), 1200000}};
    struct correction all[] = {survey_of(vertical, COUNT_OF(vertical)), part_correction(CORRECTION_TIDE, 2),
                               part_correction(CORRECTION_TALLY, 3), part_stretch(4)};
    const struct correction *in_force[COUNT_OF(all)];
    static const enum scale scales[] = {SCALE_CSF_B, SCALE_TVD};
    struct section sections[] = {part_section(1, 8 * METRE)};
    struct core core = part_core(3100 * METRE, 3110 * METRE, sections, 1);
    struct hole hole = part_hole(3025 * METRE);
    core.on_deck = part_time(120);
    hole.seafloor_at = part_time(0);
    all[1].heights = heights;
    all[1].height_count = COUNT_OF(heights);
    all[2].amount_um = METRE;
    part_correct(&hole, all, COUNT_OF(all), in_force);
    for (size_t at = 0; at < COUNT_OF(scales); at++) {
        struct depth_links links = {0};
        const struct place place = {&hole, &core, 1, 0};
        int pairs = 0;
        assert_null(place_depth(&place, scales[at], &links).why);
        for (size_t first = 0; first < links.count; first++)
            for (size_t second = first + 1; second < links.count; second++) {
                const struct depth_link *a = &links.items[first];
                const struct depth_link *b = &links.items[second];
                if (!a->correction || a->correction != b->correction)
                    continue;
                pairs++;
                if (strcmp(a->rule, b->rule) == 0)
                    fail_msg("%s, %s: '%s' is said of %d um and of %d um", scale_words[scales[at]],
                             correction_words[a->correction->kind], a->rule, (int)a->amount_um, (int)b->amount_um);
            }
        assert_true(pairs >= 3 || scales[at] == SCALE_TVD); /* counted from the rig floor it needs no seafloor */
    }
}

/* The bottom of a run is as doubtful as its top. */
static void the_bottom_has_bounds_too(void **state)
{
    (void)state;
    const struct correction it = survey_of(vertical, COUNT_OF(vertical));
    const struct correction *in_force[1];
    const struct core core = part_core(3100 * METRE, 3110 * METRE, NULL, 0);
    struct hole hole = part_hole(3025 * METRE);
    hole.tolerance_um = 400000;
    part_correct(&hole, &it, 1, in_force);
    static const enum scale scales[] = {SCALE_DRF, SCALE_DSF, SCALE_TVD, SCALE_TVDSF};
    for (size_t at = 0; at < COUNT_OF(scales); at++) {
        const struct depth bottom = core_bottom_depth(&hole, &core, scales[at]);
        ROW(scale_words[scales[at]], bottom.um - bottom.low_um == 400000 && bottom.high_um - bottom.um == 400000);
    }
}

/* Below rig floor nothing hangs on the seafloor. */
static void vertical_depth_below_rig_floor_needs_no_seafloor(void **state)
{
    (void)state;
    const struct correction it = survey_of(vertical, COUNT_OF(vertical));
    const struct correction *in_force[1];
    struct section sections[] = {part_section(1, 8 * METRE)};
    const struct core core = part_core(3100 * METRE, 3110 * METRE, sections, 1);
    struct hole hole = part_hole(LENGTH_NONE);
    part_correct(&hole, &it, 1, in_force);
    assert_int_equal(core_top_depth(&hole, &core, SCALE_TVD, NULL).um, 3100 * METRE);
    const struct depth depth = core_top_depth(&hole, &core, SCALE_TVDSF, NULL);
    assert_true(depth.um == LENGTH_NONE && strstr(depth.why, "seafloor"));
    assert_int_equal(place_checked(&hole, &core, METRE, SCALE_TVD).um, 3101 * METRE);
}

static void there_and_back(void **state)
{
    (void)state;
    const struct correction it = survey_of(slanted, COUNT_OF(slanted));
    const struct correction *in_force[1];
    struct hole hole = part_hole(3025 * METRE);
    static const enum scale scales[] = {SCALE_DRF, SCALE_DSF, SCALE_TVD, SCALE_TVDSF};
    part_correct(&hole, &it, 1, in_force);
    for (size_t at = 0; at < COUNT_OF(scales); at++)
        for (int64_t um = 0; um < 5000 * METRE; um += 123456789) {
            const struct depth depth = drilled_from_drf(&hole, um, (struct instant){0}, scales[at]);
            assert_null(depth.why);
            assert_true(llabs(drilled_to_drf(&hole, depth.um, (struct instant){0}, scales[at]).um - um) <= 2);
        }
    struct depth depth = drilled_to_drf(&hole, 20000 * METRE, (struct instant){0}, SCALE_TVD);
    assert_true(depth.um == LENGTH_NONE && strstr(depth.why, "no such vertical depth"));
    depth = drilled_to_drf(&hole, -1, (struct instant){0}, SCALE_TVD);
    assert_true(depth.um == LENGTH_NONE && depth.why);
    depth = drilled_to_drf(&hole, -3025 * METRE, (struct instant){0}, SCALE_TVDSF); /* the rig floor */
    assert_int_equal(depth.um, 0);
    hole.correction_count = 0;
    assert_non_null(strstr(drilled_to_drf(&hole, METRE, (struct instant){0}, SCALE_TVD).why, "no survey"));
    assert_non_null(strstr(drilled_from_drf(&hole, METRE, (struct instant){0}, SCALE_TVDSF).why, "no survey"));
    hole.seafloor_um = LENGTH_NONE;
    assert_non_null(strstr(drilled_from_drf(&hole, METRE, (struct instant){0}, SCALE_DSF).why, "seafloor"));
    assert_non_null(strstr(drilled_to_drf(&hole, METRE, (struct instant){0}, SCALE_DSF).why, "seafloor"));
}

/* Where a hole stands still for a while (level), the first depth that is this deep. */
static void the_first_depth_of_a_level_hole(void **state)
{
    (void)state;
    struct survey_station level[] = {{1000 * METRE, 0, 0}, {1157079633, 90, 0}, {2000 * METRE, 90, 0}};
    const struct correction it = survey_of(level, COUNT_OF(level));
    const struct correction *in_force[1];
    struct hole hole = part_hole(500 * METRE);
    part_correct(&hole, &it, 1, in_force);
    const struct depth depth = drilled_from_drf(&hole, 1900 * METRE, (struct instant){0}, SCALE_TVD);
    assert_true(llabs(depth.um - 1100 * METRE) <= 1);
    const int64_t back_um = drilled_to_drf(&hole, depth.um, (struct instant){0}, SCALE_TVD).um;
    assert_true(back_um <= 1157079633 && back_um > 1157 * METRE);
    assert_int_equal(drilled_from_drf(&hole, back_um, (struct instant){0}, SCALE_TVD).um, depth.um);
}

/* Hole B leaves A at 3100 m. Above that the survey of A holds, and B goes on from there. */
static void a_sidetrack_follows_its_parent(void **state)
{
    (void)state;
    struct survey_station own[] = {{3100 * METRE, 60, 0}, {3200 * METRE, 60, 0}};
    const struct correction of_parent = survey_of(slanted, COUNT_OF(slanted));
    const struct correction of_side = survey_of(own, COUNT_OF(own));
    const struct correction *parent_in_force[1];
    const struct correction *side_in_force[1];
    struct hole parent = part_hole(3025 * METRE);
    struct hole side = part_hole(LENGTH_NONE);
    side.letter = "B";
    side.parent = "U0012A";
    side.kickoff_um = 3100 * METRE;
    side.parent_hole = &parent;
    part_correct(&parent, &of_parent, 1, parent_in_force);
    /* without a survey of its own: the parent's above the kickoff, then straight on as that lies there: 60 degrees, too
     */
    for (int64_t um = 2900 * METRE; um < 3300 * METRE; um += 7 * METRE)
        for (int scale = SCALE_TVD; scale <= SCALE_TVDSF; scale++)
            assert_true(llabs(drilled_from_drf(&side, um, (struct instant){0}, (enum scale)scale).um -
                              drilled_from_drf(&parent, um, (struct instant){0}, (enum scale)scale).um) <= 2);
    part_correct(&side, &of_side, 1, side_in_force);
    for (int64_t um = 2900 * METRE; um <= 3100 * METRE; um += 5 * METRE)
        assert_int_equal(drilled_from_drf(&side, um, (struct instant){0}, SCALE_TVD).um,
                         drilled_from_drf(&parent, um, (struct instant){0}, SCALE_TVD).um);
    assert_true(llabs(drilled_from_drf(&side, 3150 * METRE, (struct instant){0}, SCALE_TVD).um - 3100 * METRE) <= 2);
    assert_true(llabs(drilled_from_drf(&side, 3150 * METRE, (struct instant){0}, SCALE_TVDSF).um - 75 * METRE) <= 2);
    own[1].inclination_deg = 0; /* it turns down: deeper than the parent */
    assert_true(drilled_from_drf(&side, 3200 * METRE, (struct instant){0}, SCALE_TVD).um >
                drilled_from_drf(&parent, 3200 * METRE, (struct instant){0}, SCALE_TVD).um + 20 * METRE);
    own[0].depth_um = 3000 * METRE; /* a survey of the whole way takes the place of the parent's */
    assert_int_equal(drilled_from_drf(&side, 3000 * METRE, (struct instant){0}, SCALE_TVD).um, 3000 * METRE);
    assert_true(drilled_from_drf(&side, 3050 * METRE, (struct instant){0}, SCALE_TVD).um < 3045 * METRE);
    struct depth_links links = {0};
    const struct depth depth = drilled_depth(&side, 3060 * METRE, DATUM_RIG_FLOOR, part_time(-1), SCALE_TVDSF, &links);
    assert_null(part_links_wrong(&links, depth));
    assert_ptr_equal(links.items[1].hole, &side);
}

/* Hole B leaves A, 60 degrees steep, at 3050 m and is read for the first time at 3150 m, by then vertical. Between them
 * it is an arc that begins as A lies there: of 100 m and 60 degrees, R = 100 / (pi/3), dTVD = R sin 60 = 82.699 m. */
static void a_sidetrack_leaves_its_parent_at_the_kickoff(void **state)
{
    (void)state;
    struct survey_station steep[] = {{3000 * METRE, 60, 10}, {3300 * METRE, 60, 10}};
    struct survey_station own[] = {{3150 * METRE, 0, 10}, {3250 * METRE, 0, 10}};
    const struct correction surveys[] = {survey_of(steep, COUNT_OF(steep)), survey_of(own, COUNT_OF(own))};
    const struct correction *in_force[COUNT_OF(surveys)];
    struct hole parent = part_hole(2900 * METRE);
    struct hole side = part_hole(LENGTH_NONE);
    side.parent_hole = &parent;
    side.kickoff_um = 3050 * METRE;
    part_correct(&parent, &surveys[0], 1, &in_force[0]);
    part_correct(&side, &surveys[1], 1, &in_force[1]);
    assert_true(llabs(drilled_from_drf(&side, 3050 * METRE, (struct instant){0}, SCALE_TVD).um - 3025 * METRE) <= 1);
    assert_true(
        llabs(drilled_from_drf(&side, 3050 * METRE + 100, (struct instant){0}, SCALE_TVD).um - 3025 * METRE - 50) <= 1);
    assert_true(llabs(drilled_from_drf(&side, 3150 * METRE, (struct instant){0}, SCALE_TVD).um - 3025 * METRE -
                      82699334) <= 1000);
    assert_true(llabs(drilled_from_drf(&side, 3200 * METRE, (struct instant){0}, SCALE_TVD).um - 3075 * METRE -
                      82699334) <= 1000);
    assert_true(llabs(drilled_from_drf(&parent, 3150 * METRE, (struct instant){0}, SCALE_TVD).um - 3075 * METRE) <= 1);
    /* a sidetrack of that one leaves it half way down the arc, where it is 30 degrees steep, and is not surveyed */
    struct hole third = part_hole(LENGTH_NONE);
    third.parent_hole = &side;
    third.kickoff_um = 3100 * METRE;
    const int64_t left_um = drilled_from_drf(&side, 3100 * METRE, (struct instant){0}, SCALE_TVD).um;
    assert_true(llabs(drilled_from_drf(&third, 3100 * METRE, (struct instant){0}, SCALE_TVD).um - left_um) <= 1);
    assert_true(llabs(drilled_from_drf(&third, 3200 * METRE, (struct instant){0}, SCALE_TVD).um - left_um - 86602540) <=
                2);
}

/* C leaves B, B leaves A: B goes on from where A ends, and C, without a survey of its own, lies where B lies. */
static void a_sidetrack_of_a_sidetrack(void **state)
{
    (void)state;
    struct survey_station of_b[] = {{3100 * METRE, 60, 0}, {3200 * METRE, 60, 0}};
    struct survey_station of_c[] = {{3150 * METRE, 60, 0}, {3250 * METRE, 60, 0}};
    const struct correction surveys[] = {survey_of(slanted, COUNT_OF(slanted)), survey_of(of_b, COUNT_OF(of_b)),
                                         survey_of(of_c, COUNT_OF(of_c))};
    const struct correction *in_force[COUNT_OF(surveys)];
    struct hole holes[] = {part_hole(3025 * METRE), part_hole(LENGTH_NONE), part_hole(LENGTH_NONE)};
    for (size_t at = 0; at < COUNT_OF(holes); at++) {
        holes[at].parent_hole = at ? &holes[at - 1] : NULL;
        part_correct(&holes[at], &surveys[at], 1, &in_force[at]);
    }
    for (int64_t um = 2900 * METRE; um <= 3300 * METRE; um += 50 * METRE)
        for (size_t at = 1; at < COUNT_OF(holes); at++) /* all at 60 degrees, so all alike */
            assert_true(llabs(drilled_from_drf(&holes[at], um, (struct instant){0}, SCALE_TVD).um -
                              drilled_from_drf(&holes[0], um, (struct instant){0}, SCALE_TVD).um) <= 2);
    holes[2].correction_count = 0;
    for (int64_t um = 2900 * METRE; um <= 3300 * METRE; um += 50 * METRE)
        assert_int_equal(drilled_from_drf(&holes[2], um, (struct instant){0}, SCALE_TVD).um,
                         drilled_from_drf(&holes[1], um, (struct instant){0}, SCALE_TVD).um);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(vertical_depth_by_hand),
        cmocka_unit_test(a_vertical_hole_says_nothing_new),
        cmocka_unit_test(a_seafloor_of_some_cores_in_a_vertical_hole),
        cmocka_unit_test(links_tell_core_and_seafloor_apart),
        cmocka_unit_test(the_bottom_has_bounds_too),
        cmocka_unit_test(vertical_depth_below_rig_floor_needs_no_seafloor),
        cmocka_unit_test(there_and_back),
        cmocka_unit_test(the_first_depth_of_a_level_hole),
        cmocka_unit_test(a_sidetrack_follows_its_parent),
        cmocka_unit_test(a_sidetrack_leaves_its_parent_at_the_kickoff),
        cmocka_unit_test(a_sidetrack_of_a_sidetrack),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
