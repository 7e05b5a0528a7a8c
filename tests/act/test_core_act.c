/* SPDX-License-Identifier: MIT */
/* Cores and sections: what an act drafts, what it says of a core that is there, what it refuses, and that nothing is
 * handed out for writing while a finding stands. */
#include "acted.h"

#include "coretally/act/core.h"
#include "coretally/act/section.h"
#include "coretally/base/limits.h"

static const int64_t METRE_UM = 1000000;

/* A core of hole U0012A, as it is typed: whole metres. */
static struct core typed_core(int32_t number, int64_t top_m, int64_t bottom_m)
{
    struct core core;
    record_init(&core_table, &core);
    core.hole = "U0012A";
    core.number = number;
    core.type = 'H';
    core.top_um = top_m * METRE_UM;
    core.bottom_um = bottom_m * METRE_UM;
    return core;
}

static void find(struct room *room, const char *name, enum name_level level, struct target *out)
{
    room_ok(room, resolve(room->state, name, level, level, out, &room->err));
}

/* The target of a core that may be new. */
static void aim(struct room *room, const struct core *core, struct target *out)
{
    char text[NAME_TEXT_MAX];
    (void)snprintf(text, sizeof text, "U0012A-%d%c", (int)core->number, core->type);
    room_ok(room, name_parse(text, &out->name, &room->err));
    room_ok(room, resolve_hole(room->state, &out->name, out, &room->err));
}

/* What the draft would write, encoded; room for one file. */
static const char *written(struct room *room, const struct draft *draft, const struct will *will)
{
    struct act act;
    struct change *changes = NULL;
    room_ok(room, acted_encode(room, draft, will, &act, &changes));
    assert_int_equal(draft->writing_count, 1);
    assert_string_equal(act.line, acted_line(room, draft, false));
    assert_string_equal(act.kind, will->command);
    return changes[0].bytes.data;
}

static const struct will plain = {.command = "core add"};

static void a_new_core_is_drafted(void **state)
{
    struct room *const room = *state;
    struct target target = {0};
    struct draft draft;
    room_fill(room);
    const struct core core = typed_core(3, 3041, 3050);
    aim(room, &core, &target);
    room_ok(room, core_add(room->state, &target, &core, &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_CHANGE);
    assert_string_equal(draft.name, "901-U0012A-3H");
    assert_string_equal(acted_line(room, &draft, false), "Core 901-U0012A-3H: 3041.000-3050.000 m below rig floor");
    assert_string_equal(draft.writings[0].path, "holes/U0012A/cores/0003.json");
    const char *const text = written(room, &draft, &plain);
    assert_non_null(strstr(text, "\"datum\":\"rig-floor\"")); /* as of the core above */
    assert_non_null(strstr(text, "\"top_m\":3041"));
    const struct core *const after = draft.changed.after;
    assert_int_equal(after->datum, DATUM_RIG_FLOOR);
    assert_null(draft.changed.before);
    assert_int_equal(core.datum, DATUM_NONE); /* what was given stays as it was */
    assert_int_equal(findings_level(&draft.findings), RULE_TOLD);
    room_told(room, NULL);
}

static void the_same_core_is_there_already(void **state)
{
    struct room *const room = *state;
    struct target target = {0};
    struct draft draft;
    room_fill(room);
    find(room, "U0012A-1H", NAME_CORE, &target);
    const struct core core = target.core;
    room_ok(room, core_add(room->state, &target, &core, &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_PRESENT);
    assert_string_equal(draft.name, "901-U0012A-1H");
    assert_string_equal(draft.present.path, "holes/U0012A/cores/0001.json");
    room_ok(room, core_amend(room->state, &target, &core, &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_PRESENT);
}

static void a_taken_number_is_refused(void **state)
{
    struct room *const room = *state;
    struct target target = {0};
    struct draft draft;
    room_fill(room);
    const struct core core = typed_core(1, 3021, 3030);
    aim(room, &core, &target);
    room_refused(room, core_add(room->state, &target, &core, &draft, &room->err), STATUS_EXISTS,
                 "core number 1 is taken: \"written down\"");
}

static void a_renamed_core_is_found_under_its_new_name(void **state)
{
    struct room *const room = *state;
    struct target target = {0};
    struct draft draft;
    struct core_sought sought;
    room_fill(room);
    find(room, "U0012A-2H", NAME_CORE, &target);
    struct core core = target.core;
    (void)room_write(room, "holes/U0012A/cores/0003.json",
                     "'hole':'U0012A','number':3,'type':'H','top_m':3030.9,'bottom_m':3040.4,'datum':'rig-floor',"
                     "'recovered_m':9.5,'sections':[{'section':'1','curated_m':5},{'section':'2','curated_m':5}],"
                     "'was':'2H','version':2");
    (void)room_write(room, "holes/U0012A/renamed.json",
                     "'hole':'U0012A','renamings':[{'number':1,'from':'2H','to':'3H'}]");
    (void)room_write(room, "holes/U0012A/cores/0002.json", NULL);
    aim(room, &core, &target);
    room_ok(room, core_add(room->state, &target, &core, &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_PRESENT);
    assert_string_equal(draft.name, "901-U0012A-3H");
    core.top_um += METRE_UM; /* another core of that name */
    room_ok(room, core_seek(room->state, &target, &core, NULL, &sought, &room->err));
    assert_int_equal(sought.found, CORE_NEW);
    assert_int_equal(sought.former, CORE_FORMER_OTHER);
    assert_int_equal(sought.core.number, 3);
}

static void doubts_are_kept_by_whoever_is_sure(void **state)
{
    struct room *const room = *state;
    struct target target = {0};
    struct draft draft;
    struct act act;
    struct change *changes = NULL;
    room_fill(room);
    const struct core core = typed_core(3, 3041, 3141); /* an advance of 100 m */
    aim(room, &core, &target);
    room_ok(room, core_add(room->state, &target, &core, &draft, &room->err));
    assert_int_equal(findings_level(&draft.findings), RULE_DOUBTED);
    room_refused(room, acted_encode(room, &draft, &plain, &act, &changes), STATUS_RULE, "100.000 m");
    const struct will sure = {.command = "core add", .reason = "joint tally", .keeping = KEEP_DOUBTED};
    room_ok(room, acted_encode(room, &draft, &sure, &act, &changes));
    assert_string_equal(act.reason, "joint tally; kept against doubt: advance-long");
}

static void an_amendment_needs_its_reason(void **state)
{
    struct room *const room = *state;
    struct target target = {0};
    struct draft draft;
    struct act act;
    struct change *changes = NULL;
    room_fill(room);
    find(room, "U0012A-1H", NAME_CORE, &target);
    struct core core = target.core;
    core.recovered_um = 3 * METRE_UM - 10000;
    room_ok(room, core_amend(room->state, &target, &core, &draft, &room->err));
    assert_ptr_equal(draft.changed.part, &core_table);
    room_refused(room, acted_encode(room, &draft, &plain, &act, &changes), STATUS_USAGE,
                 "a change to what was recorded needs a reason");
    const struct will will = {.command = "core amend", .reason = "tape"};
    const char *const text = written(room, &draft, &will);
    assert_non_null(strstr(text, "\"recovered_m\":2.99"));
    assert_non_null(strstr(text, "\"version\":2"));
    assert_int_equal(target.core.version, 0);
}

static void a_core_with_samples_is_not_withdrawn(void **state)
{
    struct room *const room = *state;
    struct target target = {0};
    struct draft draft;
    room_fill(room);
    find(room, "U0012A-1H", NAME_CORE, &target);
    room_refused(room, core_withdraw(room->state, &target, "wrong hole", &draft, &room->err), STATUS_RULE,
                 "2 standing samples of core 1H would lose their place");
    find(room, "U0012A-2H", NAME_CORE, &target);
    room_ok(room, core_withdraw(room->state, &target, "wrong hole", &draft, &room->err));
    const struct will will = {.command = "core withdraw", .reason = "wrong hole"};
    assert_non_null(strstr(written(room, &draft, &will), "\"withdrawn\":\"wrong hole\""));
    target.core.withdrawn = "wrong hole";
    room_ok(room, core_withdraw(room->state, &target, "again", &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_WITHDRAWN);
    assert_string_equal(draft.name, "2H");
    assert_string_equal(draft.withdrawn, "wrong hole");
}

static void the_core_below_is_doubted_without_it(void **state)
{
    struct room *const room = *state;
    struct target target = {0};
    struct draft draft;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/cores/0003.json",
                     "'hole':'U0012A','number':3,'type':'H','top_m':3021.5,'bottom_m':3025,'datum':'rig-floor'");
    (void)room_write(room, "holes/U0012A/cores/0002.json",
                     "'hole':'U0012A','number':2,'type':'H','top_m':3021.4,'bottom_m':3021.5,'datum':'rig-floor'");
    find(room, "U0012A-2H", NAME_CORE, &target);
    room_ok(room, core_withdraw(room->state, &target, "twice", &draft, &room->err));
    assert_non_null(draft.notes);
    assert_non_null(strstr(draft.notes, "note: without core 2H, core 3H is doubted: "));
    room_told(room, NULL); /* told by the caller, once the findings pass */
}

/* --- sections --- */

static void lists_of_lengths_are_read(void **state)
{
    struct room *const room = *state;
    static const struct {
        const char *typed;
        size_t count;
        int64_t sum_mm; /* -1: refused */
    } rows[] = {{"1.5", 1, 1500},        {"6x1.5,0.2,cc:0.23", 8, 9430},
                {"2*1.4; 0.3", 3, 3100}, {"3:1.5,1.4", 2, 2900},
                {"0x1.5", 0, -1},        {"100x0.1", 0, -1},
                {"1.5,", 1, 1500},       {"cc:", 0, -1},
                {"dd:1.5", 0, -1},       {"1.5 1.4", 2, 2900},
                {"x1.5", 0, -1},         {"99:1,1", 0, -1},
                {"1:1,1:1", 0, -1}};
    for (size_t at = 0; at < sizeof rows / sizeof *rows; at++) {
        struct core core = typed_core(1, 0, 10);
        const enum status status = sections_take(room->state, rows[at].typed, &core, &room->err);
        if ((status == STATUS_OK) != (rows[at].sum_mm >= 0))
            fail_msg("'%s': %s", rows[at].typed, status_word(status));
        if (status != STATUS_OK)
            continue;
        if (core.section_count != rows[at].count || core_curated(&core) != rows[at].sum_mm * 1000)
            fail_msg("'%s': %zu sections", rows[at].typed, core.section_count);
    }
}

static void sections_are_added_changed_and_withdrawn(void **state)
{
    struct room *const room = *state;
    struct target target = {0};
    struct draft draft;
    struct section section;
    room_fill(room);
    find(room, "U0012A-1H", NAME_CORE, &target);
    record_init(&section_table, &section);
    section.number = 3;
    section.curated_um = 200000;
    room_ok(room, section_add(room->state, &target, &section, &draft, &room->err));
    assert_string_equal(acted_line(room, &draft, false), "Section 901-U0012A-1H-3: curated 0.200 m");
    assert_int_equal(target.core.section_count, 2);
    assert_int_equal(((const struct section *)draft.changed.after)->number, 3);
    section.number = 2;
    room_refused(room, section_add(room->state, &target, &section, &draft, &room->err), STATUS_EXISTS,
                 "already recorded, with other values");
    section.curated_um = 1500000;
    room_ok(room, section_add(room->state, &target, &section, &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_PRESENT);
    find(room, "U0012A-1H-2", NAME_SECTION, &target);
    section = *target.section;
    section.curated_um = 50000; /* the sample at 10-20 cm lies outside */
    room_refused(room, section_amend(room->state, &target, &section, &draft, &room->err), STATUS_RULE,
                 "1 standing sample of core 1H would lose its place");
    section.curated_um = 1480000;
    room_ok(room, section_amend(room->state, &target, &section, &draft, &room->err));
    assert_string_equal(acted_line(room, &draft, false), "Section 901-U0012A-1H-2 amended: curated 1.480 m");
    assert_int_equal(target.section->curated_um, 1500000);
    assert_int_equal(((const struct section *)draft.changed.after)->version, 2);
    find(room, "U0012A-2H-2", NAME_SECTION, &target);
    room_ok(room, section_withdraw(room->state, &target, "entered twice", &draft, &room->err));
    const struct will will = {.command = "section withdraw", .reason = "entered twice"};
    assert_non_null(strstr(written(room, &draft, &will), "\"withdrawn\":\"entered twice\""));
}

static void a_list_is_for_a_core_without_sections(void **state)
{
    struct room *const room = *state;
    struct target target = {0};
    struct draft draft;
    room_fill(room);
    find(room, "U0012A-1H", NAME_CORE, &target);
    room_ok(room, sections_add(room->state, &target, "2x1.5", &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_PRESENT);
    assert_string_equal(draft.name, "the sections of 901-U0012A-1H");
    assert_null(draft.present.table);
    room_refused(room, sections_add(room->state, &target, "3x1.5", &draft, &room->err), STATUS_EXISTS,
                 "this core has sections already (2)");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_new_core_is_drafted, room_open, room_close),
        cmocka_unit_test_setup_teardown(the_same_core_is_there_already, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_taken_number_is_refused, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_renamed_core_is_found_under_its_new_name, room_open, room_close),
        cmocka_unit_test_setup_teardown(doubts_are_kept_by_whoever_is_sure, room_open, room_close),
        cmocka_unit_test_setup_teardown(an_amendment_needs_its_reason, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_core_with_samples_is_not_withdrawn, room_open, room_close),
        cmocka_unit_test_setup_teardown(the_core_below_is_doubted_without_it, room_open, room_close),
        cmocka_unit_test_setup_teardown(lists_of_lengths_are_read, room_open, room_close),
        cmocka_unit_test_setup_teardown(sections_are_added_changed_and_withdrawn, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_list_is_for_a_core_without_sections, room_open, room_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
