/* SPDX-License-Identifier: MIT */
/* The cores, sections, samples and bags of a hole, one after the other; a thing on all scales; lag checks. */
#include "rooms/scene.h"

#include "coretally/ask/lag_checks.h"
#include "coretally/ask/list.h"
#include "coretally/ask/on_scales.h"

enum { TAKEN_MAX = 8 };

/* What a list handed over. */
struct taken {
    struct state *state;
    size_t count;
    char names[TAKEN_MAX][NAME_TEXT_MAX];
    int64_t tops[TAKEN_MAX];
    int64_t bottoms[TAKEN_MAX];
    int64_t lows[TAKEN_MAX];
    int64_t highs[TAKEN_MAX];
    size_t findings[TAKEN_MAX];
    char notes[TAKEN_MAX][64];
};

static void put(struct taken *taken, const char *name, const struct depth *top, const struct depth *bottom,
                const char *note)
{
    const size_t at = taken->count++;
    assert_true(at < TAKEN_MAX);
    (void)snprintf(taken->names[at], sizeof taken->names[at], "%s", name);
    (void)snprintf(taken->notes[at], sizeof taken->notes[at], "%s", note ? note : "");
    taken->tops[at] = top->um;
    taken->bottoms[at] = bottom->um;
    taken->lows[at] = top->low_um;
    taken->highs[at] = bottom->high_um;
}

static enum status take_core(void *context, const struct listed_core *it, struct err *err)
{
    struct taken *const taken = context;
    (void)err;
    taken->findings[taken->count] = it->findings->count;
    put(taken, it->name, &it->dsf_top, &it->dsf_bottom, NULL);
    return STATUS_OK;
}

static enum status take_sections(void *context, const struct listed_core *core, struct err *err)
{
    struct taken *const taken = context;
    (void)err;
    for (size_t at = 0; at < core->core->section_count; at++) {
        struct listed_section it;
        list_section(taken->state, core, &core->core->sections[at], &it);
        put(taken, it.name, &it.top, &it.bottom, NULL);
    }
    return STATUS_OK;
}

static enum status take_sample(void *context, const struct listed_sample *it, struct err *err)
{
    struct taken *const taken = context;
    (void)err;
    put(taken, it->name, &it->top, &it->bottom, it->note);
    return STATUS_OK;
}

static enum status take_bag(void *context, const struct listed_bag *it, struct err *err)
{
    struct taken *const taken = context;
    const struct depth none = {.um = LENGTH_NONE};
    (void)err;
    taken->findings[taken->count] = it->findings->count;
    put(taken, it->name, &none, &none, it->depth->why);
    return STATUS_OK;
}

static void find(struct room *room, const char *typed, enum name_level most, struct target *out)
{
    room_ok(room, resolve(room->state, typed, NAME_HOLE, most, out, &room->err));
}

static void cores_come_by_number_with_their_doubts(void **state)
{
    struct room *const room = *state;
    struct taken taken = {.state = room->state};
    struct target target;
    room_fill(room);
    find(room, "U0012A", NAME_HOLE, &target);
    room_ok(room, list_cores(room->state, &target, take_core, &taken, &room->err));
    assert_int_equal(taken.count, 2);
    assert_string_equal(taken.names[0], "901-U0012A-1H");
    assert_int_equal(taken.tops[1], 9500000);
    assert_int_equal(taken.bottoms[1], 19000000);
    const size_t before = taken.findings[1];
    (void)room_write(room, "holes/U0012A/cores/0002.json",
                     "'hole':'U0012A','number':2,'type':'H','top_m':3029.9,'bottom_m':3040.4,'datum':'rig-floor',"
                     "'recovered_m':9.5,'sections':[{'section':'1','curated_m':5},{'section':'2','curated_m':5}],"
                     "'version':2");
    taken = (struct taken){.state = room->state};
    find(room, "U0012A-2H", NAME_CORE, &target);
    room_ok(room, list_cores(room->state, &target, take_core, &taken, &room->err));
    assert_int_equal(taken.count, 1);        /* that one alone */
    assert_true(taken.findings[0] > before); /* it overlaps the one above */
}

static void a_withdrawn_section_has_no_depth(void **state)
{
    struct room *const room = *state;
    struct taken taken = {.state = room->state};
    struct target target;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/cores/0002.json",
                     "'hole':'U0012A','number':2,'type':'H','top_m':3030.9,'bottom_m':3040.4,'datum':'rig-floor',"
                     "'recovered_m':9.5,'sections':[{'section':'1','curated_m':5,'withdrawn':'twice','version':2},"
                     "{'section':'2','curated_m':5}],'version':2");
    find(room, "U0012A-2H", NAME_CORE, &target);
    room_ok(room, list_cores(room->state, &target, take_sections, &taken, &room->err));
    assert_int_equal(taken.count, 2);
    assert_string_equal(taken.names[0], "901-U0012A-2H-1");
    assert_int_equal(taken.tops[0], LENGTH_NONE);
    assert_int_equal(taken.tops[1], 9500000); /* what lies below moves up */
    assert_int_equal(taken.bottoms[1], 14500000);
}

static void samples_have_their_depths_and_notes(void **state)
{
    struct room *const room = *state;
    struct taken taken = {.state = room->state};
    const struct sample_asked asked = {SCALE_CSF_A, take_sample, &taken};
    struct target target;
    room_fill(room);
    find(room, "U0012A", NAME_HOLE, &target);
    (void)room_write(room, "holes/U0012A/cores/0001.samples.json",
                     "'hole':'U0012A','core':1,'samples':["
                     "{'section':'1','half':'W','top_m':0.47,'bottom_m':0.45,'doubt':'sample-reversed'},"
                     "{'section':'1','half':'A','top_m':0.1,'bottom_m':0.2,'withdrawn':'spilled','version':2},"
                     "{'section':'2','half':'W','top_m':1.6,'bottom_m':1.7}]");
    room_ok(room, list_samples(room->state, &target, &asked, &room->err));
    assert_int_equal(taken.count, 3);
    assert_int_equal(taken.tops[0], 470000);
    assert_int_equal(taken.bottoms[0], 450000);
    assert_true(taken.lows[0] <= 450000 && taken.highs[0] >= 470000);
    assert_string_equal(taken.notes[0], "sample-reversed");
    assert_string_equal(taken.notes[1], "withdrawn");
    assert_string_equal(taken.notes[2], "sample-outside"); /* no act looked at it: git joined it */
    taken = (struct taken){.state = room->state};
    find(room, "U0012A-1H-1W", NAME_SECTION, &target);
    room_ok(room, list_samples(room->state, &target, &asked, &room->err));
    assert_int_equal(taken.count, 1); /* of this half */
}

static void bags_without_a_well_are_told_so_or_left_out(void **state)
{
    struct room *const room = *state;
    struct taken taken = {.state = room->state};
    struct bag_asked asked = {BAG_CUTTINGS, LENGTH_NONE, LENGTH_NONE, take_bag, &taken};
    struct target target;
    bool any = true;
    room_fill(room);
    find(room, "U0013A", NAME_HOLE, &target);
    room_ok(room, list_bags(room->state, &target, &asked, &any, &room->err));
    assert_false(any);
    (void)room_write(room, "holes/U0013A/bags/bag-0001.json",
                     "'hole':'U0013A','what':'bag','hundred':1,'bags':[{'number':1,'from':'2026-03-09T20:00:00Z'},"
                     "{'number':2,'from':'2026-03-09T21:00:00Z'}]");
    room_ok(room, list_bags(room->state, &target, &asked, &any, &room->err));
    assert_true(any);
    assert_int_equal(taken.count, 2);
    assert_string_equal(taken.names[1], "901-U0013A-BAG2");
    assert_int_not_equal(strlen(taken.notes[0]), 0);
    assert_int_equal(taken.findings[0], 1);
    asked.from_um = 0;
    taken = (struct taken){.state = room->state};
    room_ok(room, list_bags(room->state, &target, &asked, &any, &room->err));
    assert_int_equal(taken.count, 0); /* no depth, no range */
}

static void a_thing_has_the_scales_that_are_asked_for(void **state)
{
    struct room *const room = *state;
    struct on_scales all;
    room_fill(room);
    room_ok(room, on_scales_find(room->state, "U0012A-2H-2, 0-10 cm", SCALE_DRF, SCALE_TVDSF, &all, &room->err));
    assert_int_equal(all.count, SCALE_COUNT);
    assert_false(all.is_bag);
    assert_int_equal(all.items[SCALE_CSF_A].top_um, 14500000);
    assert_int_equal(all.items[SCALE_CSF_A].mid_um, 14550000);
    assert_int_equal(all.items[SCALE_CCSF].top_um, LENGTH_NONE);
    assert_int_equal(all.items[SCALE_CCSF].mid_um, LENGTH_NONE);
    assert_non_null(all.items[SCALE_CCSF].note);
    room_ok(room, on_scales_find(room->state, "U0012A-1H-1W, 45-47 cm", SCALE_CSF_A, SCALE_CSF_A, &all, &room->err));
    assert_int_equal(all.count, 1);
    (void)room_write(room, "holes/U0013A/bags/bag-0001.json",
                     "'hole':'U0013A','what':'bag','hundred':1,'bags':[{'number':1,'from':'2026-03-09T20:00:00Z'}]");
    room_ok(room, on_scales_find(room->state, "U0013A-BAG1", SCALE_DRF, SCALE_TVDSF, &all, &room->err));
    assert_true(all.is_bag);
    assert_int_equal(all.count, 4); /* the drilled ones */
    assert_string_equal(all.items[0].word, "MRF");
    assert_non_null(all.items[0].note);
    room_refused(room, on_scales_find(room->state, "U0013A-BAG1", SCALE_CSF_A, SCALE_CSF_A, &all, &room->err),
                 STATUS_RULE, "has no CSF-A");
}

static void lag_checks_without_a_log_measure_nothing_known(void **state)
{
    struct room *const room = *state;
    struct lag_checks checks;
    struct target target;
    room_fill(room);
    find(room, "U0013A", NAME_HOLE, &target);
    room_ok(room, lag_checks_find(room->state, &target, &checks, &room->err));
    assert_int_equal(checks.count, 0);
    const char *id = room_write(room, "holes/U0013A/lag-checks.json",
                                "'hole':'U0013A','checks':[{'number':1,'in':'2026-03-09T20:00:00Z',"
                                "'seen':'2026-03-09T21:00:00Z','tracer':'carbide'}]");
    room_ok(room, lag_checks_find(room->state, &target, &checks, &room->err));
    assert_int_equal(checks.count, 1);
    assert_non_null(checks.why);
    assert_false(checks.items[0].is_measured);
    assert_string_equal(checks.items[0].source.id, id);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(cores_come_by_number_with_their_doubts, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_withdrawn_section_has_no_depth, room_open, room_close),
        cmocka_unit_test_setup_teardown(samples_have_their_depths_and_notes, room_open, room_close),
        cmocka_unit_test_setup_teardown(bags_without_a_well_are_told_so_or_left_out, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_thing_has_the_scales_that_are_asked_for, room_open, room_close),
        cmocka_unit_test_setup_teardown(lag_checks_without_a_log_measure_nothing_known, room_open, room_close),
    };
    return cmocka_run_group_tests_name("list", tests, NULL, NULL);
}
