/* SPDX-License-Identifier: MIT */
/* What is open about the lag of a hole: checks that measure nothing, that the rules doubt, or that are due. */
#include <string.h>

#include "coretally/ask/audit.h"
#include "coretally/domain/rule.h"
#include "coretally/state/numbered.h"

static enum status add_open(struct state *state, struct audit_hole *hole, bool is_due, struct text *sentence,
                            struct err *err)
{
    struct bytes bytes;
    TRY(text_done(sentence, &bytes, err));
    TRY(arena_grow(state->arena, &hole->lag_open, hole->lag_open_count, &hole->lag_open_room, sizeof *hole->lag_open,
                   err));
    hole->lag_open[hole->lag_open_count++] = (struct audit_lag_open){is_due, bytes.data};
    return STATUS_OK;
}

/* What the rules say of a check, and nobody has settled since by another one. */
static enum status judge(struct state *state, struct audit_hole *hole, const struct lag_check_set *set,
                         const struct lag_check_read *it, struct err *err)
{
    struct findings findings = {.count = 0};
    struct text text;
    if (it->check->withdrawn)
        return STATUS_OK;
    text_init(&text, state->arena);
    if (!it->is_measured) {
        text_addf(&text, "lag check %d measures nothing: %s", (int)it->check->number,
                  hole->checks.why ? hole->checks.why : "the lag of the hole cannot be worked out");
        return add_open(state, hole, false, &text, err);
    }
    lag_check_judge(it->check, set->checks, set->check_count, &it->result, &findings);
    for (size_t at = 0; at < findings.count; at++) {
        text_init(&text, state->arena);
        text_addf(&text, "lag check %d is doubtful: %s", (int)it->check->number, findings.items[at].text);
        TRY(add_open(state, hole, false, &text, err));
    }
    return STATUS_OK;
}

/* Since when the well is as it is; INT64_MIN: no state stands. */
static int64_t changed_at(const struct geometry_set *wells)
{
    int64_t last_us = INT64_MIN;
    for (size_t at = 0; at < wells->state_count; at++)
        if (!wells->states[at].withdrawn && wells->states[at].from.utc_us > last_us)
            last_us = wells->states[at].from.utc_us;
    return last_us;
}

/* Bags that stand and came up from then on. */
static enum status count_bags(struct state *state, const char *hole, int64_t since_us, size_t *out, struct err *err)
{
    *out = 0;
    for (enum bag_kind kind = BAG_CUTTINGS; kind <= BAG_MUD; kind++) {
        int32_t *hundreds = NULL;
        size_t count = 0;
        TRY(state_hundreds(state, hole, kind, &hundreds, &count, err));
        for (size_t at = 0; at < count; at++) {
            char path[REGISTRY_PATH_MAX];
            struct bag_set set;
            bool there = false;
            bags_path(hole, kind, hundreds[at], path);
            TRY(state_read(state, path, &bag_set_table, &set, &there, err));
            for (size_t bag = 0; bag < set.bag_count; bag++)
                *out += !set.bags[bag].withdrawn && set.bags[bag].from.utc_us >= since_us;
        }
    }
    return STATUS_OK;
}

/* A check is due where bags came up through the well of now and no tracer has gone through it. */
static enum status find_due(struct state *state, struct audit_hole *hole, struct err *err)
{
    const char *name = hole->roll.target.hole_name;
    char path[REGISTRY_PATH_MAX];
    char when[INSTANT_TEXT_MAX];
    struct geometry_set wells;
    struct text text;
    bool there = false;
    size_t bags = 0;
    well_path(name, path);
    TRY(state_read(state, path, &geometry_set_table, &wells, &there, err));
    const int64_t since_us = changed_at(&wells);
    if (since_us == INT64_MIN)
        return STATUS_OK;
    for (size_t at = 0; at < hole->checks.count; at++)
        if (hole->checks.items[at].is_measured && hole->checks.items[at].check->in.utc_us >= since_us)
            return STATUS_OK;
    TRY(count_bags(state, name, since_us, &bags, err));
    if (!bags)
        return STATUS_OK;
    instant_format((struct instant){.utc_us = since_us, .known = true}, when);
    text_init(&text, state->arena);
    text_addf(&text,
              "a lag check is due: none since the well changed at %s, and %zu bag%s since then %s on its "
              "bores as recorded",
              when, bags, bags == 1 ? "" : "s", bags == 1 ? "rests" : "rest");
    return add_open(state, hole, true, &text, err);
}

enum status audit_lag_find(struct state *state, struct audit_hole *hole, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct lag_check_set set;
    bool there = false;
    TRY(lag_checks_find(state, &hole->roll.target, &hole->checks, err));
    lag_checks_path(hole->roll.target.hole_name, path);
    TRY(state_read(state, path, &lag_check_set_table, &set, &there, err));
    for (size_t at = 0; at < hole->checks.count; at++)
        TRY(judge(state, hole, &set, &hole->checks.items[at], err));
    return find_due(state, hole, err);
}
