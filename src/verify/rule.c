/* SPDX-License-Identifier: MIT */
/* The rules that are asked at entry, asked again of what is stored: those that a file can break by itself. What is
 * refused is told; what is doubted may have been kept. */
#include <math.h>

#include "coretally/base/limits.h"
#include "coretally/domain/lag_check.h"
#include "parts.h"

void verify_rules(struct verify *verify, const char *path, const char *item, const struct findings *findings,
                  const char *doubt)
{
    for (size_t at = 0; at < findings->count; at++) {
        const struct finding *finding = &findings->items[at];
        const enum rule_level level = rule_level(finding->rule);
        /* no act leaves a sample outside its section without saying so in its record */
        const bool is_marked = level == RULE_TAKEN || finding->rule == RULE_SAMPLE_OUTSIDE;
        if (level == RULE_REFUSED || (is_marked && !(doubt && sample_list_has(doubt, rule_word(finding->rule)))))
            flaw_add(verify, FLAW_RULE_BROKEN, path, item, "%s: %s", rule_word(finding->rule), finding->text);
    }
}

static void hold_drilled(struct verify *verify, const char *path, const struct drilled_set *set)
{
    for (size_t at = 0; at < set->interval_count; at++) {
        struct findings findings = {0};
        char item[48];
        (void)snprintf(item, sizeof item, "interval %d", (int)set->intervals[at].number);
        if (!set->intervals[at].withdrawn)
            drilled_check(&set->intervals[at], NULL, 0, &findings);
        verify_rules(verify, path, item, &findings, NULL);
    }
}

static void hold_bags(struct verify *verify, const char *path, const struct bag_set *set)
{
    for (size_t at = 0; at < set->bag_count; at++) {
        struct findings findings = {0};
        char item[48];
        (void)snprintf(item, sizeof item, "%s %d", bag_words[set->kind], (int)set->bags[at].number);
        if (!set->bags[at].withdrawn)
            bag_check(&set->bags[at], NULL, 0, INT64_MAX, &findings);
        verify_rules(verify, path, item, &findings, set->bags[at].doubt);
    }
}

static void hold_well(struct verify *verify, const char *path, const struct geometry_set *set)
{
    for (size_t at = 0; at < set->state_count; at++) {
        struct err why = {0};
        char item[48];
        (void)snprintf(item, sizeof item, "state %d", (int)set->states[at].number);
        if (!set->states[at].withdrawn && well_check(&set->states[at], &why) != STATUS_OK)
            flaw_add(verify, FLAW_RULE_BROKEN, path, item, "%s: %s", why.subject, why.reason);
    }
}

static void hold_checks(struct verify *verify, const char *path, const struct lag_check_set *set)
{
    const struct lag_check_result unknown = {.effective_m = NAN, .nominal_m = NAN};
    for (size_t at = 0; at < set->check_count; at++) {
        const struct lag_check *check = &set->checks[at];
        struct findings findings = {0};
        char item[48];
        (void)snprintf(item, sizeof item, "check %d", (int)check->number);
        if (check->withdrawn)
            continue;
        lag_check_judge(check, set->checks, set->check_count, &unknown, &findings);
        verify_rules(verify, path, item, &findings, NULL);
        if (check->seen.utc_us <= check->in.utc_us)
            flaw_add(verify, FLAW_RULE_BROKEN, path, item, "the tracer was seen before it went in");
    }
}

/* Alone, its neighbours left out: they may only be doubted. */
static void hold_core(struct verify *verify, const char *path, const struct core *core)
{
    struct hole none;
    struct findings findings = {0};
    record_init(&hole_table, &none);
    if (!core->withdrawn)
        core_check(&none, core, &(struct core_neighbours){0}, &findings);
    verify_rules(verify, path, "", &findings, NULL);
}

void verify_rules_of(struct verify *verify, const struct place_known *place, const void *record)
{
    const struct table *table = place->known->table;
    if (table == &hole_table) {
        struct findings findings = {0};
        hole_check(record, &findings);
        verify_rules(verify, place->path, "", &findings, NULL);
    } else if (table == &drilled_set_table)
        hold_drilled(verify, place->path, record);
    else if (table == &bag_set_table)
        hold_bags(verify, place->path, record);
    else if (table == &geometry_set_table)
        hold_well(verify, place->path, record);
    else if (table == &lag_check_set_table)
        hold_checks(verify, place->path, record);
    else if (table == &core_table)
        hold_core(verify, place->path, record);
    verify_doubts_of(verify, place, record);
}
