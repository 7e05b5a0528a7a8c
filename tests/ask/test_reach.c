/* SPDX-License-Identifier: MIT */
/* What a change of corrections moves, item by item, in its hole and in what hangs on that. */
#include "rooms/scene.h"

#include "coretally/ask/reach.h"

static const struct reach_asked everything = {.is_brief = false};

static void add_correction(struct room *room, int number, const char *what)
{
    char path[REGISTRY_PATH_MAX];
    char fields[SCENE_TEXT_MAX];
    correction_path("U0012A", number, path);
    (void)snprintf(fields, sizeof fields, "'hole':'U0012A','number':%d,%s,'reason':'measured'", number, what);
    (void)room_write(room, path, fields);
}

/* Core 1 lies 0.5 m deeper, with its two sections and two samples. */
static void shift_first(struct room *room)
{
    room_fill(room);
    add_correction(room, 1, "'what':'shift','core':1,'amount_m':0.5");
}

/* The parts of a correction, behind what is there. */
static void add_parts(struct room *room, int32_t number, struct reach_parts *parts)
{
    struct correction_roll roll;
    struct reach_part part;
    room_ok(room, correction_roll_open(room->state, "U0012A", &roll, &room->err));
    room_ok(room, reach_part_of(room->state, &roll, correction_roll_find(&roll, number), &part, &room->err));
    room_ok(room, reach_parts_add(room->state, &part, parts, &room->err));
}

static void find(struct room *room, const struct reach_asked *asked, int32_t number, struct reach_parts *out)
{
    *out = (struct reach_parts){0};
    add_parts(room, number, out);
    room_ok(room, reach_find(room->state, asked, out, &room->err));
}

static void counts_are(const struct reach *reach, size_t cores, size_t sections, size_t samples)
{
    assert_int_equal(reach->counts[REACH_CORES].moved, cores);
    assert_int_equal(reach->counts[REACH_SECTIONS].moved, sections);
    assert_int_equal(reach->counts[REACH_SAMPLES].moved, samples);
}

static void a_shift_moves_all_of_its_core(void **state)
{
    struct room *const room = *state;
    struct reach_parts parts;
    shift_first(room);
    find(room, &everything, 1, &parts);
    assert_int_equal(parts.count, 1);
    const struct reach *reach = &parts.items[0]->reach;
    counts_are(reach, 1, 2, 2);
    assert_int_equal(reach->scale, SCALE_CSF_A);
    assert_int_equal(reach->counts[REACH_SAMPLES].least_um, 500000);
    assert_int_equal(reach->counts[REACH_SAMPLES].greatest_um, 500000);
    assert_int_equal(reach_mean(&reach->counts[REACH_SAMPLES]), 500000);
    assert_int_equal(reach->upset_count, 0);
}

static void in_brief_cores_alone_are_counted(void **state)
{
    struct room *const room = *state;
    const struct reach_asked brief = {.is_brief = true};
    struct reach_parts parts;
    shift_first(room);
    find(room, &brief, 1, &parts);
    counts_are(&parts.items[0]->reach, 1, 0, 0);
}

struct samples {
    char names[4][NAME_TEXT_MAX];
    struct reach_sample items[4];
    size_t count;
};

static enum status note_sample(void *context, const struct reach_sample *sample, struct err *err)
{
    struct samples *const samples = context;
    (void)err;
    assert_true(samples->count < 4);
    (void)snprintf(samples->names[samples->count], NAME_TEXT_MAX, "%s", sample->name);
    samples->items[samples->count++] = *sample;
    return STATUS_OK;
}

static enum status refuse_sample(void *context, const struct reach_sample *sample, struct err *err)
{
    (void)context;
    return err_set(err, STATUS_SYSTEM, sample->name, "no more is taken");
}

static void samples_that_move_are_handed_on(void **state)
{
    struct room *const room = *state;
    struct samples samples = {.count = 0};
    const struct reach_asked each = {.take = note_sample, .context = &samples};
    struct reach_parts parts;
    shift_first(room);
    find(room, &each, 1, &parts);
    counts_are(&parts.items[0]->reach, 1, 2, 2);
    assert_int_equal(samples.count, 2);
    assert_string_equal(samples.names[0], "901-U0012A-1H-1W, 45-47 cm");
    assert_int_equal(samples.items[0].before_um, 450000);
    assert_int_equal(samples.items[0].after_um, 950000);
    assert_string_equal(samples.names[1], "901-U0012A-1H-2W, 10-20 cm");
    assert_int_equal(samples.items[1].before_um, 1600000);
    assert_int_equal(samples.items[1].scale, SCALE_CSF_A);
}

static void who_takes_samples_may_end_it(void **state)
{
    struct room *const room = *state;
    const struct reach_asked each = {.take = refuse_sample};
    struct reach_parts parts = {0};
    shift_first(room);
    add_parts(room, 1, &parts);
    room_refused(room, reach_find(room->state, &each, &parts, &room->err), STATUS_SYSTEM, "no more is taken");
}

/* However many corrections are asked about, each is told what it would be told alone. */
static void many_are_found_at_once(void **state)
{
    struct room *const room = *state;
    struct reach_parts together = {0};
    shift_first(room);
    add_correction(room, 2, "'what':'tally','top_m':3030,'amount_m':-0.3");
    add_correction(room, 3, "'what':'seafloor','seafloor_m':3021,'seafloor_by':'camera'");
    for (int32_t number = 1; number <= 3; number++)
        add_parts(room, number, &together);
    room_ok(room, reach_find(room->state, &everything, &together, &room->err));
    assert_int_equal(together.count, 3);
    for (int32_t number = 1; number <= 3; number++) {
        struct reach_parts alone;
        find(room, &everything, number, &alone);
        assert_memory_equal(&alone.items[0]->reach, &together.items[number - 1]->reach, sizeof(struct reach));
    }
    counts_are(&together.items[1]->reach, 1, 2, 0);
    assert_int_equal(together.items[1]->reach.counts[REACH_CORES].least_um, -300000);
    counts_are(&together.items[2]->reach, 2, 4, 2);
}

static void what_hangs_on_the_hole_moves_with_it(void **state)
{
    struct room *const room = *state;
    struct reach_parts parts;
    room_fill(room);
    (void)room_write(room, "holes/U0012B/hole.json",
                     "'site':'U0012','letter':'B','parent':'U0012A','kickoff_m':3030,'returns':'seafloor'");
    (void)room_write(room, "holes/U0012B/cores/0001.json",
                     "'hole':'U0012B','number':1,'type':'R','top_m':3031,'bottom_m':3040,'datum':'rig-floor',"
                     "'recovered_m':1,'sections':[{'section':'1','curated_m':1}]");
    add_correction(room, 1, "'what':'seafloor','seafloor_m':3021,'seafloor_by':'camera'");
    find(room, &everything, 1, &parts);
    assert_int_equal(parts.count, 2);
    assert_string_equal(parts.items[1]->target.hole_name, "U0012B");
    counts_are(&parts.items[1]->reach, 1, 1, 0);
    assert_int_equal(parts.items[1]->reach.counts[REACH_CORES].least_um, 400000);
    struct reach_part back = *parts.items[0]; /* as it is withdrawn */
    back.with = parts.items[0]->without;
    back.without = parts.items[0]->with;
    parts = (struct reach_parts){0};
    room_ok(room, reach_parts_add(room->state, &back, &parts, &room->err));
    room_ok(room, reach_find(room->state, &everything, &parts, &room->err));
    assert_int_equal(parts.items[1]->reach.counts[REACH_CORES].least_um, -400000);
    add_correction(room, 2, "'what':'shift','core':1,'amount_m':0.5"); /* of a core: hangs on nothing */
    find(room, &everything, 2, &parts);
    assert_int_equal(parts.items[0]->reach.counts[REACH_CORES].moved, 1);
    for (size_t at = 1; at < parts.count; at++)
        assert_true(reach_is_empty(&parts.items[at]->reach));
}

static void an_order_upset_names_the_core(void **state)
{
    struct room *const room = *state;
    struct reach_parts parts;
    room_fill(room);
    add_correction(room, 1, "'what':'shift','core':2,'amount_m':-9.6");
    find(room, &everything, 1, &parts);
    assert_int_equal(parts.items[0]->reach.upset_count, 1);
    assert_int_equal(parts.items[0]->reach.upsets[0], 2);
}

/* --- labels --- */

static void label_first(struct room *room, const char *name)
{
    char fields[SCENE_TEXT_MAX];
    (void)snprintf(fields, sizeof fields,
                   "'hole':'U0012A','core':1,'labels':[{'name':'%s','printed':'2026-03-01T04:30:00Z','state':'%s',"
                   "'scale':'CSF-A','top_m':0.45,'bottom_m':0.47,'layout':'small'}]",
                   name, store_state(room->state->store));
    (void)room_write(room, "holes/U0012A/cores/0001.labels.json", fields);
}

static void labels_go_stale_and_come_right(void **state)
{
    struct room *const room = *state;
    struct reach_parts parts;
    shift_first(room);
    label_first(room, "901-U0012A-1H-1W,45-47");
    find(room, &everything, 1, &parts);
    assert_int_equal(parts.items[0]->reach.labels_stale, 1);
    assert_int_equal(parts.items[0]->reach.labels_fresh, 0);
    const struct hole with = parts.items[0]->with;
    parts.items[0]->with = parts.items[0]->without; /* the other way */
    parts.items[0]->without = with;
    room_ok(room, reach_find(room->state, &everything, &parts, &room->err));
    assert_int_equal(parts.items[0]->reach.labels_stale, 0);
    assert_int_equal(parts.items[0]->reach.labels_fresh, 1);
}

static void labels_that_do_not_belong_are_told_once_and_stop_nothing(void **state)
{
    struct room *const room = *state;
    struct reach_parts parts = {0};
    shift_first(room);
    add_correction(room, 2, "'what':'tally','top_m':3030,'amount_m':-0.3");
    label_first(room, "901-U0013A-1H-1W,45-47");
    add_parts(room, 1, &parts);
    add_parts(room, 2, &parts);
    room_ok(room, reach_find(room->state, &everything, &parts, &room->err));
    counts_are(&parts.items[0]->reach, 1, 2, 2);
    const char *const told = strstr(room->told, "labels not looked at");
    assert_non_null(told);
    assert_null(strstr(told + 1, "labels not looked at"));
    room_told(room, "does not belong here");
}

/* --- watched names --- */

static void a_name_is_watched_where_it_lies(void **state)
{
    struct room *const room = *state;
    struct reach_parts parts;
    struct watched watched;
    shift_first(room);
    (void)room_write(room, "holes/U0013A/cores/0001.json",
                     "'hole':'U0013A','number':1,'type':'H','top_m':3000,'bottom_m':3009,'datum':'rig-floor',"
                     "'recovered_m':1,'sections':[{'section':'1','curated_m':1}]");
    find(room, &everything, 1, &parts);
    room_ok(room, reach_watch(room->state, parts.items[0], "U0012A-1H-2, 10 cm", &watched, &room->err));
    assert_int_equal(watched.where, WATCHED_HERE);
    assert_string_equal(watched.name, "901-U0012A-1H-2, 10 cm");
    assert_string_equal(watched.scale, "CSF-A");
    assert_int_equal(watched.before_um, 1600000);
    assert_int_equal(watched.after_um, 2100000);
    room_ok(room, reach_watch(room->state, parts.items[0], "U0013A-1H-1", &watched, &room->err));
    assert_int_equal(watched.where, WATCHED_ELSEWHERE);
    room_ok(room, reach_watch(room->state, parts.items[0], "U0013A-BAG1", &watched, &room->err));
    assert_int_equal(watched.where, WATCHED_BAG);
    room_refused(room, reach_watch(room->state, parts.items[0], "U0012A-1H-7", &watched, &room->err), STATUS_UNKNOWN,
                 "no section");
}

#define WITH_ROOM(test) cmocka_unit_test_setup_teardown(test, room_open, room_close)

int main(void)
{
    const struct CMUnitTest tests[] = {
        WITH_ROOM(a_shift_moves_all_of_its_core),
        WITH_ROOM(in_brief_cores_alone_are_counted),
        WITH_ROOM(samples_that_move_are_handed_on),
        WITH_ROOM(who_takes_samples_may_end_it),
        WITH_ROOM(many_are_found_at_once),
        WITH_ROOM(what_hangs_on_the_hole_moves_with_it),
        WITH_ROOM(an_order_upset_names_the_core),
        WITH_ROOM(labels_go_stale_and_come_right),
        WITH_ROOM(labels_that_do_not_belong_are_told_once_and_stop_nothing),
        WITH_ROOM(a_name_is_watched_where_it_lies),
    };
    return cmocka_run_group_tests_name("reach", tests, NULL, NULL);
}
