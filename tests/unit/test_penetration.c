/* SPDX-License-Identifier: MIT */
/* Penetration: worked cases, and random holes against a count metre by metre. */
#include "unit.h"

#include <stdio.h>

#include "coretally/domain/penetration.h"

static void worked_cases(void **state)
{
    (void)state;
    /* By adding on paper, common practice. */
    static const struct {
        const char *what;
        struct bored runs[4];
        size_t count;
        int64_t begin_m;
        int64_t top_m; /* of the range */
        int64_t to_m;
        struct penetration expected; /* metres */
    } rows[] = {
        {"nothing", {{0}}, 0, 0, -1000, 1000, {.top_um = 0, .bottom_um = 0}},
        {"two cores end to end",
         {{10, 20, BORED_CORED}, {0, 10, BORED_CORED}},
         2,
         0,
         -1000,
         1000,
         {.bottom_um = 20, .cored_um = 20}},
        {"a gap, and water above the first core",
         {{-2, 8, BORED_CORED}, {12, 20, BORED_UNCORED}, {20, 30, BORED_CORED}},
         3,
         0,
         -1000,
         1000,
         {.bottom_um = 30,
          .cored_um = 18,
          .uncored_um = 8,
          .unrecorded_um = 4,
          .gap_count = 1,
          .gap_top_um = 8,
          .gap_bottom_um = 12}},
        {"washed, then cored again",
         {{0, 30, BORED_UNCORED}, {5, 15, BORED_CORED}, {10, 20, BORED_CORED}},
         3,
         0,
         -1000,
         1000,
         {.bottom_um = 30, .cored_um = 15, .uncored_um = 15}},
        {"a sidetrack",
         {{70, 80, BORED_CORED}},
         1,
         60,
         -1000,
         1000,
         {.top_um = 60,
          .bottom_um = 80,
          .cored_um = 10,
          .unrecorded_um = 10,
          .gap_count = 1,
          .gap_top_um = 60,
          .gap_bottom_um = 70}},
        {"a run without a bottom, then further",
         {{0, 10, BORED_CORED}, {10, 10, BORED_NO_BOTTOM}, {15, 20, BORED_CORED}},
         3,
         0,
         -1000,
         1000,
         {.bottom_um = 20, .cored_um = 15, .open_um = 5}},
        {"a run without a bottom is the last",
         {{0, 10, BORED_CORED}, {14, 14, BORED_NO_BOTTOM}},
         2,
         0,
         -1000,
         1000,
         {.bottom_um = 14,
          .cored_um = 10,
          .unrecorded_um = 4,
          .gap_count = 1,
          .gap_top_um = 10,
          .gap_bottom_um = 14,
          .is_least = true}},
        {"it begins where the last one ended",
         {{0, 10, BORED_CORED}, {10, 10, BORED_NO_BOTTOM}},
         2,
         0,
         -1000,
         1000,
         {.bottom_um = 10, .cored_um = 10, .is_least = true}},
        {"a range that begins in the span of such a run",
         {{0, 10, BORED_CORED}, {10, 10, BORED_NO_BOTTOM}, {18, 20, BORED_CORED}},
         3,
         0,
         12,
         19,
         {.top_um = 12, .bottom_um = 19, .cored_um = 1, .open_um = 6}},
        {"a range above the hole's records",
         {{10, 20, BORED_CORED}},
         1,
         0,
         2,
         5,
         {.top_um = 2, .bottom_um = 5, .unrecorded_um = 3, .gap_count = 1, .gap_top_um = 2, .gap_bottom_um = 5}},
        {"a range below the hole", {{0, 20, BORED_CORED}}, 1, 0, 30, 40, {.top_um = 30, .bottom_um = 30}},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct bored runs[4];
        struct penetration found;
        memcpy(runs, rows[at].runs, sizeof runs);
        penetration_sum(runs, rows[at].count, rows[at].begin_m, rows[at].top_m, rows[at].to_m, &found);
        const struct penetration *want = &rows[at].expected;
        ROW(rows[at].what, found.top_um == want->top_um && found.bottom_um == want->bottom_um);
        ROW(rows[at].what, found.cored_um == want->cored_um && found.uncored_um == want->uncored_um);
        ROW(rows[at].what, found.open_um == want->open_um && found.unrecorded_um == want->unrecorded_um);
        ROW(rows[at].what, found.gap_count == want->gap_count && found.gap_top_um == want->gap_top_um &&
                               found.gap_bottom_um == want->gap_bottom_um);
        ROW(rows[at].what, found.is_least == want->is_least);
    }
}

enum { GRID = 120, RUNS = 14, EDGE = 20 };

/* What the bit did in each metre. */
enum { NOTHING, OPEN, UNCORED, CORED };

/* Metre by metre: no sorting, no merging. A gap is open where a run without a bottom begins in it. */
static void paint(const struct bored *runs, size_t count, int64_t begin, int64_t deepest, char metre[GRID])
{
    memset(metre, NOTHING, GRID);
    for (int64_t at = 0; at < GRID; at++)
        for (size_t run = 0; run < count; run++) {
            const bool in = runs[run].as != BORED_NO_BOTTOM && runs[run].top_um <= at && at < runs[run].bottom_um;
            if (in && metre[at] != CORED)
                metre[at] = runs[run].as == BORED_CORED ? CORED : UNCORED;
        }
    for (size_t run = 0; run < count; run++) {
        if (runs[run].as != BORED_NO_BOTTOM)
            continue;
        int64_t up = runs[run].top_um;
        if (up < begin || up >= deepest || metre[up] == UNCORED || metre[up] == CORED)
            continue;
        for (; up >= begin && metre[up] < UNCORED; up--)
            metre[up] = OPEN;
        for (int64_t down = runs[run].top_um; down < deepest && metre[down] < UNCORED; down++)
            metre[down] = OPEN;
    }
}

static void random_holes(void **state)
{
    (void)state;
    uint64_t seed = 4;
    int64_t seen[4] = {0};
    for (int hole = 0; hole < 20000; hole++) {
        struct bored runs[RUNS];
        char metre[GRID];
        const size_t count = (size_t)random_within(&seed, 1, RUNS);
        const int64_t begin = random_within(&seed, EDGE / 2, EDGE);
        int64_t deepest = begin;
        for (size_t at = 0; at < count; at++) {
            const int64_t top = random_within(&seed, begin - 3, GRID - EDGE);
            const enum bored_as as = (enum bored_as)random_within(&seed, 0, 2);
            runs[at] = (struct bored){top, as == BORED_NO_BOTTOM ? top : top + random_within(&seed, 0, 12), as};
            deepest = runs[at].bottom_um > deepest ? runs[at].bottom_um : deepest;
        }
        const bool ranged = random_within(&seed, 0, 1);
        const int64_t top = ranged ? random_within(&seed, 0, GRID) : INT64_MIN;
        const int64_t bottom = ranged ? top + random_within(&seed, 1, GRID) : INT64_MAX;
        paint(runs, count, begin, deepest, metre);
        int64_t sums[4] = {0};
        size_t gaps = 0;
        for (int64_t at = begin; at < deepest; at++) {
            if (at < top || at >= bottom)
                continue;
            sums[(int)metre[at]]++;
            gaps += metre[at] == NOTHING && (at == begin || at == top || metre[at - 1] != NOTHING);
        }
        struct penetration found;
        penetration_sum(runs, count, begin, top, bottom, &found);
        char what[32];
        (void)snprintf(what, sizeof what, "hole %d", hole);
        ROW(what, found.cored_um == sums[CORED] && found.uncored_um == sums[UNCORED]);
        ROW(what, found.open_um == sums[OPEN] && found.unrecorded_um == sums[NOTHING]);
        ROW(what, found.gap_count == gaps);
        ROW(what, found.bottom_um - found.top_um == sums[0] + sums[1] + sums[2] + sums[3]);
        for (int kind = 0; kind < 4; kind++)
            seen[kind] += sums[kind];
    }
    for (int kind = 0; kind < 4; kind++)
        assert_true(seen[kind] > 10000); /* every kind was there */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_cases),
        cmocka_unit_test(random_holes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
