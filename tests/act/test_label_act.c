/* SPDX-License-Identifier: MIT */
/* Labels printed: copies counted, files written once, however many names asked for them. */
#include "rooms/scene.h"

#include "coretally/act/label.h"

#define PATH "holes/U0012A/cores/0001.labels.json"

static struct label label_of(const char *name, const char *scale)
{
    return (struct label){.name = name, .scale = scale, .top_um = 450000, .bottom_um = 470000};
}

static void print(struct room *room, struct printing *printing, const char *name, const char *scale)
{
    const struct label_set none = {.hole = "U0012A", .core = 1};
    struct printed_file file;
    struct label label = label_of(name, scale);
    room_ok(room, printing_open(room->state, printing, PATH, &none, 1, &file, &room->err));
    if (!printing_has(&file, name, scale))
        room_ok(room, printing_add(printing, &file, &label, &room->err));
    room_ok(room, printing_close(printing, &file, &room->err));
}

static const struct label_set *written(struct room *room, const struct draft *draft, size_t at)
{
    struct label_set *set = NULL;
    room_ok(room, arena_take(room->arena, 1, sizeof *set, &set, &room->err));
    room_ok(room, record_decode(&label_set_table, draft->writings[at].bytes, room->arena, set, &room->err));
    return set;
}

static void names_of_one_act_share_their_file(void **state)
{
    struct room *const room = *state;
    struct printing printing;
    struct draft draft;
    printing_init(&printing, room->state, "small");
    print(room, &printing, "901-U0012A-1H", "CSF-A");
    print(room, &printing, "901-U0012A-1H-1W", "CSF-A");
    print(room, &printing, "901-U0012A-1H", "CSF-A"); /* asked for twice: printed once */
    print(room, &printing, "901-U0012A-1H", "CCSF");  /* on another scale it is another label */
    room_ok(room, printing_draft(&printing, NULL, &draft, &room->err));
    assert_string_equal(draft.line, "Labels: 3 printed as small");
    assert_int_equal(draft.writing_count, 1);
    assert_string_equal(draft.writings[0].path, PATH);
    const struct label_set *set = written(room, &draft, 0);
    assert_int_equal(set->label_count, 3);
    assert_int_equal(set->labels[0].copy, 0);
    assert_int_equal(set->labels[2].copy, 2); /* a copy more of the thing */
    assert_string_equal(set->labels[0].state, store_state(room->state->store));
    assert_int_equal(set->labels[0].printed.utc_us, room->state->now.utc_us);
    assert_string_equal(set->labels[0].layout, "small");
}

static void what_was_recorded_stays_and_counts(void **state)
{
    struct room *const room = *state;
    struct printing printing;
    struct printed_file file;
    struct draft draft;
    struct label before[] = {label_of("901-U0012A-1H", "CSF-A"), label_of("901-U0012A-1H-1W", "CSF-A")};
    struct label label = label_of("901-U0012A-1H", "CSF-A");
    for (size_t at = 0; at < 2; at++) {
        before[at].printed = room->state->now;
        before[at].state = store_state(room->state->store);
        before[at].layout = "strip";
    }
    before[0].copy = 4;
    const struct label_set recorded = {.hole = "U0012A", .core = 1, .labels = before, .label_count = 2};
    printing_init(&printing, room->state, "small");
    room_ok(room, printing_open(room->state, &printing, PATH, &recorded, 1, &file, &room->err));
    assert_false(printing_has(&file, "901-U0012A-1H", "CSF-A")); /* not by this act */
    room_ok(room, printing_add(&printing, &file, &label, &room->err));
    room_ok(room, printing_close(&printing, &file, &room->err));
    room_ok(room, printing_draft(&printing, "U0012A-1H", &draft, &room->err));
    assert_string_equal(draft.line, "Labels: 1 printed as small, U0012A-1H");
    const struct label_set *set = written(room, &draft, 0);
    assert_int_equal(set->label_count, 3);
    assert_string_equal(set->labels[1].layout, "strip");
    assert_int_equal(set->labels[2].copy, 5);
}

static void nothing_printed_is_nothing_to_write(void **state)
{
    struct room *const room = *state;
    const struct label_set none = {.hole = "U0012A", .core = 1};
    struct printing printing;
    struct printed_file file;
    struct draft draft;
    printing_init(&printing, room->state, "small");
    room_ok(room, printing_open(room->state, &printing, PATH, &none, 0, &file, &room->err));
    room_ok(room, printing_close(&printing, &file, &room->err));
    room_ok(room, printing_draft(&printing, NULL, &draft, &room->err));
    assert_int_equal(draft.writing_count, 0);
}

static void the_last_copy_is_the_last(void **state)
{
    struct room *const room = *state;
    struct printing printing;
    struct printed_file file;
    struct label before = label_of("901-U0012A-1H", "CSF-A");
    struct label label = before;
    before.copy = INT16_MAX - 1;
    const struct label_set recorded = {.hole = "U0012A", .core = 1, .labels = &before, .label_count = 1};
    printing_init(&printing, room->state, "small");
    room_ok(room, printing_open(room->state, &printing, PATH, &recorded, 2, &file, &room->err));
    room_ok(room, printing_add(&printing, &file, &label, &room->err));
    room_refused(room, printing_add(&printing, &file, &label, &room->err), STATUS_RULE,
                 "more than anybody can keep apart");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(names_of_one_act_share_their_file, room_open, room_close),
        cmocka_unit_test_setup_teardown(what_was_recorded_stays_and_counts, room_open, room_close),
        cmocka_unit_test_setup_teardown(nothing_printed_is_nothing_to_write, room_open, room_close),
        cmocka_unit_test_setup_teardown(the_last_copy_is_the_last, room_open, room_close),
    };
    return cmocka_run_group_tests_name("labels printed", tests, NULL, NULL);
}
