/* SPDX-License-Identifier: MIT */
/* Rows of the tables inside corrections: in order, each once, within what can be. */
#include "unit.h"

#include <stdio.h>

#include "correction_parts.h"

enum { ROWS = 3 };

/* The correction of one kind with three rows, or what is wrong with one of them. */
struct shape {
    const char *what;
    int64_t at[ROWS];    /* what the rows are ordered by */
    double value[ROWS];  /* factor, inclination, matched */
    double second[ROWS]; /* azimuth */
    int bad;             /* row that is refused, from 1; 0: fine */
    const char *says;
};

static void hold(const struct shape *shape, const struct correction *it)
{
    struct err err = {0};
    char where[60];
    const enum status status = correction_check_rows(it, &err);
    ROW(shape->what, status == (shape->bad ? STATUS_INPUT : STATUS_OK));
    if (!shape->bad)
        return;
    if (it->kind == CORRECTION_COMPOSITE) /* its rows were put in order: the core says which one */
        (void)snprintf(where, sizeof where, "%s", correction_words[it->kind]);
    else
        (void)snprintf(where, sizeof where, "%s, row %d", correction_words[it->kind], shape->bad);
    ROW_TEXT(shape->what, err.subject, where);
    ROW(shape->what, strstr(err.reason, shape->says) != NULL);
}

static void tides_come_one_after_the_other(void **state)
{
    (void)state;
    static const struct shape rows[] = {
        {.what = "in order", .at = {10, 11, 300}},
        {.what = "at once", .at = {10, 11, 11}, .bad = 3, .says = "does not come after"},
        {.what = "backwards", .at = {10, 9, 300}, .bad = 2, .says = "does not come after"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct tide_height heights[ROWS];
        struct correction it = part_correction(CORRECTION_TIDE, 1);
        for (size_t row = 0; row < ROWS; row++)
            heights[row] = (struct tide_height){part_time(rows[at].at[row]), METRE};
        it.heights = heights;
        it.height_count = ROWS;
        hold(&rows[at], &it);
    }
}

static void offsets_stand_once_by_core(void **state)
{
    (void)state;
    static const struct shape rows[] = {
        {.what = "in order", .at = {1, 2, 9}},
        {.what = "twice", .at = {1, 2, 2}, .bad = 3, .says = "is listed twice"},
        {.what = "backwards", .at = {2, 1, 3}, .bad = 2, .says = "core 1 is listed twice, or out of order"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct core_offset offsets[ROWS];
        struct correction it = part_correction(CORRECTION_COMPOSITE, 1);
        for (size_t row = 0; row < ROWS; row++)
            offsets[row] = (struct core_offset){.core = (int32_t)rows[at].at[row], .method = TIE_TIED};
        it.offsets = offsets;
        it.offset_count = ROWS;
        hold(&rows[at], &it);
    }
}

static void splices_go_down(void **state)
{
    (void)state;
    static const struct shape rows[] = {
        {.what = "in order", .at = {1, 2, 9}},
        {.what = "twice", .at = {1, 2, 2}, .bad = 3, .says = "does not come after"},
        {.what = "backwards", .at = {2, 1, 3}, .bad = 2, .says = "does not come after"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct splice_interval intervals[ROWS];
        struct correction it = part_correction(CORRECTION_SPLICE, 1);
        for (size_t row = 0; row < ROWS; row++)
            intervals[row] = (struct splice_interval){(int32_t)rows[at].at[row], (int32_t)row + 1, 1, 0, 2, METRE};
        it.intervals = intervals;
        it.interval_count = ROWS;
        hold(&rows[at], &it);
    }
}

/* An interval that ends above its beginning holds nothing, whatever the sections. */
static void a_splice_interval_ends_below_its_top(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        struct splice_interval interval;
        bool fine;
    } rows[] = {
        {"within a section", {1, 1, 2, 10, 2, 11}, true},
        {"nothing", {1, 1, 2, 10, 2, 10}, true},
        {"into the catcher", {1, 1, 2, 10, SECTION_CATCHER, 5}, true},
        {"upside down", {1, 1, 2, 10, 2, 9}, false},
        {"up a section", {1, 1, 2, 10, 1, 20}, false},
        {"out of the catcher", {1, 1, SECTION_CATCHER, 0, 7, 20}, false},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct splice_interval interval = rows[at].interval;
        struct correction it = part_correction(CORRECTION_SPLICE, 1);
        struct err err = {0};
        it.intervals = &interval;
        it.interval_count = 1;
        ROW(rows[at].what, (correction_check_rows(&it, &err) == STATUS_OK) == rows[at].fine);
    }
}

static void growth_factors_are_near_1(void **state)
{
    (void)state;
    static const struct shape rows[] = {
        {.what = "in order", .at = {-1, 0, 1}, .value = {0.5, 1.1, 2}},
        {.what = "twice", .at = {-1, 0, 0}, .value = {1, 1.1, 1.2}, .bad = 3, .says = "below the row before"},
        {.what = "backwards", .at = {0, -1, 1}, .value = {1, 1.1, 1.2}, .bad = 2, .says = "below the row before"},
        {.what = "first too small", .at = {0, 1, 2}, .value = {0.4999, 1, 1}, .bad = 1, .says = "0.5 and 2"},
        {.what = "last too great", .at = {0, 1, 2}, .value = {1, 1, 2.0001}, .bad = 3, .says = "0.5 and 2"},
        {.what = "a percentage", .at = {0, 1, 2}, .value = {1, 109, 1}, .bad = 2, .says = "0.5 and 2"},
        {.what = "0", .at = {0, 1, 2}, .value = {1, 0, 1}, .bad = 2, .says = "0.5 and 2"},
        {.what = "not said", .at = {0, 1, 2}, .value = {1, NAN, 1}, .bad = 2, .says = "0.5 and 2"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct growth_step steps[ROWS];
        struct correction it = part_correction(CORRECTION_GROWTH, 1);
        for (size_t row = 0; row < ROWS; row++)
            steps[row] = (struct growth_step){rows[at].at[row], rows[at].value[row]};
        it.steps = steps;
        it.step_count = ROWS;
        hold(&rows[at], &it);
    }
}

static void matched_depths_keep_the_order(void **state)
{
    (void)state;
    static const struct shape rows[] = {
        {.what = "in order", .at = {-1, 0, 1}, .value = {-1, 0, 1}},
        {.what = "two to one", .at = {0, 1, 2}, .value = {5, 5, 6}},
        {.what = "one to two", .at = {0, 1, 1}, .value = {5, 6, 7}, .bad = 3, .says = "its core depth must lie below"},
        {.what = "core depth up",
         .at = {0, 5, 4},
         .value = {5, 6, 7},
         .bad = 3,
         .says = "its core depth must lie below"},
        {.what = "wireline up", .at = {0, 1, 2}, .value = {5, 4, 7}, .bad = 2, .says = "its core depth must lie below"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct match_point points[ROWS];
        struct correction it = part_correction(CORRECTION_WIRELINE, 1);
        for (size_t row = 0; row < ROWS; row++)
            points[row] = (struct match_point){rows[at].at[row], (int64_t)rows[at].value[row]};
        it.points = points;
        it.point_count = ROWS;
        hold(&rows[at], &it);
    }
}

static void stations_point_somewhere(void **state)
{
    (void)state;
    static const char angles[] = "at most 180 and an azimuth at most 360";
    static const struct shape rows[] = {
        {.what = "in order", .at = {0, 1, 2}, .value = {0, 45, 90}, .second = {0, 359.9, 360}},
        {.what = "twice", .at = {0, 1, 1}, .value = {0, 1, 2}, .bad = 3, .says = "below the station before"},
        {.what = "backwards", .at = {1, 0, 2}, .value = {0, 1, 2}, .bad = 2, .says = "below the station before"},
        {.what = "upwards", .at = {0, 1, 2}, .value = {0, 90.1, 180}},
        {.what = "past upwards", .at = {0, 1, 2}, .value = {0, 180.1, 2}, .bad = 2, .says = angles},
        {.what = "up, then down", .at = {0, 1, 2}, .value = {10, 180, 0}, .bad = 3, .says = "turn back"},
        {.what = "back on itself, slanted",
         .at = {0, 1, 2},
         .value = {0, 100, 80},
         .second = {0, 10, 190},
         .bad = 3,
         .says = "turn back"},
        {.what = "round", .at = {0, 1, 2}, .value = {0, 1, 2}, .second = {360.1, 0, 0}, .bad = 1, .says = angles},
        {.what = "back on itself",
         .at = {0, 1, 2},
         .value = {0, 90, 90},
         .second = {0, 10, 190},
         .bad = 3,
         .says = "turn back"},
        {.what = "sharply", .at = {0, 1, 2}, .value = {0, 90, 90}, .second = {0, 10, 189}},
        {.what = "no inclination", .at = {0, 1, 2}, .value = {0, 1, NAN}, .bad = 3, .says = angles},
        {.what = "no azimuth", .at = {0, 1, 2}, .value = {0, 1, 2}, .second = {0, 0, NAN}, .bad = 3, .says = angles},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct survey_station stations[ROWS];
        struct correction it = part_correction(CORRECTION_SURVEY, 1);
        for (size_t row = 0; row < ROWS; row++)
            stations[row] = (struct survey_station){rows[at].at[row], rows[at].value[row], rows[at].second[row]};
        it.stations = stations;
        it.station_count = ROWS;
        hold(&rows[at], &it);
    }
}

static void no_rows_are_in_order(void **state)
{
    (void)state;
    for (int kind = CORRECTION_READING; kind < CORRECTION_KIND_COUNT; kind++) {
        const struct correction it = part_correction((enum correction_kind)kind, 1);
        struct err err = {0};
        assert_int_equal(correction_check_rows(&it, &err), STATUS_OK);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tides_come_one_after_the_other),
        cmocka_unit_test(offsets_stand_once_by_core),
        cmocka_unit_test(splices_go_down),
        cmocka_unit_test(a_splice_interval_ends_below_its_top),
        cmocka_unit_test(growth_factors_are_near_1),
        cmocka_unit_test(matched_depths_keep_the_order),
        cmocka_unit_test(stations_point_somewhere),
        cmocka_unit_test(no_rows_are_in_order),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
