/* SPDX-License-Identifier: MIT */
/* Two states side by side, and what an act moves: what differs, counted and thing by thing. */
#include "rooms/scene.h"

#include "coretally/ask/compare.h"
#include "coretally/ask/moves.h"

#define CORE_1 "holes/U0012A/cores/0001.json"
#define CORE_2 "holes/U0012A/cores/0002.json"
#define SAMPLES_1 "holes/U0012A/cores/0001.samples.json"

/* Two states of the registry of a room. */
struct pair {
    struct store *stores[2];
    struct state sides[2];
    struct state *states[2];
};

static void pair_open(struct room *room, const char *from, struct pair *out)
{
    for (int side = 0; side < 2; side++) {
        room_ok(room, store_open_beside(room->state->store, side ? NULL : from, &out->stores[side], &room->err));
        state_at(room->state, out->stores[side], &out->sides[side]);
        out->states[side] = &out->sides[side];
    }
}

static void pair_close(struct pair *pair)
{
    store_close(pair->stores[0]);
    store_close(pair->stores[1]);
}

/* What is handed on, a line each. */
struct lines {
    char text[4096];
};

static enum status note_change(void *context, const struct compare_change *change, struct err *err)
{
    static const char *const words[] = {"stays", "added", "back", "withdrawn", "not there", "renamed", "amended"};
    struct lines *const lines = context;
    const size_t len = strlen(lines->text);
    (void)err;
    (void)snprintf(lines->text + len, sizeof lines->text - len, "%s: %s%s%s%s%s\n", change->name, words[change->became],
                   change->former ? " was " : "", change->former ? change->former : "",
                   change->is_moved ? " moved " : "", change->is_moved ? change->scale : "");
    return STATUS_OK;
}

static const struct compare_row *find_row(const struct compare_rows *rows, const char *hole, int what)
{
    for (size_t at = 0; at < rows->count; at++)
        if (strcmp(rows->items[at].hole, hole) == 0 && rows->items[at].what == what)
            return &rows->items[at];
    return NULL;
}

/* The present against an earlier state; lines of what differs. */
static void compare(struct room *room, const char *from, const char *hole, struct compare_rows *rows,
                    struct lines *lines)
{
    const struct compare_asked asked = {
        .scale = SCALE_CSF_A, .hole = hole, .take = lines ? note_change : NULL, .context = lines};
    struct pair pair;
    if (lines)
        lines->text[0] = '\0';
    pair_open(room, from, &pair);
    room_ok(room, compare_states(pair.states, &asked, rows, &room->err));
    pair_close(&pair);
}

/* The commit where the registry stands; it outlives the store. */
static const char *here(struct room *room)
{
    const char *at = store_state(room->state->store);
    room_ok(room, arena_copy(room->arena, at, strlen(at), &at, &room->err));
    return at;
}

static void a_state_does_not_differ_from_itself(void **state)
{
    struct room *const room = *state;
    struct compare_rows rows;
    struct lines lines;
    room_fill(room);
    compare(room, here(room), NULL, &rows, &lines);
    assert_int_equal(rows.count, 0);
    assert_string_equal(lines.text, "");
}

static void a_seafloor_moves_all_of_its_hole(void **state)
{
    struct room *const room = *state;
    struct compare_rows rows;
    room_fill(room);
    const char *from =
        room_write(room, "holes/U0013A/cores/0001.json",
                   "'hole':'U0013A','number':1,'type':'H','top_m':3000,'bottom_m':3009,'datum':'rig-floor',"
                   "'recovered_m':1,'sections':[{'section':'1','curated_m':1}]");
    (void)room_write(room, "holes/U0012A/hole.json",
                     "'site':'U0012','letter':'A','seafloor_m':3021.5,'seafloor_by':'tagged','returns':'seafloor',"
                     "'version':2");
    compare(room, from, NULL, &rows, NULL);
    assert_int_equal(rows.count, 4);
    const struct compare_row *cores = find_row(&rows, "U0012A", REACH_CORES);
    assert_int_equal(cores->moved.moved, 2);
    assert_int_equal(cores->moved.least_um, -100000);
    assert_int_equal(cores->changes.amended, 0);
    assert_string_equal(cores->scale, "CSF-A");
    assert_int_equal(find_row(&rows, "U0012A", REACH_SECTIONS)->moved.moved, 4);
    assert_int_equal(find_row(&rows, "U0012A", REACH_SAMPLES)->moved.moved, 2);
    const struct compare_row *hole = find_row(&rows, "U0012A", COMPARE_HOLE);
    assert_int_equal(hole->changes.amended, 1);
    assert_null(hole->scale);
}

/* Counted as a whole and thing by thing, it is the same. */
static void counts_do_not_hang_on_who_listens(void **state)
{
    struct room *const room = *state;
    struct compare_rows counted;
    struct compare_rows listed;
    struct lines lines;
    room_fill(room);
    const char *from = here(room);
    (void)room_write(room, "holes/U0012A/corrections/0001.json",
                     "'hole':'U0012A','number':1,'what':'shift','core':1,'amount_m':0.5,'reason':'fell'");
    compare(room, from, NULL, &counted, NULL);
    compare(room, from, NULL, &listed, &lines);
    assert_string_equal(lines.text, "correction 1 of U0012A: added\n"
                                    "901-U0012A-1H: stays moved CSF-A\n"
                                    "901-U0012A-1H-1: stays moved CSF-A\n"
                                    "901-U0012A-1H-2: stays moved CSF-A\n"
                                    "901-U0012A-1H-1W, 45-47 cm: stays moved CSF-A\n"
                                    "901-U0012A-1H-2W, 10-20 cm: stays moved CSF-A\n");
    assert_int_equal(counted.count, 4);
    assert_int_equal(listed.count, counted.count);
    for (size_t at = 0; at < listed.count; at++) {
        assert_int_equal(listed.items[at].what, counted.items[at].what);
        assert_int_equal(listed.items[at].moved.moved, counted.items[at].moved.moved);
        assert_int_equal(listed.items[at].moved.greatest_um, counted.items[at].moved.greatest_um);
    }
}

static void what_became_of_a_sample_is_told(void **state)
{
    struct room *const room = *state;
    struct compare_rows rows;
    struct lines lines;
    room_fill(room);
    const char *first = here(room);
    const char *second =
        room_write(room, SAMPLES_1,
                   "'hole':'U0012A','core':1,'samples':["
                   "{'section':'1','half':'W','top_m':0.46,'bottom_m':0.47,'purpose':'isotopes','was':'1W,45-47',"
                   "'version':2},"
                   "{'section':'2','half':'W','top_m':0.1,'bottom_m':0.2,'purpose':'tests','withdrawn':'lost',"
                   "'version':2},"
                   "{'section':'2','half':'W','top_m':0.3,'bottom_m':0.4,'purpose':'tests'}]");
    compare(room, first, NULL, &rows, &lines);
    assert_string_equal(lines.text, "901-U0012A-1H-1W, 46-47 cm: renamed was 901-U0012A-1H-1W, 45-47 cm moved CSF-A\n"
                                    "901-U0012A-1H-2W, 10-20 cm: withdrawn\n"
                                    "901-U0012A-1H-2W, 30-40 cm: added\n");
    const struct compare_row *row = find_row(&rows, "U0012A", REACH_SAMPLES);
    assert_int_equal(row->changes.added, 1);
    assert_int_equal(row->changes.withdrawn, 1);
    assert_int_equal(row->changes.renamed, 1);
    assert_int_equal(row->moved.moved, 1);
    (void)room_write(room, SAMPLES_1,
                     "'hole':'U0012A','core':1,'samples':["
                     "{'section':'1','half':'W','top_m':0.46,'bottom_m':0.47,'purpose':'tests','was':'1W,45-47',"
                     "'version':3},"
                     "{'section':'2','half':'W','top_m':0.1,'bottom_m':0.2,'purpose':'tests','version':3}]");
    compare(room, second, NULL, &rows, &lines);
    assert_string_equal(lines.text, "901-U0012A-1H-1W, 46-47 cm: amended\n"
                                    "901-U0012A-1H-2W, 10-20 cm: back\n"
                                    "901-U0012A-1H-2W, 30-40 cm: not there\n");
}

static void one_hole_is_asked_about_alone(void **state)
{
    struct room *const room = *state;
    struct compare_rows rows;
    room_fill(room);
    const char *from = here(room);
    (void)room_write(room, "holes/U0013A/hole.json",
                     "'site':'U0013','letter':'A','seafloor_m':3001,'seafloor_by':'tagged','returns':'ship',"
                     "'version':2");
    (void)room_write(room, "holes/U0012A/drilled.json",
                     "'hole':'U0012A','intervals':[{'number':1,'top_m':3040.4,'bottom_m':3050,'datum':'rig-floor'}]");
    compare(room, from, "U0012A", &rows, NULL);
    assert_int_equal(rows.count, 1);
    assert_int_equal(rows.items[0].what, COMPARE_DRILLED);
    assert_int_equal(rows.items[0].changes.added, 1);
    compare(room, from, NULL, &rows, NULL);
    assert_int_equal(rows.count, 2);
    assert_string_equal(rows.items[1].hole, "U0013A");
}

static void a_core_is_found_under_its_other_number(void **state)
{
    struct room *const room = *state;
    struct compare_rows rows;
    struct lines lines;
    room_fill(room);
    const char *from = here(room);
    (void)room_write(room, CORE_2, NULL);
    (void)room_write(room, "holes/U0012A/cores/0003.json",
                     "'hole':'U0012A','number':3,'type':'X','top_m':3030.9,'bottom_m':3040.4,'datum':'rig-floor',"
                     "'recovered_m':9.5,'was':'2H','sections':[{'section':'1','curated_m':5},"
                     "{'section':'2','curated_m':5}],'version':2");
    (void)room_write(room, "holes/U0012A/renamed.json",
                     "'hole':'U0012A','renamings':[{'number':1,'from':'2H','to':'3X'}]");
    compare(room, from, NULL, &rows, &lines);
    assert_string_equal(lines.text, "901-U0012A-3X: renamed was 901-U0012A-2H\n");
    assert_int_equal(find_row(&rows, "U0012A", REACH_CORES)->changes.renamed, 1);
}

/* --- what an act moves --- */

static void find_moves(struct room *room, const char *from, const struct moves_asked *asked,
                       const struct touched *touched, struct moves_parts *out)
{
    struct pair pair;
    pair_open(room, from, &pair);
    room_ok(room, moves_find(pair.states, asked, touched, 1, out, &room->err));
    pair_close(&pair);
}

/* What the present says of a path, as the change that an act would make. */
static void touch(struct room *room, const char *from, const char *path, struct touched **out, size_t *count)
{
    struct change change = {.path = path};
    struct pair pair;
    room_ok(room, state_bytes(room->state, path, &change.bytes, &room->err));
    pair_open(room, from, &pair);
    room_ok(room, touched_find(pair.states[0], &change, 1, false, out, count, &room->err));
    pair_close(&pair);
}

static void an_advance_shows_on_one_scale_alone(void **state)
{
    struct room *const room = *state;
    struct touched *touched = NULL;
    struct moves_parts parts;
    struct lines lines = {""};
    const struct moves_asked asked = {.take = note_change, .context = &lines};
    size_t count = 0;
    room_fill(room);
    const char *from = here(room);
    (void)room_write(room, CORE_2,
                     "'hole':'U0012A','number':2,'type':'H','top_m':3030.9,'bottom_m':3038.9,'datum':'rig-floor',"
                     "'recovered_m':9.5,'sections':[{'section':'1','curated_m':5},{'section':'2','curated_m':5}],"
                     "'version':2");
    touch(room, from, CORE_2, &touched, &count);
    assert_int_equal(count, 1);
    assert_false(touched[0].whole);
    assert_int_equal(touched[0].core_count, 1);
    assert_int_equal(touched[0].cores[0], 2);
    find_moves(room, from, &asked, touched, &parts);
    assert_int_equal(parts.count, 1);
    assert_int_equal(parts.items[0].reach.scale, SCALE_CSF_B);
    assert_int_equal(parts.items[0].reach.counts[REACH_CORES].moved, 1);
    assert_int_equal(parts.items[0].reach.counts[REACH_SECTIONS].moved, 2);
    assert_int_equal(parts.items[0].reach.counts[REACH_SECTIONS].least_um, -750000);
    assert_string_equal(lines.text, "901-U0012A-2H: amended moved CSF-B\n"
                                    "901-U0012A-2H-1: stays moved CSF-B\n"
                                    "901-U0012A-2H-2: stays moved CSF-B\n");
}

static void a_top_is_told_on_the_first_scale_alone(void **state)
{
    struct room *const room = *state;
    struct touched *touched = NULL;
    struct moves_parts parts;
    struct lines lines = {""};
    const struct moves_asked asked = {.take = note_change, .context = &lines};
    size_t count = 0;
    room_fill(room);
    const char *from = here(room);
    (void)room_write(room, CORE_2,
                     "'hole':'U0012A','number':2,'type':'H','top_m':3031.9,'bottom_m':3041.4,'datum':'rig-floor',"
                     "'recovered_m':9.5,'sections':[{'section':'1','curated_m':5},{'section':'2','curated_m':5}],"
                     "'version':2");
    touch(room, from, CORE_2, &touched, &count);
    find_moves(room, from, &asked, touched, &parts);
    assert_int_equal(parts.count, 1);
    assert_int_equal(parts.items[0].reach.scale, SCALE_CSF_A);
    assert_int_equal(parts.items[0].reach.counts[REACH_SECTIONS].least_um, 1000000);
    assert_null(strstr(lines.text, "CSF-B"));
}

static void a_hole_is_touched_as_a_whole(void **state)
{
    struct room *const room = *state;
    const struct moves_asked all = {.is_brief = false};
    const struct moves_asked brief = {.is_brief = true};
    struct touched *touched = NULL;
    struct moves_parts parts;
    size_t count = 0;
    room_fill(room);
    const char *from = here(room);
    (void)room_write(room, "holes/U0012A/hole.json",
                     "'site':'U0012','letter':'A','seafloor_m':3021.5,'seafloor_by':'tagged','returns':'seafloor',"
                     "'version':2");
    touch(room, from, "holes/U0012A/hole.json", &touched, &count);
    assert_int_equal(count, 1);
    assert_true(touched[0].whole);
    assert_false(touched[0].way);
    find_moves(room, from, &all, touched, &parts);
    assert_int_equal(parts.count, 1);
    assert_int_equal(parts.items[0].reach.counts[REACH_CORES].moved, 2);
    assert_int_equal(parts.items[0].reach.counts[REACH_SAMPLES].moved, 2);
    find_moves(room, from, &brief, touched, &parts);
    assert_int_equal(parts.items[0].reach.counts[REACH_CORES].moved, 2);
    assert_int_equal(parts.items[0].reach.counts[REACH_SECTIONS].moved, 0);
    assert_int_equal(parts.items[0].reach.counts[REACH_SAMPLES].moved, 0);
}

static void a_sample_more_touches_nothing(void **state)
{
    struct room *const room = *state;
    struct touched *touched = NULL;
    size_t count = 0;
    room_fill(room);
    const char *from = here(room);
    (void)room_write(room, SAMPLES_1,
                     "'hole':'U0012A','core':1,'samples':["
                     "{'section':'1','half':'W','top_m':0.45,'bottom_m':0.47,'purpose':'isotopes'},"
                     "{'section':'2','half':'W','top_m':0.1,'bottom_m':0.2,'purpose':'tests'},"
                     "{'section':'2','half':'W','top_m':0.3,'bottom_m':0.4,'purpose':'tests'}]");
    touch(room, from, SAMPLES_1, &touched, &count);
    assert_int_equal(count, 0);
}

static void a_watched_name_has_its_depth_in_both(void **state)
{
    struct room *const room = *state;
    struct past_asked asked = {"U0012A-1H-1W, 45-47 cm", SCALE_COUNT};
    struct watched watched;
    struct pair pair;
    room_fill(room);
    const char *from = here(room);
    (void)room_write(room, CORE_1,
                     "'hole':'U0012A','number':1,'type':'H','top_m':3022.4,'bottom_m':3030.9,'datum':'rig-floor',"
                     "'recovered_m':3,'sections':[{'section':'1','curated_m':1.5},{'section':'2','curated_m':1.5}],"
                     "'version':2");
    pair_open(room, from, &pair);
    room_ok(room, moves_watch(pair.states, &asked, &watched, &room->err));
    assert_int_equal(watched.before_um, 450000);
    assert_int_equal(watched.after_um, 1450000);
    assert_string_equal(watched.scale, "CSF-A");
    asked.typed = "U0012A-9H-1";
    room_refused(room, moves_watch(pair.states, &asked, &watched, &room->err), STATUS_UNKNOWN, "no core");
    pair_close(&pair);
}

#define WITH_ROOM(test) cmocka_unit_test_setup_teardown(test, room_open, room_close)

int main(void)
{
    const struct CMUnitTest tests[] = {
        WITH_ROOM(a_state_does_not_differ_from_itself),  WITH_ROOM(a_seafloor_moves_all_of_its_hole),
        WITH_ROOM(counts_do_not_hang_on_who_listens),    WITH_ROOM(what_became_of_a_sample_is_told),
        WITH_ROOM(one_hole_is_asked_about_alone),        WITH_ROOM(a_core_is_found_under_its_other_number),
        WITH_ROOM(an_advance_shows_on_one_scale_alone),  WITH_ROOM(a_top_is_told_on_the_first_scale_alone),
        WITH_ROOM(a_hole_is_touched_as_a_whole),         WITH_ROOM(a_sample_more_touches_nothing),
        WITH_ROOM(a_watched_name_has_its_depth_in_both),
    };
    return cmocka_run_group_tests_name("compare", tests, NULL, NULL);
}
