/* SPDX-License-Identifier: MIT */
/* Names as people type them: published forms, many ways of typing, the exact position of what is wrong. */
#include "unit.h"

#include <stdio.h>

#include "coretally/base/limits.h"
#include "coretally/domain/name.h"
#include "parts.h"

static void names_in_print_are_read(void **state)
{
    (void)state;
    static const struct {
        const char *printed;
        enum name_level level;
        const char *expedition;
        const char *hole;
        int32_t core;
        char type;
        int32_t section;
        const char *source;
    } rows[] = {
        {"318-U1359A-6H-1", NAME_SECTION, "318", "U1359A", 6, 'H', 1, "Proc. IODP 318, Site U1359"},
        {"202-1241A-43X-2", NAME_SECTION, "202", "1241A", 43, 'X', 2, "ODP IR 202, chapter 12"},
        {"305-U1309D-152R", NAME_CORE, "305", "U1309D", 152, 'R', 0, "daily report, Expedition 305"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct name name;
        struct err err = {0};
        char hole[HOLE_TEXT_MAX];
        char again[NAME_TEXT_MAX];
        ROW(rows[at].printed, rows[at].source && rows[at].source[0]);
        ROW(rows[at].printed, name_parse(rows[at].printed, &name, &err) == STATUS_OK);
        name_hole(&name, hole);
        ROW_TEXT(rows[at].printed, name.expedition, rows[at].expedition);
        ROW_TEXT(rows[at].printed, hole, rows[at].hole);
        ROW(rows[at].printed, name.level == rows[at].level && name.core == rows[at].core);
        ROW(rows[at].printed, name.type == rows[at].type && name.section == rows[at].section);
        name_format(&name, NAME_PRINTED, again);
        ROW_TEXT(rows[at].printed, again, rows[at].printed);
    }
}

static void names_are_typed_in_many_ways(void **state)
{
    (void)state;
    static const struct {
        const char *typed;
        const char *printed;
    } rows[] = {
        {"901-U0012A-12H-3W, 45-47 cm", "901-U0012A-12H-3W, 45-47 cm"},
        {"901-u0012a-12h-3w,45-47", "901-U0012A-12H-3W, 45-47 cm"},
        {"  901 - U0012A - 12H - 3W , 45 - 47 cm  ", "901-U0012A-12H-3W, 45-47 cm"},
        {"901-U0012A-12H-3W, 45\xE2\x80\x93"
         "47 cm",
         "901-U0012A-12H-3W, 45-47 cm"},
        {"901\xE2\x80\x91U0012A\xE2\x88\x92"
         "12H-3W,45-47CM",
         "901-U0012A-12H-3W, 45-47 cm"},
        {"901-U0012A-012H-03W,045-47.00", "901-U0012A-12H-3W, 45-47 cm"},
        {"U0012A", "U0012A"},
        {"1264A-7H-2, 120 cm", "1264A-7H-2, 120 cm"},
        {"1264A-7H-2,120", "1264A-7H-2, 120 cm"},
        {"901-U0012A-12H-CC", "901-U0012A-12H-CC"},
        {"901-U0012A-12H-cc-w, 5-7", "901-U0012A-12H-CCW, 5-7 cm"},
        {"U0012A-1H-CC - A", "U0012A-1H-CCA"},
        {"U0012A-1H-0wr,0-10", "U0012A-1H-0WR, 0-10 cm"},
        {"U0012A-1H-1A,3.5-4.0001", "U0012A-1H-1A, 3.5-4.0001 cm"},
        {"U0012A-1H-1A,3-4#2", "U0012A-1H-1A, 3-4 cm #2"},
        {"U0012A-1H-1A,3-4 cm # 2", "U0012A-1H-1A, 3-4 cm #2"},
        {"U0012A-1H-1A,3-4#1", "U0012A-1H-1A, 3-4 cm"},
        {"U0012A-1H-1A,3-4/1/2/3/4", "U0012A-1H-1A, 3-4 cm/1/2/3/4"},
        {"U0012A-1H-1A, 3-4 cm #3/9999", "U0012A-1H-1A, 3-4 cm #3/9999"},
        {"123456-Z99999ABC-9999Z-99WR,0-1", "123456-Z99999ABC-9999Z-99WR, 0-1 cm"},
        {"1A", "1A"},
        {"U0012A-12H-3W,300m", "U0012A-12H-3W, 30000 cm"},
        /* a unit typed once holds for both ends */
        {"U7701A-2H-3W,1.20-1.22m", "U7701A-2H-3W, 120-122 cm"},
        {"U7701A-2H-3W,1.20m-1.22", "U7701A-2H-3W, 120-122 cm"},
        {"U7701A-2H-3W, 1.20 - 1.22 m", "U7701A-2H-3W, 120-122 cm"},
        {"U7701A-2H-3W, 1.20 M - 1.22", "U7701A-2H-3W, 120-122 cm"},
        {"U0012A-6X-2W,100-120mm", "U0012A-6X-2W, 10-12 cm"},
        {"U0012A-6X-2W,100-120 mm #2/1", "U0012A-6X-2W, 10-12 cm #2/1"},
        {"U0012A-6X-2W,1-2in", "U0012A-6X-2W, 2.54-5.08 cm"},
        {"U0012A-6X-2W,100mm-0.12m", "U0012A-6X-2W, 10-12 cm"},
        {"U0012A-6X-2W,10cm-0.12m", "U0012A-6X-2W, 10-12 cm"},
        {"U0012A-6X-2W,450 mm", "U0012A-6X-2W, 45 cm"},
        {"U0012A-6X-2W,60-20", "U0012A-6X-2W, 60-20 cm"}, /* an archive's row may be called so */
        {"901-U0013A-BAG12", "901-U0013A-BAG12"},
        {"u0013a-bag12", "U0013A-BAG12"},
        {"  901 - u0013a - Bag012  ", "901-U0013A-BAG12"},
        {"U0013A-GAS3", "U0013A-GAS3"},
        {"U0013A\xE2\x80\x93gas3", "U0013A-GAS3"},
        {"1264A-mud4", "1264A-MUD4"},
        {"123456-Z99999ABC-MUD999999", "123456-Z99999ABC-MUD999999"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct name name;
        struct err err = {0};
        char text[NAME_TEXT_MAX];
        if (name_parse(rows[at].typed, &name, &err) != STATUS_OK)
            fail_msg("%s: %s", rows[at].typed, err.reason);
        name_format(&name, NAME_PRINTED, text);
        ROW_TEXT(rows[at].typed, text, rows[at].printed);
    }
}

static void the_position_of_the_mistake_is_named(void **state)
{
    (void)state;
    static const struct {
        const char *typed;
        int position;
        const char *expected; /* a part of the reason */
    } rows[] = {
        {"", 1, "a site"},
        {"   ", 4, "a site"},
        {"-U0012A", 1, "a site"},
        {"U", 2, "a site"},
        {"UU0012A", 2, "a site"},
        {"U001234A", 2, "1 to 5 digits"},
        {"318-U13459BB9", 13, "'-' and a core"},
        {"1234567-U0012A", 1, "at most 6 digits"},
        {"U0012", 6, "letter of the hole"},
        {"U0012ABCD", 9, "'-' and a core"},
        {"U0012A-", 8, "a core number"},
        {"U0012A-H", 8, "BAG, GAS or MUD"},
        {"U0012A-BA12", 8, "a core such as 12H"},
        {"U0012A-12BAG", 11, "'-' and a section"},
        {"U0012A-BAG", 11, "the number of the bag"},
        {"U0012A-BAGS12", 11, "the number of the bag"},
        {"U0012A-BAG 12", 11, "the number of the bag"},
        {"U0012A-BAG-12", 11, "the number of the bag"},
        {"U0012A-GAS1000000", 11, "1 to 999999"},
        {"U0012A-GAS99999999999999999999", 11, "1 to 999999"},
        {"U0012A-MUD4W", 12, "the end of the name"},
        {"U0012A-MUD4-3W", 12, "the end of the name"},
        {"U0012A-MUD4, 45-47", 12, "the end of the name"},
        {"U0012A-BAG12#2", 13, "the end of the name"},
        {"U0012A-BAG12/1", 13, "the end of the name"},
        {"U0012A-12", 10, "type letter"},
        {"U0012A-12-3", 10, "type letter"},
        {"U0012A-10000H", 8, "a core number"},
        {"U0012A-12HX", 11, "'-' and a section"},
        {"U0012A-12H,45", 11, "'-' and a section"},
        {"U0012A-12H-", 12, "a section"},
        {"U0012A-12H-100", 12, "0 to 99"},
        {"U0012A-12H-C", 12, "a section"},
        {"U0012A-12H-3X", 13, "W, A or WR"},
        {"U0012A-12H-3W 45", 15, "a comma"},
        {"U0012A-12H-3W,", 15, "centimetres"},
        {"U0012A-12H-3W,x", 15, "centimetres"},
        {"U0012A-12H-3W,-5", 15, "centimetres"},
        {"U0012A-12H-3W,4.00001", 15, "at most 4 decimals"},
        {"U0012A-12H-3W,30001", 15, "centimetres"},
        {"U0012A-12H-3W,300.0001m", 15, "centimetres"},
        {"U0012A-12H-3W,45-", 18, "centimetres"},
        {"U0012A-12H-3W,45 47", 18, "'-' and the lower end"},
        {"U0012A-12H-3W,45-47 mm x", 24, "the end of the name"},
        {"U0012A-12H-3W,45-47 cm mm", 24, "the end of the name"},
        {"U0012A-12H-3W,45-47#", 21, "which of the samples"},
        {"U0012A-12H-3W,45-47#10000", 21, "which of the samples"},
        {"U0012A-12H-3W,45-47/", 21, "number of a sub-sample"},
        {"U0012A-12H-3W,45-47/10000", 21, "number of a sub-sample"},
        {"U0012A-12H-3W,45-47/1/2/3/4/5", 29, "four levels"},
        {"U0012A-12H-3W,45\xE2\x80\x93"
         "47 cm!",
         23, "the end of the name"},
        {"\xC3\xA9tage", 1, "'\xC3\xA9'"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct name name = {.core = 77};
        struct err err = {0};
        char position[40];
        ROW(rows[at].typed, name_parse(rows[at].typed, &name, &err) == STATUS_INPUT);
        ROW(rows[at].typed, name.core == 77 && err.hint[0]);
        (void)snprintf(position, sizeof position, "at character %d", rows[at].position);
        const char *found = strstr(err.reason, position);
        if (!found || (found[strlen(position)] >= '0' && found[strlen(position)] <= '9') ||
            !strstr(err.reason, rows[at].expected))
            fail_msg("'%s': %s (expected %s, %s)", rows[at].typed, err.reason, position, rows[at].expected);
    }
    struct name name;
    struct err err = {0};
    assert_int_equal(name_parse("U0012A-12H-3W,45-47#0", &name, &err), STATUS_INPUT);
    assert_non_null(strstr(err.reason, "counted from #1"));
    assert_int_equal(name_parse("U0012A-BAG000", &name, &err), STATUS_INPUT);
    assert_non_null(strstr(err.reason, "bags are counted from 1"));
}

static struct name random_name(uint64_t *seed)
{
    static const char *const sites[] = {"U0012", "1264", "M0001", "7"};
    static const char *const expeditions[] = {"", "901", "18", "123456"};
    struct name name = {.level = (enum name_level)random_within(seed, NAME_HOLE, NAME_BAG), .ordinal = 1};
    (void)snprintf(name.expedition, sizeof name.expedition, "%s", expeditions[random_within(seed, 0, 3)]);
    (void)snprintf(name.site, sizeof name.site, "%s", sites[random_within(seed, 0, 3)]);
    (void)snprintf(name.letter, sizeof name.letter, "%c", (char)random_within(seed, 'A', 'Z'));
    if (name.level == NAME_BAG) {
        name.bag = (enum bag_kind)random_within(seed, BAG_CUTTINGS, BAG_MUD);
        name.bag_number = (int32_t)random_within(seed, 1, BAG_NUMBER_MAX);
        return name;
    }
    if (name.level >= NAME_CORE) {
        name.core = (int32_t)random_within(seed, 0, CORE_NUMBER_MAX);
        name.type = (char)random_within(seed, 'A', 'Z');
    }
    if (name.level >= NAME_SECTION) {
        name.section =
            random_within(seed, 0, 5) ? (int32_t)random_within(seed, 0, SECTION_NUMBER_MAX) : SECTION_CATCHER;
        name.half = (enum half)random_within(seed, HALF_NONE, HALF_WHOLE);
    }
    if (name.level >= NAME_POINT)
        name.top_um = name.bottom_um = random_within(seed, 0, 150 * CENTIMETRE);
    if (name.level == NAME_SAMPLE) {
        name.bottom_um = random_within(seed, 0, 150) * CENTIMETRE;
        name.ordinal = (int32_t)random_within(seed, 1, 3);
        name.sub_count = (int32_t)random_within(seed, 0, SUBSAMPLE_DEPTH_MAX);
        for (int32_t at = 0; at < name.sub_count; at++)
            name.subs[at] = (int32_t)random_within(seed, 0, SUBSAMPLE_NUMBER_MAX);
    }
    return name;
}

static bool same_name(const struct name *a, const struct name *b)
{
    return a->level == b->level && strcmp(a->expedition, b->expedition) == 0 && strcmp(a->site, b->site) == 0 &&
           strcmp(a->letter, b->letter) == 0 && a->core == b->core && a->type == b->type && a->section == b->section &&
           a->half == b->half && a->top_um == b->top_um && a->bottom_um == b->bottom_um && a->ordinal == b->ordinal &&
           a->sub_count == b->sub_count && memcmp(a->subs, b->subs, sizeof a->subs) == 0 && a->bag == b->bag &&
           a->bag_number == b->bag_number;
}

static void printing_and_reading_is_the_identity(void **state)
{
    (void)state;
    uint64_t seed = 4;
    for (int round = 0; round < 9000; round++) {
        const struct name name = random_name(&seed);
        struct name again;
        struct err err = {0};
        char text[NAME_TEXT_MAX];
        name_format(&name, (enum name_style)(round % 3), text);
        if (name_parse(text, &again, &err) != STATUS_OK)
            fail_msg("%s: %s", text, err.reason);
        ROW(text, same_name(&name, &again));
    }
}

static void bags_have_a_level_of_their_own(void **state)
{
    (void)state;
    static const struct {
        const char *typed;
        enum bag_kind kind;
        int32_t number;
    } rows[] = {
        {"901-U0013A-BAG12", BAG_CUTTINGS, 12},
        {"901-U0013A-GAS3", BAG_GAS, 3},
        {"901-U0013A-MUD999999", BAG_MUD, BAG_NUMBER_MAX},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct name name;
        struct err err = {0};
        char text[NAME_TEXT_MAX];
        ROW(rows[at].typed, name_parse(rows[at].typed, &name, &err) == STATUS_OK);
        ROW(rows[at].typed, name.level == NAME_BAG && name.bag == rows[at].kind && name.bag_number == rows[at].number);
        ROW(rows[at].typed, name.core == 0 && name.section == 0 && name.half == HALF_NONE);
        ROW_TEXT(rows[at].typed, name.site, "U0013");
        for (int style = NAME_PRINTED; style <= NAME_COMPACT; style++) { /* no part of it has two forms */
            name_format(&name, (enum name_style)style, text);
            ROW_TEXT(rows[at].typed, text, rows[at].typed);
        }
    }
    struct name core;
    struct err err = {0};
    assert_int_equal(name_parse("U0013A-12H", &core, &err), STATUS_OK);
    assert_true(core.level == NAME_CORE && core.bag == BAG_NONE && core.bag_number == 0);
}

static void samples_give_names_and_names_give_keys(void **state)
{
    (void)state;
    struct name name;
    struct err err;
    assert_int_equal(name_parse("901-U0012A-12H-3W,45-47#2/1/7", &name, &err), STATUS_OK);
    char key[SAMPLE_KEY_MAX];
    name_sample_key(&name, key);
    assert_string_equal(key, "3W,45-47#2/1/7");
    struct sample sub = part_sample(3, HALF_NONE, 45, 46);
    sub.of = "3W,45-47#2/1";
    sub.number = 7;
    struct name other;
    assert_int_equal(name_parse("901-U0012A-12H", &other, &err), STATUS_OK);
    name_set_sample(&other, &sub);
    assert_true(same_name(&name, &other));
    sub.of = NULL;
    sub.half = HALF_WORKING;
    name_set_sample(&other, &sub);
    name_sample_key(&other, key);
    assert_string_equal(key, "3W,45-46");
}

static void the_longest_name_has_room(void **state)
{
    (void)state;
    static const char longest[] = "123456-Z99999ABC-9999Z-99WR, 29999.9999-29999.9998 cm #9999/9999/9999/9999/9999";
    struct name name;
    struct err err = {0};
    char text[NAME_TEXT_MAX];
    char key[SAMPLE_KEY_MAX];
    assert_int_equal(name_parse(longest, &name, &err), STATUS_OK);
    name_format(&name, NAME_PRINTED, text);
    assert_string_equal(text, longest);
    name_format(&name, NAME_EN_DASH, text);
    assert_int_equal(strlen(text), sizeof longest - 1 + 2);
    assert_true(strlen(text) < NAME_TEXT_MAX);
    name_sample_key(&name, key);
    assert_string_equal(key, "99WR,29999.9999-29999.9998#9999/9999/9999/9999/9999");
}

static void cores_are_named_within_their_hole(void **state)
{
    (void)state;
    static const struct {
        const char *typed;
        int32_t number; /* 0: none */
        char type;
    } rows[] = {{"12H", 12, 'H'}, {"12h", 12, 'H'}, {"12", 12, 0},  {"0012X", 12, 'X'}, {"9999R", 9999, 'R'},
                {"0", 0, 0},      {"10000", 0, 0},  {"H", 0, 0},    {"", 0, 0},         {"12-", 0, 0},
                {"12HX", 0, 0},   {"-12", 0, 0},    {" 12H", 0, 0}, {"12 H", 0, 0},     {"00000000012", 0, 0}};
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct core_word word = {77, 'Q'};
        ROW(rows[at].typed, core_word_parse(rows[at].typed, &word) == (rows[at].number != 0));
        ROW(rows[at].typed, word.number == (rows[at].number ? rows[at].number : 77));
        ROW(rows[at].typed, word.type == (rows[at].number ? rows[at].type : 'Q'));
    }
}

static void near_words(void **state)
{
    (void)state;
    static const struct {
        const char *a;
        const char *b;
        int distance;
    } rows[] = {
        {"", "", 0},
        {"core", "core", 0},
        {"core", "CORE", 0},
        {"core", "cores", 1},
        {"core", "cor", 1},
        {"core", "cire", 1},
        {"core", "croe", 1},
        {"sample", "smaple", 1},
        {"", "abc", 3},
        {"abc", "", 3},
        {"ca", "abc", 3},
        {"hole", "drilled", 5},
        {"abcdefghijklmnopqrstuvwxyz", "a", 99},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        ROW(rows[at].a, name_distance(rows[at].a, rows[at].b) == rows[at].distance);
        ROW(rows[at].b, name_distance(rows[at].b, rows[at].a) == rows[at].distance);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_in_print_are_read),
        cmocka_unit_test(names_are_typed_in_many_ways),
        cmocka_unit_test(the_position_of_the_mistake_is_named),
        cmocka_unit_test(printing_and_reading_is_the_identity),
        cmocka_unit_test(bags_have_a_level_of_their_own),
        cmocka_unit_test(samples_give_names_and_names_give_keys),
        cmocka_unit_test(the_longest_name_has_room),
        cmocka_unit_test(cores_are_named_within_their_hole),
        cmocka_unit_test(near_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
