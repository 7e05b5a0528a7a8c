/* SPDX-License-Identifier: MIT */
/* Samples: numbers and names that an act gives, what follows a sample that is renamed, and what is refused. */
#include "acted.h"

#include "coretally/act/sample.h"

static const struct will will = {.command = "sample amend", .reason = "ruler", .keeping = KEEP_DOUBTED};

static const char *written(struct room *room, const struct draft *draft)
{
    struct act act;
    struct change *changes = NULL;
    room_ok(room, acted_encode(room, draft, &will, &act, &changes));
    assert_int_equal(draft->writing_count, 1);
    assert_string_equal(changes[0].path, "holes/U0012A/cores/0001.samples.json");
    return changes[0].bytes.data;
}

/* Core 1 with two samples of section 1, the first of which has a sub-sample with a sub-sample. */
static void fill(struct room *room)
{
    room_fill(room);
    (void)room_write(room, "holes/U0012A/cores/0001.samples.json",
                     "'hole':'U0012A','core':1,'samples':["
                     "{'section':'1','half':'W','top_m':0.45,'bottom_m':0.47,'lab_id':'L1'},"
                     "{'section':'1','half':'W','top_m':0.6,'bottom_m':0.62},"
                     "{'section':'1','half':'W','top_m':0.45,'bottom_m':0.47,'of':'1W,45-47','number':1},"
                     "{'section':'1','half':'W','top_m':0.45,'bottom_m':0.46,'of':'1W,45-47/1','number':1}]");
}

static void find(struct room *room, const char *name, enum name_level level, struct target *out)
{
    *out = (struct target){.sample = 0};
    room_ok(room, resolve(room->state, name, level, level, out, &room->err));
}

static struct sample typed_sample(int32_t section, int64_t top_mm, int64_t bottom_mm)
{
    struct sample sample;
    record_init(&sample_table, &sample);
    sample.section = section;
    sample.half = HALF_WORKING;
    sample.top_um = top_mm * 1000;
    sample.bottom_um = bottom_mm * 1000;
    return sample;
}

static const struct sample_asked plain = {.is_another = false};

static void a_new_sample_is_drafted_among_the_others(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct draft draft;
    fill(room);
    find(room, "U0012A-1H-1", NAME_SECTION, &target);
    struct sample sample = typed_sample(1, 500, 520);
    sample.purpose = "tests";
    sample.requester = "Tamm";
    room_ok(room, sample_add(room->state, &target, &sample, &plain, &draft, &room->err));
    assert_string_equal(acted_line(room, &draft, false), "Sample 901-U0012A-1H-1W, 50-52 cm for tests (Tamm)");
    const char *const text = written(room, &draft);
    const char *const first = strstr(text, "\"top_m\":0.45");
    const char *const added = strstr(text, "\"top_m\":0.5,");
    const char *const last = strstr(text, "\"top_m\":0.6");
    assert_true(first && added && last && first < added && added < last);
    assert_int_equal(target.samples.sample_count, 4); /* what was read stays as it is */
    assert_int_equal(((const struct sample *)draft.changed.after)->top_um, 500000);
    assert_null(draft.changed.before);
}

static void an_equal_sample_is_there_or_gets_a_number(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct draft draft;
    fill(room);
    find(room, "U0012A-1H-1", NAME_SECTION, &target);
    const struct sample sample = typed_sample(1, 600, 620);
    room_ok(room, sample_add(room->state, &target, &sample, &plain, &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_PRESENT);
    assert_string_equal(draft.name, "901-U0012A-1H-1W, 60-62 cm");
    const struct sample_asked another = {.is_another = true};
    room_ok(room, sample_add(room->state, &target, &sample, &another, &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_CHANGE);
    assert_int_equal(((const struct sample *)draft.changed.after)->ordinal, 2);
}

static void a_sub_sample_is_numbered_under_its_parent(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct draft draft;
    fill(room);
    find(room, "U0012A-1H-1W,45-47", NAME_SAMPLE, &target);
    struct sample parent = target.samples.samples[target.sample];
    struct sample sample = typed_sample(1, 450, 470);
    sample.of = "1W,45-47";
    sample.purpose = "smear slide";
    struct sample_asked asked = {.of = &parent, .of_typed = "U0012A-1H-1W,45-47"};
    room_ok(room, sample_add(room->state, &target, &sample, &asked, &draft, &room->err));
    assert_int_equal(((const struct sample *)draft.changed.after)->number, 2);
    parent.withdrawn = "lost";
    room_refused(room, sample_add(room->state, &target, &sample, &asked, &draft, &room->err), STATUS_RULE,
                 "its parent is withdrawn: lost");
}

static void a_lab_id_is_given_once(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct draft draft;
    fill(room);
    find(room, "U0012A-1H-1", NAME_SECTION, &target);
    struct sample sample = typed_sample(1, 800, 820);
    sample.lab_id = "L1";
    room_refused(room, sample_add(room->state, &target, &sample, &plain, &draft, &room->err), STATUS_EXISTS,
                 "another sample of this core has this lab id");
    assert_string_equal(sample_with_lab_id(&target.samples, SIZE_MAX, "L1")->lab_id, "L1");
    assert_null(sample_with_lab_id(&target.samples, 0, "L1"));
    assert_null(sample_with_lab_id(&target.samples, SIZE_MAX, NULL));
}

static void what_was_taken_from_it_follows_a_renamed_sample(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct draft draft;
    fill(room);
    find(room, "U0012A-1H-1W,45-47", NAME_SAMPLE, &target);
    struct sample sample = target.samples.samples[target.sample];
    sample.top_um = 600000; /* where there is one already */
    sample.bottom_um = 620000;
    room_ok(room, sample_amend(room->state, &target, "it", &sample, &draft, &room->err));
    assert_string_equal(acted_line(room, &draft, false), "Sample 901-U0012A-1H-1W, 60-62 cm #2 amended");
    const char *const text = written(room, &draft);
    assert_non_null(strstr(text, "\"top_m\":0.6,\"bottom_m\":0.62,\"ordinal\":2,"));
    assert_non_null(strstr(text, "\"was\":\"1W,45-47\""));
    assert_non_null(strstr(text, "\"top_m\":0.6,\"bottom_m\":0.62,\"of\":\"1W,60-62#2\",\"number\":1,"));
    assert_non_null(strstr(text, "\"was\":\"1W,45-47/1\""));
    assert_non_null(strstr(text, "\"top_m\":0.45,\"bottom_m\":0.46,\"of\":\"1W,60-62#2/1\",\"number\":1,"));
}

static void a_sub_sample_stays_with_its_parent(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct draft draft;
    fill(room);
    find(room, "U0012A-1H-1W,45-47/1", NAME_SAMPLE, &target);
    struct sample sample = target.samples.samples[target.sample];
    sample.section = 2;
    room_refused(room, sample_amend(room->state, &target, "it", &sample, &draft, &room->err), STATUS_RULE,
                 "a sub-sample stays in the section and half of its parent");
    find(room, "U0012A-1H-1W,60-62", NAME_SAMPLE, &target);
    sample = target.samples.samples[target.sample];
    sample.section = 7;
    room_refused(room, sample_amend(room->state, &target, "it", &sample, &draft, &room->err), STATUS_UNKNOWN,
                 "its core has no section 7");
    sample.section = 1;
    room_ok(room, sample_amend(room->state, &target, "it", &sample, &draft, &room->err));
    assert_int_equal(draft.kind, DRAFT_PRESENT);
}

static void the_parent_of_standing_sub_samples_is_not_withdrawn(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct draft draft;
    fill(room);
    find(room, "U0012A-1H-1W,45-47", NAME_SAMPLE, &target);
    room_refused(room, sample_withdraw(room->state, &target, "it", "not taken", &draft, &room->err), STATUS_RULE,
                 "sub-sample /1 of it still stands");
    find(room, "U0012A-1H-1W,60-62", NAME_SAMPLE, &target);
    room_ok(room, sample_withdraw(room->state, &target, "it", "not taken", &draft, &room->err));
    assert_non_null(strstr(written(room, &draft), "\"withdrawn\":\"not taken\""));
}

static void a_doubt_stands_on_the_sample_and_is_not_asked_twice(void **state)
{
    struct room *const room = *state;
    struct target target;
    struct draft draft;
    fill(room);
    find(room, "U0012A-1H-1", NAME_SECTION, &target);
    const struct sample point = typed_sample(1, 900, 900); /* no length */
    room_ok(room, sample_add(room->state, &target, &point, &plain, &draft, &room->err));
    assert_int_equal(findings_level(&draft.findings), RULE_DOUBTED);
    assert_string_equal(((const struct sample *)draft.changed.after)->doubt, rule_word(draft.findings.items[0].rule));
    (void)room_write(room, "holes/U0012A/cores/0001.samples.json",
                     "'hole':'U0012A','core':1,'samples':["
                     "{'section':'1','half':'W','top_m':0.9,'bottom_m':0.9}]");
    find(room, "U0012A-1H-1W,90-90", NAME_SAMPLE, &target);
    struct sample sample = target.samples.samples[target.sample];
    sample.remark = "a hair";
    room_ok(room, sample_amend(room->state, &target, "it", &sample, &draft, &room->err));
    assert_true(draft.findings.count && draft.findings.items[0].is_settled);
}

static void offsets_count_from_a_piece(void **state)
{
    struct room *const room = *state;
    struct piece pieces[] = {{.number = 1, .length_um = 100000, .spacer_um = 10000},
                             {.number = 2, .length_um = 50000, .spacer_um = LENGTH_NONE}};
    const struct section section = {.number = 1, .pieces = pieces, .piece_count = 2};
    struct sample sample = typed_sample(1, 10, 20);
    room_ok(room, sample_from_piece(&section, "2", &sample, &room->err));
    assert_int_equal(sample.top_um, 120000);
    assert_int_equal(sample.bottom_um, 130000);
    sample = typed_sample(1, 10, 51);
    room_refused(room, sample_from_piece(&section, "2", &sample, &room->err), STATUS_RULE, "piece 2 is 5.0 cm long");
    room_refused(room, sample_from_piece(&section, "3", &sample, &room->err), STATUS_UNKNOWN, "no piece 3, it has 2");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_new_sample_is_drafted_among_the_others, room_open, room_close),
        cmocka_unit_test_setup_teardown(an_equal_sample_is_there_or_gets_a_number, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_sub_sample_is_numbered_under_its_parent, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_lab_id_is_given_once, room_open, room_close),
        cmocka_unit_test_setup_teardown(what_was_taken_from_it_follows_a_renamed_sample, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_sub_sample_stays_with_its_parent, room_open, room_close),
        cmocka_unit_test_setup_teardown(the_parent_of_standing_sub_samples_is_not_withdrawn, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_doubt_stands_on_the_sample_and_is_not_asked_twice, room_open, room_close),
        cmocka_unit_test_setup_teardown(offsets_count_from_a_piece, room_open, room_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
