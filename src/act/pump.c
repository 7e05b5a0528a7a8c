/* SPDX-License-Identifier: MIT */
/* Mud pumps: their rules, and what a new record takes over. */
#include "coretally/act/numbered.h"

#include <string.h>

#include "coretally/base/limits.h"

static enum status check(struct state *state, const struct numbered_place *place, const void *item,
                         struct numbered_found *out, struct err *err)
{
    const struct pump *pump = item;
    const struct pump *others = place->set.items;
    for (size_t at = 0; at < place->set.count; at++)
        if (others[at].number != pump->number && !others[at].withdrawn && strcmp(others[at].name, pump->name) == 0 &&
            others[at].from.utc_us == pump->from.utc_us) {
            err_set(err, STATUS_EXISTS, pump->name, "this pump is already recorded from this very time");
            return err_hint(err, "amend it (its number is %d), or type another --from", (int)others[at].number);
        }
    TRY(pump_check(pump, err));
    pump_doubt(pump, &out->findings);
    time_check(RULE_TIME_FUTURE, "the time from which it holds", pump->from, state->now.utc_us, AHEAD_US,
               &out->findings);
    return STATUS_OK;
}

static int order_pumps(const void *a, const void *b)
{
    const struct pump *left = a;
    const struct pump *right = b;
    const int names = strcmp(left->name, right->name);
    return names ? names : (left->from.utc_us > right->from.utc_us) - (left->from.utc_us < right->from.utc_us);
}

void pump_begin(const struct numbered_set *set, const struct pump_asked *asked, struct pump *out)
{
    const struct pump *latest = pump_at(set->items, set->count, asked->name, asked->from_us);
    if (!latest)
        latest = pump_at(set->items, set->count, asked->name, INT64_MAX);
    if (latest && asked->kind && strcmp(asked->kind, pump_words[latest->kind]) != 0)
        out->line = latest->line; /* built otherwise: none of its dimensions holds on */
    else if (latest) {
        *out = *latest;
        out->from = (struct instant){0};
        out->remark = NULL;
        out->version = 0;
    }
}

const struct numbered_act pumps_act = {
    .form = &pumps_form,
    .word = "pump",
    .order = order_pumps,
    .check = check,
};
