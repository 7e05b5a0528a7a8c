/* SPDX-License-Identifier: MIT */
/* Days of a pump log withdrawn through their parameters. */
#include "rooms/scene.h"

#include "coretally/act/log.h"
#include "coretally/record/log_day.h"

/* Three days; only their names count here. The state stands at them after the next record. */
static void put_days(struct room *room, const char *const names[3])
{
    struct store *store = NULL;
    struct change changes[3];
    char paths[3][REGISTRY_PATH_MAX];
    const struct act act = scene_act("days");
    char id[COMMIT_ID_MAX];
    bool made = false;
    for (int at = 0; at < 3; at++) {
        int64_t day = 0;
        assert_true(day_parse(names[at], &day));
        log_day_path("U0013A", day, paths[at]);
        changes[at] = (struct change){.path = paths[at], .bytes = {"day\n", 4}};
    }
    room_ok(room, store_open(room->scene->registry, STORE_WRITE, NULL, &store, &room->err));
    room_ok(room, store_append(store, &act, changes, 3, false, id, &made, &room->err));
    store_close(store);
}

static void days_go_from_one_on(void **state)
{
    struct room *const room = *state;
    static const char *const names[] = {"2026-03-08", "2026-03-09", "2026-03-10"};
    struct target target;
    struct draft draft;
    int64_t from = 0;
    room_fill(room);
    assert_true(day_parse(names[1], &from));
    room_ok(room, resolve(room->state, "U0013A", NAME_HOLE, NAME_HOLE, &target, &room->err));
    room_refused(room, log_withdraw(room->state, &target, from, &draft, &room->err), STATUS_UNKNOWN,
                 "hole U0013A has no pump log from this day on");
    put_days(room, names);
    (void)room_write(room, "holes/U0014A/hole.json", "'site':'U0014','letter':'A','returns':'ship'");
    room_ok(room, log_withdraw(room->state, &target, from, &draft, &room->err));
    assert_string_equal(draft.line, "Pump log of U0013A withdrawn from 2026-03-09 on: 2 days");
    assert_int_equal(draft.writing_count, 2);
    assert_true(draft.needs_reason);
    for (size_t at = 0; at < 2; at++) {
        assert_null(draft.writings[at].table);
        assert_null(draft.writings[at].bytes.data);
        assert_non_null(strstr(draft.writings[at].path, names[at + 1]));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(days_go_from_one_on, room_open, room_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
