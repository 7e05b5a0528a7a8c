/* SPDX-License-Identifier: MIT */
/* The rules for times: each provoked, each silent at its limit. */
#include "rule_cases.h"

#include "coretally/base/limits.h"
#include "parts.h"

#define HOUR ((int64_t)3600 * 1000000)
#define DAY (24 * HOUR)
/* 2026-03-01T04:12Z */
#define NOW ((int64_t)1772338320 * 1000000)

static struct instant at(int64_t utc_us)
{
    return (struct instant){.utc_us = utc_us, .known = true};
}

/* Core 3 on deck that long after now, the cores above and below it too where they are given. */
static void check_deck(int64_t own_us, const int64_t *above_us, const int64_t *below_us, struct findings *findings)
{
    const struct hole hole = part_hole(3000 * METRE);
    struct core core = part_core(3100 * METRE, 3109 * METRE, NULL, 0);
    struct core above = core;
    struct core below = core;
    core.number = 3;
    core.on_deck = at(NOW + own_us);
    above.number = 2;
    below.number = 4;
    if (above_us)
        above.on_deck = at(NOW + *above_us);
    if (below_us)
        below.on_deck = at(NOW + *below_us);
    const struct core_neighbours around = {.timed_above = above_us ? &above : NULL,
                                           .timed_below = below_us ? &below : NULL};
    core_check_time(&hole, &core, &around, NOW, findings);
}

static void on_deck_in_five_years(struct findings *findings)
{
    const int64_t above_us = -HOUR;
    check_deck(5 * 365 * DAY, &above_us, NULL, findings);
}

/* A recorded state: no clock is asked. */
static void judge_deck(int64_t own_us, int64_t came_in_us, struct findings *findings)
{
    const struct hole hole = part_hole(3000 * METRE);
    struct core core = part_core(3100 * METRE, 3109 * METRE, NULL, 0);
    const struct core_neighbours around = {.timed_above = NULL};
    core.on_deck = at(own_us);
    core_check_time(&hole, &core, &around, NOW_NONE, findings);
    time_check_state(RULE_TIME_FUTURE, "the time on deck", core.on_deck, came_in_us, CLOCK_SLACK_US, findings);
}

static void recorded_ahead_of_the_newest_act(struct findings *findings)
{
    judge_deck(NOW + DAY, NOW, findings);
}

static void recorded_before_a_newer_act(struct findings *findings)
{
    judge_deck(NOW + DAY, NOW + DAY + HOUR, findings);
}

/* At the limit when it was typed; git cut the second of the act. */
static void recorded_by_another_stations_clock(struct findings *findings)
{
    judge_deck(NOW + 999999 + CLOCK_SLACK_US, NOW, findings);
}

static void recorded_in_1950(struct findings *findings)
{
    judge_deck(-20 * 365 * DAY, NOW, findings);
}

static void on_deck_by_another_stations_clock(struct findings *findings)
{
    const int64_t above_us = -HOUR;
    check_deck(CLOCK_SLACK_US, &above_us, NULL, findings);
}

static void on_deck_before_the_core_above(struct findings *findings)
{
    const int64_t above_us = -4 * HOUR;
    check_deck(above_us - 1, &above_us, NULL, findings);
}

static void on_deck_after_the_core_below(struct findings *findings)
{
    const int64_t below_us = -4 * HOUR;
    check_deck(below_us + 3 * HOUR + HOUR / 2, NULL, &below_us, findings);
}

static void on_deck_with_the_core_above(struct findings *findings)
{
    const int64_t above_us = -4 * HOUR;
    check_deck(above_us, &above_us, NULL, findings);
}

static void on_deck_a_month_after_the_core_above(struct findings *findings)
{
    const int64_t above_us = -31 * DAY;
    check_deck(0, &above_us, NULL, findings);
}

static void on_deck_a_year_before_the_core_below(struct findings *findings)
{
    const int64_t below_us = -DAY;
    check_deck(-366 * DAY, NULL, &below_us, findings);
}

/* An archive of 1990 entered in 2026: its cores are held against one another. */
static void archive_of_long_ago(struct findings *findings)
{
    const int64_t above_us = -36 * 365 * DAY;
    const int64_t below_us = above_us + 2 * DECK_FAR_US;
    check_deck(above_us + DECK_FAR_US, &above_us, &below_us, findings);
}

static void first_core_a_year_ago(struct findings *findings)
{
    check_deck(-365 * DAY, NULL, NULL, findings);
}

static void first_core_two_months_ago(struct findings *findings)
{
    check_deck(-DECK_OLD_US, NULL, NULL, findings);
}

static void check_seafloor(int64_t apart_us, struct findings *findings)
{
    struct hole hole = part_hole(3000 * METRE);
    struct core core = part_core(3100 * METRE, 3109 * METRE, NULL, 0);
    const struct core_neighbours around = {.above = NULL};
    hole.seafloor_at = at(NOW - 400 * DAY);
    core.on_deck = at(hole.seafloor_at.utc_us + apart_us);
    core_check_time(&hole, &core, &around, NOW, findings);
}

static void first_core_a_year_after_the_seafloor(struct findings *findings)
{
    check_seafloor(365 * DAY, findings);
}

static void first_core_before_the_seafloor(struct findings *findings)
{
    check_seafloor(-DECK_FAR_US, findings);
}

static void check_taken(int64_t taken_us, struct findings *findings)
{
    struct core core = part_core(3100 * METRE, 3109 * METRE, NULL, 0);
    struct sample sample = {.taken = at(NOW + taken_us)};
    core.on_deck = at(NOW - DAY);
    sample_check_time(&core, &sample, NOW, findings);
}

static void taken_before_its_core(struct findings *findings)
{
    check_taken(-DAY - 3 * HOUR, findings);
}

static void taken_as_the_core_landed(struct findings *findings)
{
    check_taken(-DAY - CLOCK_SLACK_US, findings);
}

static void taken_tomorrow(struct findings *findings)
{
    check_taken(DAY, findings);
}

static void check_bag(int64_t lasts_us, struct findings *findings)
{
    const struct bag bag = {.number = 1, .from = at(NOW - lasts_us), .to = at(NOW)};
    bag_check(&bag, NULL, 0, NOW, findings);
}

static void bag_of_ten_days(struct findings *findings)
{
    check_bag(10 * DAY, findings);
}

static void bag_of_half_a_day(struct findings *findings)
{
    check_bag(BAG_LONG_US, findings);
}

const struct rule_case time_cases[] = {
    {RULE_TIME_FUTURE, false, "on deck in five years", on_deck_in_five_years,
     "2031-02-28T04:12:00Z, lies 5.0 years after now, 2026-03-01T04:12:00Z"},
    {RULE_TIME_FUTURE, false, "recorded ahead of the newest act", recorded_ahead_of_the_newest_act,
     "2026-03-02T04:12:00Z, lies 24.0 h after the newest act, 2026-03-01T04:12:00Z"},
    {RULE_TIME_FUTURE, true, "recorded before a newer act", recorded_before_a_newer_act, NULL},
    {RULE_TIME_FUTURE, true, "recorded by another station's clock", recorded_by_another_stations_clock, NULL},
    {RULE_DECK_OLD, true, "recorded in 1950", recorded_in_1950, NULL},
    {RULE_DECK_FAR, false, "on deck in five years", on_deck_in_five_years, "core 2H above it"},
    {RULE_TIME_FUTURE, true, "another station's clock", on_deck_by_another_stations_clock, NULL},
    {RULE_DECK_ORDER, false, "before the core above", on_deck_before_the_core_above, "before that of core 2H above it"},
    {RULE_DECK_ORDER, false, "after the core below", on_deck_after_the_core_below, "3.5 h after that of core 4H below"},
    {RULE_DECK_ORDER, true, "with the core above", on_deck_with_the_core_above, NULL},
    {RULE_DECK_FAR, true, "with the core above", on_deck_with_the_core_above, NULL},
    {RULE_DECK_FAR, false, "a month after the core above", on_deck_a_month_after_the_core_above, "31 days after"},
    {RULE_DECK_FAR, false, "a year before the core below", on_deck_a_year_before_the_core_below, "365 days before"},
    {RULE_DECK_FAR, true, "archive of long ago", archive_of_long_ago, NULL},
    {RULE_DECK_OLD, true, "archive of long ago", archive_of_long_ago, NULL},
    {RULE_DECK_OLD, false, "first core a year ago", first_core_a_year_ago, "is 365 days ago"},
    {RULE_DECK_OLD, true, "first core two months ago", first_core_two_months_ago, NULL},
    {RULE_DECK_FAR, false, "a year after the seafloor", first_core_a_year_after_the_seafloor, "the seafloor"},
    {RULE_DECK_FAR, true, "before the seafloor", first_core_before_the_seafloor, NULL},
    {RULE_TAKEN_EARLY, false, "taken before its core", taken_before_its_core, "3.0 h before its core came on deck"},
    {RULE_TAKEN_EARLY, true, "taken as the core landed", taken_as_the_core_landed, NULL},
    {RULE_TIME_FUTURE, false, "taken tomorrow", taken_tomorrow, "24.0 h after now"},
    {RULE_BAG_LONG, false, "a bag of ten days", bag_of_ten_days, "collected for 10 days, longer than 12.0 h"},
    {RULE_BAG_LONG, true, "a bag of half a day", bag_of_half_a_day, NULL},
    {.situation = NULL},
};

static void rules_are_provoked(void **state)
{
    (void)state;
    run_rule_cases(time_cases);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(rules_are_provoked)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
