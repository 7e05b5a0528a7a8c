/* SPDX-License-Identifier: MIT */
/* Stored days of pump logs: their form, and that they come back equal; test_log_day_decode.c has what is refused. */
#include "unit.h"

#include <stdio.h>
#include <time.h>

#include "coretally/base/quantity.h"
#include "coretally/record/log_day.h"

#define NO LENGTH_NONE
#define SECOND INT64_C(1000000)
#define DAY_START INT64_C(1773014400000000) /* of 2026-03-09: 20521 days */
#define ARENA_BYTES ((size_t)1 << 30)

#define TOP "coretally log 1\nhole U0013A\nday 2026-03-09\n"
#define HEAD "columns bit hole strokes:1 rate:B\ngap 60\nrows "
#define FIRST "1773014400000000 2310500000 2310500000 10234000 0\n"

static bool is_same_block(const struct log_block *a, const struct log_block *b)
{
    bool same = a->channel_count == b->channel_count && a->gap_us == b->gap_us && a->bridge == b->bridge &&
                a->row_count == b->row_count;
    for (size_t at = 0; same && at < a->channel_count; at++)
        same = a->channels[at].kind == b->channels[at].kind && strcmp(a->channels[at].pump, b->channels[at].pump) == 0;
    return same && memcmp(a->cells, b->cells, a->row_count * (1 + a->channel_count) * sizeof *a->cells) == 0;
}

static bool is_same_day(const struct log_day *a, const struct log_day *b)
{
    bool same = strcmp(a->hole, b->hole) == 0 && a->day == b->day && a->block_count == b->block_count;
    for (size_t at = 0; same && at < a->block_count; at++)
        same = is_same_block(&a->blocks[at], &b->blocks[at]);
    return same;
}

static void days_are_printed_and_read(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        int64_t day;
    } rows[] = {{"1970-01-01", 0},       {"2026-03-09", 20521}, {"1969-12-31", -1},     {"2024-02-29", 19782},
                {"0000-01-01", -719528}, {"2000-02-29", 11016}, {"9999-12-31", 2932896}};
    static const char *const refused[] = {
        "",           "2026-3-9",    "2026-02-29", "2026-13-01",  "2026-00-10",
        "2026-03-00", "2026-03-091", "2026/03/09", "2026-03-09 ", " 2026-03-0",
        "20260-03-9", "+026-03-09",  "0000-00-00", "2026-03-0a",  "2026-03-09T00:00Z"};
    char text[DAY_TEXT_MAX];
    int64_t day = 7;
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        day_format(rows[at].day, text);
        ROW_TEXT(rows[at].text, text, rows[at].text);
        ROW(rows[at].text, day_parse(rows[at].text, &day) && day == rows[at].day);
    }
    day = 7;
    for (size_t at = 0; at < COUNT_OF(refused); at++)
        ROW(refused[at], !day_parse(refused[at], &day) && day == 7);
    static const int64_t beyond[] = {INT64_MIN, -719529, 2932897, INT64_MAX};
    for (size_t at = 0; at < COUNT_OF(beyond); at++) {
        day_format(beyond[at], text);
        assert_string_equal(text, "0000-00-00");
    }
}

static void a_day_has_this_form(void **state)
{
    (void)state;
    static const char expected[] =
        TOP HEAD "6\n" FIRST "1000000\n"   /* a step of one second */
                 "\n"                      /* another, nothing else changed */
                 "-500000 -10000 0 1000\n" /* half a second, the bit 1 cm up */
                 "500000 0 - 0 -\n"        /* two empty cells */
                 "0 10000 -7 0 61500\n"    /* from the last values that there were */
                 "columns hole flow flow booster\ngap 0.5\nbridge gap bit-below missing\nrows 2\n"
                 "1773100799999999 - -5 0 -\n"
                 "-1800000000 2 1000000000000000005 -1000000000000000000 -\n";
    static int64_t const first[] = {DAY_START,
                                    2310500000,
                                    2310500000,
                                    10234000,
                                    0, /**/
                                    DAY_START + SECOND,
                                    2310500000,
                                    2310500000,
                                    10234000,
                                    0, /**/
                                    DAY_START + 2 * SECOND,
                                    2310500000,
                                    2310500000,
                                    10234000,
                                    0, /**/
                                    DAY_START + 5 * SECOND / 2,
                                    2310490000,
                                    2310500000,
                                    10235000,
                                    0, /**/
                                    DAY_START + 7 * SECOND / 2,
                                    2310490000,
                                    NO,
                                    10235000,
                                    NO, /**/
                                    DAY_START + 9 * SECOND / 2,
                                    2310500000,
                                    2310499993,
                                    10235000,
                                    61500};
    static int64_t const second[] = {DAY_START + DAY_US - 1,
                                     NO,
                                     -5,
                                     0,
                                     NO, /**/
                                     DAY_START + DAY_US - 1 - 1800 * SECOND,
                                     2,
                                     LOG_CELL_MAX,
                                     -LOG_CELL_MAX,
                                     NO};
    int64_t cells[2][COUNT_OF(first)];
    memcpy(cells[0], first, sizeof first);
    memcpy(cells[1], second, sizeof second);
    struct log_block blocks[] = {
        {.channels = {{LOG_BIT, ""}, {LOG_HOLE, ""}, {LOG_STROKES, "1"}, {LOG_RATE, "B"}},
         .channel_count = 4,
         .gap_us = 60 * SECOND,
         .cells = cells[0],
         .row_count = 6},
        {.channels = {{LOG_HOLE, ""}, {LOG_FLOW, ""}, {LOG_FLOW, ""}, {LOG_BOOSTER, ""}},
         .channel_count = 4,
         .gap_us = SECOND / 2,
         .bridge = LOG_FAULT_BIT(GAP) | LOG_FAULT_BIT(BIT_BELOW) | LOG_FAULT_BIT(MISSING),
         .cells = cells[1],
         .row_count = 2},
    };
    const struct log_day day = {.hole = "U0013A", .day = 20521, .blocks = blocks, .block_count = 2};
    struct arena arena;
    struct bytes text;
    struct log_day again;
    struct err err = {0};
    arena_init(&arena, ARENA_BYTES);
    assert_int_equal(log_day_encode(&day, &arena, &text, &err), STATUS_OK);
    assert_string_equal(text.data, expected);
    assert_int_equal(log_day_decode(text, &arena, &again, &err), STATUS_OK);
    assert_true(is_same_day(&day, &again));
    arena_clear(&arena);
}

/* A block with any columns, any gaps in time and the numbers of a log or any at all. */
static struct log_block random_block(uint64_t *seed, size_t rows, int64_t day_us, struct arena *arena)
{
    struct log_block block = {.channel_count = (size_t)random_within(seed, 1, LOG_CHANNELS_MAX),
                              .gap_us = random_within(seed, 0, 1) ? random_within(seed, 1, 90) * SECOND
                                                                  : random_within(seed, 1, LOG_CELL_MAX - 10),
                              .bridge = (unsigned)random_within(seed, 0, LOG_FAULT_BIT(COUNT) - 1),
                              .row_count = rows};
    struct err err;
    const bool wild = random_within(seed, 0, 3) == 0;
    const size_t width = 1 + block.channel_count;
    for (size_t at = 0; at < block.channel_count; at++) {
        struct log_channel *channel = &block.channels[at];
        channel->kind = (enum log_kind)random_within(seed, at < 2 ? LOG_BIT + (int64_t)at : LOG_STROKES,
                                                     at < 2 ? (int64_t)at : LOG_BOOSTER);
        if (channel->kind == LOG_STROKES || channel->kind == LOG_RATE)
            (void)snprintf(channel->pump, sizeof channel->pump, "%c%d", (char)random_within(seed, 'A', 'Z'), (int)at);
    }
    assert_int_equal(arena_take(arena, rows * width, sizeof *block.cells, &block.cells, &err), STATUS_OK);
    for (size_t at = 0; at < rows * width; at++) {
        const int64_t above = at < width ? 0 : block.cells[at - width];
        const int64_t most = wild ? LOG_CELL_MAX : 20000;
        int64_t *cell = &block.cells[at];
        if (at % width == 0)
            *cell = day_us + (wild || random_within(seed, 0, 99) == 0 || at == 0 ? random_within(seed, 0, DAY_US - 1)
                                                                                 : (above - day_us + SECOND) % DAY_US);
        else if (random_within(seed, 0, 9) == 0)
            *cell = NO;
        else if (above != NO && !wild && random_within(seed, 0, 1))
            *cell = above;
        else
            *cell = random_within(seed, -most, most);
    }
    return block;
}

static void random_days_come_back_equal(void **state)
{
    (void)state;
    uint64_t seed = 11;
    for (int round = 0; round < 300; round++) {
        struct arena arena;
        struct err err = {0};
        struct log_block blocks[5];
        struct log_day day = {.hole = "1264B",
                              .day = random_within(&seed, -719528, 2932896),
                              .blocks = blocks,
                              .block_count = (size_t)random_within(&seed, 1, COUNT_OF(blocks))};
        struct log_day again;
        struct bytes first;
        struct bytes second;
        arena_init(&arena, ARENA_BYTES);
        for (size_t at = 0; at < day.block_count; at++) {
            blocks[at] = random_block(&seed, (size_t)random_within(&seed, 1, 80), day.day * DAY_US, &arena);
            blocks[at].gap_us = blocks[at].gap_us / 10 * 10 + (int64_t)at + 1; /* no two alike */
        }
        if (log_day_encode(&day, &arena, &first, &err) != STATUS_OK)
            fail_msg("%s", err.reason);
        if (log_day_decode(first, &arena, &again, &err) != STATUS_OK)
            fail_msg("%s: %s", err.subject, err.reason);
        assert_true(is_same_day(&day, &again));
        assert_int_equal(log_day_encode(&again, &arena, &second, &err), STATUS_OK);
        assert_true(first.len == second.len && memcmp(first.data, second.data, first.len) == 0);
        arena_clear(&arena);
    }
}

static void what_no_day_holds_is_not_written(void **state)
{
    (void)state;
    int64_t cells[] = {DAY_START, 1, DAY_START + 1, 2};
    const struct log_block good = {
        .channels = {{LOG_HOLE, ""}}, .channel_count = 1, .gap_us = SECOND, .cells = cells, .row_count = 2};
    struct log_block blocks[LOG_DAY_BLOCKS_MAX + 1];
    struct log_day day = {.hole = "U0013A", .day = 20521, .blocks = blocks, .block_count = 1};
    struct arena arena;
    struct err err = {0};
    struct bytes text = {0};
    arena_init(&arena, 1 << 20);
    for (size_t at = 0; at < COUNT_OF(blocks); at++) {
        blocks[at] = good;
        blocks[at].gap_us += (int64_t)at;
    }
#define WRONG(change)                                                                                                  \
    do {                                                                                                               \
        const struct log_day kept = day;                                                                               \
        change;                                                                                                        \
        ROW(#change, log_day_encode(&day, &arena, &text, &err) == STATUS_INPUT && err.reason[0] && !text.data);        \
        day = kept;                                                                                                    \
        blocks[0] = good;                                                                                              \
        cells[0] = DAY_START;                                                                                          \
        cells[3] = 2;                                                                                                  \
    } while (0)
    WRONG(day.hole = "u0013a");
    WRONG(day.hole = "");
    WRONG(day.day = 2932897);
    WRONG(day.day = INT64_MIN);
    WRONG(day.day = 20522);
    WRONG(day.block_count = 0);
    WRONG(day.block_count = LOG_DAY_BLOCKS_MAX + 1);
    WRONG(blocks[0].channel_count = 0);
    WRONG(blocks[0].channel_count = LOG_CHANNELS_MAX + 1);
    WRONG(blocks[0].channels[0].kind = LOG_KIND_COUNT);
    WRONG(blocks[0].channels[0].kind = LOG_RATE);
    WRONG(blocks[0].channels[0].pump[0] = '1');
    WRONG((blocks[0].channels[0].kind = LOG_RATE, memset(blocks[0].channels[0].pump, 'A', PUMP_NAME_MAX)));
    WRONG(blocks[0].gap_us = 0);
    WRONG(blocks[0].gap_us = LOG_CELL_MAX + 1);
    WRONG(blocks[0].bridge = LOG_FAULT_BIT(COUNT));
    WRONG(blocks[0].row_count = 0);
    WRONG(blocks[0].row_count = LOG_DAY_ROWS_MAX + 1);
    WRONG((blocks[0].gap_us = blocks[1].gap_us, day.block_count = 2));
    WRONG(cells[0] = LENGTH_NONE);
    WRONG(cells[3] = LOG_CELL_MAX + 1);
    WRONG(cells[3] = -LOG_CELL_MAX - 1);
    WRONG(cells[3] = LENGTH_NONE + 1);
    day.block_count = 2;
    blocks[1] = good;
    blocks[1].bridge = LOG_FAULT_BIT(GAP);
    assert_int_equal(log_day_encode(&day, &arena, &text, &err), STATUS_OK);
    blocks[1] = good;
    blocks[1].channels[0].kind = LOG_FLOW;
    assert_int_equal(log_day_encode(&day, &arena, &text, &err), STATUS_OK);
    blocks[1] = good;
    blocks[1].gap_us++;
    day.block_count = LOG_DAY_BLOCKS_MAX;
    assert_int_equal(log_day_encode(&day, &arena, &text, &err), STATUS_OK);
    arena_clear(&arena);
    arena_init(&arena, 1 << 10);
    text = (struct bytes){0};
    assert_int_equal(log_day_encode(&day, &arena, &text, &err), STATUS_SYSTEM);
    arena_clear(&arena);
}

static double seconds_now(void)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

/* Twelve hours of drilling at 12 m/h, eight of circulating off bottom, four without pumps; depths to the centimetre,
 * strokes to one, the booster steady. */
static void drill_a_day(int64_t *cells)
{
    int64_t strokes = 10234;
    int64_t hole_um = 2310500000;
    for (int64_t second = 0; second < 86400; second++, cells += 5) {
        const bool drills = second < 12 * 3600;
        if (drills)
            hole_um = 2310500000 + second / 3 * CENTIMETRE;
        if (second < 20 * 3600)
            strokes += 1 + (second % 3 == 0);
        cells[0] = DAY_START + second * SECOND;
        cells[1] = drills ? hole_um : hole_um - 20 * METRE;
        cells[2] = hole_um;
        cells[3] = strokes * 1000;
        cells[4] = drills ? 40000 : 0;
    }
}

static void a_day_of_seconds_stays_small(void **state)
{
    (void)state;
    struct log_block block = {.channels = {{LOG_BIT, ""}, {LOG_HOLE, ""}, {LOG_STROKES, "1"}, {LOG_RATE, "B"}},
                              .channel_count = 4,
                              .gap_us = LOG_GAP_US,
                              .row_count = 86400};
    const struct log_day day = {.hole = "U0013A", .day = 20521, .blocks = &block, .block_count = 1};
    struct arena arena;
    struct bytes text;
    struct log_day again;
    struct err err = {0};
    arena_init(&arena, ARENA_BYTES);
    assert_int_equal(arena_take(&arena, block.row_count, 5 * sizeof *block.cells, &block.cells, &err), STATUS_OK);
    drill_a_day(block.cells);
    const double start = seconds_now();
    assert_int_equal(log_day_encode(&day, &arena, &text, &err), STATUS_OK);
    const double written = seconds_now();
    assert_int_equal(log_day_decode(text, &arena, &again, &err), STATUS_OK);
    const double read = seconds_now();
    assert_true(is_same_day(&day, &again));
    assert_true(text.len < 1000000);
    (void)printf("86400 rows: %zu bytes; written at %.1f, read at %.1f million rows a second\n", text.len,
                 0.0864 / (written - start), 0.0864 / (read - written));
    arena_clear(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(days_are_printed_and_read),    cmocka_unit_test(a_day_has_this_form),
        cmocka_unit_test(random_days_come_back_equal),  cmocka_unit_test(what_no_day_holds_is_not_written),
        cmocka_unit_test(a_day_of_seconds_stays_small),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
