/* SPDX-License-Identifier: MIT */
/* Recovery of a hole, and how deep it went. */
#include "rooms/scene.h"

#include "coretally/ask/recovery.h"

static const struct recovery_asked everything = {.range = {INT64_MIN, INT64_MAX}};

static enum status tally(struct room *room, const struct recovery_asked *asked, struct target *target,
                         struct recovery_tally *out)
{
    *out = (struct recovery_tally){.core_count = 0};
    *target = (struct target){.has_samples = false};
    room_ok(room, resolve(room->state, "U0012A", NAME_HOLE, NAME_HOLE, target, &room->err));
    return recovery_of_hole(room->state, target, asked, out, &room->err);
}

static void cores_types_and_total_add_up(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct recovery_tally it;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/cores/0003.json",
                     "'hole':'U0012A','number':3,'type':'X','top_m':3040.4,'bottom_m':3050.4,'datum':'rig-floor',"
                     "'recovered_m':2");
    (void)room_write(room, "holes/U0012A/cores/0004.json",
                     "'hole':'U0012A','number':4,'type':'X','top_m':3050.4,'bottom_m':3060.4,'datum':'rig-floor',"
                     "'recovered_m':2,'withdrawn':'entered twice','version':2");
    room_ok(room, tally(room, &everything, &target, &it));
    assert_int_equal(it.core_count, 3); /* a withdrawn core is none */
    assert_int_equal(it.cores[2].core.number, 3);
    assert_int_equal(it.cores[2].own.recovered_um, 2000000);
    assert_int_equal(it.total.cores, 3);
    assert_int_equal(it.total.advance_um, 29000000);
    assert_int_equal(it.total.recovered_um, 14500000);
    assert_int_equal(it.by_type['H' - 'A'].cores, 2);
    assert_int_equal(it.by_type['X' - 'A'].advance_um, 10000000);
    assert_int_equal(it.runs.count, 3);
}

static void what_is_not_counted_has_what_is_known(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct recovery_tally it;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/cores/0003.json",
                     "'hole':'U0012A','number':3,'type':'W','top_m':3040.4,'bottom_m':3050.4,'datum':'rig-floor',"
                     "'recovered_m':2");
    room_ok(room, tally(room, &everything, &target, &it));
    assert_int_equal(it.total.cores, 2);
    assert_int_equal(it.cores[2].own.wide, 1);
    assert_int_equal(it.cores[2].own.advance_um, 10000000);
    assert_int_equal(it.cores[2].own.recovered_um, 2000000);
}

static void a_range_takes_cores_by_their_top(void **state)
{
    struct room *const room = *state;
    const struct recovery_asked upper = {.has_range = true, .range = {0, 9500000}};
    const struct recovery_asked lower = {.has_range = true, .range = {9500000, 18000000}};
    struct target target;
    struct recovery_tally it;
    room_fill(room);
    room_ok(room, tally(room, &upper, &target, &it));
    assert_int_equal(it.core_count, 1);
    assert_int_equal(it.cores[0].core.number, 1);
    assert_int_equal(it.straddlers, 0);
    room_ok(room, tally(room, &lower, &target, &it));
    assert_int_equal(it.core_count, 1);
    assert_int_equal(it.cores[0].core.number, 2);
    assert_int_equal(it.straddlers, 1); /* it ends at 19 m */
    assert_int_equal(it.runs.count, 2); /* penetration is that of the hole */
    (void)room_write(room, "holes/U0012A/hole.json", "'site':'U0012','letter':'A','returns':'seafloor','version':2");
    room_refused(room, tally(room, &lower, &target, &it), STATUS_RULE, "no range below seafloor can be taken");
}

static void penetration_begins_at_the_seafloor_and_counts_what_was_drilled(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct recovery_tally it;
    struct penetrated deep;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/drilled.json",
                     "'hole':'U0012A','intervals':[{'number':1,'top_m':3050,'bottom_m':3060,'datum':'rig-floor'}]");
    room_ok(room, tally(room, &everything, &target, &it));
    room_ok(room, penetrated_find(room->state, &target.hole, &it.runs, &everything.range, &deep, &room->err));
    assert_true(deep.is_known);
    assert_int_equal(deep.scale, SCALE_DSF);
    assert_int_equal(deep.from, FROM_SEAFLOOR);
    assert_int_equal(deep.sum.bottom_um - deep.sum.top_um, 38600000);
    assert_int_equal(deep.sum.uncored_um, 10000000);
    assert_int_equal(deep.sum.unrecorded_um, 9600000);
    assert_int_equal(deep.sum.gap_count, 1);
    assert_int_equal(deep.opened_um, 0);
    (void)room_write(room, "holes/U0012A/corrections/0001.json",
                     "'hole':'U0012A','number':1,'what':'tally','top_m':3045,'amount_m':0.5,'reason':'pup joint'");
    room_ok(room, tally(room, &everything, &target, &it));
    room_ok(room, penetrated_find(room->state, &target.hole, &it.runs, &everything.range, &deep, &room->err));
    assert_int_equal(deep.opened_um, 500000); /* nobody drilled it */
    room_ok(room, penetrated_find(room->state, &target.hole, &it.runs, &(struct depth_range){0, 19000000}, &deep,
                                  &room->err));
    assert_int_equal(deep.sum.cored_um, 19000000);
    assert_int_equal(deep.opened_um, 0); /* told of the whole hole alone */
}

static void without_a_seafloor_it_begins_with_the_first_record(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct recovery_tally it;
    struct penetrated deep;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/hole.json", "'site':'U0012','letter':'A','returns':'seafloor','version':2");
    room_ok(room, tally(room, &everything, &target, &it));
    room_ok(room, penetrated_find(room->state, &target.hole, &it.runs, &everything.range, &deep, &room->err));
    assert_true(deep.is_known);
    assert_int_equal(deep.scale, SCALE_DRF);
    assert_int_equal(deep.from, FROM_FIRST_RECORD);
    assert_int_equal(deep.sum.bottom_um - deep.sum.top_um, 19000000);
    room_ok(room, penetrated_find(room->state, &target.hole, &it.runs, &(struct depth_range){0, 19000000}, &deep,
                                  &room->err));
    assert_false(deep.is_known); /* a range is below seafloor */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(cores_types_and_total_add_up, room_open, room_close),
        cmocka_unit_test_setup_teardown(what_is_not_counted_has_what_is_known, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_range_takes_cores_by_their_top, room_open, room_close),
        cmocka_unit_test_setup_teardown(penetration_begins_at_the_seafloor_and_counts_what_was_drilled, room_open,
                                        room_close),
        cmocka_unit_test_setup_teardown(without_a_seafloor_it_begins_with_the_first_record, room_open, room_close),
    };
    return cmocka_run_group_tests_name("recovery", tests, NULL, NULL);
}
