/* SPDX-License-Identifier: MIT */
/* Corrections: what each covers, which are in force, which repeat each other, and the tables inside them. */
#include "unit.h"

#include <stdio.h>
#include <unistd.h>

#include "correction_parts.h"

static void what_a_correction_covers(void **state)
{
    (void)state;
    enum { NONE = -1 };
    static const int64_t top_um = 3100 * METRE;
    static const int64_t bottom_um = 3200 * METRE;
    static const struct {
        const char *what;
        int64_t top_um; /* 0: none */
        int64_t bottom_um;
        int from; /* minutes; NONE: none */
        int to;
        int32_t first_core; /* 0: none */
        int32_t last_core;
        int32_t core;
        int64_t drf_um; /* what it is held against */
        int32_t at_core;
        int when;
        enum cover cover;
    } rows[] = {
        {"everything", 0, 0, NONE, NONE, 0, 0, 0, LENGTH_NONE, 0, NONE, COVER_YES},
        {"above the top", top_um, bottom_um, NONE, NONE, 0, 0, 0, top_um - 1, 3, NONE, COVER_NO},
        {"at the top", top_um, bottom_um, NONE, NONE, 0, 0, 0, top_um, 3, NONE, COVER_YES},
        {"the last above the bottom", top_um, bottom_um, NONE, NONE, 0, 0, 0, bottom_um - 1, 3, NONE, COVER_YES},
        {"at the bottom", top_um, bottom_um, NONE, NONE, 0, 0, 0, bottom_um, 3, NONE, COVER_NO},
        {"from a depth down", top_um, 0, NONE, NONE, 0, 0, 0, 30000 * METRE, 3, NONE, COVER_YES},
        {"from a depth down, above", top_um, 0, NONE, NONE, 0, 0, 0, top_um - 1, 3, NONE, COVER_NO},
        {"down to a depth", 0, bottom_um, NONE, NONE, 0, 0, 0, -METRE, 3, NONE, COVER_YES},
        {"down to a depth, below", 0, bottom_um, NONE, NONE, 0, 0, 0, bottom_um, 3, NONE, COVER_NO},
        {"depth not known", top_um, bottom_um, NONE, NONE, 0, 0, 0, LENGTH_NONE, 3, 5, COVER_UNKNOWN_DEPTH},
        {"depth not known, top alone", top_um, 0, NONE, NONE, 0, 0, 0, LENGTH_NONE, 3, 5, COVER_UNKNOWN_DEPTH},
        {"depth not known, bottom alone", 0, bottom_um, NONE, NONE, 0, 0, 0, LENGTH_NONE, 3, 5, COVER_UNKNOWN_DEPTH},
        {"before the time", 0, 0, 60, 120, 0, 0, 0, top_um, 3, 59, COVER_NO},
        {"at the time", 0, 0, 60, 120, 0, 0, 0, top_um, 3, 60, COVER_YES},
        {"the last minute", 0, 0, 60, 120, 0, 0, 0, top_um, 3, 119, COVER_YES},
        {"when it ends", 0, 0, 60, 120, 0, 0, 0, top_um, 3, 120, COVER_NO},
        {"from a time on", 0, 0, 60, NONE, 0, 0, 0, top_um, 3, 100000, COVER_YES},
        {"from a time on, before", 0, 0, 60, NONE, 0, 0, 0, top_um, 3, 0, COVER_NO},
        {"until a time", 0, 0, NONE, 120, 0, 0, 0, top_um, 3, 0, COVER_YES},
        {"until a time, after", 0, 0, NONE, 120, 0, 0, 0, top_um, 3, 120, COVER_NO},
        {"time not known", 0, 0, 60, 120, 0, 0, 0, top_um, 3, NONE, COVER_UNKNOWN_TIME},
        {"time not known, from alone", 0, 0, 60, NONE, 0, 0, 0, top_um, 3, NONE, COVER_UNKNOWN_TIME},
        {"time not known, to alone", 0, 0, NONE, 120, 0, 0, 0, top_um, 3, NONE, COVER_UNKNOWN_TIME},
        {"time not known, and not asked for", top_um, 0, NONE, NONE, 0, 0, 0, top_um, 3, NONE, COVER_YES},
        {"time not known, outside by depth", top_um, bottom_um, 60, 120, 0, 0, 0, bottom_um, 3, NONE, COVER_NO},
        {"depth not known, outside by time", top_um, bottom_um, 60, 120, 0, 0, 0, LENGTH_NONE, 3, 59, COVER_NO},
        {"depth not known, outside by core", top_um, bottom_um, 60, 120, 4, 0, 0, LENGTH_NONE, 3, NONE, COVER_NO},
        {"all three within", top_um, bottom_um, 60, 120, 3, 3, 0, top_um, 3, 60, COVER_YES},
        {"core before the first", 0, 0, NONE, NONE, 4, 6, 0, top_um, 3, NONE, COVER_NO},
        {"first core", 0, 0, NONE, NONE, 4, 6, 0, top_um, 4, NONE, COVER_YES},
        {"last core", 0, 0, NONE, NONE, 4, 6, 0, top_um, 6, NONE, COVER_YES},
        {"core after the last", 0, 0, NONE, NONE, 4, 6, 0, top_um, 7, NONE, COVER_NO},
        {"from a core on", 0, 0, NONE, NONE, 4, 0, 0, top_um, 9999, NONE, COVER_YES},
        {"to a core", 0, 0, NONE, NONE, 0, 6, 0, top_um, 1, NONE, COVER_YES},
        {"no core: seafloor or cuttings, from a core on", 0, 0, NONE, NONE, 4, 0, 0, top_um, 0, NONE, COVER_NO},
        {"no core: seafloor or cuttings, to a core", 0, 0, NONE, NONE, 0, 6, 0, top_um, 0, NONE, COVER_NO},
        {"the core", 0, 0, NONE, NONE, 0, 0, 3, top_um, 3, NONE, COVER_YES},
        {"another core", 0, 0, NONE, NONE, 0, 0, 3, top_um, 4, NONE, COVER_NO},
        {"no core, for one", 0, 0, NONE, NONE, 0, 0, 3, top_um, 0, NONE, COVER_NO},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct correction it = part_correction(CORRECTION_TALLY, 1);
        it.top_um = rows[at].top_um ? rows[at].top_um : LENGTH_NONE;
        it.bottom_um = rows[at].bottom_um ? rows[at].bottom_um : LENGTH_NONE;
        it.from = part_time(rows[at].from);
        it.to = part_time(rows[at].to);
        it.first_core = rows[at].first_core;
        it.last_core = rows[at].last_core;
        it.core = rows[at].core;
        ROW(rows[at].what,
            correction_covers(&it, rows[at].drf_um, rows[at].at_core, part_time(rows[at].when)) == rows[at].cover);
    }
}

/* Records 1, 2, ... with what each takes the place of; "-" before it: withdrawn. */
static void which_are_in_force(void **state)
{
    (void)state;
    enum { MOST = 6 };
    static const struct {
        const char *what;
        const char *records[MOST];
        const char *in_force;
    } rows[] = {
        {"none", {NULL}, ""},
        {"one", {""}, "1"},
        {"two", {"", ""}, "1 2"},
        {"withdrawn", {"", "-"}, "1"},
        {"all withdrawn", {"-", "-"}, ""},
        {"superseded", {"", "1"}, "2"},
        {"superseded by a withdrawn one: back", {"", "-1"}, "1"},
        {"withdrawn and superseded", {"-", "1"}, "2"},
        {"superseded by two", {"", "1", "1"}, "2 3"},
        {"superseded by two, one withdrawn", {"", "-1", "1"}, "3"},
        {"one takes the place of two", {"", "", "1 2"}, "3"},
        {"one takes the place of two and is withdrawn", {"", "", "-1 2"}, "1 2"},
        {"a chain", {"", "1", "2", "3"}, "4"},
        {"a chain, its end withdrawn", {"", "1", "2", "-3"}, "3"},
        {"a chain, the end and its middle withdrawn", {"", "1", "-2", "-3"}, "2"},
        {"a chain through a withdrawn one", {"", "-1", "2"}, "3"},
        {"a chain through two withdrawn ones", {"", "-1", "-2", "3"}, "4"},
        {"a chain through withdrawn ones, all but the first", {"", "-1", "-2", "-3"}, "1"},
        {"two ways to the first", {"", "1", "1", "2 3"}, "4"},
        {"two ways to the first, the end withdrawn", {"", "1", "1", "-2 3"}, "2 3"},
        {"others are left alone", {"", "", "2", "", "4"}, "1 3 5"},
        {"no such number", {"", "9"}, "1 2"},
        {"2 is not 12 and not 21", {"", "12 21"}, "1 2"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct correction all[MOST];
        const struct correction *out[MOST];
        char text[40] = "";
        size_t count = 0;
        for (; count < MOST && rows[at].records[count]; count++) {
            const char *record = rows[at].records[count];
            all[count] = part_correction(CORRECTION_TALLY, (int32_t)count + 1);
            all[count].top_um = (int64_t)count * METRE;
            all[count].withdrawn = *record == '-' ? "a slip" : NULL;
            record += *record == '-';
            all[count].supersedes = *record ? record : NULL;
        }
        const size_t kept = corrections_in_force(all, count, out);
        for (size_t one = 0; one < kept; one++) {
            const size_t used = strlen(text);
            (void)snprintf(text + used, sizeof text - used, "%s%d", one ? " " : "", (int)out[one]->number);
        }
        if (strcmp(text, rows[at].in_force) != 0)
            fail_msg("row '%s': in force are '%s', expected '%s'", rows[at].what, text, rows[at].in_force);
    }
}

/* By kind in the order of the chain, then by range; numbers and places in the array do not show. */
static void the_order_is_that_of_the_chain(void **state)
{
    (void)state;
    struct correction in_order[CORRECTION_KIND_COUNT + 5];
    size_t count = 0;
    uint64_t seed = 21;
    for (int kind = CORRECTION_READING; kind < CORRECTION_KIND_COUNT; kind++) {
        in_order[count++] = part_correction((enum correction_kind)kind, 0);
        if (kind == CORRECTION_STRETCH)
            for (int method = STRETCH_WEIGHT; method < STRETCH_HEAT; method++) {
                in_order[count] = part_correction(CORRECTION_STRETCH, 0);
                in_order[count++].stretch = (enum stretch_method)method;
            }
        if (kind == CORRECTION_TALLY)
            for (int more = 1; more <= 3; more++) {
                in_order[count] = part_correction(CORRECTION_TALLY, 0);
                in_order[count++].top_um = more * METRE;
            }
    }
    assert_int_equal(count, COUNT_OF(in_order) - 1);
    for (size_t at = 0; at < count; at++)
        in_order[at].remark = (const char *)&in_order[at]; /* which it is */
    for (int round = 0; round < 200; round++) {
        struct correction mixed[COUNT_OF(in_order)];
        const struct correction *out[COUNT_OF(in_order)];
        int32_t numbers[COUNT_OF(in_order)];
        for (size_t at = 0; at < count; at++) {
            const size_t to = (size_t)random_within(&seed, 0, (int64_t)at);
            mixed[at] = mixed[to];
            mixed[to] = in_order[at];
            numbers[at] = (int32_t)at + 1;
        }
        for (size_t at = 0; at < count; at++) {
            const size_t to = (size_t)random_within(&seed, (int64_t)at, (int64_t)count - 1);
            mixed[at].number = numbers[to];
            numbers[to] = numbers[at];
        }
        assert_int_equal(corrections_in_force(mixed, count, out), count);
        for (size_t at = 0; at < count; at++)
            assert_ptr_equal(out[at]->remark, &in_order[at]);
    }
}

/* Each later record names all the earlier ones: what is asked must not grow with the number of ways between them. */
static void many_names_take_no_time(void **state)
{
    (void)state;
    enum { MANY = 40 };
    struct correction all[MANY];
    const struct correction *out[MANY];
    char names[MANY][200];
    for (size_t at = 0; at < MANY; at++) {
        names[at][0] = '\0';
        for (size_t earlier = 0; earlier < at; earlier++) {
            const size_t used = strlen(names[at]);
            (void)snprintf(names[at] + used, sizeof names[at] - used, "%s%zu", earlier ? " " : "", earlier + 1);
        }
        all[at] = part_correction(CORRECTION_TIDE, (int32_t)at + 1);
        all[at].supersedes = at ? names[at] : NULL;
    }
    (void)alarm(20); /* walked by each way, 40 names would take hours */
    assert_int_equal(corrections_in_force(all, MANY, out), 1);
    (void)alarm(0);
    assert_int_equal(out[0]->number, MANY);
}

static void what_repeats_another(void **state)
{
    (void)state;
    enum { NONE = -1 };
    struct core_offset offsets[][2] = {
        {{.core = 1}, {.core = 2}}, {{.core = 2}, {.core = 5}}, {{.core = 3}, {.core = 4}}};
    static const struct {
        const char *what;
        struct {
            enum correction_kind kind;
            int32_t core;
            int64_t top_m; /* 0: none */
            int64_t bottom_m;
            int from; /* minutes; NONE: none */
            int to;
            int32_t first_core;
            int32_t last_core;
            int more; /* stretch: method; composite: row of offsets above */
        } two[2];
        bool repeats;
    } rows[] = {
#define ALL 0, 0, NONE, NONE, 0, 0
        {"other kinds", {{CORRECTION_TALLY, 0, ALL, 0}, {CORRECTION_TIDE, 0, ALL, 0}}, false},
        {"one core retyped twice", {{CORRECTION_READING, 3, ALL, 0}, {CORRECTION_READING, 3, ALL, 0}}, true},
        {"two cores retyped", {{CORRECTION_READING, 3, ALL, 0}, {CORRECTION_READING, 4, ALL, 0}}, false},
        {"one core shifted twice", {{CORRECTION_SHIFT, 3, ALL, 0}, {CORRECTION_SHIFT, 3, ALL, 0}}, true},
        {"two cores shifted", {{CORRECTION_SHIFT, 3, ALL, 0}, {CORRECTION_SHIFT, 4, ALL, 0}}, false},
        {"a core retyped, and shifted", {{CORRECTION_READING, 3, ALL, 0}, {CORRECTION_SHIFT, 3, ALL, 0}}, false},
        {"tally twice over all", {{CORRECTION_TALLY, 0, ALL, 0}, {CORRECTION_TALLY, 0, ALL, 0}}, true},
        {"tally slips further down add up",
         {{CORRECTION_TALLY, 0, 3100, 0, NONE, NONE, 0, 0, 0}, {CORRECTION_TALLY, 0, 3200, 0, NONE, NONE, 0, 0, 0}},
         false},
        {"tally twice from one depth",
         {{CORRECTION_TALLY, 0, 3100, 0, NONE, NONE, 0, 0, 0}, {CORRECTION_TALLY, 0, 3100, 0, NONE, NONE, 0, 0, 0}},
         true},
        {"tally, other bottoms",
         {{CORRECTION_TALLY, 0, 3100, 3200, NONE, NONE, 0, 0, 0}, {CORRECTION_TALLY, 0, 3100, 0, NONE, NONE, 0, 0, 0}},
         false},
        {"tally, other times",
         {{CORRECTION_TALLY, 0, 0, 0, 10, NONE, 0, 0, 0}, {CORRECTION_TALLY, 0, 0, 0, 20, NONE, 0, 0, 0}},
         false},
        {"tally, other ends",
         {{CORRECTION_TALLY, 0, 0, 0, 10, 20, 0, 0, 0}, {CORRECTION_TALLY, 0, 0, 0, 10, 30, 0, 0, 0}},
         false},
        {"tally, other cores",
         {{CORRECTION_TALLY, 0, 0, 0, NONE, NONE, 3, 5, 0}, {CORRECTION_TALLY, 0, 0, 0, NONE, NONE, 3, 6, 0}},
         false},
        {"tally, the same cores and times",
         {{CORRECTION_TALLY, 0, 0, 0, 10, 20, 3, 5, 0}, {CORRECTION_TALLY, 0, 0, 0, 10, 20, 3, 5, 0}},
         true},
        {"stretch twice", {{CORRECTION_STRETCH, 0, ALL, 1}, {CORRECTION_STRETCH, 0, ALL, 1}}, true},
        {"stretch by weight and by heat", {{CORRECTION_STRETCH, 0, ALL, 1}, {CORRECTION_STRETCH, 0, ALL, 3}}, false},
        {"stretch over ranges that touch",
         {{CORRECTION_STRETCH, 0, 0, 3100, NONE, NONE, 0, 0, 1}, {CORRECTION_STRETCH, 0, 3100, 0, NONE, NONE, 0, 0, 1}},
         false},
        {"stretch over ranges that meet",
         {{CORRECTION_STRETCH, 0, 0, 3101, NONE, NONE, 0, 0, 1}, {CORRECTION_STRETCH, 0, 3100, 0, NONE, NONE, 0, 0, 1}},
         true},
        {"a tide on a tide", {{CORRECTION_TIDE, 0, ALL, 0}, {CORRECTION_TIDE, 0, ALL, 0}}, true},
        {"tide tables, one after the other",
         {{CORRECTION_TIDE, 0, 0, 0, 10, 20, 0, 0, 0}, {CORRECTION_TIDE, 0, 0, 0, 20, 30, 0, 0, 0}},
         false},
        {"tide tables that meet",
         {{CORRECTION_TIDE, 0, 0, 0, 10, 21, 0, 0, 0}, {CORRECTION_TIDE, 0, 0, 0, 20, 30, 0, 0, 0}},
         true},
        {"tide tables, one within the other",
         {{CORRECTION_TIDE, 0, 0, 0, NONE, NONE, 0, 0, 0}, {CORRECTION_TIDE, 0, 0, 0, 20, 30, 0, 0, 0}},
         true},
        {"tide tables for other cores",
         {{CORRECTION_TIDE, 0, 0, 0, NONE, NONE, 1, 4, 0}, {CORRECTION_TIDE, 0, 0, 0, NONE, NONE, 5, 0, 0}},
         false},
        {"tide tables that share a core",
         {{CORRECTION_TIDE, 0, 0, 0, NONE, NONE, 1, 5, 0}, {CORRECTION_TIDE, 0, 0, 0, NONE, NONE, 5, 0, 0}},
         true},
        {"the seafloor found twice", {{CORRECTION_SEAFLOOR, 0, ALL, 0}, {CORRECTION_SEAFLOOR, 0, ALL, 0}}, true},
        {"the seafloor until then and from then on",
         {{CORRECTION_SEAFLOOR, 0, 0, 0, NONE, 20, 0, 0, 0}, {CORRECTION_SEAFLOOR, 0, 0, 0, 20, NONE, 0, 0, 0}},
         false},
        {"composite offsets that share a core",
         {{CORRECTION_COMPOSITE, 0, ALL, 0}, {CORRECTION_COMPOSITE, 0, ALL, 1}},
         true},
        {"composite offsets of other cores",
         {{CORRECTION_COMPOSITE, 0, ALL, 0}, {CORRECTION_COMPOSITE, 0, ALL, 2}},
         false},
        {"growth", {{CORRECTION_GROWTH, 0, ALL, 0}, {CORRECTION_GROWTH, 0, ALL, 0}}, true},
        {"splice", {{CORRECTION_SPLICE, 0, ALL, 0}, {CORRECTION_SPLICE, 0, ALL, 0}}, true},
        {"wireline", {{CORRECTION_WIRELINE, 0, ALL, 0}, {CORRECTION_WIRELINE, 0, ALL, 0}}, true},
        {"survey", {{CORRECTION_SURVEY, 0, ALL, 0}, {CORRECTION_SURVEY, 0, ALL, 0}}, true},
#undef ALL
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct correction two[2];
        for (size_t one = 0; one < 2; one++) {
            two[one] = part_correction(rows[at].two[one].kind, (int32_t)one + 1);
            two[one].core = rows[at].two[one].core;
            two[one].top_um = rows[at].two[one].top_m ? rows[at].two[one].top_m * METRE : LENGTH_NONE;
            two[one].bottom_um = rows[at].two[one].bottom_m ? rows[at].two[one].bottom_m * METRE : LENGTH_NONE;
            two[one].from = part_time(rows[at].two[one].from);
            two[one].to = part_time(rows[at].two[one].to);
            two[one].first_core = rows[at].two[one].first_core;
            two[one].last_core = rows[at].two[one].last_core;
            if (two[one].kind == CORRECTION_STRETCH)
                two[one].stretch = (enum stretch_method)rows[at].two[one].more;
            if (two[one].kind == CORRECTION_COMPOSITE) {
                two[one].offsets = offsets[rows[at].two[one].more];
                two[one].offset_count = 2;
            }
        }
        ROW(rows[at].what, correction_repeats(&two[0], &two[1]) == rows[at].repeats);
        ROW(rows[at].what, correction_repeats(&two[1], &two[0]) == rows[at].repeats);
    }
}

static void words_end_and_begin_empty(void **state)
{
    (void)state;
    for (int kind = 0; kind < CORRECTION_KIND_COUNT; kind++)
        assert_int_equal(correction_words[kind][0] != '\0' && correction_meanings[kind][0] != '\0',
                         kind != CORRECTION_NONE);
    assert_null(correction_words[CORRECTION_KIND_COUNT]);
    assert_null(correction_meanings[CORRECTION_KIND_COUNT]);
    assert_string_equal(correction_words[CORRECTION_SURVEY], "survey");
    assert_true(!stretch_words[STRETCH_NONE][0] && !tie_words[TIE_NONE][0]);
    assert_string_equal(stretch_words[STRETCH_HEAT], "heat");
    assert_null(stretch_words[STRETCH_HEAT + 1]);
    assert_string_equal(tie_words[TIE_ASSUMED], "assumed");
    assert_null(tie_words[TIE_ASSUMED + 1]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_a_correction_covers),       cmocka_unit_test(which_are_in_force),
        cmocka_unit_test(the_order_is_that_of_the_chain), cmocka_unit_test(what_repeats_another),
        cmocka_unit_test(words_end_and_begin_empty),      cmocka_unit_test(many_names_take_no_time),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
