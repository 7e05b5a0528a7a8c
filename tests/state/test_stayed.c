/* SPDX-License-Identifier: MIT */
/* What stayed under a number that no core has: found, told, refused to another core. */
#include "rooms/scene.h"

#include "coretally/state/stayed.h"

#define SAMPLE "{'section':'1','half':'W','top_m':0.45,'bottom_m':0.47}"

/* Core 3 was given number 4; git then joined samples under the old number. */
static void leave_samples(struct room *room)
{
    room_fill(room);
    (void)room_write(room, "holes/U0012A/cores/0004.json",
                     "'hole':'U0012A','number':4,'type':'H','top_m':3050,'bottom_m':3059.5,'datum':'rig-floor',"
                     "'was':'3H','version':2");
    (void)room_write(room, "holes/U0012A/renamed.json",
                     "'hole':'U0012A','renamings':[{'number':1,'from':'3H','to':'4H'}]");
    (void)room_write(room, "holes/U0012A/cores/0003.samples.json", "'hole':'U0012A','core':3,'samples':[" SAMPLE "]");
}

static void nothing_stayed_where_cores_stand(void **state)
{
    struct room *const room = *state;
    struct stayed stayed;
    room_fill(room);
    room_ok(room, stayed_find(room->state, "U0012A", 3, &stayed, &room->err));
    assert_int_equal(stayed.samples + stayed.labels, 0);
    room_ok(room, stayed_say(room->state, "U0012A", &room->err));
    room_told(room, NULL);
}

static void samples_without_a_core_are_told_with_their_core(void **state)
{
    struct room *const room = *state;
    struct stayed stayed;
    leave_samples(room);
    room_ok(room, stayed_find(room->state, "U0012A", 3, &stayed, &room->err));
    assert_int_equal(stayed.samples, 1);
    assert_int_equal(stayed.labels, 0);
    room_ok(room, stayed_say(room->state, "U0012A", &room->err));
    room_told(room, "U0012A: 1 sample under number 3, which no core has; it was that of U0012A-4H; no list shows it\n"
                    "  back to its core: coretally core amend U0012A-4H --name 3H");
}

static void another_core_is_not_given_them(void **state)
{
    struct room *const room = *state;
    struct stayed stayed;
    leave_samples(room);
    room_ok(room, stayed_find(room->state, "U0012A", 3, &stayed, &room->err));
    room_refused(room, stayed_refuse(room->state, "U0012A", 3, "U0012A-3X", &stayed, &room->err), STATUS_RULE,
                 "1 sample stands under number 3 of U0012A, of another core, now U0012A-4H; this one would have it");
}

static void what_has_samples_of_its_own_cannot_take_them_in(void **state)
{
    struct room *const room = *state;
    struct stayed stayed;
    leave_samples(room);
    (void)room_write(room, "holes/U0012A/cores/0004.samples.json", "'hole':'U0012A','core':4,'samples':[" SAMPLE "]");
    room_ok(room, stayed_find(room->state, "U0012A", 3, &stayed, &room->err));
    const enum status status = stayed_refuse(room->state, "U0012A", 3, "U0012A-3X", &stayed, &room->err);
    assert_non_null(strstr(room->err.hint, "take holes/U0012A/cores/0003.samples.json out in a clone"));
    room_refused(room, status, STATUS_RULE, "stands under number 3");
}

static void things_are_counted_in_words(void **state)
{
    static const struct {
        struct stayed stayed;
        const char *words;
    } rows[] = {{{1, 0}, "1 sample"}, {{0, 2}, "2 labels"}, {{2, 1}, "2 samples, 1 label"}};
    (void)state;
    for (size_t at = 0; at < sizeof rows / sizeof rows[0]; at++) {
        char text[STAYED_TEXT_MAX];
        stayed_things(&rows[at].stayed, text);
        assert_string_equal(text, rows[at].words);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(nothing_stayed_where_cores_stand, room_open, room_close),
        cmocka_unit_test_setup_teardown(samples_without_a_core_are_told_with_their_core, room_open, room_close),
        cmocka_unit_test_setup_teardown(another_core_is_not_given_them, room_open, room_close),
        cmocka_unit_test_setup_teardown(what_has_samples_of_its_own_cannot_take_them_in, room_open, room_close),
        cmocka_unit_test(things_are_counted_in_words),
    };
    return cmocka_run_group_tests_name("stayed", tests, NULL, NULL);
}
