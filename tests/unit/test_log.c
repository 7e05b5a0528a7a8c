/* SPDX-License-Identifier: MIT */
/* The walk over a pump log: every fault found and bridged as its word says, and sums that do not depend on where a log
 * is cut. */
#include "unit.h"

#include <math.h>

#include "coretally/domain/log.h"

#define NO LENGTH_NONE
#define FAULT(id) LOG_FAULT_BIT(id)
#define LEFT (1U << 31) /* in the faults expected: the row is left out */
#define SECOND INT64_C(1000000)

enum { COLUMNS = 4, ROWS = 6 };

struct scene_row {
    int64_t time_s;
    int64_t cells[COLUMNS]; /* the hole first; 0 ends the rows */
    unsigned faults;
    int channel;
    double added[COLUMNS];
};

struct scene {
    const char *situation;
    struct log_channel channels[COLUMNS]; /* none is a BIT, which is 0 and so ends them */
    struct scene_row rows[ROWS + 1];
};

#define HOLE_AND(kind_, pump_)                                                                                         \
    {                                                                                                                  \
        {.kind = LOG_HOLE},                                                                                            \
        {                                                                                                              \
            .kind = (kind_), .pump = (pump_)                                                                           \
        }                                                                                                              \
    }
/* A row of a scene with one channel beside the hole. */
#define AT(time_s, cell, faults, channel, added)                                                                       \
    {                                                                                                                  \
        time_s, {HOLE_UM, cell}, faults, channel,                                                                      \
        {                                                                                                              \
            0, added                                                                                                   \
        }                                                                                                              \
    }
#define HOLE_UM (1000 * METRE)

static size_t channel_count(const struct scene *scene)
{
    size_t count = 1;
    while (count < COLUMNS && scene->channels[count].kind != LOG_BIT)
        count++;
    return count;
}

/* Cells and added: hole first. A stroke is 1000; 60 strokes a minute are 60000; 3 m3 a minute are 3000000. */
static const struct scene scenes[] = {
    {"a counter",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, 5000, 0, -1, 0), AT(10, 15000, 0, -1, 10), AT(20, 15500, 0, -1, 0.5), AT(30, 15500, 0, -1, 0)}},
    {"a rate is a straight line between rows",
     HOLE_AND(LOG_RATE, "1"),
     {AT(0, 60000, 0, -1, 0), AT(60, 60000, 0, -1, 60), AT(90, 0, 0, -1, 15), AT(150, 0, 0, -1, 0)}},
    {"a flow", HOLE_AND(LOG_FLOW, ""), {AT(0, 0, 0, -1, 0), AT(60, 3000000, 0, -1, 1.5), AT(80, 3000000, 0, -1, 1)}},
    {"a booster", HOLE_AND(LOG_BOOSTER, ""), {AT(0, 6000000, 0, -1, 0), AT(1, 6000000, 0, -1, 0.1)}},
    {"a gap: the counter tells what was pumped",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, 5000, 0, -1, 0), AT(60, 6000, 0, -1, 1), AT(121, 9000, FAULT(GAP), -1, 3),
      AT(7321, 9000, FAULT(GAP), -1, 0)}},
    {"a gap: a rate is a straight line",
     HOLE_AND(LOG_RATE, "1"),
     {AT(0, 60000, 0, -1, 0), AT(120, 30000, FAULT(GAP), -1, 90)}},
    {"the same time twice: the first row counts",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(5, 5000, 0, -1, 0), AT(5, 8000, FAULT(REPEAT) | LEFT, -1, 0), AT(6, 9000, 0, -1, 4)}},
    {"the clock runs back: rows are left out until it has caught up",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(100, 5000, 0, -1, 0),
      {40, {HOLE_UM + METRE, 6000}, FAULT(BACKWARD) | LEFT, -1, {0}},
      {99, {-1, NO}, FAULT(BACKWARD) | LEFT, -1, {0}},
      AT(100, 7000, FAULT(REPEAT) | LEFT, -1, 0),
      AT(101, 8000, 0, -1, 3)}},
    {"a counter starts anew",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, 5000000, 0, -1, 0), AT(1, 3000, FAULT(RESET), 1, 3), AT(2, 0, FAULT(RESET), 1, 0), AT(3, 2000, 0, -1, 2)}},
    {"a counter of four digits rolls over",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, 9998000, 0, -1, 0), AT(1, 3000, FAULT(ROLLOVER), 1, 5)}},
    {"a counter rolls over to 0",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, 99999000, 0, -1, 0), AT(1, 0, FAULT(ROLLOVER), 1, 1)}},
    {"the first counter that rolls over: 90 %, to below 10 %",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, 9000000, 0, -1, 0), AT(1, 999999, FAULT(ROLLOVER), 1, 1999.999)}},
    {"a counter below 90 % was reset",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, 8999999, 0, -1, 0), AT(1, 999999, FAULT(RESET), 1, 999.999)}},
    {"a counter that is 10 % again was reset",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, 9999000, 0, -1, 0), AT(1, 1000000, FAULT(RESET), 1, 1000)}},
    {"a counter of three digits was reset: none rolls over at 1000",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, 999000, 0, -1, 0), AT(1, 1000, FAULT(RESET), 1, 1)}},
    {"a counter just past a power was reset",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, 10000000, 0, -1, 0), AT(1, 5000, FAULT(RESET), 1, 5)}},
    {"the largest counter that a cell holds rolls over",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, INT64_MAX, 0, -1, 0), AT(1, 0, FAULT(ROLLOVER), 1, 776627963145224.193)}},
    {"a negative counter is as missing, and is caught up",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, 5000, 0, -1, 0), AT(1, -1, FAULT(NEGATIVE), 1, 0), AT(2, 9000, 0, -1, 4)}},
    {"a negative rate counts as 0",
     HOLE_AND(LOG_RATE, "1"),
     {AT(0, 60000, 0, -1, 0), AT(60, -60000, FAULT(NEGATIVE), 1, 30), AT(90, 60000, 0, -1, 15)}},
    {"a negative flow counts as 0",
     HOLE_AND(LOG_FLOW, ""),
     {AT(0, -5, FAULT(NEGATIVE), 1, 0), AT(60, 1000000, 0, -1, 0.5)}},
    {"a missing counter is caught up",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, 5000, 0, -1, 0), AT(1, NO, FAULT(MISSING), 1, 0), AT(2, NO, FAULT(MISSING), 1, 0),
      AT(3, 9500, 0, -1, 4.5)}},
    {"a counter that jumps: the reading counts as missing",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, 5000, 0, -1, 0), AT(30, 226000, FAULT(JUMP), 1, 0), AT(60, 65000, 0, -1, 60)}},
    {"a counter that goes on from where it jumped to: it counts",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, 5000, 0, -1, 0), AT(30, 1000000, FAULT(JUMP), 1, 0), AT(60, 1030000, 0, -1, 1025)}},
    {"a counter that is low for one row, and back: counted once",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, 5000000, 0, -1, 0), AT(30, 9000, FAULT(RESET), 1, 9), AT(60, 5100000, FAULT(JUMP), 1, 91),
      AT(90, 5150000, 0, -1, 50)}},
    {"as many strokes as a pump may make",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, 5000, 0, -1, 0), AT(30, 225000, 0, -1, 220)}},
    {"a hole that jumps, and comes back",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, 5000, 0, -1, 0), {30, {HOLE_UM + 26 * METRE, 35000}, FAULT(JUMP), 0, {0, 30}}, AT(60, 65000, 0, -1, 30)}},
    {"a missing rate: the last one counts on",
     HOLE_AND(LOG_RATE, "1"),
     {AT(0, 60000, 0, -1, 0), AT(30, NO, FAULT(MISSING), 1, 30), AT(60, NO, FAULT(MISSING), 1, 30),
      AT(90, 120000, 0, -1, 45)}},
    {"a counter without a first value adds nothing by its first",
     HOLE_AND(LOG_STROKES, "1"),
     {AT(0, NO, FAULT(MISSING), 1, 0), AT(1, 5000, 0, -1, 0), AT(2, 6000, 0, -1, 1)}},
    {"a rate begins at its first row",
     HOLE_AND(LOG_FLOW, ""),
     {AT(0, NO, FAULT(MISSING), 1, 0), AT(30, NO, FAULT(MISSING), 1, 0), AT(60, 1000000, 0, -1, 0),
      AT(90, 1000000, 0, -1, 0.5)}},
    {"rows before the first depth are left out, whatever they hold",
     HOLE_AND(LOG_STROKES, "1"),
     {{50, {NO, 1000}, FAULT(MISSING) | LEFT, 0, {0}},
      {40, {-1, 2000}, FAULT(MISSING) | FAULT(NEGATIVE) | LEFT, 0, {0}},
      AT(10, 5000, 0, -1, 0),
      AT(11, 6000, 0, -1, 1)}},
    {"two pumps, one counter missing, the other reset in a gap",
     {{.kind = LOG_HOLE},
      {.kind = LOG_STROKES, .pump = "1"},
      {.kind = LOG_STROKES, .pump = "2"},
      {.kind = LOG_RATE, .pump = "B"}},
     {{0, {HOLE_UM, 5000, 7000, 60000}, 0, -1, {0}},
      {60, {HOLE_UM, NO, 8000, -1}, FAULT(MISSING) | FAULT(NEGATIVE), 3, {0, 0, 1, 30}},
      {180,
       {HOLE_UM - METRE, NO, 500, 0},
       FAULT(GAP) | FAULT(RESET) | FAULT(MISSING) | FAULT(HOLE_BACK),
       -1,
       {0, 0, 0.5, 0}},
      {240, {HOLE_UM, 9000, 1500, 60000}, 0, -1, {0, 4, 1, 30}}}},
};

static void faults_are_found_and_bridged(void **state)
{
    (void)state;
    unsigned seen = 0;
    for (size_t at = 0; at < COUNT_OF(scenes); at++) {
        const struct scene *scene = &scenes[at];
        const size_t count = channel_count(scene);
        struct log_walk walk;
        log_walk_init(&walk, scene->channels, count, LOG_GAP_US, 0);
        for (const struct scene_row *row = scene->rows; row->cells[0]; row++) {
            int64_t cells[1 + COLUMNS] = {row->time_s * SECOND};
            struct log_step step;
            memcpy(cells + 1, row->cells, sizeof row->cells);
            const unsigned faults = log_walk_row(&walk, cells, &step);
            seen |= faults;
            if (faults != (row->faults & ~LEFT) || step.channel != row->channel)
                fail_msg("%s, at %d s: faults %#x in %d", scene->situation, (int)row->time_s, faults, step.channel);
            ROW(scene->situation, step.keep == !(row->faults & LEFT));
            ROW(scene->situation, step.time_us == cells[0] && (!step.keep || walk.time_us == cells[0]));
            ROW(scene->situation, !step.keep || (step.hole_um == HOLE_UM && step.bit_um == HOLE_UM));
            for (size_t channel = 0; channel < LOG_CHANNELS_MAX; channel++) {
                const double added = channel < count ? row->added[channel] : 0;
                if (fabs(step.added[channel] - added) > 1e-12 * fmax(1, added))
                    fail_msg("%s, at %d s: channel %d adds %.9f", scene->situation, (int)row->time_s, (int)channel,
                             step.added[channel]);
            }
        }
    }
    assert_int_equal(seen | FAULT(BIT_BELOW), FAULT(COUNT) - 1); /* that one with the depths */
}

static void depths_stay_in_order(void **state)
{
    (void)state;
    static const struct {
        const char *situation;
        int64_t bit_um;
        int64_t hole_um;
        unsigned faults;
        int channel;
        int64_t bit_taken_um;
        int64_t hole_taken_um;
    } rows[] = {
        {"no bit depth yet", NO, 90 * METRE, FAULT(MISSING) | LEFT, 1, 0, 0},
        {"no hole depth yet", 90 * METRE, NO, FAULT(MISSING) | LEFT, 0, 0, 0},
        {"bit below the first hole depth", 91 * METRE, 90 * METRE, FAULT(BIT_BELOW), 1, 90 * METRE, 90 * METRE},
        {"off bottom", 80 * METRE, 95 * METRE, 0, -1, 80 * METRE, 95 * METRE},
        {"bit below by the slack", 95 * METRE + 50000, 95 * METRE, 0, -1, 95 * METRE, 95 * METRE},
        {"bit below by more", 95 * METRE + 50001, 95 * METRE, FAULT(BIT_BELOW), 1, 95 * METRE, 95 * METRE},
        {"hole back by the slack", 90 * METRE, 95 * METRE - 50000, 0, -1, 90 * METRE, 95 * METRE},
        {"hole back by more", 90 * METRE, 95 * METRE - 50001, FAULT(HOLE_BACK), 0, 90 * METRE, 95 * METRE},
        {"the bit is held against the deepest", 95 * METRE, 94 * METRE, FAULT(HOLE_BACK), 0, 95 * METRE, 95 * METRE},
        {"bit missing", NO, 96 * METRE, FAULT(MISSING), 1, 95 * METRE, 96 * METRE},
        {"bit negative", -METRE, 97 * METRE, FAULT(NEGATIVE), 1, 95 * METRE, 97 * METRE},
        {"hole missing", 90 * METRE, NO, FAULT(MISSING), 0, 90 * METRE, 97 * METRE},
        {"hole negative", 91 * METRE, -1, FAULT(NEGATIVE), 0, 91 * METRE, 97 * METRE},
        {"hole missing, bit deeper", 98 * METRE, NO, FAULT(MISSING) | FAULT(BIT_BELOW), 1, 97 * METRE, 97 * METRE},
        {"both missing", NO, NO, FAULT(MISSING), 0, 97 * METRE, 97 * METRE},
        {"bit at the rig floor", 0, 97 * METRE, 0, -1, 0, 97 * METRE},
    };
    static const struct log_channel channels[] = {{.kind = LOG_HOLE}, {.kind = LOG_BIT}};
    struct log_walk walk;
    log_walk_init(&walk, channels, COUNT_OF(channels), LOG_GAP_US, 0);
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        const int64_t cells[] = {(int64_t)at * SECOND, rows[at].hole_um, rows[at].bit_um};
        struct log_step step;
        const unsigned faults = log_walk_row(&walk, cells, &step);
        ROW(rows[at].situation, faults == (rows[at].faults & ~LEFT));
        ROW(rows[at].situation, step.channel == rows[at].channel);
        ROW(rows[at].situation, step.keep == !(rows[at].faults & LEFT));
        if (step.keep)
            ROW(rows[at].situation, step.bit_um == rows[at].bit_taken_um && step.hole_um == rows[at].hole_taken_um);
    }
}

static void the_channel_is_that_of_what_is_not_bridged(void **state)
{
    (void)state;
    static const struct log_channel channels[] = {
        {.kind = LOG_HOLE}, {.kind = LOG_STROKES, .pump = "1"}, {.kind = LOG_STROKES, .pump = "2"}, {.kind = LOG_FLOW}};
    static const int64_t first[] = {0, HOLE_UM, 5000, 6000, 0};
    static const int64_t second[] = {100 * SECOND, HOLE_UM, NO, 1000, -1};
    static const struct {
        const char *bridged;
        unsigned bridge;
        int channel;
    } rows[] = {
        {"nothing", 0, -1},
        {"gap", FAULT(GAP), 2},
        {"gap reset", FAULT(GAP) | FAULT(RESET), 3},
        {"gap negative", FAULT(GAP) | FAULT(NEGATIVE), 2},
        {"gap reset negative", FAULT(GAP) | FAULT(RESET) | FAULT(NEGATIVE), 1},
        {"all", FAULT(COUNT) - 1, -1},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct log_walk walk;
        struct log_step step;
        log_walk_init(&walk, channels, COUNT_OF(channels), LOG_GAP_US, rows[at].bridge);
        ROW(rows[at].bridged, log_walk_row(&walk, first, &step) == 0);
        ROW(rows[at].bridged,
            log_walk_row(&walk, second, &step) == (FAULT(GAP) | FAULT(RESET) | FAULT(NEGATIVE) | FAULT(MISSING)));
        ROW(rows[at].bridged, step.keep && step.channel == rows[at].channel);
    }
}

static const struct log_channel all_kinds[] = {
    {.kind = LOG_STROKES, .pump = "1"}, {.kind = LOG_BIT},  {.kind = LOG_RATE, .pump = "2"}, {.kind = LOG_HOLE},
    {.kind = LOG_STROKES, .pump = "B"}, {.kind = LOG_FLOW}, {.kind = LOG_BOOSTER},
};
enum { KINDS = COUNT_OF(all_kinds), WIDTH = 1 + KINDS, LOG_ROWS = 60 };

static void add_up(const int64_t *rows, size_t from, size_t until, double sums[KINDS])
{
    struct log_walk walk;
    log_walk_init(&walk, all_kinds, KINDS, LOG_GAP_US, 0);
    for (size_t row = from; row < until; row++) {
        struct log_step step;
        assert_int_equal(log_walk_row(&walk, rows + row * WIDTH, &step), 0);
        assert_true(step.keep);
        assert_int_equal(step.hole_um, rows[row * WIDTH + 4]);
        for (size_t at = 0; at < KINDS; at++)
            sums[at] += step.added[at];
    }
}

static void a_clean_log_may_be_cut_anywhere(void **state)
{
    (void)state;
    uint64_t seed = 4;
    for (int round = 0; round < 200; round++) {
        int64_t rows[LOG_ROWS * WIDTH];
        int64_t now[WIDTH] = {random_within(&seed, 0, SECOND), 0, 0, 0, HOLE_UM, 0, 0, 0};
        for (size_t row = 0; row < LOG_ROWS; row++) {
            now[0] += random_within(&seed, 1, LOG_GAP_US);
            now[1] += random_within(&seed, 0, 20000); /* no jump, however short the step */
            now[2] = random_within(&seed, 0, HOLE_UM);
            now[3] = random_within(&seed, 0, 150000);
            now[4] += random_within(&seed, 0, 20000);
            now[5] += random_within(&seed, 0, 3) * 1000;
            now[6] = random_within(&seed, 0, 4000000);
            now[7] = random_within(&seed, 0, 1) * 2000000;
            memcpy(rows + row * WIDTH, now, sizeof now);
        }
        const size_t cut = (size_t)random_within(&seed, 0, LOG_ROWS - 1);
        double whole[KINDS] = {0};
        double parts[KINDS] = {0};
        add_up(rows, 0, LOG_ROWS, whole);
        add_up(rows, 0, cut + 1, parts);
        add_up(rows, cut, LOG_ROWS, parts);
        for (size_t at = 0; at < KINDS; at++)
            assert_true(fabs(whole[at] - parts[at]) <= 1e-12 * LOG_ROWS * whole[at]);
        assert_true(fabs(whole[0] - (double)(now[1] - rows[1]) / 1000) <= 1e-12 * LOG_ROWS * whole[0]);
    }
}

static void whatever_a_row_holds_the_rows_kept_are_in_order(void **state)
{
    (void)state;
    static const int64_t odd[] = {NO, NO + 1, -1, 0, 1, 9999000, INT64_MAX - 1, INT64_MAX};
    uint64_t seed = 5;
    struct log_walk walk;
    log_walk_init(&walk, all_kinds, KINDS, LOG_GAP_US, 0);
    for (int round = 0; round < 200000; round++) {
        int64_t cells[WIDTH];
        struct log_step step;
        if (round % 50 == 0)
            log_walk_init(&walk, all_kinds, KINDS, LOG_GAP_US, 0);
        for (size_t at = 0; at < WIDTH; at++)
            cells[at] = random_within(&seed, 0, 9) ? random_within(&seed, 0, METRE * 100)
                                                   : odd[random_within(&seed, 0, (int64_t)COUNT_OF(odd) - 1)];
        const struct log_walk before = walk;
        const unsigned faults = log_walk_row(&walk, cells, &step);
        assert_true(faults < FAULT(COUNT) && step.channel >= -1 && step.channel < KINDS);
        if (!step.keep) {
            assert_true(faults && before.started == walk.started && before.time_us == walk.time_us);
            assert_memory_equal(before.last, walk.last, sizeof walk.last);
            continue;
        }
        assert_true(step.time_us != NO);
        assert_true(!before.started || (step.time_us > before.time_us && step.hole_um >= before.hole_um));
        assert_true(step.bit_um >= 0 && step.bit_um <= step.hole_um);
        for (size_t at = 0; at < KINDS; at++)
            assert_true(isfinite(step.added[at]) && step.added[at] >= 0 && (before.started || step.added[at] == 0));
    }
}

static void every_kind_and_fault_has_its_words(void **state)
{
    (void)state;
    for (int fault = 0; fault < LOG_FAULT_COUNT; fault++) {
        const char *word = log_fault_word((enum log_fault)fault);
        ROW(word, word[0] && log_fault_meaning((enum log_fault)fault)[0] && log_fault_bridge((enum log_fault)fault)[0]);
        for (int other = 0; other < fault; other++)
            ROW(word, strcmp(word, log_fault_word((enum log_fault)other)) != 0);
    }
    assert_string_equal(log_fault_word(LOG_FAULT_HOLE_BACK), "hole-back");
    assert_string_equal(log_fault_meaning(LOG_FAULT_RESET), "a stroke counter starts anew");
    assert_string_equal(log_fault_bridge(LOG_FAULT_REPEAT), "the first row counts");
    assert_string_equal(log_kind_words[LOG_BOOSTER], "booster");
    assert_null(log_kind_words[LOG_KIND_COUNT]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(faults_are_found_and_bridged),
        cmocka_unit_test(depths_stay_in_order),
        cmocka_unit_test(the_channel_is_that_of_what_is_not_bridged),
        cmocka_unit_test(a_clean_log_may_be_cut_anywhere),
        cmocka_unit_test(whatever_a_row_holds_the_rows_kept_are_in_order),
        cmocka_unit_test(every_kind_and_fault_has_its_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
