/* SPDX-License-Identifier: MIT */
/* What is known of one thing by its name; part of a name; a list of names. */
#include "rooms/scene.h"

#include "coretally/ask/convert.h"
#include "coretally/ask/trace.h"
#include "coretally/ask/trace_names.h"
#include "coretally/ask/trace_part.h"

#define M INT64_C(1000000)

static enum status look(struct room *room, const char *typed, struct trace *out)
{
    struct name name;
    TRY(resolve_name(room->state, typed, &name, &room->err));
    return trace_look(room->state, typed, &name, out, &room->err);
}

static void a_sample_is_found_with_its_place(void **state)
{
    struct room *const room = *state;
    struct trace trace;
    room_fill(room);
    room_ok(room, look(room, "U0012A-1H-2W, 10-20 cm", &trace));
    assert_string_equal(trace.name, "901-U0012A-1H-2W, 10-20 cm");
    assert_null(trace.bag);
    assert_string_equal(trace.sample->purpose, "tests");
    assert_int_equal(trace.section_start_um, 1500000);
    assert_int_equal(trace.core_top_um, 3021400000);
    assert_int_equal(trace.core_bottom_um, 3030900000);
    assert_int_equal(trace.part_count, 0);
    assert_int_equal(trace.moved_count, 0);
}

static void an_interval_that_is_no_sample_has_none(void **state)
{
    struct room *const room = *state;
    struct trace trace;
    room_fill(room);
    room_ok(room, look(room, "U0012A-1H-2W, 11-12 cm", &trace));
    assert_null(trace.sample);
    assert_non_null(trace.span);
}

static void parts_of_a_sample_are_those_that_stand(void **state)
{
    struct room *const room = *state;
    struct trace trace;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/cores/0001.samples.json",
                     "'hole':'U0012A','core':1,'samples':[{'section':'1','half':'W','top_m':0.45,'bottom_m':0.47},"
                     "{'section':'1','half':'W','top_m':0.45,'bottom_m':0.46,'of':'1W,45-47','number':1},"
                     "{'section':'1','half':'W','top_m':0.46,'bottom_m':0.47,'of':'1W,45-47','number':2,"
                     "'withdrawn':'spilled'}]");
    room_ok(room, look(room, "U0012A-1H-1W, 45-47 cm", &trace));
    assert_int_equal(trace.part_count, 1);
    assert_int_equal(trace.parts[0]->bottom_um, 460000);
}

static void a_correction_is_told_on_the_first_scale_that_shows_it(void **state)
{
    struct room *const room = *state;
    struct trace trace;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/corrections/0001.json",
                     "'hole':'U0012A','number':1,'what':'tally','top_m':3030,'amount_m':0.5,'reason':'pup joint'");
    room_ok(room, look(room, "U0012A-2H-1, 10 cm", &trace));
    assert_int_equal(trace.moved_count, 1);
    assert_int_equal(trace.moved[0].correction->number, 1);
    assert_int_equal(trace.moved[0].amount_um, 500000);
    assert_int_equal(trace.moved[0].scale, SCALE_CSF_A);
    assert_string_equal(trace.moved[0].commit.id, store_state(room->state->store));
    room_ok(room, look(room, "U0012A-1H-1, 10 cm", &trace)); /* it begins below this core */
    assert_int_equal(trace.moved_count, 0);
}

static void what_is_not_there_is_refused(void **state)
{
    struct room *const room = *state;
    struct trace trace;
    room_fill(room);
    room_refused(room, look(room, "U0012A-3H", &trace), STATUS_UNKNOWN, "has no core 3");
    room_refused(room, look(room, "U0013A-BAG1", &trace), STATUS_UNKNOWN, "it is not recorded");
}

/* --- part of a name --- */

static const struct {
    const char *typed;
    const char *whole;
    enum name_level level;
    const char *told;
} parts[] = {
    {"U0012A-1H-1W, 45-47 cm", "U0012A-1H-1W, 45-47 cm", NAME_SAMPLE, NULL}, /* whole */
    {"1H-1, 45", "901-U0012A-1H-1W, 45-47 cm", NAME_SAMPLE,
     "note: '1H-1, 45' is 901-U0012A-1H-1W, 45-47 cm"},                                                 /* no hole */
    {"U0012A-1H-2, 10-20", "901-U0012A-1H-2W, 10-20 cm", NAME_SAMPLE, "is 901-U0012A-1H-2W, 10-20 cm"}, /* no half */
    {"U0012A-2H-1, 45 cm", "U0012A-2H-1, 45 cm", NAME_POINT, NULL},                                     /* a place */
    {"U0012A-9H", "U0012A-9H", NAME_CORE, NULL},                                                        /* nothing */
};

static void part_of_a_name_finds_the_one_thing(void **state)
{
    struct room *const room = *state;
    room_fill(room);
    for (size_t at = 0; at < sizeof parts / sizeof parts[0]; at++) {
        const char *whole = NULL;
        struct name name;
        room_ok(room, trace_part(room->state, parts[at].typed, &whole, &name, &room->err));
        assert_string_equal(whole, parts[at].whole);
        assert_int_equal(name.level, parts[at].level);
        room_told(room, parts[at].told);
    }
}

static void part_of_a_name_that_fits_two_things_is_refused(void **state)
{
    struct room *const room = *state;
    const char *whole = NULL;
    struct name name;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/cores/0001.samples.json",
                     "'hole':'U0012A','core':1,'samples':[{'section':'1','half':'W','top_m':0.45,'bottom_m':0.47},"
                     "{'section':'1','half':'A','top_m':0.45,'bottom_m':0.5}]");
    const enum status status = trace_part(room->state, "1H-1, 45", &whole, &name, &room->err);
    assert_non_null(strstr(room->err.hint, "901-U0012A-1H-1W, 45-47 cm; 901-U0012A-1H-1A, 45-50 cm"));
    room_refused(room, status, STATUS_INPUT, "fits 2 things");
}

/* --- a list of names --- */

static void names_of_a_list_have_their_spans(void **state)
{
    struct room *const room = *state;
    struct trace_names names = {.state = room->state};
    struct span span;
    struct depth top;
    struct depth bottom;
    room_fill(room);
    room_ok(room, trace_names_span(&names, "U0012A-1H-1W, 45-47 cm", true, &span, &room->err));
    span_depths(&span, SCALE_CSF_A, &top, &bottom);
    assert_int_equal(top.um, 450000);
    assert_int_equal(bottom.um, 470000);
    room_refused(room, trace_names_span(&names, "U0012A-1H-1W, 46-47 cm", true, &span, &room->err), STATUS_UNKNOWN,
                 "no such sample is recorded");
    room_ok(room, trace_names_span(&names, "U0012A-1H-1W, 46-47 cm", false, &span, &room->err));
    room_refused(room, trace_names_span(&names, "U0012A-1R", true, &span, &room->err), STATUS_UNKNOWN, "is 1H, not 1R");
    room_refused(room, trace_names_span(&names, "U0012A-7H", true, &span, &room->err), STATUS_UNKNOWN, "has no core 7");
    room_refused(room, trace_names_span(&names, "U0012A", true, &span, &room->err), STATUS_INPUT, "names no core");
    room_refused(room, trace_names_span(&names, "902-U0012A-1H", true, &span, &room->err), STATUS_UNKNOWN,
                 "belongs to expedition 901");
}

static void former_keys_find_their_sample(void **state)
{
    struct room *const room = *state;
    struct trace_names names = {.state = room->state};
    struct span span;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/cores/0001.samples.json",
                     "'hole':'U0012A','core':1,'samples':["
                     "{'section':'1','half':'W','top_m':0.4,'bottom_m':0.47,'was':'1W,45-47 1W,44-47','version':3},"
                     "{'section':'1','half':'W','top_m':0.44,'bottom_m':0.47}]");
    room_ok(room, trace_names_span(&names, "U0012A-1H-1W, 45-47 cm", true, &span, &room->err));
    assert_string_equal(span.name, "901-U0012A-1H-1W, 40-47 cm");
    room_ok(room, trace_names_span(&names, "U0012A-1H-1W, 44-47 cm", true, &span, &room->err)); /* it is there now */
    assert_string_equal(span.name, "901-U0012A-1H-1W, 44-47 cm");
}

static void a_scanned_label_is_held_against_its_span(void **state)
{
    struct room *const room = *state;
    struct trace_names names = {.state = room->state};
    struct label label = {.name = "901-U0012A-1H-1W,45-47",
                          .state = "0123456789012345678901234567890123456789",
                          .scale = "CSF-A",
                          .top_um = 450000,
                          .bottom_um = 470000};
    char text[SYMBOL_TEXT_MAX];
    struct span span;
    room_fill(room);
    label_symbol(&label, text);
    room_ok(room, trace_names_span(&names, text, true, &span, &room->err));
    assert_false(trace_names_is_stale(&names, &span));
    label.bottom_um = 471000;
    label_symbol(&label, text);
    room_ok(room, trace_names_span(&names, text, true, &span, &room->err));
    assert_true(trace_names_is_stale(&names, &span));
    room_ok(room, trace_names_span(&names, label.name, true, &span, &room->err)); /* a name alone shows nothing */
    assert_false(trace_names_is_stale(&names, &span));
}

/* --- from one scale to another --- */

static enum status convert(struct room *room, enum scale from, enum scale to, int64_t um, struct core_word core,
                           struct converted *out)
{
    struct target target;
    struct convert opened;
    TRY(resolve(room->state, "U0012A", NAME_HOLE, NAME_HOLE, &target, &room->err));
    TRY(convert_open(room->state, &target, from, to, &opened, &room->err));
    return convert_depth(&opened, um, core, out, &room->err);
}

static void a_depth_is_converted_through_the_core_that_holds_it(void **state)
{
    struct room *const room = *state;
    struct converted out;
    const struct core_word none = {0};
    room_fill(room);
    room_ok(room, convert(room, SCALE_DRF, SCALE_DSF, 3031400000, none, &out));
    assert_int_equal(out.depth.um, 10 * M);
    assert_null(out.core);
    /* Core 2 has 10 m in a run of 9.5 m: CSF-B keeps it within the run, and CSF-A does not. */
    room_ok(room, convert(room, SCALE_CSF_A, SCALE_CSF_B, 19500000, none, &out));
    assert_int_equal(out.core->number, 2);
    assert_int_equal(out.depth.um, 19 * M);
    room_refused(room, convert(room, SCALE_CSF_A, SCALE_CSF_B, 5 * M, none, &out), STATUS_RULE,
                 "no core holds this depth");
    room_refused(room, convert(room, SCALE_CSF_A, SCALE_CSF_B, 10 * M, (struct core_word){2, 'X'}, &out),
                 STATUS_UNKNOWN, "core 2 of hole U0012A is 2H, not 2X");
    room_refused(room, convert(room, SCALE_DRF, SCALE_CSF_A, 10 * M, none, &out), STATUS_RULE,
                 "no conversion is defined");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_sample_is_found_with_its_place, room_open, room_close),
        cmocka_unit_test_setup_teardown(an_interval_that_is_no_sample_has_none, room_open, room_close),
        cmocka_unit_test_setup_teardown(parts_of_a_sample_are_those_that_stand, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_correction_is_told_on_the_first_scale_that_shows_it, room_open, room_close),
        cmocka_unit_test_setup_teardown(what_is_not_there_is_refused, room_open, room_close),
        cmocka_unit_test_setup_teardown(part_of_a_name_finds_the_one_thing, room_open, room_close),
        cmocka_unit_test_setup_teardown(part_of_a_name_that_fits_two_things_is_refused, room_open, room_close),
        cmocka_unit_test_setup_teardown(names_of_a_list_have_their_spans, room_open, room_close),
        cmocka_unit_test_setup_teardown(former_keys_find_their_sample, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_scanned_label_is_held_against_its_span, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_depth_is_converted_through_the_core_that_holds_it, room_open, room_close),
    };
    return cmocka_run_group_tests_name("trace", tests, NULL, NULL);
}
