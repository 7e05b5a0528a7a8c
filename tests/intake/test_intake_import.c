/* SPDX-License-Identifier: MIT */
/* Whole tables against a registry: what is new, what is there, what is refused, and one draft of all that changes. */
#include "rooms/scene.h"

#include "coretally/intake/import.h"
#include "coretally/state/read.h"

struct table_file {
    enum import_kind kind;
    const char *lines; /* of the mapping */
    const char *text;
    bool each;
};

static enum status take(struct room *room, const struct table_file *file, struct import *out)
{
    const struct import_asked asked = {.kind = file->kind, .mapping = {.lines = file->lines}, .each = file->each};
    FILE *in = fmemopen((void *)(uintptr_t)file->text, strlen(file->text), "rb");
    assert_non_null(in);
    const enum status status = import_read(room->arena, &asked, in, "-", out, &room->err);
    (void)fclose(in);
    return status == STATUS_OK ? import_rows(out, room->state, &room->err) : status;
}

#define CORES "top = top_m | m | DRF; bottom = bottom_m | m | DRF"

static void a_new_core_beside_one_that_is_there(void **state)
{
    struct room *const room = *state;
    const struct table_file file = {IMPORT_CORES, CORES,
                                    "site,hole,core,type,top_m,bottom_m,recovered_m\n"
                                    "U0012,A,1,H,3021.4,3030.9,3\n"
                                    "U0012,A,3,H,3040.4,3049.9,9.4\n",
                                    false};
    struct import import;
    room_fill(room);
    room_ok(room, take(room, &file, &import));
    room_told(room, NULL);
    assert_int_equal(import.tally.present, 1);
    assert_int_equal(import.tally.added, 1);
    assert_int_equal(import.tally.refused, 0);
    assert_string_equal(import.draft.line, "Import of cores from -: 1 new, 1 already recorded");
    assert_null(import.draft.kept);
    assert_int_equal(import.draft.writing_count, 1);
    assert_string_equal(import.draft.writings[0].path, "holes/U0012A/cores/0003.json");
    const struct core *core = import.draft.writings[0].record;
    assert_ptr_equal(import.draft.writings[0].table, &core_table);
    assert_int_equal(core->recovered_um, 9400000);
    assert_int_equal(core->datum, DATUM_RIG_FLOOR);
}

static void one_bad_row_leaves_nothing_to_write(void **state)
{
    struct room *const room = *state;
    const struct table_file file = {IMPORT_CORES, CORES,
                                    "site,hole,core,type,top_m,bottom_m,recovered_m\n"
                                    "U0012,A,2,H,3030.9,3040.4,9.4\n"  /* recorded otherwise */
                                    "U0012,A,3,H,3040.4,3049.9,9.4\n"  /* good */
                                    "U0012,A,3,X,3040.4,3049.9,9.4\n"  /* another letter */
                                    "U0012,A,3,H,3040.4,3049.9,9.4\n"  /* twice */
                                    "U0012,A,4,H,3049.9 kg,3059.4,9\n" /* no length */
                                    "U0012,A,5,H,,3059.4,9\n"          /* incomplete */
                                    "U0099,A,1,H,3040.4,3049.9,9.4\n"  /* no such hole ... */
                                    "U0099,A,2,H,3040.4,3049.9,9.4\n"  /* ... for this one, too */
                                    "U0012,A,6,H,3059.4,3080.0,9.4\n", /* doubted */
                                    false};
    static const char *const told[] = {
        "line 2: already recorded with other values: recovered: 9.5 is recorded, the file says 9.4\n",
        "line 4: core 3 is 3H elsewhere in the file\n",
        "line 5: core 3H ",
        "line 6: column top_m: ",
        "line 7: 'top' is empty, and the row needs it\n",
        "line 8: U0099A: ",
        "line 9: U0099A: ",
        "line 10: ",
        "(advance-long); doubtful = keep takes it in, marked\n",
    };
    struct import import;
    room_fill(room);
    room_ok(room, take(room, &file, &import));
    for (size_t at = 0; at < sizeof told / sizeof told[0]; at++)
        if (!strstr(room->told, told[at]))
            fail_msg("'%s' is not in '%s'", told[at], room->told);
    assert_int_equal(import.tally.refused, 8);
    assert_int_equal(import.draft.writing_count, 0);
}

static void what_is_doubted_is_kept_where_the_mapping_says_so(void **state)
{
    struct room *const room = *state;
    const struct table_file file = {IMPORT_CORES, CORES "; doubtful = keep",
                                    "site,hole,core,type,top_m,bottom_m\n"
                                    "U0012,A,3,H,3040.4,3061.0\n",
                                    false};
    struct import import;
    room_fill(room);
    room_ok(room, take(room, &file, &import));
    assert_int_equal(import.tally.refused, 0);
    assert_int_equal(import.tally.doubtful, 1);
    assert_int_equal(import.tally.kept[RULE_ADVANCE_LONG].count, 1);
    assert_string_equal(import.draft.line, "Import of cores from -: 1 new, 1 kept as doubtful");
    assert_string_equal(import.draft.kept, "advance-long (1)");
    assert_memory_equal(import.tally.kept[RULE_ADVANCE_LONG].texts[0], "line 2, 901-U0012A-3H: ", 23);
}

static void sections_join_their_core(void **state)
{
    struct room *const room = *state;
    const struct table_file file = {IMPORT_SECTIONS, NULL,
                                    "site,hole,core,type,section,curated_m,catcher\n"
                                    "U0012,A,3,H,2,1.5,no\n"
                                    "U0012,A,3,H,,0.2,yes\n"
                                    "U0012,A,3,H,3,0.8,\n",
                                    false};
    struct import import;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/cores/0003.json",
                     "'hole':'U0012A','number':3,'type':'H','top_m':3040.4,'bottom_m':3049.9,'datum':'rig-floor',"
                     "'recovered_m':4,'sections':[{'section':'1','curated_m':1.5},{'section':'2','curated_m':1.5}]");
    room_ok(room, take(room, &file, &import));
    room_told(room, NULL);
    assert_int_equal(import.tally.present, 1);
    assert_int_equal(import.tally.added, 2);
    assert_int_equal(import.draft.writing_count, 1);
    const struct core *core = import.draft.writings[0].record;
    assert_int_equal(core->section_count, 4);
    assert_int_equal(core->sections[2].number, 3);
    assert_int_equal(core->sections[3].number, SECTION_CATCHER);
    struct core recorded; /* what was read of the state is as it was */
    bool there = false;
    room_ok(room, state_read(room->state, "holes/U0012A/cores/0003.json", &core_table, &recorded, &there, &room->err));
    assert_int_equal(recorded.section_count, 2);
}

static void samples_are_known_by_place_and_by_lab_id(void **state)
{
    struct room *const room = *state;
    const struct table_file file = {IMPORT_SAMPLES, NULL,
                                    "site,hole,core,type,section,half,top_cm,bottom_cm,purpose,lab_id,of\n"
                                    "U0012,A,1,H,1,W,45,47,isotopes,,\n"   /* there */
                                    "U0012,A,1,H,1,W,60,62,isotopes,L7,\n" /* new */
                                    "U0012,A,1,H,1,W,45,47,isotopes,,\n",  /* a second one of the same place */
                                    false};
    const struct table_file refused = {IMPORT_SAMPLES, NULL,
                                       "site,hole,core,type,section,half,top_cm,bottom_cm,lab_id,of\n"
                                       "U0012,A,1,H,7,W,45,47,,\n"
                                       "U0012,A,1,H,1,W,60,62,L7,\n"
                                       "U0012,A,1,H,1,W,70,72,L7,\n"
                                       "U0012,A,1,H,1,W,45,46,,\"1W,1-2\"\n",
                                       false};
    struct import import;
    room_fill(room);
    room_ok(room, take(room, &file, &import));
    room_told(room, NULL);
    assert_int_equal(import.tally.present, 1);
    assert_int_equal(import.tally.added, 2);
    const struct sample_set *set = import.draft.writings[0].record;
    assert_string_equal(import.draft.writings[0].path, "holes/U0012A/cores/0001.samples.json");
    assert_int_equal(set->sample_count, 4);
    assert_int_equal(set->samples[1].ordinal, 2); /* in order of place */
    assert_string_equal(set->samples[2].lab_id, "L7");
    room_ok(room, take(room, &refused, &import));
    assert_non_null(strstr(room->told, "line 2: core 1H has no section 7\n"));
    assert_non_null(strstr(room->told, "line 4: another sample of this core has the lab id L7\n"));
    assert_non_null(strstr(room->told, "line 5: its parent 1W,1-2 is not a sample of this core\n"));
    assert_int_equal(import.tally.refused, 3);
}

static void bags_come_from_holes_with_returns(void **state)
{
    struct room *const room = *state;
    const struct table_file file = {IMPORT_BAGS, NULL,
                                    "site,hole,number,from,to\n"
                                    "U0013,A,2,2026-02-01T05:00:00Z,2026-02-01T05:10:00Z\n"
                                    "U0013,A,1,2026-02-01T04:00:00Z,2026-02-01T04:10:00Z\n"
                                    "U0013,A,101,2026-02-02T04:00:00Z,2026-02-02T04:10:00Z\n",
                                    false};
    const struct table_file riserless = {IMPORT_BAGS, NULL, "site,hole,number,from\nU0012,A,1,2026-02-01T05:00:00Z\n",
                                         false};
    struct import import;
    room_fill(room);
    room_ok(room, take(room, &file, &import));
    assert_int_equal(import.tally.added, 3);
    assert_int_equal(import.draft.writing_count, 2); /* hundreds */
    const struct bag_set *set = import.draft.writings[0].record;
    assert_int_equal(set->bag_count, 2);
    assert_int_equal(set->bags[0].number, 1);
    room->told[0] = '\0';
    room_ok(room, take(room, &riserless, &import));
    room_told(room, "line 2: U0012A: it is drilled riserless: no cuttings come on board\n");
}

/* 3 m of 9.5 m are 31.6 %, and 100 % for the second core: one figure of the file is ours, the other one is not. */
static void figures_of_the_file_are_held_against_ours(void **state)
{
    struct room *const room = *state;
    const struct table_file file = {IMPORT_CORES, CORES "; compare recovery = rec; compare csf-a-top = rec | m",
                                    "site,hole,core,type,top_m,bottom_m,recovered_m,rec\n"
                                    "U0012,A,1,H,3021.4,3030.9,3,31.6\n"
                                    "U0012,A,2,H,3030.9,3040.4,9.5,98.6\n",
                                    false};
    struct import import;
    struct import_compared compared;
    room_fill(room);
    room_ok(room, take(room, &file, &import));
    room_ok(room, import_compare(&import, 0, &compared, &room->err));
    assert_string_equal(compared.header, "rec");
    assert_string_equal(compared.unit, "%");
    assert_int_equal(compared.decimals, 1);
    assert_int_equal(compared.compared, 2);
    assert_int_equal(compared.equal, 1);
    assert_int_equal(compared.difference_count, 1);
    assert_int_equal(compared.differences[0].line, 3);
    assert_string_equal(compared.differences[0].theirs, "98.6");
    assert_string_equal(compared.differences[0].ours, "100.0");
    assert_int_equal(compared.farthest_micro, 1400000);
    room_refused(room, import_compare(&import, 1, &compared, &room->err), STATUS_INPUT, "no offsets to compute CSF");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_new_core_beside_one_that_is_there, room_open, room_close),
        cmocka_unit_test_setup_teardown(one_bad_row_leaves_nothing_to_write, room_open, room_close),
        cmocka_unit_test_setup_teardown(what_is_doubted_is_kept_where_the_mapping_says_so, room_open, room_close),
        cmocka_unit_test_setup_teardown(sections_join_their_core, room_open, room_close),
        cmocka_unit_test_setup_teardown(samples_are_known_by_place_and_by_lab_id, room_open, room_close),
        cmocka_unit_test_setup_teardown(bags_come_from_holes_with_returns, room_open, room_close),
        cmocka_unit_test_setup_teardown(figures_of_the_file_are_held_against_ours, room_open, room_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
