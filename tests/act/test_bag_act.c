/* SPDX-License-Identifier: MIT */
/* Bags: where a new one stands among those of its hundred, what is the same bag, and what is refused. */
#include "acted.h"

#include "coretally/act/bag.h"

static const int64_t NOON_US = INT64_C(1772366400) * 1000000; /* 2026-03-01T12:00:00Z */
static const char *const PATH = "holes/U0013A/bags/bag-0001.json";

static const char *written(struct room *room, const struct draft *draft)
{
    const struct will will = {.command = "bag amend", .reason = "microscope"};
    struct act act;
    struct change *changes = NULL;
    room_ok(room, acted_encode(room, draft, &will, &act, &changes));
    assert_int_equal(draft->writing_count, 1);
    assert_string_equal(changes[0].path, PATH);
    return changes[0].bytes.data;
}

static void fill(struct room *room)
{
    room_fill(room);
    (void)room_write(room, PATH,
                     "'hole':'U0013A','what':'bag','hundred':1,'bags':["
                     "{'number':1,'from':'2026-03-01T10:00:00Z','to':'2026-03-01T10:10:00Z'},"
                     "{'number':9,'from':'2026-03-01T11:00:00Z','to':'2026-03-01T11:10:00Z','lithology':'clay'}]");
}

static void aim(struct room *room, const char *hole, enum bag_kind kind, int32_t number, struct bag_target *out)
{
    struct target target;
    room_ok(room, resolve(room->state, hole, NAME_HOLE, NAME_HOLE, &target, &room->err));
    room_ok(room, bag_read(room->state, &target, kind, number, out, &room->err));
}

static struct bag typed_bag(int32_t number, int64_t from_us)
{
    struct bag bag;
    record_init(&bag_table, &bag);
    bag.number = number;
    bag.from = (struct instant){.utc_us = from_us, .known = true};
    bag.to = (struct instant){.utc_us = from_us + 10 * MINUTE_US, .known = true};
    return bag;
}

static void a_new_bag_stands_by_its_number(void **state)
{
    struct room *const room = *state;
    struct bag_target at;
    struct bag_draft drafted;
    fill(room);
    struct bag bag = typed_bag(3, NOON_US);
    bag.lithology = "sand";
    aim(room, "U0013A", BAG_CUTTINGS, 3, &at);
    room_ok(room, bag_add(room->state, &at, &bag, &drafted, &room->err));
    assert_string_equal(acted_line(room, &drafted.draft, false),
                        "Cuttings 901-U0013A-BAG3: 2026-03-01T12:00:00Z to 2026-03-01T12:10:00Z, sand");
    assert_non_null(drafted.depth.why); /* there is no log yet: kept without a depth */
    const char *const text = written(room, &drafted.draft);
    const char *const first = strstr(text, "\"number\":1,");
    const char *const added = strstr(text, "\"number\":3,");
    const char *const last = strstr(text, "\"number\":9,");
    assert_true(first && added && last && first < added && added < last);
    assert_int_equal(at.set.bag_count, 2); /* what was read stays as it is */
}

static void the_same_bag_is_there_already(void **state)
{
    struct room *const room = *state;
    struct bag_target at;
    struct bag_draft drafted;
    fill(room);
    struct bag bag = typed_bag(10, NOON_US - 60 * MINUTE_US); /* typed without a number: the next one */
    bag.lithology = "clay";
    aim(room, "U0013A", BAG_CUTTINGS, 10, &at);
    room_ok(room, bag_add(room->state, &at, &bag, &drafted, &room->err));
    assert_int_equal(drafted.draft.kind, DRAFT_PRESENT);
    assert_string_equal(drafted.draft.name, "901-U0013A-BAG9");
    bag = typed_bag(9, NOON_US);
    aim(room, "U0013A", BAG_CUTTINGS, 9, &at);
    room_refused(room, bag_add(room->state, &at, &bag, &drafted, &room->err), STATUS_EXISTS,
                 "it is already recorded, with other values");
}

static void nothing_comes_on_board_of_a_riserless_hole(void **state)
{
    struct room *const room = *state;
    struct bag_target at;
    struct bag_draft drafted;
    fill(room);
    const struct bag bag = typed_bag(1, NOON_US);
    aim(room, "U0012A", BAG_CUTTINGS, 1, &at);
    room_refused(room, bag_add(room->state, &at, &bag, &drafted, &room->err), STATUS_RULE, "drilled riserless");
}

static void a_window_of_the_next_hundred_counts(void **state)
{
    struct room *const room = *state;
    struct bag_target at;
    struct bag_draft drafted;
    fill(room);
    const struct bag bag = typed_bag(100, NOON_US - 115 * MINUTE_US); /* over that of bag 1, in another file */
    aim(room, "U0013A", BAG_CUTTINGS, 100, &at);
    room_ok(room, bag_add(room->state, &at, &bag, &drafted, &room->err));
    bool overlaps = false;
    for (size_t found = 0; found < drafted.draft.findings.count; found++)
        overlaps = overlaps || drafted.draft.findings.items[found].rule == RULE_BAG_OVERLAP;
    assert_true(overlaps);
}

static void an_amended_bag_keeps_its_place(void **state)
{
    struct room *const room = *state;
    struct bag_target at;
    struct bag_draft drafted;
    fill(room);
    aim(room, "U0013A", BAG_CUTTINGS, 1, &at);
    struct bag bag = *at.bag;
    room_ok(room, bag_amend(room->state, &at, &bag, &drafted, &room->err));
    assert_int_equal(drafted.draft.kind, DRAFT_PRESENT);
    bag.lithology = "silt";
    room_ok(room, bag_amend(room->state, &at, &bag, &drafted, &room->err));
    const char *const text = written(room, &drafted.draft);
    assert_non_null(strstr(text, "\"lithology\":\"silt\""));
    assert_non_null(strstr(text, "\"version\":2"));
    assert_true(strstr(text, "\"number\":1,") < strstr(text, "\"number\":9,"));
    assert_null(at.bag->lithology);
    assert_ptr_equal(drafted.draft.changed.before, at.bag);
}

static void a_bag_is_withdrawn_once(void **state)
{
    struct room *const room = *state;
    struct bag_target at;
    struct draft draft;
    fill(room);
    aim(room, "U0013A", BAG_CUTTINGS, 9, &at);
    room_ok(room, bag_withdraw(room->state, &at, "spilled", &draft, &room->err));
    assert_non_null(strstr(written(room, &draft), "\"withdrawn\":\"spilled\""));
    struct bag spilled = *at.bag; /* what was read is shared */
    spilled.withdrawn = "spilled";
    at.bag = &spilled;
    room_ok(room, bag_withdraw(room->state, &at, "again", &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_WITHDRAWN);
    assert_string_equal(draft.withdrawn, "spilled");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_new_bag_stands_by_its_number, room_open, room_close),
        cmocka_unit_test_setup_teardown(the_same_bag_is_there_already, room_open, room_close),
        cmocka_unit_test_setup_teardown(nothing_comes_on_board_of_a_riserless_hole, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_window_of_the_next_hundred_counts, room_open, room_close),
        cmocka_unit_test_setup_teardown(an_amended_bag_keeps_its_place, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_bag_is_withdrawn_once, room_open, room_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
