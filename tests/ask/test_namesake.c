/* SPDX-License-Identifier: MIT */
/* Bags and corrections that had one number on two lines of a history which were joined since: found by their labels, by
 * their old numbers and by those of now; which label is of which; which acts must ask. */
#include "two_lines.h"

#include "coretally/act/bag.h"
#include "coretally/ask/label_trace.h"
#include "coretally/ask/signed.h"
#include "coretally/ask/trace_part.h"
#include "coretally/state/correction_roll.h"
#include "coretally/state/namesake.h"

#define BAG_FILE "holes/U0013A/bags/bag-0001.json"
#define BAG_LABELS "holes/U0013A/bags/bag-0001.labels.json"
#define BAGS(items) "'hole':'U0013A','what':'bag','hundred':1,'bags':[" items "]"
#define BAG_1 "{'number':1,'from':'2026-03-01T01:00:00Z'}"
#define BAG_2_SHIP "{'number':2,'from':'2026-03-01T02:00:00Z','requester':'ship'}"
#define BAG_2_SHORE "{'number':2,'from':'2026-03-01T03:00:00Z','requester':'shore'}"

/* Bag 2 of the ship, and bag 2 of the shore, which was recorded later and is bag 3 since. Each has a label. */
static struct lines two_bags(struct room *room)
{
    struct lines lines;
    room_fill(room);
    lines.fork = room_write(room, BAG_FILE, BAGS(BAG_1));
    lines.ship = room_write(room, BAG_FILE, BAGS(BAG_1 "," BAG_2_SHIP));
    print_label(room, BAG_LABELS, "'hole':'U0013A','what':'bag','hundred':1", "901-U0013A-BAG2", "'scale':'MRF'");
    const char *ship = state_now(room);
    stand_back(room, lines.fork);
    lines.shore = room_write(room, BAG_FILE, BAGS(BAG_1 "," BAG_2_SHORE));
    print_label(room, BAG_LABELS, "'hole':'U0013A','what':'bag','hundred':1", "901-U0013A-BAG2", "'scale':'MRF'");
    lines.joined = join_lines(room, ship, state_now(room));
    return lines;
}

/* The requester of the bag that a name means. */
static const char *whose_bag(struct room *room, const char *typed)
{
    struct bag_target at = {0};
    room_ok(room, bag_resolve(room->state, typed, &at, &room->err));
    return at.bag->requester ? at.bag->requester : "-";
}

static void a_bag_is_found_by_each_of_its_names(void **state)
{
    struct room *const room = *state;
    const struct lines lines = two_bags(room);
    assert_string_equal(whose_bag(room, "U0013A-BAG1"), "-");
    room_told(room, NULL);
    assert_string_equal(whose_bag(room, "U0013A-BAG2"), "ship");
    room_told(room, "U0013A-BAG2 was also recorded by Test Person (");
    assert_string_equal(whose_bag(room, "U0013A-BAG3"), "shore");
    room_told(room, NULL);
    /* Scanned, the state of the label says which. */
    assert_string_equal(whose_bag(room, scan(room, "901-U0013A-BAG2", "MRF", lines.ship)), "ship");
    room_told(room, NULL);
    assert_string_equal(whose_bag(room, scan(room, "901-U0013A-BAG2", "MRF", lines.shore)), "shore");
    room_told(room, "U0013A-BAG2 is U0013A-BAG3 since the registries were joined");
    /* Printed after the join, the name is that of after the join. */
    assert_string_equal(whose_bag(room, scan(room, "901-U0013A-BAG2", "MRF", lines.joined)), "ship");
    assert_string_equal(whose_bag(room, scan(room, "901-U0013A-BAG3", "MRF", lines.joined)), "shore");
    assert_string_equal(whose_bag(room, scan(room, "901-U0013A-BAG1", "MRF", lines.fork)), "-");
}

static void before_the_join_the_new_name_means_the_old_one(void **state)
{
    struct room *const room = *state;
    const struct lines lines = two_bags(room);
    struct bag_target at = {0};
    struct store *beside = NULL;
    struct state past;
    room_ok(room, store_open_beside(room->state->store, lines.shore, &beside, &room->err));
    state_at(room->state, beside, &past);
    room_ok(room, bag_resolve(&past, scan(room, "901-U0013A-BAG3", "MRF", lines.joined), &at, &room->err));
    assert_int_equal(at.bag->number, 2);
    assert_string_equal(at.bag->requester, "shore");
    store_close(beside);
}

static void an_act_on_a_name_of_two_asks_while_a_label_shows_it(void **state)
{
    struct room *const room = *state;
    const struct lines lines = two_bags(room);
    struct bag_target at = {0};
    room->state->naming.is_acting = true;
    room_refused(room, bag_resolve(room->state, "U0013A-BAG2", &at, &room->err), STATUS_RULE,
                 "two things had this name before the registries were joined");
    assert_string_equal(whose_bag(room, scan(room, "901-U0013A-BAG2", "MRF", lines.ship)), "ship");
    assert_string_equal(whose_bag(room, scan(room, "901-U0013A-BAG2", "MRF", lines.shore)), "shore");
    assert_string_equal(whose_bag(room, "U0013A-BAG3"), "shore");
    room->state->naming.is_sure = true;
    assert_string_equal(whose_bag(room, "U0013A-BAG2"), "ship");
    /* Printed anew, the other one has its own name in everybody's hand. */
    char fields[2048];
    (void)snprintf(
        fields, sizeof fields,
        "'hole':'U0013A','what':'bag','hundred':1,'labels':["
        "{'name':'901-U0013A-BAG2','printed':'2026-03-01T05:00:00Z','state':'%s','scale':'MRF','layout':'s'},"
        "{'name':'901-U0013A-BAG2','printed':'2026-03-01T05:00:00Z','state':'%s','scale':'MRF','layout':'s'},"
        "{'name':'901-U0013A-BAG3','printed':'2026-03-02T05:00:00Z','state':'%s','scale':'MRF','layout':'s'}]",
        lines.ship, lines.shore, lines.joined);
    (void)room_write(room, BAG_LABELS, fields);
    room->state->naming.is_acting = true;
    assert_string_equal(whose_bag(room, "U0013A-BAG2"), "ship");
    room_told(room, "that one is U0013A-BAG3");
}

static void a_label_stands_under_its_own_thing(void **state)
{
    struct room *const room = *state;
    (void)two_bags(room);
    const char *told = labels_of(room, NULL);
    assert_non_null(strstr(told, "901-U0013A-BAG2 of 901-U0013A-BAG2\n"));
    assert_non_null(strstr(told, "901-U0013A-BAG2 of 901-U0013A-BAG3, "));
    assert_non_null(strstr(told, "name now: 901-U0013A-BAG3"));
}

/* One text on the paper of two bags: each side printed it in a state of its own. */
static void a_traced_label_is_that_of_its_own_thing(void **state)
{
    struct room *const room = *state;
    const struct lines lines = two_bags(room);
    const char *const states[] = {lines.ship, lines.shore};
    const char *const things[] = {"901-U0013A-BAG2", "901-U0013A-BAG3"};
    for (int line = 0; line < 2; line++) {
        struct label_report out;
        struct name name;
        const char *text = scan(room, "901-U0013A-BAG2", "MRF", states[line]);
        const char *typed = NULL;
        room_ok(room, trace_part(room->state, text, &typed, &name, &room->err));
        room_ok(room, label_report(room->state, typed, &name, &out, &room->err));
        assert_int_equal(out.label_count, 1);
        assert_string_equal(out.hands[0].thing, things[line]);
        assert_true(out.hands[0].is_recorded);
        assert_null(out.hands[0].twin);
    }
}

/* The same copy of one thing, printed on both sides: nothing tells the papers apart. */
static void a_copy_that_was_printed_twice_is_told(void **state)
{
    struct room *const room = *state;
    struct label_report out;
    struct name name;
    static const char head[] = "'hole':'U0012A','core':1";
    room_fill(room);
    const char *fork = state_now(room);
    print_label(room, "holes/U0012A/cores/0001.labels.json", head, "901-U0012A-1H", "'scale':'CSF-A'");
    const char *ship = state_now(room);
    stand_back(room, fork);
    char fields[1024];
    (void)snprintf(fields, sizeof fields,
                   "%s,'labels':[{'name':'901-U0012A-1H','printed':'2026-03-01T06:00:00Z','state':'%s',"
                   "'scale':'CSF-A','layout':'small'}]",
                   head, fork);
    (void)room_write(room, "holes/U0012A/cores/0001.labels.json", fields);
    (void)join_lines(room, ship, state_now(room));
    const char *text = scan(room, "901-U0012A-1H", "CSF-A", fork);
    room_ok(room, resolve_name(room->state, text, &name, &room->err));
    room_ok(room, label_report(room->state, text, &name, &out, &room->err));
    assert_int_equal(out.label_count, 2);
    assert_non_null(out.hands[0].twin);
}

/* --- numbers --- */

static void a_number_that_was_given_is_not_given_again(void **state)
{
    struct room *const room = *state;
    const struct sample samples[] = {
        {.section = 1, .half = HALF_WORKING, .bottom_um = 20000, .was = "1W,0-2@" /* no commit: a plain word */},
        {.section = 1,
         .half = HALF_WORKING,
         .of = "1W,0-2#2",
         .number = 1,
         .was = "1W,0-2/1@8ab686eafeb1f44702738c8b0e65f4f6d5c1a2b3"},
    };
    const struct sample like = {.section = 1, .half = HALF_WORKING, .of = "1W,0-2"};
    int32_t last = 0;
    assert_int_equal(sample_next_number(samples, 2, &like), 2);
    room_fill(room);
    (void)room_write(room, BAG_FILE,
                     BAGS("{'number':2,'from':'2026-03-01T03:00:00Z',"
                          "'was':'7@8ab686eafeb1f44702738c8b0e65f4f6d5c1a2b3'}"));
    room_ok(room, bag_last_number(room->state, "U0013A", BAG_CUTTINGS, &last, &room->err));
    assert_int_equal(last, 7);
}

static void a_bag_typed_again_is_there_already(void **state)
{
    struct room *const room = *state;
    (void)two_bags(room);
    struct bag bag;
    struct bag again;
    struct bag_target at = {0};
    room_ok(room, bag_resolve(room->state, "U0013A-BAG3", &at, &room->err));
    bag = again = *at.bag;
    again.was = NULL;
    assert_non_null(bag.was);
    assert_true(bag_is_same(&again, &bag));
}

/* --- corrections --- */

#define TALLY(number, amount)                                                                                          \
    "'hole':'U0012A','number':" number ",'what':'tally','amount_m':" amount ",'top_m':3030,'reason':'r'"

static void a_number_of_a_correction_is_told(void **state)
{
    struct room *const room = *state;
    room_fill(room);
    const char *fork = state_now(room);
    const char *ship = room_write(room, "holes/U0012A/corrections/0001.json", TALLY("1", "1"));
    stand_back(room, fork);
    const char *shore = room_write(room, "holes/U0012A/corrections/0001.json", TALLY("1", "2"));
    (void)join_lines(room, ship, shore);
    const struct minted_group group = {.hole = "U0012A"};
    int32_t number = 1;
    room_ok(room, namesake_carry_number(room->state, &group, "correction", &number, &room->err));
    assert_int_equal(number, 1);
    room_told(room, "correction 1 of hole U0012A was also recorded by Test Person");
    room->state->naming.is_acting = true;
    room_refused(room, namesake_carry_number(room->state, &group, "correction", &number, &room->err), STATUS_RULE,
                 "one recorded by Test Person (");
    number = 2;
    room_ok(room, namesake_carry_number(room->state, &group, "correction", &number, &room->err));
    assert_int_equal(number, 2);
}

/* --- signatures --- */

static void sign(struct room *room, int number)
{
    const struct act act = scene_act("");
    char path[REGISTRY_PATH_MAX];
    char hash[HASH_TEXT_MAX];
    char fields[1024];
    correction_path("U0012A", number, path);
    room_ok(room, store_id(room->state->store, path, hash, &room->err));
    signatures_path("U0012A", number, path);
    (void)snprintf(fields, sizeof fields,
                   "'hole':'U0012A','number':%d,'signatures':[{'name':'%s','mail':'%s','time':'2026-03-01T05:00:00Z',"
                   "'record':'%s'}]",
                   number, act.actor.name, act.actor.mail, hash);
    (void)room_write(room, path, fields);
}

static size_t standing(struct room *room, int32_t number)
{
    struct correction_roll roll = {0};
    struct signed_all by;
    room_ok(room, correction_roll_open(room->state, "U0012A", &roll, &room->err));
    const struct correction *it = correction_roll_find(&roll, number);
    assert_non_null(it);
    room_ok(room, signed_find(room->state, it, &by, &room->err));
    return by.standing;
}

/* The shore's corrections 1 and 2, of which 2 takes the place of 1, are signed; a join gives 1 another number. */
static void what_a_join_renumbered_stays_signed(void **state)
{
    struct room *const room = *state;
    room_fill(room);
    const char *fork = state_now(room);
    const char *ship = room_write(room, "holes/U0012A/corrections/0001.json", TALLY("1", "1"));
    stand_back(room, fork);
    (void)room_write(room, "holes/U0012A/corrections/0001.json", TALLY("1", "2"));
    (void)room_write(room, "holes/U0012A/corrections/0002.json", TALLY("2", "3") ",'supersedes':'1'");
    sign(room, 1);
    sign(room, 2);
    (void)join_lines(room, ship, state_now(room));
    assert_int_equal(standing(room, 1), 0);
    assert_int_equal(standing(room, 2), 1); /* it names 3 now */
    assert_int_equal(standing(room, 3), 1);
    (void)room_write(room, "holes/U0012A/corrections/0002.json",
                     TALLY("2", "3") ",'supersedes':'3','remark':'more','version':2");
    assert_int_equal(standing(room, 2), 0); /* amended since */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_bag_is_found_by_each_of_its_names, room_open, room_close),
        cmocka_unit_test_setup_teardown(before_the_join_the_new_name_means_the_old_one, room_open, room_close),
        cmocka_unit_test_setup_teardown(an_act_on_a_name_of_two_asks_while_a_label_shows_it, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_label_stands_under_its_own_thing, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_traced_label_is_that_of_its_own_thing, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_copy_that_was_printed_twice_is_told, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_number_that_was_given_is_not_given_again, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_bag_typed_again_is_there_already, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_number_of_a_correction_is_told, room_open, room_close),
        cmocka_unit_test_setup_teardown(what_a_join_renumbered_stays_signed, room_open, room_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
