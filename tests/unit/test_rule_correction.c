/* SPDX-License-Identifier: MIT */
/* The rules of corrections, of what they move, of splices and sidetracks; each provoked, each silent at its limit. */
#include "rule_cases.h"

#include "coretally/domain/reach.h"
#include "correction_parts.h"

/* A second correction of a kind beside one of 9.62 m from 3100 m down, of a hole whose seafloor is at 3000 m. */
static void beside(struct correction it, struct findings *findings)
{
    const struct hole hole = part_hole(3000 * METRE);
    struct correction first = part_correction(CORRECTION_TALLY, 1);
    first.amount_um = 9620000;
    first.top_um = 3100 * METRE;
    const struct correction *const in_force[] = {&first, &it};
    it.number = 2;
    correction_check(&it, in_force, 2, &hole, findings);
}

static struct correction tally_of(int64_t amount_um, int64_t top_um)
{
    struct correction it = part_correction(CORRECTION_TALLY, 2);
    it.amount_um = amount_um;
    it.top_um = top_um;
    return it;
}

static void same_range(struct findings *findings)
{
    beside(tally_of(9500000, 3100 * METRE), findings);
}

static void further_down(struct findings *findings)
{
    beside(tally_of(9500000, 3200 * METRE), findings);
}

static void another_kind(struct findings *findings)
{
    struct correction it = part_correction(CORRECTION_SHIFT, 2);
    it.core = 3;
    it.amount_um = METRE;
    beside(it, findings);
}

static void more_than_a_stand(struct findings *findings)
{
    beside(tally_of(-50000001, 3200 * METRE), findings);
}

static void as_much_as_a_stand(struct findings *findings)
{
    beside(tally_of(-50000000, 3200 * METRE), findings);
}

static void stretch_of_rise(double rise_k, struct findings *findings)
{
    struct correction it = part_correction(CORRECTION_STRETCH, 2);
    it.stretch = STRETCH_HEAT;
    it.expansion_um_m_k = 10;
    it.rise_k = rise_k;
    beside(it, findings);
}

static void stretch_of_more_than_9_m(struct findings *findings)
{
    stretch_of_rise(300.001, findings);
}

static void stretch_of_9_m(struct findings *findings)
{
    stretch_of_rise(-300, findings);
}

static struct correction seafloor_of(int64_t um)
{
    struct correction it = part_correction(CORRECTION_SEAFLOOR, 2);
    it.seafloor_um = um;
    it.seafloor_by = SEAFLOOR_TAGGED;
    return it;
}

static void seafloor_elsewhere(struct findings *findings)
{
    beside(seafloor_of(3050 * METRE + 1), findings);
}

static void seafloor_near(struct findings *findings)
{
    beside(seafloor_of(3050 * METRE), findings);
}

static void seafloor_never_read(struct findings *findings)
{
    const struct hole hole = part_hole(LENGTH_NONE);
    const struct correction it = seafloor_of(3000 * METRE);
    const struct correction *const in_force[] = {&it};
    correction_check(&it, in_force, 1, &hole, findings);
}

/* One core before and after. */
static void reach_one(int64_t before_um, int64_t after_um, size_t upsets, struct findings *findings)
{
    struct reach reach = reach_of_kind(CORRECTION_TALLY);
    const struct depth before = {.um = before_um};
    const struct depth after = {.um = after_um, .why = after_um == LENGTH_NONE ? "the tide is not known" : NULL};
    reach_add(&reach, REACH_CORES, &before, &after, 1);
    for (size_t at = 0; at < upsets; at++)
        reach.upsets[reach.upset_count++] = 7;
    reach_check(&reach, "U0012A", findings);
}

static void nothing_moves(struct findings *findings)
{
    reach_one(METRE, METRE, 0, findings);
}

static void a_micrometre(struct findings *findings)
{
    reach_one(METRE, METRE + 1, 0, findings);
}

static void order_is_upset(struct findings *findings)
{
    reach_one(METRE, 2 * METRE, 2, findings);
}

static void cores_above_the_seafloor(struct findings *findings)
{
    struct reach reach = reach_of_kind(CORRECTION_SEAFLOOR);
    reach.above_count = 2;
    reach.above = 4;
    reach_check(&reach, "U0012A", findings);
}

static void a_depth_is_lost(struct findings *findings)
{
    reach_one(METRE, LENGTH_NONE, 0, findings);
}

static void a_depth_is_found(struct findings *findings)
{
    reach_one(LENGTH_NONE, METRE, 0, findings);
}

static void joint_at(int64_t top_um, struct findings *findings)
{
    const struct splice_joint joints[] = {{1, "U0012A-1H-1", 0, 10 * METRE}, {2, "U0012B-2H-3", top_um, 20 * METRE}};
    splice_joints_check(joints, 2, findings);
}

static void joint_apart(struct findings *findings)
{
    joint_at(10 * METRE + 1001, findings);
}

static void joint_over(struct findings *findings)
{
    joint_at(10 * METRE - 1001, findings);
}

static void joint_within_a_millimetre(struct findings *findings)
{
    joint_at(10 * METRE + 1000, findings);
}

static void joint_over_by_a_millimetre(struct findings *findings)
{
    joint_at(10 * METRE - 1000, findings);
}

static void two_ties_apart(struct findings *findings)
{
    ties_apart_check(2, "2H-1, 20 cm and U0012B-1H-CC, 10 cm lie 1.514 m apart", findings);
}

static void no_tie_apart(struct findings *findings)
{
    ties_apart_check(0, "", findings);
}

static void sidetrack(const char *parent, int64_t kickoff_um, struct findings *findings)
{
    struct hole hole = part_hole(3000 * METRE);
    hole.parent = parent;
    hole.kickoff_um = kickoff_um;
    hole_check(&hole, findings);
}

static void parent_alone(struct findings *findings)
{
    sidetrack("U0013A", LENGTH_NONE, findings);
}

static void survey_that_points(double inclination_deg, struct findings *findings)
{
    struct survey_station stations[] = {{3100 * METRE, 20, 0}, {3200 * METRE, inclination_deg, 0}};
    struct correction it = part_correction(CORRECTION_SURVEY, 2);
    it.stations = stations;
    it.station_count = 2;
    beside(it, findings);
}

static void steeply_up(struct findings *findings)
{
    survey_that_points(120.1, findings);
}

static void up_along_a_layer(struct findings *findings)
{
    survey_that_points(120, findings);
}

static void kickoff_alone(struct findings *findings)
{
    sidetrack(NULL, 3100 * METRE, findings);
}

static void parent_and_kickoff(struct findings *findings)
{
    sidetrack("U0013A", 3100 * METRE, findings);
}

static void core_of_sidetrack(int64_t top_um, struct findings *findings)
{
    struct hole hole = part_hole(3000 * METRE);
    const struct core core = part_core(top_um, top_um + 9 * METRE, NULL, 0);
    const struct core_neighbours around = {0};
    hole.parent = "U0013A";
    hole.kickoff_um = 3100 * METRE;
    core_check(&hole, &core, &around, findings);
}

static void core_above_the_kickoff(struct findings *findings)
{
    core_of_sidetrack(3100 * METRE - 50001, findings);
}

static void core_at_the_kickoff(struct findings *findings)
{
    core_of_sidetrack(3100 * METRE - 50000, findings);
}

const struct rule_case correction_cases[] = {
    {RULE_CORRECTION_TWICE, false, "same kind, same range", same_range, "--supersedes 1"},
    {RULE_CORRECTION_TWICE, true, "another range", further_down, NULL},
    {RULE_CORRECTION_TWICE, true, "another kind", another_kind, NULL},
    {RULE_CORRECTION_ADDS, false, "another range adds", further_down, "correction 1, 9.620 m"},
    {RULE_CORRECTION_ADDS, true, "same range does not add", same_range, NULL},
    {RULE_CORRECTION_FAR, false, "more than 50 m", more_than_a_stand, "by 50.000 m"},
    {RULE_CORRECTION_FAR, true, "50 m", as_much_as_a_stand, NULL},
    {RULE_CORRECTION_FAR, false, "seafloor elsewhere", seafloor_elsewhere, "--sure"},
    {RULE_CORRECTION_FAR, true, "seafloor near", seafloor_near, NULL},
    {RULE_CORRECTION_FAR, false, "stretch of more than 9 m", stretch_of_more_than_9_m, "3000 m of pipe"},
    {RULE_CORRECTION_FAR, true, "stretch of 9 m", stretch_of_9_m, NULL},
    {RULE_CORRECTION_FAR, false, "steeply up", steeply_up, "120.1 degrees at 3200.000 m"},
    {RULE_CORRECTION_FAR, true, "up along a layer", up_along_a_layer, NULL},
    {RULE_ABOVE_SEAFLOOR, false, "cores above the seafloor", cores_above_the_seafloor,
     "core 4 would lie more than 3 m above"},
    {RULE_ABOVE_SEAFLOOR, true, "no core above the seafloor", order_is_upset, NULL},
    {RULE_SEAFLOOR_METHOD, false, "seafloor never read", seafloor_never_read, "hole amend"},
    {RULE_SEAFLOOR_METHOD, true, "seafloor read before", seafloor_near, NULL},
    {RULE_CORRECTION_IDLE, false, "nothing moves", nothing_moves, "hole U0012A"},
    {RULE_CORRECTION_IDLE, true, "a micrometre", a_micrometre, NULL},
    {RULE_CORRECTION_IDLE, true, "a depth is found", a_depth_is_found, NULL},
    {RULE_CORRECTION_ORDER, false, "order upset", order_is_upset, "core 7 would lie above the core before it, and so"},
    {RULE_CORRECTION_ORDER, true, "order kept", a_micrometre, NULL},
    {RULE_CORRECTION_LOST, false, "a depth is lost", a_depth_is_lost, "1 would be left without a depth: the tide"},
    {RULE_CORRECTION_LOST, true, "a depth is found, none lost", a_depth_is_found, NULL},
    {RULE_SPLICE_GAP, false, "joint apart", joint_apart, "a gap of 0.001 m"},
    {RULE_SPLICE_GAP, true, "joint within a millimetre", joint_within_a_millimetre, NULL},
    {RULE_SPLICE_OVERLAP, false, "joint over", joint_over, "U0012B-2H-3"},
    {RULE_SPLICE_OVERLAP, true, "joint over by a millimetre", joint_over_by_a_millimetre, NULL},
    {RULE_TIES_APART, false, "two ties apart", two_ties_apart, "2 ties of the composite do not meet: 2H-1"},
    {RULE_TIES_APART, true, "no tie apart", no_tie_apart, NULL},
    {RULE_KICKOFF, false, "parent alone", parent_alone, "from U0013A is missing"},
    {RULE_KICKOFF, false, "kickoff alone", kickoff_alone, "needs the hole that it leaves"},
    {RULE_KICKOFF, true, "parent and kickoff", parent_and_kickoff, NULL},
    {RULE_ABOVE_KICKOFF, false, "core above the kickoff", core_above_the_kickoff, "there it is hole U0013A"},
    {RULE_ABOVE_KICKOFF, true, "core at the kickoff", core_at_the_kickoff, NULL},
    {.situation = NULL},
};

static void rules_are_provoked(void **state)
{
    (void)state;
    run_rule_cases(correction_cases);
}

/* Least, greatest, mean and counts, moved one by one and many at once. */
static void what_moves_is_added_up(void **state)
{
    (void)state;
    struct reach reach = reach_of_kind(CORRECTION_READING);
    const struct depth at[] = {{.um = 0}, {.um = 2 * METRE}, {.um = -METRE}, {.um = LENGTH_NONE, .why = "why"}};
    assert_true(reach_is_empty(&reach));
    reach_add(&reach, REACH_SAMPLES, &at[0], &at[1], 3);
    reach_add(&reach, REACH_SAMPLES, &at[0], &at[2], 1);
    reach_add(&reach, REACH_SAMPLES, &at[1], &at[1], 5);
    reach_add(&reach, REACH_SAMPLES, &at[1], &at[3], 2);
    reach_add(&reach, REACH_SAMPLES, &at[3], &at[1], 4);
    reach_add(&reach, REACH_SAMPLES, &at[3], &at[3], 8);
    const struct reach_count *count = &reach.counts[REACH_SAMPLES];
    assert_int_equal(count->moved, 4);
    assert_int_equal(count->lost, 2);
    assert_int_equal(count->found, 4);
    assert_int_equal(count->least_um, -METRE);
    assert_int_equal(count->greatest_um, 2 * METRE);
    assert_true(count->sum_m == 5);
    assert_string_equal(reach.why, "why");
    assert_int_equal(reach.counts[REACH_SECTIONS].moved, 0);
    assert_int_equal(reach.scale, SCALE_CSF_B);
    assert_false(reach_is_empty(&reach) || reach.has_bags);
    assert_true(reach_of_kind(CORRECTION_TIDE).has_bags && reach_of_kind(CORRECTION_SEAFLOOR).has_bags);
    assert_false(reach_of_kind(CORRECTION_SHIFT).has_bags || reach_of_kind(CORRECTION_COMPOSITE).has_bags);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(rules_are_provoked), cmocka_unit_test(what_moves_is_added_up)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
