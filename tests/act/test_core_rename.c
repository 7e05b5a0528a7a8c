/* SPDX-License-Identifier: MIT */
/* A core under another number or letter: which files move, what its former name becomes, and what is refused. */
#include "acted.h"

#include "coretally/act/core_rename.h"

static const struct will will = {.command = "core amend", .reason = "sheet 3", .keeping = KEEP_DOUBTED};

/* The bytes that go to a path; NULL: the file goes; fails where nothing is done to it. */
static const char *written(struct room *room, const struct draft *draft, const char *path)
{
    struct act act;
    struct change *changes = NULL;
    room_ok(room, acted_encode(room, draft, &will, &act, &changes));
    for (size_t at = 0; at < draft->writing_count; at++)
        if (strcmp(changes[at].path, path) == 0)
            return changes[at].bytes.data;
    fail_msg("nothing is done to %s", path);
    return NULL;
}

static void everything_of_the_core_moves(void **state)
{
    struct room *const room = *state;
    struct renamed renamed;
    struct draft draft;
    room_fill(room);
    room_ok(room, core_rename(room->state, "U0012A-1H", "3X", &renamed, &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_CHANGE);
    assert_string_equal(acted_line(room, &draft, false),
                        "Core 901-U0012A-1H amended: it is 901-U0012A-3X now, with 2 sections, 2 samples");
    assert_int_equal(draft.writing_count, 5);
    assert_null(written(room, &draft, "holes/U0012A/cores/0001.json"));
    assert_null(written(room, &draft, "holes/U0012A/cores/0001.samples.json"));
    const char *const core = written(room, &draft, "holes/U0012A/cores/0003.json");
    assert_non_null(strstr(core, "\"number\":3,\n\"type\":\"X\""));
    assert_non_null(strstr(core, "\"was\":\"1H\""));
    assert_non_null(strstr(written(room, &draft, "holes/U0012A/cores/0003.samples.json"), "\"core\":3"));
    assert_non_null(
        strstr(written(room, &draft, "holes/U0012A/renamed.json"), "{\"number\":1,\"from\":\"1H\",\"to\":\"3X\"}"));
    assert_string_equal(renamed.hole, "U0012A");
    assert_int_equal(renamed.from.number, 1);
    assert_int_equal(renamed.to.type, 'X');
}

static void a_letter_alone_moves_nothing(void **state)
{
    struct room *const room = *state;
    struct renamed renamed;
    struct draft draft;
    room_fill(room);
    room_ok(room, core_rename(room->state, "U0012A-1H", "X", &renamed, &draft, &room->err));
    assert_int_equal(draft.writing_count, 2);
    assert_non_null(strstr(written(room, &draft, "holes/U0012A/cores/0001.json"), "\"type\":\"X\""));
    assert_non_null(written(room, &draft, "holes/U0012A/renamed.json"));
}

static void what_is_wanted_is_read(void **state)
{
    struct room *const room = *state;
    static const struct {
        const char *wanted;
        enum status status;
        const char *says; /* the line, or the reason */
    } rows[] = {{"4", STATUS_OK, "it is 901-U0012A-4H now"},
                {"U0012A-4R", STATUS_OK, "it is 901-U0012A-4R now"},
                {"901-U0012A-4H", STATUS_OK, "it is 901-U0012A-4H now"},
                {"U0013A-4H", STATUS_RULE, "lies in another hole"},
                {"902-U0012A-4H", STATUS_INPUT, "is not a name for a core"},
                {"4H-1", STATUS_INPUT, "is not a name for a core"},
                {"", STATUS_INPUT, "is not a name for a core"},
                {"2H", STATUS_EXISTS, "core number 2 is taken by 2H"}};
    room_fill(room);
    for (size_t at = 0; at < sizeof rows / sizeof *rows; at++) {
        struct renamed renamed;
        struct draft draft;
        const enum status status = core_rename(room->state, "U0012A-1H", rows[at].wanted, &renamed, &draft, &room->err);
        if (rows[at].status != STATUS_OK)
            room_refused(room, status, rows[at].status, rows[at].says);
        else {
            room_ok(room, status);
            assert_non_null(strstr(acted_line(room, &draft, false), rows[at].says));
        }
    }
}

static void the_same_name_is_there_already(void **state)
{
    struct room *const room = *state;
    struct renamed renamed;
    struct draft draft;
    room_fill(room);
    room_ok(room, core_rename(room->state, "U0012A-1H", "1H", &renamed, &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_PRESENT);
    assert_string_equal(draft.present.path, "holes/U0012A/cores/0001.json");
}

static void samples_that_stayed_behind_are_not_taken_over(void **state)
{
    struct room *const room = *state;
    struct renamed renamed;
    struct draft draft;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/cores/0003.samples.json",
                     "'hole':'U0012A','core':3,'samples':["
                     "{'section':'1','half':'W','top_m':0.45,'bottom_m':0.47}]");
    room_refused(room, core_rename(room->state, "U0012A-2H", "3H", &renamed, &draft, &room->err), STATUS_RULE,
                 "1 sample stands under number 3 of U0012A");
}

static void a_skipped_number_is_told(void **state)
{
    struct room *const room = *state;
    struct renamed renamed;
    struct draft draft;
    bool skipped = false;
    room_fill(room);
    room_ok(room, core_rename(room->state, "U0012A-2H", "9H", &renamed, &draft, &room->err));
    for (size_t at = 0; at < draft.findings.count; at++)
        skipped = skipped || draft.findings.items[at].rule == RULE_CORE_SKIPPED;
    assert_true(skipped);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(everything_of_the_core_moves, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_letter_alone_moves_nothing, room_open, room_close),
        cmocka_unit_test_setup_teardown(what_is_wanted_is_read, room_open, room_close),
        cmocka_unit_test_setup_teardown(the_same_name_is_there_already, room_open, room_close),
        cmocka_unit_test_setup_teardown(samples_that_stayed_behind_are_not_taken_over, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_skipped_number_is_told, room_open, room_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
