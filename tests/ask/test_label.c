/* SPDX-License-Identifier: MIT */
/* Labels held against today: which things carry them, whether they still show what they should, and what happened
 * since. */
#include "rooms/scene.h"

#include "coretally/ask/label_trace.h"

static const struct label_asked everything = {{true, true, true, true}, SCALE_COUNT};

/* Labels of core 1 as they are stored, each printed at the state that the registry has now. */
static void print_labels(struct room *room, const char *labels)
{
    char fields[SCENE_TEXT_MAX];
    (void)snprintf(fields, sizeof fields, "'hole':'U0012A','core':1,'labels':[%s]", labels);
    (void)room_write(room, "holes/U0012A/cores/0001.labels.json", fields);
}

static const char *label_text(struct room *room, const char *name, const char *shows)
{
    char text[1024];
    const char *kept = NULL;
    (void)snprintf(text, sizeof text,
                   "{'name':'%s','printed':'2026-03-01T04:30:00Z','state':'%s','scale':'CSF-A',%s,'layout':'small'}",
                   name, store_state(room->state->store), shows);
    room_ok(room, arena_copy(room->arena, text, strlen(text), &kept, &room->err));
    return kept;
}

/* --- which things there are --- */

struct seen {
    char names[1024];
    size_t labels;
};

static enum status note_things(struct state *state, void *context, struct things *things, struct err *err)
{
    struct seen *const seen = context;
    (void)state;
    (void)err;
    for (size_t at = 0; at < things->count; at++) {
        const size_t len = strlen(seen->names);
        (void)snprintf(seen->names + len, sizeof seen->names - len, "%s%s ", things->items[at].name,
                       things->items[at].kind == THING_GONE ? " (gone)" : "");
    }
    seen->labels += things->labels.label_count;
    return STATUS_OK;
}

static void things_of_a_core_stand_in_the_order_of_the_table(void **state)
{
    struct room *const room = *state;
    struct label_scope scope;
    struct seen seen = {.labels = 0};
    room_fill(room);
    room_ok(room, label_scope_of(room->state, &everything, "U0012A-1H", &scope, &room->err));
    room_ok(room, label_walk(room->state, &scope, note_things, &seen, &room->err));
    assert_string_equal(seen.names, "901-U0012A-1H 901-U0012A-1H-1W 901-U0012A-1H-1A 901-U0012A-1H-2W "
                                    "901-U0012A-1H-2A 901-U0012A-1H-1W,45-47 901-U0012A-1H-2W,10-20 ");
    assert_int_equal(seen.labels, 0);
}

static void what_is_labelled_alone_is_looked_at(void **state)
{
    struct room *const room = *state;
    struct label_scope scope;
    struct seen seen = {.labels = 0};
    room_fill(room);
    print_labels(room, label_text(room, "901-U0012A-1H-1W,99-100", "'top_m':0.99,'bottom_m':1"));
    room_ok(room, label_scope_of(room->state, &everything, NULL, &scope, &room->err));
    scope.is_labelled = true;
    room_ok(room, label_walk(room->state, &scope, note_things, &seen, &room->err));
    assert_non_null(strstr(seen.names, "901-U0012A-1H-1W,99-100 (gone)")); /* core 2 has no labels, and is not read */
    assert_null(strstr(seen.names, "2H"));
    assert_int_equal(seen.labels, 1);
}

static void a_place_has_no_label(void **state)
{
    struct room *const room = *state;
    struct label_scope scope;
    room_fill(room);
    room_refused(room, label_scope_of(room->state, &everything, "U0012A-1H-1, 45 cm", &scope, &room->err), STATUS_INPUT,
                 "a place in a section has no label");
}

static void labels_in_a_wrong_file_are_damage(void **state)
{
    struct room *const room = *state;
    struct label_scope scope;
    struct seen seen = {.labels = 0};
    room_fill(room);
    room_ok(room, label_scope_of(room->state, &everything, "U0012A-1H", &scope, &room->err));
    print_labels(room, label_text(room, "901-U0012A-2H", "'top_m':0.45,'bottom_m':0.47"));
    room_refused(room, label_walk(room->state, &scope, note_things, &seen, &room->err), STATUS_DAMAGED,
                 "does not belong here");
    print_labels(room, label_text(room, "901-U0012A-1H", "'top_m':0.45"));
    room_refused(room, label_walk(room->state, &scope, note_things, &seen, &room->err), STATUS_DAMAGED,
                 "shows half a depth");
}

/* --- the one in the hand --- */

static enum status report(struct room *room, const char *typed, struct label_report *out)
{
    struct name name;
    TRY(resolve_name(room->state, typed, &name, &room->err));
    return label_report(room->state, typed, &name, out, &room->err);
}

#define SAMPLE "901-U0012A-1H-1W,45-47"

static void a_label_that_shows_its_depth_is_fresh(void **state)
{
    struct room *const room = *state;
    struct label_report out;
    room_fill(room);
    print_labels(room, label_text(room, SAMPLE, "'top_m':0.45,'bottom_m':0.47"));
    room_ok(room, report(room, SAMPLE, &out));
    assert_int_equal(out.label_count, 1);
    assert_int_equal(out.hand_count, 1);
    assert_int_equal(out.hands[0].now.freshness, LABEL_FRESH);
    assert_true(out.hands[0].is_recorded);
    assert_null(out.stale);
    assert_false(out.labels[0].is_in_hand); /* it was typed, not scanned */
}

static void a_stale_label_tells_what_moved_its_thing(void **state)
{
    struct room *const room = *state;
    struct label_report out;
    room_fill(room);
    print_labels(room, label_text(room, SAMPLE, "'top_m':0.45,'bottom_m':0.47"));
    (void)room_write(room, "holes/U0012A/corrections/0001.json",
                     "'hole':'U0012A','number':1,'what':'shift','core':1,'amount_m':0.5,'reason':'fell'");
    (void)room_write(room, "holes/U0012A/cores/0001.json",
                     "'hole':'U0012A','number':1,'type':'H','top_m':3021.5,'bottom_m':3031,'datum':'rig-floor',"
                     "'recovered_m':3,'sections':[{'section':'1','curated_m':1.5},{'section':'2','curated_m':1.5}],"
                     "'version':2");
    room_ok(room, report(room, SAMPLE, &out));
    assert_ptr_equal(out.stale, &out.hands[0]);
    assert_int_equal(out.stale->now.freshness, LABEL_STALE);
    assert_int_equal(out.stale->now.top_um, 1050000);
    assert_null(out.stale->fresh);
    assert_int_equal(out.since.count, 2); /* the oldest first */
    assert_string_equal(out.since.items[0].cause, "correction 1 of U0012A (shift)");
    assert_int_equal(out.since.items[0].top_um, 500000);
    assert_string_equal(out.since.items[1].cause, "core amended");
    assert_int_equal(out.since.items[1].top_um, 100000);
    assert_string_equal(out.since.items[1].commit.author, "Test Person");
}

static void a_later_copy_that_is_right_is_named(void **state)
{
    struct room *const room = *state;
    struct label_report out;
    char both[2048];
    char text[SYMBOL_TEXT_MAX];
    struct label scanned = {.name = SAMPLE, .scale = "CSF-A", .top_um = 450000, .bottom_um = 470000};
    room_fill(room);
    const char *first = label_text(room, SAMPLE, "'top_m':0.45,'bottom_m':0.47");
    char printed_at[COMMIT_ID_MAX];
    (void)snprintf(printed_at, sizeof printed_at, "%s", store_state(room->state->store));
    scanned.state = printed_at;
    print_labels(room, first);
    (void)room_write(room, "holes/U0012A/corrections/0001.json",
                     "'hole':'U0012A','number':1,'what':'shift','core':1,'amount_m':0.5,'reason':'fell'");
    (void)snprintf(both, sizeof both, "%s,%s", first,
                   label_text(room, SAMPLE, "'top_m':0.95,'bottom_m':0.97,'copy':2"));
    label_symbol(&scanned, text);
    print_labels(room, both);
    room_ok(room, report(room, text, &out));
    assert_int_equal(out.label_count, 2);
    assert_true(out.labels[0].is_in_hand);
    assert_false(out.labels[1].is_in_hand);
    assert_non_null(out.stale);
    assert_int_equal(label_copy(out.stale->fresh), 2);
    room_ok(room, report(room, SAMPLE, &out)); /* typed, the newest is meant */
    assert_null(out.stale);
}

static void a_scanned_label_without_a_record_is_held_all_the_same(void **state)
{
    struct room *const room = *state;
    struct label_report out;
    char text[SYMBOL_TEXT_MAX];
    const struct label scanned = {.name = SAMPLE,
                                  .state = "0123456789012345678901234567890123456789",
                                  .scale = "CSF-A",
                                  .top_um = 440000,
                                  .bottom_um = 470000};
    room_fill(room);
    label_symbol(&scanned, text);
    room_ok(room, report(room, text, &out));
    assert_int_equal(out.label_count, 0);
    assert_non_null(out.stale);
    assert_false(out.stale->is_recorded);
    assert_string_equal(out.stale->label.name, SAMPLE);
    assert_int_equal(out.since.count, 0); /* neither its state nor its time is known here */
    room_told(room, "state 0123456789 of the label is not in this history");
}

static void a_label_of_what_is_withdrawn_is_gone(void **state)
{
    struct room *const room = *state;
    struct label_report out;
    struct name name;
    room_fill(room);
    print_labels(room, label_text(room, SAMPLE, "'top_m':0.45,'bottom_m':0.47"));
    (void)room_write(room, "holes/U0012A/cores/0001.samples.json",
                     "'hole':'U0012A','core':1,'samples':["
                     "{'section':'1','half':'W','top_m':0.45,'bottom_m':0.47,'withdrawn':'spilled'}]");
    room_ok(room, resolve_name(room->state, SAMPLE, &name, &room->err));
    room_ok(room, label_report(room->state, SAMPLE, &name, &out, &room->err));
    assert_int_equal(out.hands[0].now.freshness, LABEL_GONE);
    assert_string_equal(out.hands[0].now.why, "it is withdrawn");
    assert_null(out.stale);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(things_of_a_core_stand_in_the_order_of_the_table, room_open, room_close),
        cmocka_unit_test_setup_teardown(what_is_labelled_alone_is_looked_at, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_place_has_no_label, room_open, room_close),
        cmocka_unit_test_setup_teardown(labels_in_a_wrong_file_are_damage, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_label_that_shows_its_depth_is_fresh, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_stale_label_tells_what_moved_its_thing, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_later_copy_that_is_right_is_named, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_scanned_label_without_a_record_is_held_all_the_same, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_label_of_what_is_withdrawn_is_gone, room_open, room_close),
    };
    return cmocka_run_group_tests_name("labels", tests, NULL, NULL);
}
