/* SPDX-License-Identifier: MIT */
/* A pump log against a registry: taken in, taken in again with more rows, faults, doubts, and a basis that is gone. */
#include "rooms/scene.h"

#include "coretally/intake/log_take.h"

static void fill(struct room *room)
{
    room_fill(room);
    (void)room_write(room, "holes/U0013A/pumps.json",
                     "'hole':'U0013A','pumps':[{'number':1,'name':'1','from':'2026-01-01T00:00:00Z','kind':'measured',"
                     "'output_m3':0.016}]");
}

static enum status take(struct room *room, const struct log_asked *asked, const char *text, struct target *target,
                        struct log_take *out)
{
    *out = (struct log_take){0};
    room_ok(room, resolve(room->state, "U0013A", NAME_HOLE, NAME_HOLE, target, &room->err));
    TRY(log_take_open(room->state, target, asked, out, &room->err));
    FILE *in = fmemopen((void *)(uintptr_t)text, strlen(text), "rb");
    assert_non_null(in);
    const enum status status = log_take_file(out, in, &room->err);
    (void)fclose(in);
    return status;
}

/* The day as the draft has it, put down. */
static void record(struct room *room, const struct draft *draft)
{
    struct store *store = NULL;
    struct act act = scene_act(draft->line);
    char id[COMMIT_ID_MAX];
    bool made = false;
    assert_int_equal(draft->writing_count, 1);
    const struct change change = {.path = draft->writings[0].path, .bytes = draft->writings[0].bytes};
    room_ok(room, store_open(room->scene->registry, STORE_WRITE, NULL, &store, &room->err));
    room_ok(room, store_append(store, &act, &change, 1, false, id, &made, &room->err));
    store_close(store);
    (void)room_write(room, "holes/U0012A/cores/0003.json",
                     "'hole':'U0012A','number':3,'type':'H','top_m':3040.4,'datum':'rig-floor'"); /* stands at it */
}

#define HEADER "time,hole_m,strokes_1\n"
#define FIRST "2026-02-01T00:00:00Z,3100,10\n2026-02-01T00:00:30Z,3100,40\n"
#define MORE "2026-02-01T00:01:00Z,3101,70\n"

static const struct log_asked plain = {.file = "-", .gap_us = 60000000};

static void a_log_that_grew_is_taken_in_from_where_it_ended(void **state)
{
    struct room *const room = *state;
    struct log_take *log = calloc(1, sizeof *log);
    struct target target;
    struct draft draft;
    assert_non_null(log);
    fill(room);
    room_ok(room, take(room, &plain, HEADER FIRST, &target, log));
    room_told(room, "note: 2 rows, 2026-02-01T00:00:00Z to 2026-02-01T00:00:30Z: a step of 30 s on average");
    assert_int_equal(log->added, 2);
    room_ok(room, log_draft(log, &draft, &room->err));
    assert_string_equal(draft.line, "Pump log of U0013A: 2 rows, 2026-02-01T00:00:00Z to 2026-02-01T00:00:30Z, pump 1");
    assert_string_equal(draft.writings[0].path, "holes/U0013A/log/2026-02-01.log");
    record(room, &draft);
    log_take_clear(log);
    room_ok(room, take(room, &plain, HEADER FIRST, &target, log));
    assert_int_equal(log->added, 0);
    assert_int_equal(log->present, 2);
    log_take_clear(log);
    room_ok(room, take(room, &plain, HEADER FIRST MORE, &target, log));
    assert_int_equal(log->added, 1);
    room_ok(room, log_draft(log, &draft, &room->err));
    assert_non_null(strstr(draft.line, "1 row, 2026-02-01T00:01:00Z"));
    assert_non_null(strstr(draft.line, "; 2 already recorded"));
    log_take_clear(log);
    room_refused(
        room, take(room, &plain, HEADER "2026-02-01T00:00:30Z,3100,41\n", &target, log), STATUS_EXISTS,
        "this time is recorded with other values: strokes 1 is 40 strokes there, and the file says 41 strokes");
    log_take_clear(log);
    room_refused(room, take(room, &plain, HEADER "2026-02-01T00:00:10Z,3100,20\n", &target, log), STATUS_EXISTS,
                 "it lies before the end of the log");
    log_take_clear(log);
    free(log);
}

static void a_fault_is_told_and_refused_unless_it_is_bridged(void **state)
{
    static const char text[] = HEADER FIRST "2026-02-01T00:05:00Z,3101,70\n";
    struct room *const room = *state;
    struct log_take *log = calloc(1, sizeof *log);
    struct target target;
    struct draft draft;
    struct log_asked bridged = plain;
    struct log_asked wide = plain;
    assert_non_null(log);
    fill(room);
    room_refused(room, take(room, &plain, text, &target, log), STATUS_RULE,
                 "1 fault in 3 rows is not bridged; nothing was recorded");
    room_told(room, "\ngap: 1 time, first at line 4 (2026-02-01T00:05:00Z)");
    log_take_clear(log);
    bridged.bridge = 1U << LOG_FAULT_GAP;
    room_ok(room, take(room, &bridged, text, &target, log));
    room_told(room, "\nnote: gap: 1 time, first at line 4");
    room_ok(room, log_draft(log, &draft, &room->err));
    assert_non_null(strstr(draft.line, ", pump 1; bridged: gap (1)"));
    log_take_clear(log);
    wide.gap_us = INT64_C(600000000);
    room_ok(room, take(room, &wide, text, &target, log));
    assert_null(strstr(room->told, "gap: "));
    log_take_clear(log);
    free(log);
}

static void what_is_doubted_is_kept_when_it_is_sure(void **state)
{
    static const char text[] = HEADER "2026-02-01T00:00:00Z,1000,10\n";
    struct room *const room = *state;
    struct log_take *log = calloc(1, sizeof *log);
    struct target target;
    struct log_asked sure = plain;
    assert_non_null(log);
    fill(room);
    room_refused(room, take(room, &plain, text, &target, log), STATUS_RULE,
                 "the hole at 1000.000 m lies above the seafloor at 3000.000 m below rig floor");
    log_take_clear(log);
    room->told[0] = '\0';
    sure.is_sure = true;
    room_ok(room, take(room, &sure, text, &target, log));
    room_told(room, "(kept: --sure)\n");
    assert_string_equal(log->kept.words, "above-seafloor");
    log_take_clear(log);
    free(log);
}

/* A look at a growing log that must not repeat its notes has a state without a sink. */
static void a_state_without_a_sink_is_told_nothing(void **state)
{
    struct room *const room = *state;
    struct log_take *log = calloc(1, sizeof *log);
    struct target target;
    assert_non_null(log);
    fill(room);
    room->state->sink = NULL;
    room_ok(room, take(room, &plain, "time,hole_m,strokes_1,mud\n2026-02-01T00:00:00Z,3100,10,x\n", &target, log));
    room_told(room, NULL);
    log_take_clear(log);
    room->state->sink = &room->sink;
    room_ok(room, take(room, &plain, "time,hole_m,strokes_1,mud\n2026-02-01T00:00:00Z,3100,10,x\n", &target, log));
    room_told(room, "note: columns not used: mud\n");
    log_take_clear(log);
    free(log);
}

static void another_act_meanwhile_is_a_conflict(void **state)
{
    struct room *const room = *state;
    struct log_take *log = calloc(1, sizeof *log);
    struct log_basis basis;
    struct target target;
    assert_non_null(log);
    fill(room);
    room_ok(room, take(room, &plain, HEADER FIRST, &target, log));
    room_ok(room, log_basis_read(room->state, log, &basis, &room->err));
    (void)room_write(room, "holes/U0012A/cores/0003.json",
                     "'hole':'U0012A','number':3,'type':'H','top_m':3040.4,'datum':'rig-floor'"); /* another hole */
    room_ok(room, log_basis_check(room->state, log, &basis, &room->err));
    (void)room_write(room, "holes/U0013A/pumps.json",
                     "'hole':'U0013A','pumps':[{'number':1,'name':'1','from':'2026-01-01T00:00:00Z','kind':'measured',"
                     "'output_m3':0.017}]");
    room_refused(room, log_basis_check(room->state, log, &basis, &room->err), STATUS_CONFLICT, "another act changed");
    log_take_clear(log);
    free(log);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_log_that_grew_is_taken_in_from_where_it_ended, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_fault_is_told_and_refused_unless_it_is_bridged, room_open, room_close),
        cmocka_unit_test_setup_teardown(what_is_doubted_is_kept_when_it_is_sure, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_state_without_a_sink_is_told_nothing, room_open, room_close),
        cmocka_unit_test_setup_teardown(another_act_meanwhile_is_a_conflict, room_open, room_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
