/* SPDX-License-Identifier: MIT */
/* Holes added, amended and withdrawn through their parameters, and the expedition amended. */
#include "acted.h"

#include "coretally/act/expedition.h"
#include "coretally/act/hole.h"

static const struct will will = {.command = "hole add", .reason = "sheet 3"};

/* A hole of the registry, to be changed. */
static void find(struct room *room, const char *name, struct target *out)
{
    room_ok(room, resolve(room->state, name, NAME_HOLE, NAME_HOLE, out, &room->err));
}

static struct hole typed(const char *site)
{
    struct hole hole;
    record_init(&hole_table, &hole);
    hole.site = site;
    hole.letter = "A";
    hole.returns = RETURNS_SEAFLOOR;
    return hole;
}

static void encode(struct room *room, const struct draft *draft, enum status wanted, const char *says,
                   const char **bytes)
{
    struct act act;
    struct change *changes = NULL;
    const enum status status = acted_encode(room, draft, &will, &act, &changes);
    if (wanted != STATUS_OK)
        room_refused(room, status, wanted, says);
    else {
        room_ok(room, status);
        assert_string_equal(act.line, says);
        *bytes = changes[0].bytes.data;
    }
}

static void a_hole_is_drafted(void **state)
{
    struct room *const room = *state;
    struct draft draft;
    const char *bytes = NULL;
    struct hole hole = typed("U0014");
    hole.seafloor_um = 3021400000;
    hole.seafloor_by = SEAFLOOR_TAGGED;
    room_ok(room, hole_add(room->state, &hole, &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_CHANGE);
    encode(room, &draft, STATUS_OK, "Hole U0014A: seafloor 3021.400 m below rig floor (tagged), returns to seafloor",
           &bytes);
    assert_string_equal(draft.writings[0].path, "holes/U0014A/hole.json");
    assert_non_null(strstr(bytes, "\"seafloor_m\":3021.4"));
    hole.returns = RETURNS_NONE;
    room_refused(room, hole_add(room->state, &hole, &draft, &room->err), STATUS_INPUT, "where the mud returns to");
}

static void a_hole_that_is_there_is_not_made_again(void **state)
{
    struct room *const room = *state;
    struct draft draft;
    struct target target;
    room_fill(room);
    find(room, "U0012A", &target);
    room_ok(room, hole_add(room->state, &target.hole, &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_PRESENT);
    assert_string_equal(draft.present.path, "holes/U0012A/hole.json");
    target.hole.seafloor_um += 1000000;
    room_ok(room, hole_add(room->state, &target.hole, &draft, &room->err));
    encode(room, &draft, STATUS_EXISTS, "already recorded, with other values", NULL);
}

/* What is doubted is said before what cannot be: whoever types it sees both in their order. */
static void doubts_come_before_a_parent_that_is_not_there(void **state)
{
    struct room *const room = *state;
    struct draft draft;
    struct hole hole = typed("U0014");
    hole.parent = "U0099A";
    hole.kickoff_um = 3100000000;
    room_ok(room, hole_add(room->state, &hole, &draft, &room->err));
    encode(room, &draft, STATUS_UNKNOWN, "the hole that U0014A leaves is not recorded", NULL);
    hole.seafloor_um = 3021400000;
    hole.seafloor_by = SEAFLOOR_TAGGED;
    hole.seafloor_at = (struct instant){.utc_us = room->state->now.utc_us + INT64_C(86400000000), .known = true};
    room_ok(room, hole_add(room->state, &hole, &draft, &room->err));
    encode(room, &draft, STATUS_RULE, "the time when the seafloor was found", NULL);
}

static void a_seafloor_below_its_cores_is_doubted(void **state)
{
    struct room *const room = *state;
    struct draft draft;
    struct target target;
    room_fill(room);
    find(room, "U0012A", &target);
    struct hole hole = target.hole;
    hole.seafloor_um = 3025000000;
    room_ok(room, hole_amend(room->state, &target, &hole, &draft, &room->err));
    assert_true(draft.needs_reason);
    assert_int_equal(draft.findings.count, 1);
    assert_int_equal(draft.findings.items[0].rule, RULE_ABOVE_SEAFLOOR);
    assert_non_null(strstr(draft.findings.items[0].text, "core 1H, 3021.400 m"));
    assert_int_equal(((const struct hole *)draft.changed.after)->version, 2);
    hole = target.hole;
    room_ok(room, hole_amend(room->state, &target, &hole, &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_PRESENT);
}

static void a_hole_goes_when_nothing_hangs_on_it(void **state)
{
    struct room *const room = *state;
    struct draft draft;
    struct target target;
    const char *bytes = NULL;
    room_fill(room);
    find(room, "U0012A", &target);
    room_refused(room, hole_withdraw(room->state, &target, "slip", &draft, &room->err), STATUS_RULE,
                 "core 1H of this hole still stands");
    (void)room_write(room, "holes/U0014A/hole.json",
                     "'site':'U0014','letter':'A','returns':'ship','parent':'U0013A','kickoff_m':3100");
    find(room, "U0013A", &target);
    room_refused(room, hole_withdraw(room->state, &target, "slip", &draft, &room->err), STATUS_RULE,
                 "U0014A, which leaves it, still stands");
    find(room, "U0014A", &target);
    room_ok(room, hole_withdraw(room->state, &target, "slip", &draft, &room->err));
    encode(room, &draft, STATUS_OK,
           "Hole U0014A withdrawn, sidetrack of U0013A from 3100.000 m: seafloor as there, returns to ship", &bytes);
    assert_non_null(strstr(bytes, "\"withdrawn\":\"slip\""));
    target.hole.withdrawn = "slip";
    room_ok(room, hole_withdraw(room->state, &target, "again", &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_WITHDRAWN);
    assert_string_equal(draft.withdrawn, "slip");
}

static void the_expedition_is_amended(void **state)
{
    struct room *const room = *state;
    struct draft draft;
    const char *bytes = NULL;
    struct expedition expedition = room->state->expedition;
    room_ok(room, expedition_amend(room->state, &expedition, &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_PRESENT);
    expedition.title = "Fans";
    room_ok(room, expedition_amend(room->state, &expedition, &draft, &room->err));
    encode(room, &draft, STATUS_OK, "Expedition 901 amended", &bytes);
    assert_non_null(strstr(bytes, "\"title\":\"Fans\""));
    assert_non_null(strstr(bytes, "\"version\":2"));
    room_ok(room, expedition_start(room->state, &expedition, &draft, &room->err));
    struct store *const store = room->state->store;
    room->state->store = NULL; /* there is no registry yet */
    assert_string_equal(acted_line(room, &draft, false), "Expedition 901: Fans");
    room->state->store = store;
    assert_false(draft.needs_reason);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_hole_is_drafted, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_hole_that_is_there_is_not_made_again, room_open, room_close),
        cmocka_unit_test_setup_teardown(doubts_come_before_a_parent_that_is_not_there, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_seafloor_below_its_cores_is_doubted, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_hole_goes_when_nothing_hangs_on_it, room_open, room_close),
        cmocka_unit_test_setup_teardown(the_expedition_is_amended, room_open, room_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
