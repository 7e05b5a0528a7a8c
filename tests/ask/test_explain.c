/* SPDX-License-Identifier: MIT */
/* A depth link by link, with the act behind each. */
#include "rooms/scene.h"

#include "coretally/ask/explain.h"
#include "coretally/ask/explain_bag.h"

static void explain(struct room *room, const char *typed, enum scale scale, struct span *span, struct explanation *out)
{
    room_ok(room, span_read(room->state, typed, span, &room->err));
    room_ok(room, explain_depth(room->state, span, scale, out, &room->err));
}

/* The only item of an input; section 0: the link itself, else the line of that section. */
static const struct explained *find(const struct explanation *it, enum depth_input input, int32_t section)
{
    const struct explained *found = NULL;
    for (size_t at = 0; at < it->count; at++)
        if (it->items[at].link->input == input &&
            (it->items[at].section ? it->items[at].section->number : 0) == section) {
            assert_null(found);
            found = &it->items[at];
        }
    return found;
}

static void links_lead_to_the_depth_with_their_acts(void **state)
{
    struct room *const room = *state;
    struct span span;
    struct explanation it;
    room_fill(room);
    const char *amended = room_write(room, "holes/U0012A/hole.json",
                                     "'site':'U0012','letter':'A','seafloor_m':3020.4,'seafloor_by':'tagged',"
                                     "'returns':'seafloor','version':2");
    explain(room, "U0012A-2H-2, 10 cm", SCALE_CSF_A, &span, &it);
    assert_int_equal(it.depth.um, 10500000 + 5000000 + 100000);
    assert_int_equal(it.items[it.count - 1].link->result_um, it.depth.um);
    const struct explained *top = find(&it, INPUT_CORE_TOP, 0);
    assert_int_equal(top->link->result_um, 3030900000);
    assert_int_not_equal(strcmp(top->source.id, amended), 0);
    assert_string_equal(find(&it, INPUT_SEAFLOOR, 0)->source.id, amended); /* its reading is a later act's */
    assert_string_equal(find(&it, INPUT_SEAFLOOR, 0)->source.author, top->source.author);
}

static void sections_that_a_link_counts_follow_it(void **state)
{
    struct room *const room = *state;
    struct span span;
    struct explanation it;
    room_fill(room);
    explain(room, "U0012A-2H-2, 10 cm", SCALE_CSF_A, &span, &it);
    const struct explained *above = find(&it, INPUT_SECTIONS_ABOVE, 0);
    assert_string_equal(above->source.id, ""); /* told by the sections themselves */
    assert_ptr_equal(find(&it, INPUT_SECTIONS_ABOVE, 1), above + 1);
    assert_int_equal(strlen((above + 1)->source.id), 40);
    assert_null(find(&it, INPUT_SECTIONS_ABOVE, 2));
    assert_null(find(&it, INPUT_COMPRESSION, 0)); /* CSF-A stretches over the advance */
    explain(room, "U0012A-2H-2, 10 cm", SCALE_CSF_B, &span, &it);
    assert_non_null(find(&it, INPUT_COMPRESSION, 0)); /* 10 m onto 9.5 m: the other sections decide as well */
    assert_non_null(find(&it, INPUT_COMPRESSION, 2));
    assert_null(find(&it, INPUT_COMPRESSION, 1));
}

static void an_offset_is_of_its_sample_or_typed(void **state)
{
    struct room *const room = *state;
    struct span span;
    struct explanation it;
    room_fill(room);
    explain(room, "U0012A-1H-1, 46 cm", SCALE_CSF_A, &span, &it);
    assert_true(find(&it, INPUT_OFFSET, 0)->is_typed);
    assert_string_equal(find(&it, INPUT_OFFSET, 0)->source.id, "");
    const char *moved = room_write(room, "holes/U0012A/cores/0001.samples.json",
                                   "'hole':'U0012A','core':1,'samples':[{'section':'1','half':'W','top_m':0.44,"
                                   "'bottom_m':0.47,'purpose':'isotopes','was':'1W,45-47','version':2}]");
    explain(room, "U0012A-1H-1W, 44-47 cm", SCALE_CSF_A, &span, &it);
    assert_false(find(&it, INPUT_OFFSET, 0)->is_typed);
    assert_string_equal(find(&it, INPUT_OFFSET, 0)->source.id, moved);
}

static void a_correction_comes_with_its_number_and_reason(void **state)
{
    struct room *const room = *state;
    struct span span;
    struct explanation it;
    room_fill(room);
    const char *id =
        room_write(room, "holes/U0012A/corrections/0001.json",
                   "'hole':'U0012A','number':1,'what':'tally','top_m':3030,'amount_m':0.5,'reason':'pup joint'");
    explain(room, "U0012A-2H", SCALE_DRF, &span, &it);
    const struct explained *tally = find(&it, INPUT_CORRECTION, 0);
    assert_int_equal(tally->link->amount_um, 500000);
    assert_string_equal(tally->source.id, id);
    assert_non_null(strstr(tally->rule, "(correction 1 of U0012A)"));
    assert_string_equal(tally->why, "  tally, from 3030.000 m down: pup joint");
    assert_int_equal(it.depth.um, 3031400000);
    explain(room, "U0012A-1H", SCALE_DRF, &span, &it); /* it begins below this core */
    assert_null(find(&it, INPUT_CORRECTION, 0));
}

static void a_bag_without_a_well_has_no_step(void **state)
{
    struct room *const room = *state;
    struct bag_target at = {0};
    struct lag_hole hole;
    struct bag_explanation it;
    room_fill(room);
    (void)room_write(room, "holes/U0013A/bags/bag-0001.json",
                     "'hole':'U0013A','what':'bag','hundred':1,'bags':[{'number':1,"
                     "'from':'2026-03-09T20:00:00Z'}]");
    room_ok(room, bag_resolve(room->state, "U0013A-BAG1", &at, &room->err));
    room_ok(room, lag_hole_try(room->state, &at.target, &hole, &room->err));
    room_ok(room, explain_bag(room->state, &at, &hole, &it, &room->err));
    lag_hole_close(&hole);
    assert_non_null(it.depth.why);
    assert_int_equal(it.count, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(links_lead_to_the_depth_with_their_acts, room_open, room_close),
        cmocka_unit_test_setup_teardown(sections_that_a_link_counts_follow_it, room_open, room_close),
        cmocka_unit_test_setup_teardown(an_offset_is_of_its_sample_or_typed, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_correction_comes_with_its_number_and_reason, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_bag_without_a_well_has_no_step, room_open, room_close),
    };
    return cmocka_run_group_tests_name("explain", tests, NULL, NULL);
}
