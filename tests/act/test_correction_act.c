/* SPDX-License-Identifier: MIT */
/* Corrections added, superseded, withdrawn and signed through their parameters. */
#include "acted.h"

#include "coretally/act/correction.h"

static const struct will will = {.command = "correction add", .reason = "joint missed"};

static const char tally[] = "'hole':'U0012A','number':1,'what':'tally','amount_m':9.62,'top_m':3025,"
                            "'reason':'joint missed'";

/* A tally as it is typed. */
static void open(struct room *room, struct correction_drafts *drafts, double amount_m)
{
    struct target target;
    room_ok(room, resolve(room->state, "U0012A", NAME_HOLE, NAME_HOLE, &target, &room->err));
    room_ok(room, arena_take(room->arena, 3, sizeof *drafts->items, &drafts->items, &room->err));
    drafts->count = 1;
    room_ok(room, correction_open(room->state, &target, &drafts->items[0], &room->err));
    struct correction *const added = &drafts->items[0].added;
    added->kind = CORRECTION_TALLY;
    added->amount_um = (int64_t)(amount_m * 1e6);
    added->top_um = 3025000000;
    added->reason = "joint missed";
}

static const char *bytes_of(struct room *room, const struct draft *draft, const char *path)
{
    struct act act;
    struct change *changes = NULL;
    room_ok(room, acted_encode(room, draft, &will, &act, &changes));
    for (size_t at = 0; at < draft->writing_count; at++)
        if (strcmp(changes[at].path, path) == 0)
            return changes[at].bytes.data;
    fail_msg("nothing is written to %s", path);
    return NULL;
}

static void a_correction_is_numbered_and_drafted(void **state)
{
    struct room *const room = *state;
    const struct correction_typed typed = {.kind = "tally"};
    struct evidence evidence = {.path = "scans/sheet-14.pdf", .bytes = {"scan", 4}};
    struct correction_drafts drafts;
    struct draft draft;
    room_fill(room);
    open(room, &drafts, 9.62);
    room_ok(room, evidence_take(room->state, &evidence, &drafts, &room->err));
    room_ok(room, correction_judge(room->state, &typed, &drafts.items[0], &room->err));
    assert_false(drafts.items[0].is_present);
    assert_int_equal(drafts.items[0].with.correction_count, 1);
    assert_int_equal(drafts.items[0].target.hole.correction_count, 0);
    room_ok(room, corrections_draft(room->state, &drafts, &evidence, &draft, &room->err));
    assert_string_equal(acted_line(room, &draft, false),
                        "Correction 1 of hole U0012A, tally: +9.620 m, from 3025.000 m down");
    assert_int_equal(draft.writing_count, 2);
    const char *const record = bytes_of(room, &draft, draft.writings[0].path);
    assert_non_null(strstr(record, "\"number\":1"));
    assert_non_null(strstr(record, "\"evidence_name\":\"sheet-14.pdf\""));
    assert_string_equal(bytes_of(room, &draft, draft.writings[1].path), "scan");
}

static void what_is_in_force_is_present_or_superseded(void **state)
{
    struct room *const room = *state;
    struct correction_typed typed = {.kind = "tally"};
    const struct evidence none = {.path = NULL};
    struct correction_drafts drafts;
    struct draft draft;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/corrections/0001.json", tally);
    open(room, &drafts, 9.62);
    room_ok(room, correction_judge(room->state, &typed, &drafts.items[0], &room->err));
    assert_true(drafts.items[0].is_present);
    assert_int_equal(drafts.items[0].added.number, 1);
    typed.supersedes = "1";
    open(room, &drafts, 9.55);
    room_ok(room, correction_judge(room->state, &typed, &drafts.items[0], &room->err));
    assert_int_equal(drafts.items[0].added.number, 2);
    assert_int_equal(drafts.items[0].with.correction_count, 1);
    assert_int_equal(drafts.items[0].with.corrections[0]->number, 2);
    room_ok(room, corrections_draft(room->state, &drafts, &none, &draft, &room->err));
    assert_non_null(strstr(acted_line(room, &draft, false), ", in place of 1"));
    typed.supersedes = "standing";
    open(room, &drafts, 9.55);
    room_ok(room, correction_judge(room->state, &typed, &drafts.items[0], &room->err));
    assert_string_equal(drafts.items[0].added.supersedes, "1");
    typed.supersedes = "7";
    open(room, &drafts, 9.55);
    room_refused(room, correction_judge(room->state, &typed, &drafts.items[0], &room->err), STATUS_UNKNOWN,
                 "there is no correction 7 of hole U0012A");
}

/* A table may be of several holes: each is judged by its own name, in order. */
static void holes_of_a_table_are_held_one_after_the_other(void **state)
{
    struct room *const room = *state;
    const struct correction_typed typed = {.kind = "tally"};
    const struct evidence none = {.path = NULL};
    struct correction_drafts drafts;
    struct target other;
    struct draft draft;
    room_fill(room);
    open(room, &drafts, 9.62);
    room_ok(room, resolve(room->state, "U0013A", NAME_HOLE, NAME_HOLE, &other, &room->err));
    room_ok(room, corrections_open(room->state, &other, 1, &drafts, &room->err));
    assert_int_equal(drafts.count, 2);
    for (size_t at = 0; at < 2; at++)
        room_ok(room, correction_judge(room->state, &typed, &drafts.items[at], &room->err));
    room_ok(room, corrections_draft(room->state, &drafts, &none, &draft, &room->err));
    assert_int_equal(draft.writing_count, 2);
    assert_string_equal(draft.further[0].name, "U0013A");
    assert_non_null(strstr(acted_line(room, &draft, false), "; correction 1 of hole U0013A: +9.620 m"));
    drafts.items[1].is_present = true;
    room_ok(room, corrections_draft(room->state, &drafts, &none, &draft, &room->err));
    assert_int_equal(draft.writing_count, 1);
    corrections_drop_empty(&drafts);
    assert_int_equal(drafts.count, 0);
}

static void find(struct room *room, struct correction_roll *roll, const struct correction **it)
{
    room_ok(room, correction_roll_open(room->state, "U0012A", roll, &room->err));
    *it = correction_roll_find(roll, 1);
    assert_non_null(*it);
}

static void a_withdrawal_leaves_the_roll_as_it_is(void **state)
{
    struct room *const room = *state;
    struct correction_roll roll;
    struct correction_withdrawal gone;
    const struct correction *it = NULL;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/corrections/0001.json", tally);
    find(room, &roll, &it);
    room_ok(room, correction_withdraw(room->state, &roll, it, "counted", &gone, &room->err));
    assert_string_equal(acted_line(room, &gone.draft, false), "Correction 1 of hole U0012A withdrawn, tally: +9.620 m");
    assert_int_equal(gone.with.correction_count, 0);
    assert_null(it->withdrawn);
    assert_non_null(strstr(bytes_of(room, &gone.draft, gone.draft.writings[0].path), "\"withdrawn\":\"counted\""));
    (void)room_write(room, "holes/U0012A/corrections/0001.json",
                     "'hole':'U0012A','number':1,'what':'tally','amount_m':9.62,'top_m':3025,'reason':'joint missed',"
                     "'version':2,'withdrawn':'counted'");
    find(room, &roll, &it);
    room_ok(room, correction_withdraw(room->state, &roll, it, "again", &gone, &room->err));
    assert_int_equal(gone.draft.kind, DRAFT_WITHDRAWN);
    assert_string_equal(gone.draft.withdrawn, "counted");
}

static void what_comes_back_may_repeat_what_is_in_force(void **state)
{
    struct room *const room = *state;
    struct correction_roll roll;
    struct correction_withdrawal gone;
    const struct correction *it = NULL;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/corrections/0001.json", tally);
    (void)room_write(room, "holes/U0012A/corrections/0002.json",
                     "'hole':'U0012A','number':2,'what':'tally','amount_m':9.5,'top_m':3025,'reason':'x',"
                     "'supersedes':'1'");
    (void)room_write(room, "holes/U0012A/corrections/0003.json",
                     "'hole':'U0012A','number':3,'what':'tally','amount_m':9.4,'top_m':3025,'reason':'y'");
    find(room, &roll, &it);
    it = correction_roll_find(&roll, 2);
    room_ok(room, correction_withdraw(room->state, &roll, it, "slip", &gone, &room->err));
    assert_int_equal(gone.draft.findings.count, 1);
    assert_int_equal(gone.draft.findings.items[0].rule, RULE_CORRECTION_TWICE);
}

static void a_second_person_signs(void **state)
{
    struct room *const room = *state;
    struct correction_roll roll;
    struct draft draft;
    struct signature by;
    const struct correction *it = NULL;
    const struct act recorded = scene_act("x");
    room_fill(room);
    (void)room_write(room, "holes/U0012A/corrections/0001.json", tally);
    find(room, &roll, &it);
    record_init(&signature_table, &by);
    by.name = recorded.actor.name;
    by.mail = recorded.actor.mail;
    room_refused(room, correction_sign(room->state, &roll, it, &by, &draft, &room->err), STATUS_RULE,
                 "a signature is another person's");
    by.name = "Ida Lindqvist";
    by.mail = "ida@ship.example";
    room_ok(room, correction_sign(room->state, &roll, it, &by, &draft, &room->err));
    assert_string_equal(acted_line(room, &draft, false), "Correction 1 of hole U0012A signed by Ida Lindqvist");
    assert_non_null(strstr(bytes_of(room, &draft, draft.writings[0].path), "\"name\":\"Ida Lindqvist\""));
    struct correction withdrawn = *it;
    withdrawn.withdrawn = "counted";
    room_refused(room, correction_sign(room->state, &roll, &withdrawn, &by, &draft, &room->err), STATUS_RULE,
                 "correction 1 of hole U0012A is withdrawn");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_correction_is_numbered_and_drafted, room_open, room_close),
        cmocka_unit_test_setup_teardown(what_is_in_force_is_present_or_superseded, room_open, room_close),
        cmocka_unit_test_setup_teardown(holes_of_a_table_are_held_one_after_the_other, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_withdrawal_leaves_the_roll_as_it_is, room_open, room_close),
        cmocka_unit_test_setup_teardown(what_comes_back_may_repeat_what_is_in_force, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_second_person_signs, room_open, room_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
