/* SPDX-License-Identifier: MIT */
/* From a typed name, or one that was resolved, to what it spans. */
#include "rooms/scene.h"

#include "coretally/state/span.h"

static const struct {
    const char *typed;
    const char *name;
    int64_t top_um; /* CSF-A */
    int64_t bottom_um;
} rows[] = {
    {"U0012A-1H", "901-U0012A-1H", 0, 3000000},
    {"u0012a-1h-2", "901-U0012A-1H-2", 1500000, 3000000},
    {"U0012A-1H-2, 10 cm", "901-U0012A-1H-2, 10 cm", 1600000, 1600000},
    {"U0012A-1H-1W, 45-47 cm", "901-U0012A-1H-1W, 45-47 cm", 450000, 470000},
    {"901-U0012A-1H-1W, 45-46 cm", "901-U0012A-1H-1W, 45-46 cm", 450000, 460000}, /* no sample */
};

static void a_name_resolved_once_spans_what_the_text_does(void **state)
{
    struct room *const room = *state;
    room_fill(room);
    for (size_t at = 0; at < sizeof rows / sizeof rows[0]; at++) {
        struct name name;
        struct span spans[2];
        struct depth top;
        struct depth bottom;
        room_ok(room, span_read(room->state, rows[at].typed, &spans[0], &room->err));
        room_ok(room, resolve_name(room->state, rows[at].typed, &name, &room->err));
        room_ok(room, span_named(room->state, rows[at].typed, &name, &spans[1], &room->err));
        for (size_t which = 0; which < 2; which++) {
            span_depths(&spans[which], SCALE_CSF_A, &top, &bottom);
            assert_string_equal(spans[which].name, rows[at].name);
            assert_int_equal(top.um, rows[at].top_um);
            assert_int_equal(bottom.um, rows[at].bottom_um);
        }
    }
}

static const struct {
    const char *typed;
    enum status status;
    const char *reason;
} refused[] = {
    {"U0012A", STATUS_INPUT, "this names a hole; a core is wanted here"},
    {"U0013A-BAG1", STATUS_INPUT, "this names a bag; a sample is wanted here"},
    {"U0012A-1H-7", STATUS_UNKNOWN, "this core has no section 7"},
    {"U0012A-1H-1, 160 cm", STATUS_RULE, "160.0 cm lies outside the section, which is 0-150.0 cm"},
    {"U0012A-1H-1W, 47-45 cm", STATUS_INPUT, ""},
};

static void what_spans_nothing_is_refused_alike(void **state)
{
    struct room *const room = *state;
    room_fill(room);
    for (size_t at = 0; at < sizeof refused / sizeof refused[0]; at++) {
        struct name name;
        struct span span;
        room_refused(room, span_read(room->state, refused[at].typed, &span, &room->err), refused[at].status,
                     refused[at].reason);
        room_ok(room, resolve_name(room->state, refused[at].typed, &name, &room->err));
        room_refused(room, span_named(room->state, refused[at].typed, &name, &span, &room->err), refused[at].status,
                     refused[at].reason);
    }
}

/* A sample is asked for by a key that it had: it is found, and told, where a sample is wanted. */
static void a_former_key_names_its_sample(void **state)
{
    struct room *const room = *state;
    struct name name;
    struct target target;
    struct span span;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/cores/0001.samples.json",
                     "'hole':'U0012A','core':1,'samples':["
                     "{'section':'1','half':'W','top_m':0.5,'bottom_m':0.52,'was':'1W,45-47','version':2}]");
    room_ok(room, resolve_name(room->state, "U0012A-1H-1W, 45-47 cm", &name, &room->err));
    room_ok(room, resolve_named(room->state, "U0012A-1H-1W, 45-47 cm", &name, NAME_SAMPLE, &target, &room->err));
    room_told(room, "U0012A-1H-1W, 45-47 cm was amended and is now 1W,50-52");
    assert_int_equal(target.samples.samples[target.sample].top_um, 500000);
    room_ok(room, span_named(room->state, "U0012A-1H-1W, 45-47 cm", &name, &span, &room->err));
    assert_string_equal(span.name, "901-U0012A-1H-1W, 50-52 cm");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_name_resolved_once_spans_what_the_text_does, room_open, room_close),
        cmocka_unit_test_setup_teardown(what_spans_nothing_is_refused_alike, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_former_key_names_its_sample, room_open, room_close),
    };
    return cmocka_run_group_tests_name("spans", tests, NULL, NULL);
}
