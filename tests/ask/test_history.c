/* SPDX-License-Identifier: MIT */
/* Every change of a depth: one thing looked at after each act that touched what its depth rests on. */
#include "rooms/scene.h"

#include "coretally/ask/past_walk.h"
#include "coretally/base/limits.h"

struct step {
    bool is_join;
    char cause[120];
    int64_t from_um;
    int64_t to_um;
    char name[NAME_TEXT_MAX];
    char commit[COMMIT_ID_MAX];
};

struct steps {
    struct step items[128];
    size_t count;
};

static enum status note_step(struct state *state, void *context, const struct past_step *step, struct err *err)
{
    struct steps *const steps = context;
    (void)state;
    (void)err;
    assert_true(steps->count < 128);
    struct step *const out = &steps->items[steps->count++];
    (void)snprintf(out->cause, sizeof out->cause, "%s", step->cause);
    (void)snprintf(out->name, sizeof out->name, "%s", step->newer->name);
    (void)snprintf(out->commit, sizeof out->commit, "%s", step->commit->id);
    out->is_join = step->is_join;
    out->from_um = step->older->top_um;
    out->to_um = step->newer->top_um;
    return STATUS_OK;
}

static enum status walk(struct room *room, const char *typed, enum scale scale, const char *since, struct steps *out)
{
    const struct past_asked asked = {typed, scale};
    struct past past;
    char ids[1][COMMIT_ID_MAX] = {""};
    const struct commits states = {.ids = ids, .count = 1};
    out->count = 0;
    (void)snprintf(ids[0], COMMIT_ID_MAX, "%s", since ? since : "");
    TRY(past_open(room->state, &asked, &past, &room->err));
    return past_walk(room->state, &past, since ? &states : NULL, note_step, out, &room->err);
}

static void a_depth_is_followed_back_to_its_record(void **state)
{
    struct room *const room = *state;
    struct steps steps = {.count = 0};
    room_fill(room);
    const char *const shift =
        room_write(room, "holes/U0012A/corrections/0001.json",
                   "'hole':'U0012A','number':1,'what':'shift','core':1,'amount_m':0.5,'reason':'fell'");
    const char *const withdrawn =
        room_write(room, "holes/U0012A/corrections/0001.json",
                   "'hole':'U0012A','number':1,'what':'shift','core':1,'amount_m':0.5,'reason':'pup "
                   "joint','withdrawn':'counted','version':2");
    room_ok(room, walk(room, "U0012A-1H-1W, 45-47 cm", SCALE_COUNT, NULL, &steps));
    assert_int_equal(steps.count, 3); /* the newest first */
    assert_string_equal(steps.items[0].commit, withdrawn);
    assert_string_equal(steps.items[0].cause, "correction 1 of U0012A (shift) withdrawn");
    assert_int_equal(steps.items[0].from_um, 950000);
    assert_int_equal(steps.items[0].to_um, 450000);
    assert_string_equal(steps.items[1].commit, shift);
    assert_string_equal(steps.items[1].cause, "correction 1 of U0012A (shift)");
    assert_string_equal(steps.items[2].cause, "sample recorded");
    assert_int_equal(steps.items[2].from_um, LENGTH_NONE);
}

static void acts_that_move_nothing_are_left_out(void **state)
{
    struct room *const room = *state;
    struct steps steps = {.count = 0};
    room_fill(room);
    (void)room_write(room, "holes/U0012A/hole.json",
                     "'site':'U0012','letter':'A','seafloor_m':3021.4,'seafloor_by':'tagged','returns':'seafloor',"
                     "'remark':'a calm day','version':2");
    room_ok(room, walk(room, "U0012A-2H", SCALE_COUNT, NULL, &steps));
    assert_int_equal(steps.count, 1);
    assert_string_equal(steps.items[0].cause, "core recorded");
    room_ok(room, walk(room, "U0012A-2H", SCALE_DRF, NULL, &steps)); /* on the scale that is asked for */
    assert_int_equal(steps.items[0].to_um, 3030900000);
}

static void a_walk_stops_at_the_state_that_it_begins_after(void **state)
{
    struct room *const room = *state;
    struct steps steps = {.count = 0};
    room_fill(room);
    char then[COMMIT_ID_MAX];
    (void)snprintf(then, sizeof then, "%s", store_state(room->state->store));
    room_ok(room, walk(room, "U0012A-1H", SCALE_COUNT, then, &steps));
    assert_int_equal(steps.count, 0);
    (void)room_write(room, "holes/U0012A/corrections/0001.json",
                     "'hole':'U0012A','number':1,'what':'shift','core':1,'amount_m':0.5,'reason':'fell'");
    room_ok(room, walk(room, "U0012A-1H", SCALE_COUNT, then, &steps));
    assert_int_equal(steps.count, 1);
    assert_string_equal(steps.items[0].cause, "correction 1 of U0012A (shift)");
}

static void a_sample_is_followed_under_its_former_name(void **state)
{
    struct room *const room = *state;
    struct steps steps = {.count = 0};
    room_fill(room);
    (void)room_write(room, "holes/U0012A/cores/0001.samples.json",
                     "'hole':'U0012A','core':1,'samples':["
                     "{'section':'1','half':'W','top_m':0.5,'bottom_m':0.52,'was':'1W,45-47','version':2}]");
    room_ok(room, walk(room, "U0012A-1H-1W, 50-52 cm", SCALE_COUNT, NULL, &steps));
    assert_int_equal(steps.count, 2);
    assert_string_equal(steps.items[0].cause, "sample amended, was 901-U0012A-1H-1W, 45-47 cm");
    assert_string_equal(steps.items[1].name, "901-U0012A-1H-1W, 45-47 cm");
    assert_int_equal(steps.items[1].to_um, 450000);
}

static void a_sidetrack_moves_with_its_parent(void **state)
{
    struct room *const room = *state;
    struct steps steps = {.count = 0};
    room_fill(room);
    (void)room_write(room, "holes/U0012S/hole.json",
                     "'site':'U0012','letter':'S','seafloor_m':3021.4,'seafloor_by':'tagged','returns':'seafloor',"
                     "'parent':'U0012A','kickoff_m':3050");
    (void)room_write(room, "holes/U0012S/cores/0001.json",
                     "'hole':'U0012S','number':1,'type':'H','top_m':3060,'bottom_m':3069.5,'datum':'rig-floor',"
                     "'recovered_m':3,'sections':[{'section':'1','curated_m':3}]");
    (void)room_write(room, "holes/U0012A/corrections/0001.json",
                     "'hole':'U0012A','number':1,'what':'tally','bottom_m':3050,'amount_m':0.5,'reason':'pup joint'");
    room_ok(room, walk(room, "U0012S-1H", SCALE_COUNT, NULL, &steps));
    assert_int_equal(steps.count, 1); /* what the parent was corrected by does not carry over below the kickoff */
    (void)room_write(room, "holes/U0012S/corrections/0001.json",
                     "'hole':'U0012S','number':1,'what':'shift','core':1,'amount_m':0.25,'reason':'fell'");
    room_ok(room, walk(room, "U0012S-1H", SCALE_COUNT, NULL, &steps));
    assert_int_equal(steps.count, 2);
    assert_string_equal(steps.items[0].cause, "correction 1 of U0012S (shift)");
    assert_int_equal(steps.items[0].to_um - steps.items[0].from_um, 250000);
}

/* A file of samples so long that versions of it fill what the walk keeps (HISTORY_SHELF_BYTES) more than twice. */
enum { SAMPLES = 4000, SAMPLE_BYTES = 100, VERSIONS = 40 };

static void write_samples(struct room *room, int version)
{
    const size_t size = SAMPLES * SAMPLE_BYTES + 100;
    char *const text = malloc(size);
    assert_non_null(text);
    size_t len = (size_t)snprintf(text, size, "'hole':'U0012A','core':2,'samples':[");
    for (int at = 0; at < SAMPLES; at++)
        len += (size_t)snprintf(text + len, size - len, "%s{'section':'1','half':'W','top_m':%.3f,'bottom_m':%.3f%s}",
                                at ? "," : "", at / 1e3, (at + 1) / 1e3,
                                at == 0 && version % 2 ? ",'withdrawn':'spilled'" : "");
    len += (size_t)snprintf(text + len, size - len,
                            ",{'section':'2','half':'W','top_m':0,'bottom_m':1,'remark':'version %d'}]", version);
    assert_true(len < size);
    (void)room_write(room, "holes/U0012A/cores/0002.samples.json", text);
    free(text);
}

static void a_long_history_is_walked_whole(void **state)
{
    struct room *const room = *state;
    struct steps steps = {.count = 0};
    room_fill(room);
    for (int version = 0; version < VERSIONS; version++)
        write_samples(room, version);
    const size_t before = room->arena->used;
    room_ok(room, walk(room, "U0012A-2H-1W, 0-0.1 cm", SCALE_COUNT, NULL, &steps));
    assert_int_equal(steps.count, VERSIONS);
    for (size_t at = 0; at < VERSIONS; at++)
        assert_string_equal(steps.items[at].cause, at == VERSIONS - 1 ? "sample recorded"
                                                   : at % 2           ? "sample brought back"
                                                                      : "sample withdrawn");
    assert_in_range(room->arena->used - before, 0, HISTORY_SHELF_BYTES / 8); /* what it read is gone */
}

static const char *keep_tip(struct room *room)
{
    const char *out = NULL;
    const char *const id = store_state(room->state->store);
    room_ok(room, arena_copy(room->arena, id, strlen(id), &out, &room->err));
    return out;
}

static const struct step *find_step(const struct steps *steps, const char *commit, int64_t from_um)
{
    for (size_t at = 0; at < steps->count; at++)
        if (strcmp(steps->items[at].commit, commit) == 0 && steps->items[at].from_um == from_um)
            return &steps->items[at];
    fail_msg("no step of %.10s from %lld", commit, (long long)from_um);
    return NULL;
}

static void each_act_of_a_joined_history_moves_on_its_own_line(void **state)
{
    struct room *const room = *state;
    struct steps steps = {.count = 0};
    room_fill(room);
    const char *const base = keep_tip(room);
    const char *const ship =
        room_write(room, "holes/U0012A/corrections/0001.json",
                   "'hole':'U0012A','number':1,'what':'shift','core':1,'amount_m':0.5,'reason':'fell'");
    room_go(room, base);
    const char *const shore =
        room_write(room, "holes/U0012A/cores/0001.json",
                   "'hole':'U0012A','number':1,'type':'H','top_m':3021.6,'bottom_m':3030.9,'datum':'rig-floor',"
                   "'recovered_m':3,'version':2,'sections':[{'section':'1','curated_m':1.5},{'section':'2',"
                   "'curated_m':1.5}]");
    for (int turn = 0; turn < 2; turn++) {
        const char *const joined = room_join(room, turn ? ship : shore, turn ? shore : ship);
        room_ok(room, walk(room, "U0012A-1H-1W, 45-47 cm", SCALE_COUNT, NULL, &steps));
        assert_int_equal(steps.count, 5);
        assert_true(steps.items[0].is_join && steps.items[1].is_join);
        const struct step *const on_ship = find_step(&steps, joined, 950000);
        const struct step *const on_shore = find_step(&steps, joined, 650000);
        assert_int_equal(on_ship->to_um, 1150000);
        assert_int_equal(on_shore->to_um, 1150000);
        assert_memory_equal(on_ship->cause, "joined, on the side of ", 23);
        assert_memory_equal(on_ship->cause + 23, ship, 10);
        assert_memory_equal(on_shore->cause + 23, shore, 10);
        assert_string_equal(steps.items[2].commit, shore); /* the later one */
        assert_string_equal(steps.items[2].cause, "core amended");
        assert_int_equal(steps.items[2].to_um - steps.items[2].from_um, 200000);
        assert_string_equal(steps.items[3].commit, ship);
        assert_string_equal(steps.items[3].cause, "correction 1 of U0012A (shift)");
        assert_int_equal(steps.items[3].to_um - steps.items[3].from_um, 500000);
        assert_string_equal(steps.items[4].cause, "sample recorded");
        room_ok(room, walk(room, "U0012A-1H-1W, 45-47 cm", SCALE_COUNT, ship, &steps)); /* since a state of one side */
        const struct step *const others = find_step(&steps, shore, 450000);
        assert_int_equal(others->to_um, 650000);
        for (size_t at = 0; at < steps.count; at++)
            assert_string_not_equal(steps.items[at].commit, ship);
    }
}

/* Unlike the other side's sample of the same interval, which kept the number. */
static void a_sample_renumbered_by_a_join_is_followed_to_its_own_act(void **state)
{
    struct room *const room = *state;
    struct steps steps = {.count = 0};
    room_fill(room);
    const char *const base = keep_tip(room);
    const char *const ship = room_write(room, "holes/U0012A/cores/0002.samples.json",
                                        "'hole':'U0012A','core':2,'samples':[{'section':'1','half':'W','top_m':0.6,"
                                        "'bottom_m':0.62,'requester':'Okonjo'}]");
    room_go(room, base);
    (void)room_write(room, "holes/U0012A/corrections/0001.json",
                     "'hole':'U0012A','number':1,'what':'shift','core':2,'amount_m':0.5,'reason':'fell'");
    const char *const shore = room_write(room, "holes/U0012A/cores/0002.samples.json",
                                         "'hole':'U0012A','core':2,'samples':[{'section':'1','half':'W','top_m':0.6,"
                                         "'bottom_m':0.62,'requester':'Brandt'}]");
    (void)room_join(room, ship, shore);
    room_ok(room, walk(room, "U0012A-2H-1W, 60-62 cm", SCALE_COUNT, NULL, &steps));
    for (size_t at = 0; at < steps.count; at++)
        assert_string_not_equal(steps.items[at].commit, shore);
    assert_string_equal(steps.items[steps.count - 1].commit, ship);
    assert_string_equal(steps.items[steps.count - 1].cause, "sample recorded");
    room_ok(room, walk(room, "U0012A-2H-1W, 60-62 cm #2", SCALE_COUNT, NULL, &steps));
    for (size_t at = 0; at < steps.count; at++)
        assert_string_not_equal(steps.items[at].commit, ship);
    assert_string_equal(steps.items[steps.count - 1].commit, shore);
    assert_string_equal(steps.items[steps.count - 1].name, "901-U0012A-2H-1W, 60-62 cm");
    assert_string_equal(steps.items[steps.count - 1].cause, "sample recorded");
}

static void what_has_no_history_is_refused(void **state)
{
    struct room *const room = *state;
    struct steps steps = {.count = 0};
    room_fill(room);
    room_refused(room, walk(room, "U0012A", SCALE_COUNT, NULL, &steps), STATUS_INPUT, "this is a hole");
    room_refused(room, walk(room, "U0013A-BAG1", SCALE_CSF_A, NULL, &steps), STATUS_RULE,
                 "what is taken at the shaker has no CSF-A");
    room_refused(room, walk(room, "U0013A-BAG1", SCALE_COUNT, NULL, &steps), STATUS_UNKNOWN, "it is not recorded");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_depth_is_followed_back_to_its_record, room_open, room_close),
        cmocka_unit_test_setup_teardown(acts_that_move_nothing_are_left_out, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_walk_stops_at_the_state_that_it_begins_after, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_sample_is_followed_under_its_former_name, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_sidetrack_moves_with_its_parent, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_long_history_is_walked_whole, room_open, room_close),
        cmocka_unit_test_setup_teardown(each_act_of_a_joined_history_moves_on_its_own_line, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_sample_renumbered_by_a_join_is_followed_to_its_own_act, room_open,
                                        room_close),
        cmocka_unit_test_setup_teardown(what_has_no_history_is_refused, room_open, room_close),
    };
    return cmocka_run_group_tests_name("history", tests, NULL, NULL);
}
