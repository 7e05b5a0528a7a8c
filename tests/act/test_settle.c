/* SPDX-License-Identifier: MIT */
/* Open fields decided about: by name, by an act that changes them, by one that withdraws or renames their record. */
#include "acted.h"

#include <string.h>

#include "coretally/act/core.h"
#include "coretally/act/core_rename.h"
#include "coretally/act/hole.h"
#include "coretally/act/sample.h"
#include "coretally/act/section.h"
#include "coretally/act/settle.h"

static const struct will sure = {.command = "settle", .reason = "measured again", .keeping = KEEP_DOUBTED};

/* An open field with two claims, by two acts of this history; fields of the record as JSON, claims last. */
static void put(struct room *room, const char *path, const char *item, const char *field, const char *values[2])
{
    struct contradiction it = {.hole = "U0012A", .path = path, .item = item, .field = field};
    char own[REGISTRY_PATH_MAX];
    char fields[1000];
    char claims[2][120];
    const char *state = store_state(room->state->store);
    for (size_t at = 0; at < 2; at++)
        if (values[at])
            (void)snprintf(claims[at], sizeof claims[at], "{'value':'%s','commit':'%s'}", values[at], state);
        else
            (void)snprintf(claims[at], sizeof claims[at], "{'commit':'%s'}", state);
    contradiction_path(&it, own);
    (void)snprintf(fields, sizeof fields, "'hole':'U0012A','path':'%s',%s%s%s'field':'%s','claims':[%s,%s]", path,
                   item ? "'item':'" : "", item ? item : "", item ? "'," : "", field, claims[0], claims[1]);
    (void)room_write(room, own, fields);
    room->told[0] = '\0';
}

#define CORE1 "holes/U0012A/cores/0001.json"
#define SAMPLES1 "holes/U0012A/cores/0001.samples.json"
static const char *const lengths[] = {"1.5", "1.47"};

static const struct open_point *find(struct room *room, const char *thing, const char *field)
{
    struct open_points points;
    room_ok(room, open_points_read(room->state, "U0012A", &points, &room->err));
    for (size_t at = 0; at < points.count; at++)
        if (points.items[at].it.field && strcmp(points.items[at].thing, thing) == 0 &&
            strcmp(points.items[at].it.field, field) == 0)
            return &points.items[at];
    return NULL;
}

/* The writing of this path; NULL: none. */
static const struct writing *written(const struct draft *draft, const char *path)
{
    for (size_t at = 0; at < draft->writing_count; at++)
        if (strcmp(draft->writings[at].path, path) == 0)
            return &draft->writings[at];
    return NULL;
}

static bool is_removed(const struct draft *draft, const char *path)
{
    const struct writing *it = written(draft, path);
    return it && !it->table && !it->bytes.data;
}

static void decide(struct room *room, const struct open_point *point, const char *value, struct draft *out)
{
    const struct settling asked = {point, value, "measured again"};
    struct act act;
    struct change *changes = NULL;
    assert_non_null(point);
    room_ok(room, settle(room->state, &asked, out, &room->err));
    room_ok(room, draft_close_open(room->state, out, &room->err));
    room_ok(room, acted_encode(room, out, &sure, &act, &changes));
    assert_true(is_removed(out, point->path));
}

static void what_stands_is_confirmed(void **state)
{
    struct room *const room = *state;
    struct draft draft;
    room_fill(room);
    put(room, CORE1, "2", "curated", (const char *[]){lengths[0], lengths[1]});
    decide(room, find(room, "901-U0012A-1H-2", "curated"), NULL, &draft);
    assert_int_equal(draft.writing_count, 1);
    assert_string_equal(acted_line(room, &draft, true), "Section 901-U0012A-1H-2 settled: curated 1.5 m");
    assert_null(draft.notes);
    decide(room, find(room, "901-U0012A-1H-2", "curated"), "150cm", &draft); /* the same in another unit */
    assert_int_equal(draft.writing_count, 1);
    const struct will silent = {.command = "settle"};
    struct act act;
    struct change *changes = NULL;
    room_refused(room, acted_encode(room, &draft, &silent, &act, &changes), STATUS_USAGE, "needs a reason");
}

static void another_value_goes_by_the_act_of_its_kind(void **state)
{
    struct room *const room = *state;
    struct draft draft;
    room_fill(room);
    put(room, CORE1, "2", "curated", (const char *[]){lengths[0], lengths[1]});
    const struct open_point *point = find(room, "901-U0012A-1H-2", "curated");
    decide(room, point, "1.47", &draft);
    assert_string_equal(acted_line(room, &draft, true), "Section 901-U0012A-1H-2 settled: curated 1.47 m");
    const struct core *core = written(&draft, CORE1)->record;
    assert_int_equal(core->sections[1].curated_um, 1470000);
    assert_int_equal(core->sections[1].version, 2);
    assert_int_equal(core->sections[0].version, 0);
    decide(room, point, "1.2", &draft); /* none of the two */
    const struct settling bad = {point, "long", "x"};
    room_refused(room, settle(room->state, &bad, &draft, &room->err), STATUS_INPUT, "");
    const struct settling lost = {point, "0.1", "x"}; /* its sample would lie outside */
    room_refused(room, settle(room->state, &lost, &draft, &room->err), STATUS_RULE, "would lose its place");
}

static void each_kind_of_record_is_settled(void **state)
{
    struct room *const room = *state;
    struct draft draft;
    room_fill(room);
    (void)room_write(room, "holes/U0012A/hole.json",
                     "'site':'U0012','letter':'A','seafloor_m':3021.4,'seafloor_by':'tagged','returns':'ship'");
    (void)room_write(room, "holes/U0012A/pumps.json",
                     "'hole':'U0012A','pumps':[{'number':2,'name':'1','from':'2026-03-01T00:00:00Z','kind':'triplex',"
                     "'bore_m':0.2,'stroke_m':0.3,'efficiency_pct':97}]");
    (void)room_write(room, "holes/U0012A/bags/bag-0001.json",
                     "'hole':'U0012A','what':'bag','hundred':1,'bags':[{'number':3,'from':'2026-03-01T01:00:00Z'}]");
    (void)room_write(room, "holes/U0012A/corrections/0001.json",
                     "'hole':'U0012A','number':1,'what':'tally','reason':'joint','amount_m':1,'withdrawn':'a'");
    put(room, "holes/U0012A/pumps.json", "2", "efficiency", (const char *[]){"97", "96"});
    put(room, "holes/U0012A/bags/bag-0001.json", "3", "lithology", (const char *[]){NULL, "clay"});
    put(room, "holes/U0012A/corrections/0001.json", NULL, "withdrawn", (const char *[]){"a", "b"});
    put(room, "holes/U0012A/hole.json", NULL, "seafloor", (const char *[]){"3021.4", "3021.2"});
    put(room, SAMPLES1, "1W,45-47", "purpose", (const char *[]){"isotopes", NULL});
    put(room, CORE1, NULL, "remark", (const char *[]){NULL, "gassy"});
    decide(room, find(room, "U0012A pump 2", "efficiency"), "96", &draft);
    assert_string_equal(acted_line(room, &draft, true), "U0012A pump 2 settled: efficiency 96 pct");
    decide(room, find(room, "901-U0012A-BAG3", "lithology"), "clay", &draft);
    assert_string_equal(acted_line(room, &draft, true), "Bag 901-U0012A-BAG3 settled: lithology clay");
    decide(room, find(room, "U0012A correction 1", "withdrawn"), "b", &draft);
    const struct correction *correction = written(&draft, "holes/U0012A/corrections/0001.json")->record;
    assert_string_equal(correction->withdrawn, "b");
    const struct settling back = {find(room, "U0012A correction 1", "withdrawn"), "", "x"};
    room_refused(room, settle(room->state, &back, &draft, &room->err), STATUS_RULE, "not amended");
    decide(room, find(room, "U0012A", "seafloor"), "3021.2", &draft);
    assert_string_equal(acted_line(room, &draft, true), "Hole U0012A settled: seafloor 3021.2 m");
    decide(room, find(room, "901-U0012A-1H-1W, 45-47 cm", "purpose"), "", &draft);
    const struct sample_set *set = written(&draft, SAMPLES1)->record;
    assert_null(set->samples[0].purpose);
    decide(room, find(room, "901-U0012A-1H", "remark"), "gassy", &draft);
    assert_string_equal(acted_line(room, &draft, true), "Core 901-U0012A-1H settled: remark gassy");
}

static void a_letter_is_settled_by_a_renaming(void **state)
{
    struct room *const room = *state;
    struct draft draft;
    room_fill(room);
    put(room, CORE1, NULL, "type", (const char *[]){"H", "X"});
    decide(room, find(room, "901-U0012A-1H", "type"), "X", &draft);
    assert_int_equal(((const struct core *)written(&draft, CORE1)->record)->type, 'X');
    assert_non_null(written(&draft, "holes/U0012A/renamed.json"));
    assert_null(draft.notes);
}

static void an_amendment_settles_what_it_changes(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct draft draft;
    room_fill(room);
    put(room, CORE1, "2", "curated", (const char *[]){lengths[0], lengths[1]});
    put(room, CORE1, "1", "curated", (const char *[]){lengths[0], lengths[1]});
    put(room, CORE1, "2", "remark", (const char *[]){NULL, "void"});
    room_ok(room, resolve(room->state, "U0012A-1H-2", NAME_SECTION, NAME_SECTION, &target, &room->err));
    struct section section = *target.section;
    section.curated_um = 1480000;
    room_ok(room, section_amend(room->state, &target, &section, &draft, &room->err));
    room_ok(room, draft_close_open(room->state, &draft, &room->err));
    assert_true(is_removed(&draft, find(room, "901-U0012A-1H-2", "curated")->path));
    assert_int_equal(draft.writing_count, 2);
    assert_non_null(strstr(draft.notes, "901-U0012A-1H-2: this settles curated 1.5 m or 1.47 m\n"));
    section.curated_um = target.section->curated_um; /* another field alone decides nothing */
    section.liner_um = 1500000;
    room_ok(room, section_amend(room->state, &target, &section, &draft, &room->err));
    room_ok(room, draft_close_open(room->state, &draft, &room->err));
    assert_int_equal(draft.writing_count, 1);
}

static void a_withdrawal_settles_all_of_its_record(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct draft draft;
    room_fill(room);
    put(room, "holes/U0012A/cores/0002.json", "2", "curated", (const char *[]){"5", "4"});
    put(room, "holes/U0012A/cores/0002.json", NULL, "top", (const char *[]){"3030.9", "3030.8"});
    put(room, CORE1, "2", "curated", (const char *[]){lengths[0], lengths[1]});
    room_ok(room, resolve(room->state, "U0012A-2H", NAME_CORE, NAME_CORE, &target, &room->err));
    room_ok(room, core_withdraw(room->state, &target, "lost", &draft, &room->err));
    room_ok(room, draft_close_open(room->state, &draft, &room->err));
    assert_true(is_removed(&draft, find(room, "901-U0012A-2H-2", "curated")->path));
    assert_true(is_removed(&draft, find(room, "901-U0012A-2H", "top")->path));
    assert_int_equal(draft.writing_count, 3);
    assert_non_null(strstr(draft.notes, "901-U0012A-2H: this settles top 3030.9 m or 3030.8 m (withdrawn)"));
}

/* Contradictions of the draft that are written anew. */
static const struct contradiction *moved(const struct draft *draft)
{
    for (size_t at = 0; at < draft->writing_count; at++)
        if (draft->writings[at].table == &contradiction_table)
            return draft->writings[at].record;
    return NULL;
}

static void what_is_open_goes_along_with_a_name(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct renamed renamed;
    struct draft draft;
    room_fill(room);
    put(room, SAMPLES1, "1W,45-47", "purpose", (const char *[]){"isotopes", "tests"});
    const char *path = find(room, "901-U0012A-1H-1W, 45-47 cm", "purpose")->path;
    room_ok(room, core_rename(room->state, "U0012A-1H", "3H", &renamed, &draft, &room->err));
    room_ok(room, draft_close_open(room->state, &draft, &room->err));
    assert_true(is_removed(&draft, path));
    assert_string_equal(moved(&draft)->path, "holes/U0012A/cores/0003.samples.json");
    assert_string_equal(moved(&draft)->item, "1W,45-47");
    assert_int_equal(moved(&draft)->claim_count, 2);
    room_ok(room, resolve(room->state, "U0012A-1H-1W,45-47", NAME_SAMPLE, NAME_SAMPLE, &target, &room->err));
    struct sample sample = target.samples.samples[target.sample];
    sample.top_um -= 10000;
    room_ok(room, sample_amend(room->state, &target, "x", &sample, &draft, &room->err));
    room_ok(room, draft_close_open(room->state, &draft, &room->err));
    assert_true(is_removed(&draft, path));
    assert_string_equal(moved(&draft)->item, "1W,44-47");
    assert_string_equal(moved(&draft)->path, SAMPLES1);
}

static void whoever_reads_it_is_told_once(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct record_at at;
    const char *note = NULL;
    room_fill(room);
    put(room, CORE1, "2", "curated", (const char *[]){lengths[0], lengths[1]});
    put(room, CORE1, NULL, "remark", (const char *[]){NULL, "gassy"});
    room_ok(room, resolve(room->state, "U0012A-2H", NAME_CORE, NAME_CORE, &target, &room->err));
    room_told(room, NULL);
    room_ok(room, resolve(room->state, "U0012A-1H", NAME_CORE, NAME_CORE, &target, &room->err));
    room_told(room, "note: 901-U0012A-1H-2: curated 1.5 m or 1.47 m, not decided; coretally open U0012A\n");
    room_ok(room, resolve(room->state, "U0012A-1H", NAME_CORE, NAME_CORE, &target, &room->err));
    room_told(room, NULL); /* and not that words beside the readings are open */
    at = record_of_core("U0012A", &target.core);
    room_ok(room, open_tell_record(room->state, &at, &room->err));
    room_told(room, "note: 901-U0012A-1H: remark none or gassy, not decided");
    room_ok(room, open_note(room->state, &at, "kept", &note, &room->err));
    assert_string_equal(note, "kept; open: remark, section 2 curated");
    at = record_of_section("U0012A", 1, &target.core.sections[0]);
    room_ok(room, open_note(room->state, &at, NULL, &note, &room->err));
    assert_null(note);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(what_stands_is_confirmed, room_open, room_close),
        cmocka_unit_test_setup_teardown(another_value_goes_by_the_act_of_its_kind, room_open, room_close),
        cmocka_unit_test_setup_teardown(each_kind_of_record_is_settled, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_letter_is_settled_by_a_renaming, room_open, room_close),
        cmocka_unit_test_setup_teardown(an_amendment_settles_what_it_changes, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_withdrawal_settles_all_of_its_record, room_open, room_close),
        cmocka_unit_test_setup_teardown(what_is_open_goes_along_with_a_name, room_open, room_close),
        cmocka_unit_test_setup_teardown(whoever_reads_it_is_told_once, room_open, room_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
