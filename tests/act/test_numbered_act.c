/* SPDX-License-Identifier: MIT */
/* Records that are numbered within their hole, added, amended and withdrawn through their parameters. */
#include "acted.h"

#include "coretally/act/numbered.h"

static const struct will will = {.command = "pump add", .reason = "sheet 3"};
static const struct will sure = {.command = "pump add", .reason = "sheet 3", .keeping = KEEP_DOUBTED};

static void find(struct room *room, const char *name, struct target *out)
{
    room_ok(room, resolve(room->state, name, NAME_HOLE, NAME_HOLE, out, &room->err));
}

/* The bytes that are to be written. */
static const char *encode(struct room *room, const struct draft *draft, const struct will *said, struct act *act)
{
    struct change *changes = NULL;
    room_ok(room, acted_encode(room, draft, said, act, &changes));
    assert_int_equal(draft->writing_count, 1);
    return changes[0].bytes.data;
}

static struct drilled drilled(double top_m, double bottom_m)
{
    struct drilled it;
    record_init(&drilled_table, &it);
    it.top_um = (int64_t)(top_m * 1e6);
    it.bottom_um = (int64_t)(bottom_m * 1e6);
    it.datum = DATUM_RIG_FLOOR;
    return it;
}

static void an_interval_gets_the_next_number(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct draft draft;
    struct act act;
    struct drilled it = drilled(3040.4, 3050);
    const struct numbered_items items = {&it, 1};
    room_fill(room);
    (void)room_write(room, "holes/U0012A/drilled.json",
                     "'hole':'U0012A','intervals':[{'number':4,'top_m':3060,'bottom_m':3070,'datum':'rig-floor'}]");
    find(room, "U0012A", &target);
    room_ok(room, numbered_add(room->state, &drilled_act, &target, &items, &draft, &room->err));
    const char *const bytes = encode(room, &draft, &will, &act);
    assert_string_equal(act.line, "Hole U0012A drilled without coring: 3040.400-3050.000 m below rig floor");
    assert_non_null(strstr(bytes, "\"number\":5"));
    assert_non_null(strstr(bytes, "\"number\":4"));
}

static void what_stands_just_so_is_there_already(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct draft draft;
    struct drilled it = drilled(3060, 3070);
    const struct numbered_items items = {&it, 1};
    room_fill(room);
    (void)room_write(room, "holes/U0012A/drilled.json",
                     "'hole':'U0012A','intervals':[{'number':4,'top_m':3060,'bottom_m':3070,'datum':'rig-floor'}]");
    find(room, "U0012A", &target);
    room_ok(room, numbered_add(room->state, &drilled_act, &target, &items, &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_PRESENT);
    assert_string_equal(draft.present.path, "holes/U0012A/drilled.json");
    assert_int_equal(numbered_number(draft.present.present), 4);
}

static void an_interval_over_a_core_is_doubted(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct draft draft;
    struct drilled it = drilled(3035, 3050);
    const struct numbered_items items = {&it, 1};
    room_fill(room);
    find(room, "U0012A", &target);
    room_ok(room, numbered_add(room->state, &drilled_act, &target, &items, &draft, &room->err));
    assert_int_equal(draft.findings.count, 1);
    assert_int_equal(draft.findings.items[0].rule, RULE_DRILLED_OVERLAP);
    assert_non_null(strstr(draft.findings.items[0].text, "it overlaps core 2H, 3030.900 to 3040.400 m"));
    record_init(&drilled_table, &it);
    room_ok(room, drilled_begin(room->state, "U0012A", &it, &room->err));
    assert_int_equal(it.datum, DATUM_RIG_FLOOR);
    target.hole.withdrawn = "never spudded";
    room_refused(room, numbered_add(room->state, &drilled_act, &target, &items, &draft, &room->err), STATUS_RULE,
                 "this hole is withdrawn");
}

static const char pumps[] =
    "'hole':'U0013A','pumps':["
    "{'number':1,'name':'1','from':'2026-03-01T00:00:00Z','kind':'measured','line':'string','output_m3':0.016},"
    "{'number':2,'name':'1','from':'2026-03-01T12:00:00Z','kind':'measured','line':'string','output_m3':0.017}]";

static void an_amendment_settles_what_was_kept_before(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct numbered_set set;
    struct draft draft;
    struct act act;
    struct pump pump;
    room_fill(room);
    (void)room_write(room, "holes/U0013A/pumps.json", pumps);
    find(room, "U0013A", &target);
    room_ok(room, numbered_set_read(room->state, &pumps_form, "U0013A", &set, &room->err));
    pump = *(const struct pump *)numbered_find(&pumps_form, &set, 2);
    room_ok(room, numbered_amend(room->state, &pumps_act, &target, &pump, &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_PRESENT);
    pump.remark = "new liners";
    room_ok(room, numbered_amend(room->state, &pumps_act, &target, &pump, &draft, &room->err));
    assert_true(draft.needs_reason);
    const char *const bytes = encode(room, &draft, &will, &act);
    assert_non_null(strstr(act.line, "Pump 1 of hole U0013A amended: measured, 17.000 l a stroke into the string"));
    assert_non_null(strstr(bytes, "\"version\":2"));
    assert_int_equal(((const struct pump *)draft.changed.before)->version, 0);
    pump.from.utc_us -= INT64_C(43200) * 1000000;
    room_refused(room, numbered_amend(room->state, &pumps_act, &target, &pump, &draft, &room->err), STATUS_EXISTS,
                 "already recorded from this very time");
    pump.number = 9;
    room_refused(room, numbered_amend(room->state, &pumps_act, &target, &pump, &draft, &room->err), STATUS_UNKNOWN,
                 "hole U0013A has no pump record of this number");
}

/* The records of the state are shared: an act leaves them as they were read. */
static void what_was_read_stays_as_it_is(void **state)
{
    struct room *const room = *state;
    const struct numbered_withdrawal slip = {1, "slip"};
    struct target target;
    struct numbered_set set;
    struct draft draft;
    struct act act;
    room_fill(room);
    (void)room_write(room, "holes/U0013A/pumps.json", pumps);
    find(room, "U0013A", &target);
    room_ok(room, numbered_withdraw(room->state, &pumps_act, &target, &slip, &draft, &room->err));
    assert_non_null(strstr(encode(room, &draft, &will, &act), "\"withdrawn\":\"slip\""));
    room_ok(room, numbered_set_read(room->state, &pumps_form, "U0013A", &set, &room->err));
    assert_null(((const struct pump *)numbered_find(&pumps_form, &set, 1))->withdrawn);
    (void)room_write(room, "holes/U0013A/pumps.json",
                     "'hole':'U0013A','pumps':[{'number':1,'name':'1','from':'2026-03-01T00:00:00Z',"
                     "'kind':'measured','line':'string','output_m3':0.016,'withdrawn':'slip'}]");
    room_ok(room, numbered_withdraw(room->state, &pumps_act, &target, &slip, &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_WITHDRAWN);
    assert_string_equal(draft.name, "pump record 1");
}

static void a_pump_takes_over_what_was_not_typed(void **state)
{
    struct room *const room = *state;
    struct numbered_set set;
    struct pump_asked asked = {.name = "1", .from_us = INT64_MAX};
    struct pump pump;
    room_fill(room);
    (void)room_write(room, "holes/U0013A/pumps.json", pumps);
    room_ok(room, numbered_set_read(room->state, &pumps_form, "U0013A", &set, &room->err));
    record_init(&pump_table, &pump);
    pump_begin(&set, &asked, &pump);
    assert_int_equal(pump.number, 2);
    assert_false(pump.from.known);
    asked.kind = "triplex"; /* built otherwise */
    record_init(&pump_table, &pump);
    pump_begin(&set, &asked, &pump);
    assert_int_not_equal(pump.number, 2);
    assert_int_equal(pump.line, LINE_STRING);
}

/* Each state of a file is held by itself: what is doubted of the first is said before the second is refused. */
static void states_of_a_file_are_held_one_after_the_other(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct draft draft;
    struct act act;
    struct change *changes = NULL;
    struct geometry wells[2];
    struct bore bores[2];
    struct part part;
    for (int at = 0; at < 2; at++)
        record_init(&bore_table, &bores[at]);
    bores[0].kind = BORE_RISER;
    bores[0].top_um = 0;
    bores[0].bottom_um = bores[1].top_um = 1000000000;
    bores[0].diameter_um = 495300;
    bores[1].kind = BORE_OPEN;
    bores[1].diameter_um = 311150;
    record_init(&part_table, &part);
    part.name = "drill pipe";
    part.outer_um = 127000;
    part.inner_um = 108600;
    room_fill(room);
    find(room, "U0013A", &target);
    for (int at = 0; at < 2; at++) {
        record_init(&geometry_table, &wells[at]);
        wells[at].from =
            (struct instant){.utc_us = room->state->now.utc_us + INT64_C(900000000000) * (at + 1), .known = true};
        wells[at].bores = bores;
        wells[at].bore_count = 2;
        wells[at].parts = &part;
        wells[at].part_count = 1;
    }
    const struct numbered_items items = {wells, 2};
    room_ok(room, numbered_add(room->state, &well_act, &target, &items, &draft, &room->err));
    assert_int_equal(draft.findings.count, 1);
    assert_int_equal(draft.further_count, 1);
    assert_int_equal(draft.further[0].findings.items[0].rule, RULE_TIME_FUTURE);
    room_refused(room, acted_encode(room, &draft, &will, &act, &changes), STATUS_RULE, "the time from which it holds");
    (void)encode(room, &draft, &sure, &act);
    assert_non_null(strstr(act.line, ", 2 records, the last from "));
    wells[1].from = wells[0].from;
    wells[1].loss_pct = 10;
    wells[1].loss_um = 2000000000;
    room_ok(room, numbered_add(room->state, &well_act, &target, &items, &draft, &room->err));
    room_refused(room, acted_encode(room, &draft, &will, &act, &changes), STATUS_RULE, "the time from which it holds");
    room_refused(room, acted_encode(room, &draft, &sure, &act, &changes), STATUS_EXISTS,
                 "the well is already recorded from this very time");
}

static void a_well_follows_the_one_before_it(void **state)
{
    struct room *const room = *state;
    struct geometry before;
    struct geometry stated[2];
    struct geometry *out = NULL;
    struct bore bores[] = {{.kind = BORE_RISER}};
    record_init(&geometry_table, &before);
    before.inlet_um = 5;
    for (int at = 0; at < 2; at++)
        record_init(&geometry_table, &stated[at]);
    stated[0].bores = bores;
    stated[0].bore_count = 1;
    stated[1].from = (struct instant){.utc_us = 7, .known = true};
    room_ok(room, well_follow(room->state, &before, stated, 2, &out, &room->err));
    assert_int_equal(out[1].bore_count, 1);
    assert_int_equal(out[1].inlet_um, 5);
    assert_int_equal(out[1].from.utc_us, 7);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(an_interval_gets_the_next_number, room_open, room_close),
        cmocka_unit_test_setup_teardown(what_stands_just_so_is_there_already, room_open, room_close),
        cmocka_unit_test_setup_teardown(an_interval_over_a_core_is_doubted, room_open, room_close),
        cmocka_unit_test_setup_teardown(an_amendment_settles_what_was_kept_before, room_open, room_close),
        cmocka_unit_test_setup_teardown(what_was_read_stays_as_it_is, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_pump_takes_over_what_was_not_typed, room_open, room_close),
        cmocka_unit_test_setup_teardown(states_of_a_file_are_held_one_after_the_other, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_well_follows_the_one_before_it, room_open, room_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
