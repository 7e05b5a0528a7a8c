/* SPDX-License-Identifier: MIT */
/* Vertical depth of holes that go up again, against scans of them. */
#include "unit.h"

#include <stdlib.h>

#include "correction_parts.h"

static struct correction survey_of(struct survey_station *stations, size_t count)
{
    struct correction it = part_correction(CORRECTION_SURVEY, 1);
    it.stations = stations;
    it.station_count = count;
    return it;
}

enum { GRID = 4000 };

/* Holes that go up and down, against a scan of them every half metre: how often a vertical depth is reached, where, and
 * between which bounds a depth lies that is known to 5 m. */
static void holes_that_go_up(void **state)
{
    (void)state;
    uint64_t seed = 21;
    int once = 0;
    int often = 0;
    int never = 0;
    for (int round = 0; round < 300; round++) {
        static int64_t grid_um[GRID];
        struct survey_station stations[8];
        int64_t depth_um = random_within(&seed, 50, 300) * METRE;
        for (size_t at = 0; at < COUNT_OF(stations); at++) {
            stations[at] = (struct survey_station){depth_um, (double)random_within(&seed, at ? 30 : 0, 140),
                                                   (double)random_within(&seed, 0, 120)};
            depth_um += random_within(&seed, 20, 200) * METRE;
        }
        stations[7].inclination_deg = round % 2 ? 10 : 100; /* down for good, or up */
        const int last = (int)(2 * stations[7].depth_um / METRE);
        const struct correction it = survey_of(stations, COUNT_OF(stations));
        const struct correction *in_force[1];
        struct hole hole = part_hole(25 * METRE);
        hole.tolerance_um = 5 * METRE;
        part_correct(&hole, &it, 1, in_force);
        for (int at = 0; at < GRID; at++)
            grid_um[at] = drilled_from_drf(&hole, at * METRE / 2, (struct instant){0}, SCALE_TVD).um;
        for (int ask = 0; ask < 20; ask++) {
            const int64_t um = random_within(&seed, 0, 1500 * METRE);
            int count = 0;
            bool is_near = false; /* to a turn, where the scan may miss two crossings */
            int first = 0;
            for (int at = 1; at <= last; at++) {
                const bool crosses = (grid_um[at - 1] < um) != (grid_um[at] < um);
                first = crosses && !count ? at : first;
                count += crosses;
                const bool turns = at == last || (grid_um[at] > grid_um[at - 1]) != (grid_um[at + 1] > grid_um[at]);
                is_near = is_near || (turns && llabs(grid_um[at] - um) < METRE);
            }
            const struct depth back = drilled_to_drf(&hole, um, (struct instant){0}, SCALE_TVD);
            if (is_near)
                continue;
            once += count == 1;
            often += count > 1;
            never += count == 0;
            if (count == 1)
                assert_true(!back.why && back.um > (first - 1) * METRE / 2 - 2 && back.um <= first * METRE / 2 + 2);
            else if (count == 0 && round % 2) /* straight on below the last station */
                assert_true(!back.why && back.um >= stations[7].depth_um);
            else
                assert_true(back.why && strstr(back.why, count ? "more than once" : "no such vertical depth"));
        }
        for (int ask = 0; ask < 20; ask++) {
            const int middle = (int)random_within(&seed, 20, GRID - 20);
            const struct depth depth =
                drilled_depth(&hole, middle * METRE / 2, DATUM_RIG_FLOOR, (struct instant){0}, SCALE_TVD, NULL);
            int64_t least_um = INT64_MAX;
            int64_t greatest_um = INT64_MIN;
            for (int at = middle - 10; at <= middle + 10; at++) {
                least_um = grid_um[at] < least_um ? grid_um[at] : least_um;
                greatest_um = grid_um[at] > greatest_um ? grid_um[at] : greatest_um;
            }
            assert_true(depth.low_um <= least_um && depth.low_um > least_um - METRE / 4);
            assert_true(depth.high_um >= greatest_um && depth.high_um < greatest_um + METRE / 4);
            assert_true(depth.low_um <= depth.um && depth.um <= depth.high_um);
        }
    }
    if (once < 500 || often < 100 || never < 100)
        fail_msg("too few: %d once, %d often, %d never", once, often, never);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(holes_that_go_up),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
