/* SPDX-License-Identifier: MIT */
/* What waits for somebody after a join: doubts that no act kept, bags without a log, labels with a number that another
 * thing has. */
#include "rooms/scene.h"

#include <string.h>

#include "coretally/ask/waiting.h"

static struct waiting_list ask(struct room *room, const char *name)
{
    struct waiting_list list = {.arena = room->arena};
    struct target target;
    room_ok(room, resolve(room->state, name, NAME_HOLE, NAME_HOLE, &target, &room->err));
    room_ok(room, waiting_find(room->state, &target, &list, &room->err));
    return list;
}

static void a_sound_hole_has_nothing(void **state)
{
    struct room *const room = *state;
    room_fill(room);
    assert_int_equal(ask(room, "U0013A").count, 0);
}

static void a_doubt_that_no_act_kept_is_told(void **state)
{
    struct room *const room = *state;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/cores/0003.json",
                     "'hole':'U0012A','number':3,'type':'H','top_m':3035.9,'bottom_m':3045.4,'datum':'rig-floor',"
                     "'recovered_m':3,'sections':[{'section':'1','curated_m':1.5},{'section':'2','curated_m':1.5}]");
    const struct waiting_list list = ask(room, "U0012A");
    const struct waiting *found = NULL;
    for (size_t at = 0; at < list.count; at++)
        if (strstr(list.items[at].sentence, "core-overlap-far: "))
            found = &list.items[at];
    assert_non_null(found);
    if (!found) /* for the analyzer, which does not know that the test has ended */
        return;
    assert_int_equal(found->kind, WAITING_RULE);
    assert_string_equal(found->thing, "901-U0012A-3H");
    assert_string_equal(found->ways[0].command,
                        "coretally core amend U0012A-3H --top DEPTH --bottom DEPTH --reason WHY");
}

static void windows_that_overlap_unmarked_are_told(void **state)
{
    struct room *const room = *state;
    room_fill(room);
    (void)room_write(room, "holes/U0013A/bags/bag-0001.json",
                     "'hole':'U0013A','what':'bag','hundred':1,'bags':["
                     "{'number':1,'from':'2026-03-01T01:00:00Z','to':'2026-03-01T01:10:00Z'},"
                     "{'number':2,'from':'2026-03-01T01:05:00Z','to':'2026-03-01T01:15:00Z'},"
                     "{'number':3,'from':'2026-03-01T01:12:00Z','to':'2026-03-01T01:20:00Z','doubt':'bag-overlap'}]");
    const struct waiting_list list = ask(room, "U0013A");
    assert_int_equal(list.count, 1); /* the third was kept so by somebody */
    assert_string_equal(list.items[0].thing, "901-U0013A-BAG2");
    assert_string_equal(list.items[0].sentence, "bag-overlap: its window overlaps that of number 1");
    assert_string_equal(list.items[0].ways[0].command,
                        "coretally bag amend U0013A-BAG2 --from TIME --to TIME --reason WHY");
}

static void bags_without_a_log_wait_for_it(void **state)
{
    struct room *const room = *state;
    room_fill(room);
    (void)room_write(room, "holes/U0013A/bags/bag-0001.json",
                     "'hole':'U0013A','what':'bag','hundred':1,'bags':[{'number':1,'from':'2026-03-01T01:00:00Z'},"
                     "{'number':2,'from':'2026-03-01T02:00:00Z','withdrawn':'spilled'}]");
    assert_int_equal(ask(room, "U0013A").count, 0); /* no pump: nobody wants a depth */
    (void)room_write(room, "holes/U0013A/pumps.json",
                     "'hole':'U0013A','pumps':[{'number':1,'name':'1','from':'2026-03-01T00:00:00Z',"
                     "'kind':'measured','output_m3':0.016}]");
    const struct waiting_list list = ask(room, "U0013A");
    assert_int_equal(list.count, 1);
    assert_string_equal(list.items[0].sentence, "no pump log covers the day of U0013A-BAG1");
}

/* A label of the thing that kept the number is no reason: it has another act behind it. */
static void a_label_with_a_number_given_away_is_told(void **state)
{
    struct room *const room = *state;
    char fields[900];
    room_fill(room);
    const char *first = room_write(room, "holes/U0013A/hole.json",
                                   "'site':'U0013','letter':'A','seafloor_m':3001,'seafloor_by':'tagged',"
                                   "'returns':'ship'");
    const char *later = room_write(room, "holes/U0013A/hole.json",
                                   "'site':'U0013','letter':'A','seafloor_m':3002,'seafloor_by':'tagged',"
                                   "'returns':'ship'");
    (void)snprintf(fields, sizeof fields,
                   "'hole':'U0013A','what':'bag','hundred':1,'bags':[{'number':1,'from':'2026-03-01T01:00:00Z'},"
                   "{'number':2,'from':'2026-03-01T03:00:00Z','was':'1@%s'}]",
                   later);
    (void)room_write(room, "holes/U0013A/bags/bag-0001.json", fields);
    static const char label[] = "{'name':'%s','printed':'2026-03-01T04:12:00Z','state':'%s','scale':'MRF','layout':"
                                "'tag'}";
    char labels[2][200];
    (void)snprintf(labels[0], sizeof labels[0], label, "901-U0013A-BAG1", first);
    (void)snprintf(fields, sizeof fields, "'hole':'U0013A','what':'bag','hundred':1,'labels':[%s]", labels[0]);
    (void)room_write(room, "holes/U0013A/bags/bag-0001.labels.json", fields);
    assert_int_equal(ask(room, "U0013A").count, 0);
    (void)snprintf(labels[1], sizeof labels[1], label, "901-U0013A-BAG1", later);
    (void)snprintf(fields, sizeof fields, "'hole':'U0013A','what':'bag','hundred':1,'labels':[%s,%s]", labels[0],
                   labels[1]);
    (void)room_write(room, "holes/U0013A/bags/bag-0001.labels.json", fields);
    struct waiting_list list = ask(room, "U0013A");
    assert_int_equal(list.count, 1);
    assert_int_equal(list.items[0].kind, WAITING_LABEL);
    assert_string_equal(list.items[0].thing, "901-U0013A-BAG2");
    assert_string_equal(list.items[0].sentence,
                        "1 label still shows 901-U0013A-BAG1, the number that another thing has");
    assert_string_equal(list.items[0].ways[0].command, "coretally label print U0013A --stale");
    (void)snprintf(labels[0], sizeof labels[0], label, "901-U0013A-BAG2", later);
    (void)snprintf(fields, sizeof fields, "'hole':'U0013A','what':'bag','hundred':1,'labels':[%s,%s]", labels[1],
                   labels[0]);
    (void)room_write(room, "holes/U0013A/bags/bag-0001.labels.json", fields);
    assert_int_equal(ask(room, "U0013A").count, 0); /* printed anew */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_sound_hole_has_nothing, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_doubt_that_no_act_kept_is_told, room_open, room_close),
        cmocka_unit_test_setup_teardown(windows_that_overlap_unmarked_are_told, room_open, room_close),
        cmocka_unit_test_setup_teardown(bags_without_a_log_wait_for_it, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_label_with_a_number_given_away_is_told, room_open, room_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
