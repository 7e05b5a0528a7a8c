/* SPDX-License-Identifier: MIT */
/* What the rules of entry doubt in a state. It is no flaw by itself: somebody may have been sure, and keeper.c asks the
 * acts. Here it is only found and kept in mind. */
#include "coretally/state/doubt.h"

#include <string.h>

#include "coretally/ask/kept_words.h"
#include "coretally/base/limits.h"
#include "parts.h"

enum { DOUBTS_MAX = 100000 }; /* whatever stands in an archive's tables; more are told as not looked at */

static enum status keep(struct verify *verify, const struct doubt *doubt, struct err *err)
{
    struct arena *arena = verify->state->arena;
    struct doubt own = *doubt;
    TRY(arena_copy(arena, doubt->path, strlen(doubt->path), &own.path, err));
    TRY(arena_copy(arena, doubt->item, strlen(doubt->item), &own.item, err));
    TRY(arena_copy(arena, doubt->sentence, strlen(doubt->sentence), &own.sentence, err));
    TRY(arena_grow(arena, &verify->doubts, verify->doubt_count, &verify->doubt_room, sizeof own, err));
    verify->doubts[verify->doubt_count++] = own;
    return STATUS_OK;
}

static void add(struct verify *verify, const struct doubt *doubt)
{
    if (verify->failed)
        return;
    if (verify->doubt_count == DOUBTS_MAX) {
        verify->doubts_left++;
        return;
    }
    verify->failed = keep(verify, doubt, &verify->failure) != STATUS_OK;
}

static bool is_marked(const char *marks, enum rule rule)
{
    return marks && sample_list_has(marks, rule_word(rule));
}

/* What the record is marked with, whether the rules still say so or not. */
static void add_marks(struct verify *verify, const char *path, const char *item, const struct findings *findings,
                      const char *marks)
{
    char word[KEPT_WORD_MAX];
    while (marks && kept_next_word(&marks, word))
        for (int rule = 0; rule < RULE_COUNT; rule++) {
            struct doubt doubt = {(enum rule)rule, path, item, rule_meaning((enum rule)rule), true};
            if (strcmp(rule_word(doubt.rule), word) != 0)
                continue;
            for (size_t at = 0; at < findings->count; at++)
                if (findings->items[at].rule == doubt.rule)
                    doubt.sentence = findings->items[at].text;
            add(verify, &doubt);
        }
}

void verify_doubts(struct verify *verify, const char *path, const char *item, const struct findings *findings,
                   const char *marks)
{
    if (verify->is_rules || *verify->commit)
        return;
    add_marks(verify, path, item, findings, marks);
    for (size_t at = 0; at < findings->count; at++) {
        const struct finding *finding = &findings->items[at];
        const struct doubt doubt = {finding->rule, path, item, finding->text, false};
        /* no act leaves a sample outside its section unmarked: verify_rules */
        if (rule_level(finding->rule) == RULE_DOUBTED && finding->rule != RULE_SAMPLE_OUTSIDE &&
            !is_marked(marks, finding->rule))
            add(verify, &doubt);
    }
}

/* Those that come before a core in the order of numbers are told with it, and what comes after with that. A time on
 * deck that no other one stands before is compared with none. */
enum status doubts_of_core(struct state *at, const struct hole *hole, const struct core *core,
                           const struct core_neighbours *before, struct findings *out, struct err *err)
{
    struct core_neighbours around = *before;
    around.below = around.timed_below = NULL;
    if (core->withdrawn)
        return STATUS_OK;
    core_check(hole, core, &around, out);
    if (around.timed_above)
        core_check_time(hole, core, &around, NOW_NONE, out);
    return time_doubt(at, RULE_TIME_FUTURE, "the time on deck", core->on_deck, CLOCK_SLACK_US, out, err);
}

enum status doubts_of_numbered(struct core_roll *roll, const struct hole *hole, int32_t number, struct findings *out,
                               struct err *err)
{
    struct core_neighbours around = {0};
    for (size_t at = 0; at < roll->count; at++) {
        const struct core *core = NULL;
        if (roll->numbers[at] != number)
            continue;
        TRY(core_roll_at(roll, at, &core, err));
        TRY(core_roll_around(roll, number, 0, &around, err));
        if (core->on_deck.known)
            TRY(core_roll_timed(roll, number, 0, &around, err));
        return doubts_of_core(roll->state, hole, core, &around, out, err);
    }
    return STATUS_OK;
}

enum status doubts_of_sample(struct state *at, const struct core *core, const struct sample *sample,
                             struct findings *out, struct err *err)
{
    sample_check_time(core, sample, NOW_NONE, out);
    return time_doubt(at, RULE_TIME_FUTURE, "the time when it was taken", sample->taken, CLOCK_SLACK_US, out, err);
}

/* The bags and intervals of a file are compared with those that stand before them, so that a pair is told once. */
void doubts_of_item(const struct table *table, const void *file, const void *item, struct findings *out)
{
    const struct bag_set *bags = file;
    const struct drilled_set *drilled = file;
    if (table == &bag_set_table)
        bag_check(item, bags->bags, (size_t)((const struct bag *)item - bags->bags), INT64_MAX, out);
    else if (table == &drilled_set_table)
        drilled_check(item, drilled->intervals, (size_t)((const struct drilled *)item - drilled->intervals), out);
    else if (table == &pump_set_table)
        pump_doubt(item, out);
}

static void look_at_item(struct verify *verify, const struct place_known *place, const void *file, const void *item,
                         int32_t number, const char *marks)
{
    struct findings findings = {0};
    char name[16];
    (void)snprintf(name, sizeof name, "%d", (int)number);
    doubts_of_item(place->known->table, file, item, &findings);
    verify_doubts(verify, place->path, name, &findings, marks);
}

void verify_doubts_of(struct verify *verify, const struct place_known *place, const void *record)
{
    const struct table *table = place->known->table;
    const struct bag_set *bags = record;
    const struct drilled_set *drilled = record;
    const struct pump_set *pumps = record;
    for (size_t at = 0; table == &bag_set_table && at < bags->bag_count; at++)
        if (!bags->bags[at].withdrawn)
            look_at_item(verify, place, record, &bags->bags[at], bags->bags[at].number, bags->bags[at].doubt);
    for (size_t at = 0; table == &drilled_set_table && at < drilled->interval_count; at++)
        if (!drilled->intervals[at].withdrawn)
            look_at_item(verify, place, record, &drilled->intervals[at], drilled->intervals[at].number, NULL);
    for (size_t at = 0; table == &pump_set_table && at < pumps->pump_count; at++)
        if (!pumps->pumps[at].withdrawn)
            look_at_item(verify, place, record, &pumps->pumps[at], pumps->pumps[at].number, NULL);
}
