/* SPDX-License-Identifier: MIT */
/* Who put a value there, where registries were joined: the parent that already had it knows, and the join never is. */
#include "../rooms/scene.h"
#include "coretally/state/origin.h"
#include "coretally/state/read.h"

static const char core_path_text[] = "holes/U0012A/cores/0001.json";
static const char samples_path_text[] = "holes/U0012A/cores/0001.samples.json";

#define SECTIONS "'sections':[{'section':'1','curated_m':1.5},{'section':'2','curated_m':1.5}]"
#define SAMPLES "'hole':'U0012A','core':1,'samples':["
#define FIRST "{'section':'1','half':'W','top_m':0.45,'bottom_m':0.47,'purpose':'isotopes'}"
#define SECOND "{'section':'2','half':'W','top_m':0.1,'bottom_m':0.2,'purpose':'tests'}"

/* An act by somebody; the branch then stands there. */
static const char *write_as(struct room *room, const char *author, const char *path, const char *fields)
{
    room->author = author;
    const char *const id = room_write(room, path, fields);
    room->author = NULL;
    return id;
}

static const char *tip(struct room *room)
{
    const char *out = NULL;
    const char *const id = store_state(room->state->store);
    room_ok(room, arena_copy(room->arena, id, strlen(id), &out, &room->err));
    return out;
}

static void expect(struct room *room, const struct record_at *at, const char *const *only, const char *author,
                   const char *commit)
{
    struct commit found = {.id = ""};
    room_ok(room, origin_find(room->state, at, only, &found, &room->err));
    assert_string_equal(found.author, author);
    if (commit)
        assert_string_equal(found.id, commit);
}

static struct core *read_core(struct room *room)
{
    struct core *core = NULL;
    bool there = false;
    room_ok(room, arena_take(room->arena, 1, sizeof *core, &core, &room->err));
    room_ok(room, state_read(room->state, core_path_text, &core_table, core, &there, &room->err));
    assert_true(there);
    return core;
}

static struct sample_set *read_samples(struct room *room)
{
    struct sample_set *set = NULL;
    bool there = false;
    room_ok(room, arena_take(room->arena, 1, sizeof *set, &set, &room->err));
    room_ok(room, state_read(room->state, samples_path_text, &sample_set_table, set, &there, &room->err));
    assert_true(there);
    return set;
}

static const struct sample *find_sample(struct room *room, const char *key)
{
    const struct sample_set *set = read_samples(room);
    const struct sample *sample = sample_find(set->samples, set->sample_count, key);
    assert_non_null(sample);
    return sample;
}

static const char *const of_top[] = {"top", NULL};
static const char *const of_remark[] = {"remark", NULL};

/* Two fields of one core, each changed on a side of its own; both orders of ids come up in the rounds. */
static void each_field_is_that_of_its_side(void **state)
{
    struct room *const room = *state;
    room_fill(room);
    const char *const base = tip(room);
    for (int round = 0; round < 6; round++) {
        char remark[300];
        room_go(room, base);
        const char *const ship =
            write_as(room, "Ship", core_path_text,
                     "'hole':'U0012A','number':1,'type':'H','top_m':3021.5,'bottom_m':3030.9,'datum':'rig-floor',"
                     "'recovered_m':3,'version':2," SECTIONS);
        room_go(room, base);
        (void)snprintf(remark, sizeof remark,
                       "'hole':'U0012A','number':1,'type':'H','top_m':3021.4,'bottom_m':3030.9,'datum':'rig-floor',"
                       "'recovered_m':3,'remark':'gas %d','version':2," SECTIONS,
                       round);
        const char *const shore = write_as(room, "Shore", core_path_text, remark);
        (void)room_join(room, ship, shore);
        struct core *const core = read_core(room);
        assert_int_equal(core->top_um, 3021500000);
        const struct record_at at = record_of_core("U0012A", core);
        expect(room, &at, of_top, "Ship", ship);
        expect(room, &at, of_remark, "Shore", shore);
        expect(room, &at, (const char *const[]){"bottom", NULL}, "Test Person", NULL);
        expect(room, &at, NULL, "Shore", shore); /* the later of the two */
        const struct record_at section = record_of_section("U0012A", 1, &core->sections[0]);
        expect(room, &section, NULL, "Test Person", NULL);
    }
}

/* What one side alone did is its author's, whatever the other side did beside it, and an act after the join is its
 * own. */
static void samples_are_those_of_who_took_them(void **state)
{
    struct room *const room = *state;
    room_fill(room);
    const char *const base = tip(room);
    const char *const ship =
        write_as(room, "Ship", samples_path_text,
                 SAMPLES FIRST ",{'section':'1','half':'W','top_m':0.6,'bottom_m':0.62}," SECOND "]");
    room_go(room, base);
    const char *const shore =
        write_as(room, "Shore", samples_path_text,
                 SAMPLES FIRST "," SECOND ",{'section':'2','half':'W','top_m':0.6,'bottom_m':0.62}]");
    (void)room_join(room, shore, ship);
    for (int after = 0; after < 2; after++) {
        const struct record_at ships = record_of_sample("U0012A", 1, find_sample(room, "1W,60-62"));
        const struct record_at shores = record_of_sample("U0012A", 1, find_sample(room, "2W,60-62"));
        const struct record_at old = record_of_sample("U0012A", 1, find_sample(room, "1W,45-47"));
        expect(room, &ships, NULL, "Ship", ship);
        expect(room, &shores, NULL, "Shore", shore);
        expect(room, &old, NULL, "Test Person", NULL);
        if (!after)
            (void)write_as(room, "Later", samples_path_text,
                           SAMPLES FIRST ",{'section':'1','half':'W','top_m':0.6,'bottom_m':0.62}," SECOND
                                         ",{'section':'2','half':'W','top_m':0.6,'bottom_m':0.62},"
                                         "{'section':'2','half':'W','top_m':0.8,'bottom_m':0.82}]");
    }
}

/* The same sample, typed on both sides: it is the earlier act's. */
static void what_both_recorded_is_the_earlier_act(void **state)
{
    struct room *const room = *state;
    static const char same[] = SAMPLES FIRST ",{'section':'1','half':'W','top_m':0.6,'bottom_m':0.62}," SECOND "]";
    room_fill(room);
    const char *const base = tip(room);
    const char *const ship = write_as(room, "Ship", samples_path_text, same);
    room_go(room, base);
    const char *const shore = write_as(room, "Shore", samples_path_text, same);
    (void)room_join(room, shore, ship);
    const struct record_at at = record_of_sample("U0012A", 1, find_sample(room, "1W,60-62"));
    expect(room, &at, NULL, "Ship", ship);
    (void)room_join(room, ship, shore);
    const struct record_at again = record_of_sample("U0012A", 1, find_sample(room, "1W,60-62"));
    expect(room, &again, NULL, "Ship", ship);
}

/* Two samples of one interval: the later one is #2 by now, and neither is taken for the other. */
static void a_number_given_out_twice_leads_to_its_own_act(void **state)
{
    struct room *const room = *state;
    static const char *const of_requester[] = {"requester", NULL};
    static const char *const of_half[] = {"half", NULL};
    room_fill(room);
    const char *const base = tip(room);
    const char *const ship = write_as(
        room, "Ship", samples_path_text,
        SAMPLES FIRST ",{'section':'1','half':'W','top_m':0.6,'bottom_m':0.62,'requester':'Okonjo'}," SECOND "]");
    room_go(room, base);
    (void)write_as(room, "Shore", samples_path_text,
                   SAMPLES FIRST ",{'section':'1','half':'W','top_m':0.6,'bottom_m':0.62,'requester':'Brandt'}," SECOND
                                 "]");
    const char *const amended = write_as(
        room, "Shore again", samples_path_text,
        SAMPLES FIRST ",{'section':'1','half':'W','top_m':0.6,'bottom_m':0.62,'requester':'Brandt','remark':'weighed',"
                      "'version':2}," SECOND "]");
    (void)room_join(room, ship, amended);
    const struct record_at first = record_of_sample("U0012A", 1, find_sample(room, "1W,60-62"));
    const struct record_at second = record_of_sample("U0012A", 1, find_sample(room, "1W,60-62#2"));
    assert_non_null(((const struct sample *)second.present)->was);
    expect(room, &first, NULL, "Ship", ship);
    expect(room, &first, of_half, "Ship", ship);
    expect(room, &second, NULL, "Shore again", amended);
    expect(room, &second, of_requester, "Shore", NULL);
    expect(room, &second, of_half, "Shore", NULL);
}

/* A correction that got another number stands in another file than where it was recorded. */
static void a_correction_is_found_under_the_number_that_it_had(void **state)
{
    struct room *const room = *state;
    struct correction correction;
    bool there = false;
    room_fill(room);
    const char *const base = tip(room);
    const char *const ship =
        write_as(room, "Ship", "holes/U0012A/corrections/0001.json",
                 "'hole':'U0012A','number':1,'what':'shift','core':1,'amount_m':0.5,'reason':'fell'");
    room_go(room, base);
    const char *const shore =
        write_as(room, "Shore", "holes/U0012A/corrections/0001.json",
                 "'hole':'U0012A','number':1,'what':'shift','core':2,'amount_m':0.25,'reason':'slid'");
    (void)room_join(room, shore, ship);
    for (int32_t number = 1; number <= 2; number++) {
        char path[REGISTRY_PATH_MAX];
        correction_path("U0012A", number, path);
        room_ok(room, state_read(room->state, path, &correction_table, &correction, &there, &room->err));
        assert_true(there);
        const struct record_at at = record_of_correction("U0012A", &correction);
        expect(room, &at, NULL, number == 1 ? "Ship" : "Shore", number == 1 ? ship : shore);
    }
}

/* Day by day; every field keeps its author through all the joins. */
static void authors_last_through_many_joins(void **state)
{
    struct room *const room = *state;
    static const char fields[] =
        "'hole':'U0012A','number':1,'type':'H','top_m':%s,'bottom_m':3030.9,'datum':'rig-floor',"
        "'recovered_m':3,'remark':'day %d','version':%d," SECTIONS;
    char text[400];
    const char *top = NULL;
    const char *remark = NULL;
    room_fill(room);
    (void)snprintf(text, sizeof text, fields, "3021.4", -1, 2);
    (void)room_write(room, core_path_text, text);
    const char *at = tip(room);
    for (int day = 0; day < 6; day++) {
        const int version = 2 * day + 3;
        if (day % 3 == 0) {
            char depth[16];
            (void)snprintf(depth, sizeof depth, "3021.%d", 5 + day / 3);
            (void)snprintf(text, sizeof text, fields, depth, day - 1, version);
            top = write_as(room, "Ship", core_path_text, text);
        }
        const char *const ship = tip(room);
        room_go(room, at);
        (void)snprintf(text, sizeof text, fields, day == 0 ? "3021.4" : day <= 3 ? "3021.5" : "3021.6", day, version);
        remark = write_as(room, "Shore", core_path_text, text);
        at = room_join(room, ship, remark);
        struct core *const core = read_core(room);
        const struct record_at record = record_of_core("U0012A", core);
        assert_int_equal(core->top_um, 3021500000 + day / 3 * 100000);
        expect(room, &record, of_top, "Ship", top);
        expect(room, &record, of_remark, "Shore", remark);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(each_field_is_that_of_its_side, room_open, room_close),
        cmocka_unit_test_setup_teardown(samples_are_those_of_who_took_them, room_open, room_close),
        cmocka_unit_test_setup_teardown(what_both_recorded_is_the_earlier_act, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_number_given_out_twice_leads_to_its_own_act, room_open, room_close),
        cmocka_unit_test_setup_teardown(a_correction_is_found_under_the_number_that_it_had, room_open, room_close),
        cmocka_unit_test_setup_teardown(authors_last_through_many_joins, room_open, room_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
