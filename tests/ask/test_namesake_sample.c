/* SPDX-License-Identifier: MIT */
/* Samples that had one key on two lines of a history which were joined since, with what was taken from them. */
#include "two_lines.h"

#include "coretally/ask/trace_names.h"
#include "coretally/state/namesake.h"

#define SAMPLE_FILE "holes/U0012A/cores/0002.samples.json"
#define SAMPLES(items) "'hole':'U0012A','core':2,'samples':[" items "]"
#define SAMPLE_OF(who) "{'section':'1','half':'W','top_m':0.45,'bottom_m':0.47,'requester':'" who "'}"
#define SUB_OF(who)                                                                                                    \
    "{'section':'1','half':'W','top_m':0.45,'bottom_m':0.47,'of':'1W,45-47','number':1,'requester':'" who "'}"
#define SHOWS "'scale':'CSF-A','top_m':9.95,'bottom_m':9.97"
#define SAMPLE_LABELS "holes/U0012A/cores/0002.labels.json"

/* A sample of one interval on each side, with a sub-sample where with_subs; that of the shore is #2 since. */
static struct lines two_samples(struct room *room, const char *ship_has, const char *shore_has)
{
    struct lines lines;
    room_fill(room);
    lines.fork = state_now(room);
    lines.ship = room_write(room, SAMPLE_FILE, ship_has);
    print_label(room, SAMPLE_LABELS, "'hole':'U0012A','core':2", "901-U0012A-2H-1W,45-47", SHOWS);
    const char *ship = state_now(room);
    stand_back(room, lines.fork);
    lines.shore = room_write(room, SAMPLE_FILE, shore_has);
    print_label(room, SAMPLE_LABELS, "'hole':'U0012A','core':2", "901-U0012A-2H-1W,45-47", SHOWS);
    lines.joined = join_lines(room, ship, state_now(room));
    return lines;
}

static const char *whose_sample(struct room *room, const char *typed)
{
    struct target target;
    room_ok(room, resolve(room->state, typed, NAME_SAMPLE, NAME_SAMPLE, &target, &room->err));
    return target.samples.samples[target.sample].requester;
}

static const char *whose_span(struct room *room, const char *typed)
{
    struct span span;
    room_ok(room, span_read(room->state, typed, &span, &room->err));
    return span.target.samples.samples[span.target.sample].requester;
}

/* As a row of a table. */
static const char *whose_row(struct room *room, struct trace_names *names, const char *typed)
{
    struct span span;
    room_ok(room, trace_names_span(names, typed, true, &span, &room->err));
    return span.target.samples.samples[span.target.sample].requester;
}

static void a_sample_is_found_by_each_of_its_names(void **state)
{
    struct room *const room = *state;
    const struct lines lines = two_samples(room, SAMPLES(SAMPLE_OF("ship")), SAMPLES(SAMPLE_OF("shore")));
    struct trace_names names = {.state = room->state};
    assert_string_equal(whose_sample(room, "U0012A-2H-1W,45-47"), "ship");
    room_told(room, "U0012A-2H-1W,45-47 was also recorded by Test Person (");
    assert_string_equal(whose_sample(room, "U0012A-2H-1W,45-47#2"), "shore");
    room_told(room, NULL);
    const struct {
        const char *name;
        const char *state;
        const char *who;
    } rows[] = {
        {"901-U0012A-2H-1W,45-47", lines.ship, "ship"},
        {"901-U0012A-2H-1W,45-47", lines.shore, "shore"},
        {"901-U0012A-2H-1W,45-47", lines.joined, "ship"},
        {"901-U0012A-2H-1W,45-47#2", lines.joined, "shore"},
    };
    for (size_t at = 0; at < sizeof rows / sizeof rows[0]; at++) {
        const char *text = scan(room, rows[at].name, "CSF-A", rows[at].state);
        assert_string_equal(whose_sample(room, text), rows[at].who);
        assert_string_equal(whose_span(room, text), rows[at].who);
        assert_string_equal(whose_row(room, &names, text), rows[at].who);
    }
    assert_string_equal(whose_row(room, &names, "U0012A-2H-1W,45-47"), "ship");
    assert_int_equal(names.namesake.what, NAMESAKE_TWICE);
    assert_string_equal(whose_row(room, &names, "U0012A-2H-1W,45-47#2"), "shore");
    assert_int_equal(names.namesake.what, NAMESAKE_NONE);
    const char *told = labels_of(room, "U0012A-2H");
    assert_non_null(strstr(told, "901-U0012A-2H-1W,45-47 of 901-U0012A-2H-1W,45-47\n"));
    assert_non_null(strstr(told, "901-U0012A-2H-1W,45-47 of 901-U0012A-2H-1W,45-47#2, name now: "));
}

static void a_sub_sample_goes_with_its_parent(void **state)
{
    struct room *const room = *state;
    const struct lines lines =
        two_samples(room, SAMPLES(SAMPLE_OF("ship")), SAMPLES(SAMPLE_OF("shore") "," SUB_OF("shore-sub")));
    assert_string_equal(whose_sample(room, "U0012A-2H-1W,45-47/1"), "shore-sub"); /* nothing else is called so */
    assert_string_equal(whose_sample(room, "U0012A-2H-1W,45-47#2/1"), "shore-sub");
    assert_string_equal(whose_sample(room, scan(room, "901-U0012A-2H-1W,45-47/1", "CSF-A", lines.shore)), "shore-sub");
}

static void sub_samples_of_two_parents_are_told_apart(void **state)
{
    struct room *const room = *state;
    const struct lines lines = two_samples(room, SAMPLES(SAMPLE_OF("ship") "," SUB_OF("ship-sub")),
                                           SAMPLES(SAMPLE_OF("shore") "," SUB_OF("shore-sub")));
    assert_string_equal(whose_sample(room, "U0012A-2H-1W,45-47/1"), "ship-sub");
    assert_string_equal(whose_sample(room, scan(room, "901-U0012A-2H-1W,45-47/1", "CSF-A", lines.ship)), "ship-sub");
    assert_string_equal(whose_sample(room, scan(room, "901-U0012A-2H-1W,45-47/1", "CSF-A", lines.shore)), "shore-sub");
    assert_string_equal(whose_sample(room, scan(room, "901-U0012A-2H-1W,45-47#2/1", "CSF-A", lines.joined)),
                        "shore-sub");
}

/* What one side renamed, and another one took afterwards: no join had to give a number. */
static void an_amended_name_that_the_other_side_took(void **state)
{
    struct room *const room = *state;
    room_fill(room);
    const char *fork = state_now(room);
    const char *first = room_write(room, SAMPLE_FILE, SAMPLES(SAMPLE_OF("ship")));
    const char *ship = room_write(room, SAMPLE_FILE,
                                  SAMPLES("{'section':'1','half':'W','top_m':0.6,'bottom_m':0.62,'requester':'ship',"
                                          "'was':'1W,45-47','version':2}"));
    stand_back(room, fork);
    const char *shore = room_write(room, SAMPLE_FILE, SAMPLES(SAMPLE_OF("shore")));
    (void)join_lines(room, ship, shore);
    assert_string_equal(whose_sample(room, "U0012A-2H-1W,45-47"), "shore");
    room_told(room, "was once the name of what is now U0012A-2H-1W,60-62");
    assert_string_equal(whose_sample(room, scan(room, "901-U0012A-2H-1W,45-47", "CSF-A", first)), "ship");
    assert_string_equal(whose_sample(room, scan(room, "901-U0012A-2H-1W,45-47", "CSF-A", shore)), "shore");
}

static void an_act_on_a_sample_asks_too(void **state)
{
    struct room *const room = *state;
    (void)two_samples(room, SAMPLES(SAMPLE_OF("ship")), SAMPLES(SAMPLE_OF("shore")));
    struct target target;
    room->state->naming.is_acting = true;
    room_refused(room, resolve(room->state, "U0012A-2H-1W,45-47", NAME_SAMPLE, NAME_SAMPLE, &target, &room->err),
                 STATUS_RULE, "now U0012A-2H-1W,45-47#2");
    room_ok(room,
            resolve(room->state, "U0012A-2H-1W,45-47", NAME_POINT, NAME_SAMPLE, &target, &room->err)); /* a place */
    room->state->naming.is_sure = true;
    assert_string_equal(whose_sample(room, "U0012A-2H-1W,45-47"), "ship");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_sample_is_found_by_each_of_its_names, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_sub_sample_goes_with_its_parent, room_open, room_close),
        cmocka_unit_test_setup_teardown(sub_samples_of_two_parents_are_told_apart, room_open, room_close),
        cmocka_unit_test_setup_teardown(an_amended_name_that_the_other_side_took, room_open, room_close),
        cmocka_unit_test_setup_teardown(an_act_on_a_sample_asks_too, room_open, room_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
