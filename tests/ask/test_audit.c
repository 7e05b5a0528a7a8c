/* SPDX-License-Identifier: MIT */
/* What an audit tells of its holes; who signed; what is kept although a rule doubts it. */
#include "rooms/scene.h"

#include "coretally/ask/audit.h"
#include "coretally/ask/kept.h"

#define M INT64_C(1000000)

/* Corrections 1 to 3: a pup joint below the first core, withdrawn; the same counted right; the second core shifted. */
static void fill(struct room *room)
{
    room_fill(room);
    (void)room_write(room, "holes/U0012A/corrections/0001.json",
                     "'hole':'U0012A','number':1,'what':'tally','top_m':3030,'amount_m':0.4,'reason':'pup joint'");
    (void)room_write(room, "holes/U0012A/corrections/0002.json",
                     "'hole':'U0012A','number':2,'what':'tally','top_m':3030,'amount_m':0.5,'reason':'measured',"
                     "'evidence':'tally sheet 14','supersedes':'1'");
    (void)room_write(room, "holes/U0012A/corrections/0003.json",
                     "'hole':'U0012A','number':3,'what':'shift','core':2,'amount_m':-0.2,'reason':'core fell'");
}

static void audit(struct room *room, const char *hole, struct audit_holes *out)
{
    const struct names names = {.items = &hole, .count = 1};
    room_ok(room, audit_find(room->state, &names, out, &room->err));
    assert_int_equal(out->count, 1);
}

/* The correction of a number. */
static const struct correction_facts *find(const struct audit_holes *all, int32_t number)
{
    for (size_t at = 0; at < all->items[0].correction_count; at++)
        if (all->items[0].corrections[at].it->number == number)
            return &all->items[0].corrections[at];
    return NULL;
}

static void those_in_force_come_first(void **state)
{
    struct room *const room = *state;
    struct audit_holes all;
    fill(room);
    audit(room, "U0012A", &all);
    const struct audit_hole *hole = &all.items[0];
    assert_int_equal(hole->correction_count, 3);
    assert_int_equal(hole->corrections[0].it->number, 2);
    assert_int_equal(hole->corrections[1].it->number, 3);
    assert_int_equal(hole->corrections[2].it->number, 1);
    assert_false(hole->corrections[2].in_force);
    assert_int_equal(hole->corrections[2].part_count, 0);
    assert_int_equal(correction_successor(&hole->roll, hole->corrections[2].it)->number, 2);
}

static void each_moves_its_own_and_all_move_together(void **state)
{
    struct room *const room = *state;
    struct audit_holes all;
    fill(room);
    audit(room, "U0012A", &all);
    const struct correction_facts *tally = find(&all, 2);
    const struct correction_facts *shift = find(&all, 3);
    assert_int_equal(tally->part_count, 2); /* told against what it took the place of, and against none */
    const struct reach_part *part = all.parts.items[tally->first_part];
    const struct reach_count *cores = &part->reach.counts[REACH_CORES];
    assert_string_equal(part->against, "correction 1");
    assert_int_equal(cores->moved, 1);
    assert_int_equal(cores->least_um, 100000); /* 0.5 - 0.4 */
    part = all.parts.items[tally->first_part + 1];
    cores = &part->reach.counts[REACH_CORES];
    assert_string_equal(part->against, "none");
    assert_int_equal(cores->moved, 1);
    assert_int_equal(cores->least_um, 500000);
    assert_int_equal(shift->part_count, 1);
    cores = &all.parts.items[shift->first_part]->reach.counts[REACH_CORES];
    assert_int_equal(cores->moved, 1);
    assert_int_equal(cores->greatest_um, -200000);
    cores = &all.items[0].together->reach.counts[REACH_CORES];
    assert_int_equal(cores->moved, 1);
    assert_int_equal(cores->least_um, 300000);
}

static void cores_are_grouped_by_their_shift_and_the_most_moved_named(void **state)
{
    struct room *const room = *state;
    struct audit_holes all;
    fill(room);
    (void)room_write(room, "holes/U0012A/cores/0003.json",
                     "'hole':'U0012A','number':3,'type':'X','top_m':3040.4,'bottom_m':3050.4,'datum':'rig-floor',"
                     "'sections':[{'section':'1','curated_m':1}]");
    (void)room_write(room, "holes/U0012A/cores/0004.json",
                     "'hole':'U0012A','number':4,'type':'X','top_m':3050.4,'bottom_m':3060.4,'datum':'rig-floor'");
    const char *reading = room_write(room, "holes/U0012A/cores/0003.json",
                                     "'hole':'U0012A','number':3,'type':'X','top_m':3040.5,'bottom_m':3050.4,"
                                     "'datum':'rig-floor','sections':[{'section':'1','curated_m':1}],'version':2");
    (void)room_write(room, "holes/U0012A/cores/0003.json",
                     "'hole':'U0012A','number':3,'type':'X','top_m':3040.5,'bottom_m':3050.4,'recovered_m':1,"
                     "'datum':'rig-floor','sections':[{'section':'1','curated_m':1}],'version':3");
    (void)room_write(room, "holes/U0012A/cores/0003.samples.json",
                     "'hole':'U0012A','core':3,'samples':[{'section':'1','half':'W','top_m':0.1,'bottom_m':0.2},"
                     "{'section':'1','half':'W','top_m':0.3,'bottom_m':0.4,'withdrawn':'spilled','version':2}]");
    audit(room, "U0012A", &all);
    const struct audit_hole *hole = &all.items[0];
    assert_int_equal(hole->scale, SCALE_DSF);
    assert_int_equal(hole->core_count, 4);
    assert_int_equal(hole->cores[1].top_um, 9500000); /* as reported */
    assert_int_equal(hole->cores[1].shift_um, 300000);
    assert_int_equal(hole->group_count, 3);
    assert_int_equal(hole->groups[2].first, 2);
    assert_int_equal(hole->groups[2].count, 2);
    assert_int_equal(hole->most_count, 3); /* the first did not move */
    assert_int_equal(hole->most[0].core->core.number, 3);
    assert_int_equal(hole->most[1].core->core.number, 4);
    assert_int_equal(hole->most[2].core->core.number, 2);
    assert_int_equal(hole->most[0].samples, 1);
    assert_string_equal(hole->most[0].reading.id, reading); /* the later act left its top alone */
}

static void the_seafloor_has_its_act_and_its_correction(void **state)
{
    struct room *const room = *state;
    struct audit_holes all;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/corrections/0001.json",
                     "'hole':'U0012A','number':1,'what':'seafloor','seafloor_m':3021,'seafloor_by':'camera',"
                     "'reason':'seen'");
    audit(room, "U0012A", &all);
    const struct audit_seafloor *it = &all.items[0].seafloor;
    assert_ptr_equal(it->of, &all.items[0].roll.target.hole);
    assert_int_equal(it->um, 3021400000);
    assert_int_equal(it->corrected_um, 3021000000);
    assert_int_equal(strlen(it->source.id), 40);
    (void)room_write(room, "holes/U0012A/corrections/0001.json", NULL);
    (void)room_write(room, "holes/U0012A/hole.json", "'site':'U0012','letter':'A','returns':'seafloor','version':2");
    audit(room, "U0012A", &all);
    assert_int_equal(all.items[0].seafloor.um, LENGTH_NONE);
    assert_int_equal(all.items[0].scale, SCALE_DRF);
}

static void several_holes_are_found_in_their_order(void **state)
{
    struct room *const room = *state;
    const char *const typed[] = {"U0013A", "U0012A"};
    const struct names names = {.items = (const char **)typed, .count = 2};
    struct audit_holes all;
    fill(room);
    room_ok(room, audit_find(room->state, &names, &all, &room->err));
    assert_int_equal(all.count, 2);
    assert_string_equal(all.items[0].roll.target.hole_name, "U0013A");
    assert_int_equal(all.items[0].core_count, 0);
    assert_int_equal(all.items[1].together->reach.counts[REACH_CORES].moved, 1);
    const char *const absent[] = {"U0099A"};
    const struct names wrong = {.items = (const char **)absent, .count = 1};
    room_refused(room, audit_find(room->state, &wrong, &all, &room->err), STATUS_UNKNOWN, "");
}

/* --- signatures, and what is open --- */

/* Signed by somebody; the hash is that of the correction's file as it stands. */
static void sign(struct room *room, const char *name, const char *mail)
{
    char fields[512];
    char hash[HASH_TEXT_MAX];
    room_ok(room, store_id(room->state->store, "holes/U0012A/corrections/0002.json", hash, &room->err));
    (void)snprintf(fields, sizeof fields,
                   "'hole':'U0012A','number':2,'signatures':[{'name':'%s','mail':'%s','time':'2026-03-01T05:00:00Z',"
                   "'record':'%s'}]",
                   name, mail, hash);
    (void)room_write(room, "holes/U0012A/corrections/0002.signed.json", fields);
}

static void a_correction_waits_until_somebody_signs_it_as_it_is(void **state)
{
    struct room *const room = *state;
    const struct act act = scene_act("");
    struct audit_holes all;
    struct audit_open open;
    fill(room);
    audit(room, "U0012A", &all);
    assert_true(audit_is_open(find(&all, 2), &open));
    assert_true(open.is_unsigned && !open.was_signed && !open.is_bare);
    assert_true(audit_is_open(find(&all, 3), &open));
    assert_true(open.is_unsigned && open.is_bare);     /* no evidence either */
    assert_false(audit_is_open(find(&all, 1), &open)); /* it is not in force */
    sign(room, act.actor.name, act.actor.mail);
    audit(room, "U0012A", &all);
    assert_int_equal(find(&all, 2)->by.standing, 1);
    assert_false(audit_is_open(find(&all, 2), &open));
    (void)room_write(room, "holes/U0012A/corrections/0002.json",
                     "'hole':'U0012A','number':2,'what':'tally','top_m':3030,'amount_m':0.5,'reason':'measured',"
                     "'evidence':'tally sheet 15','supersedes':'1','version':2");
    audit(room, "U0012A", &all);
    assert_int_equal(find(&all, 2)->by.count, 1);
    assert_false(find(&all, 2)->by.items[0].is_same);
    assert_true(audit_is_open(find(&all, 2), &open));
    assert_true(open.was_signed);
    assert_int_not_equal(strcmp(find(&all, 2)->first.id, find(&all, 2)->commit.id), 0);
}

static void a_signature_in_another_name_does_not_stand(void **state)
{
    struct room *const room = *state;
    struct audit_holes all;
    fill(room);
    sign(room, "Somebody Else", "else@ship.example");
    audit(room, "U0012A", &all);
    assert_int_equal(find(&all, 2)->by.count, 1);
    assert_false(find(&all, 2)->by.items[0].is_theirs);
    assert_true(find(&all, 2)->by.items[0].is_same);
    assert_int_equal(find(&all, 2)->by.standing, 0);
}

static void the_list_has_what_is_asked_for(void **state)
{
    struct room *const room = *state;
    const struct act act = scene_act("");
    const struct corrections_asked plain = {.with_reach = false};
    const struct corrections_asked unsigned_only = {.unsigned_only = true, .with_reach = true};
    struct correction_roll roll = {.count = 0};
    struct corrections list;
    fill(room);
    sign(room, act.actor.name, act.actor.mail);
    room_ok(room, correction_roll_open(room->state, "U0012A", &roll, &room->err));
    room_ok(room, corrections_find(room->state, &roll, &plain, &list, &room->err));
    assert_int_equal(list.count, 3);
    assert_int_equal(list.items[0].it->number, 1); /* by number */
    assert_int_equal(list.waiting, 1);
    assert_int_equal(list.parts.count, 0);
    room_ok(room, corrections_find(room->state, &roll, &unsigned_only, &list, &room->err));
    assert_int_equal(list.count, 1);
    assert_int_equal(list.items[0].it->number, 3);
    assert_int_equal(list.items[0].part_count, 1);
}

static void the_hole_without_a_correction_is_that_of_the_others(void **state)
{
    struct room *const room = *state;
    struct correction_roll roll = {.count = 0};
    struct hole without;
    fill(room);
    room_ok(room, correction_roll_open(room->state, "U0012A", &roll, &room->err));
    room_ok(room, hole_without(room->state, &roll, correction_roll_find(&roll, 3), &without, &room->err));
    assert_int_equal(without.correction_count, 1);
    assert_int_equal(without.corrections[0]->number, 2);
    room_ok(room, hole_without(room->state, &roll, correction_roll_find(&roll, 2), &without, &room->err));
    assert_int_equal(without.correction_count, 2); /* the one that it took the place of comes back */
    assert_null(correction_roll_find(&roll, 2)->withdrawn);
    assert_null(correction_roll_find(&roll, 9));
}

/* --- kept --- */

static void a_doubt_is_told_with_the_act_that_kept_it(void **state)
{
    struct room *const room = *state;
    struct target target = {.has_samples = false};
    struct kept kept = {.count = 0};
    room_fill(room);
    room_ok(room, resolve(room->state, "U0012A", NAME_HOLE, NAME_HOLE, &target, &room->err));
    room_ok(room, kept_find(room->state, &target, &kept, &room->err));
    const size_t before = kept.count;
    const char *id = room_write(room, "holes/U0012A/cores/0002.samples.json",
                                "'hole':'U0012A','core':2,'samples':[{'section':'1','half':'W','top_m':0.1,"
                                "'bottom_m':0.1,'doubt':'sample-no-length'}]");
    kept = (struct kept){.count = 0};
    room_ok(room, kept_find(room->state, &target, &kept, &room->err));
    assert_int_equal(kept.count, before + 1);
    const struct kept_doubt *it = NULL;
    for (size_t at = 0; at < kept.count; at++)
        if (strcmp(kept.items[at].word, "sample-no-length") == 0)
            it = &kept.items[at];
    assert_non_null(it);
    if (!it)
        return;
    assert_string_equal(it->thing, "901-U0012A-2H-1W, 10-10 cm");
    assert_string_equal(it->source.id, id);
    assert_non_null(it->sentence);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(those_in_force_come_first, room_open, room_close),
        cmocka_unit_test_setup_teardown(each_moves_its_own_and_all_move_together, room_open, room_close),
        cmocka_unit_test_setup_teardown(cores_are_grouped_by_their_shift_and_the_most_moved_named, room_open,
                                        room_close),
        cmocka_unit_test_setup_teardown(the_seafloor_has_its_act_and_its_correction, room_open, room_close),
        cmocka_unit_test_setup_teardown(several_holes_are_found_in_their_order, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_correction_waits_until_somebody_signs_it_as_it_is, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_signature_in_another_name_does_not_stand, room_open, room_close),
        cmocka_unit_test_setup_teardown(the_list_has_what_is_asked_for, room_open, room_close),
        cmocka_unit_test_setup_teardown(the_hole_without_a_correction_is_that_of_the_others, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_doubt_is_told_with_the_act_that_kept_it, room_open, room_close),
    };
    return cmocka_run_group_tests_name("audit", tests, NULL, NULL);
}
