/* SPDX-License-Identifier: MIT */
/* Lag checks: their rules. */
#include "coretally/act/numbered.h"
#include "coretally/base/limits.h"
#include "coretally/state/lag_depth.h"

/* A check that cannot be worked out is refused. */
static enum status check(struct state *state, const struct numbered_place *place, const void *item,
                         struct numbered_found *out, struct err *err)
{
    const struct lag_check *it = item;
    struct lag_check_result *kept = NULL;
    struct lag_hole with;
    TRY(arena_take(state->arena, 1, sizeof *kept, &kept, err));
    TRY(lag_hole_open(state, place->target, it->number, it, &with, err));
    *kept = *lag_hole_result(&with, it->number);
    out->measured = kept;
    lag_check_judge(it, place->set.items, place->set.count, kept, &out->findings);
    time_check(RULE_TIME_FUTURE, "the time when the tracer was seen", it->seen, state->now.utc_us, CLOCK_SLACK_US,
               &out->findings);
    const enum status status = lag_hole_cover(state, &with, it->in.utc_us, it->seen.utc_us, err);
    if (status == STATUS_OK && lag_log_crosses_gap(&with.log, it->in.utc_us, it->seen.utc_us))
        findings_add(&out->findings, RULE_LAG_GAP, "the tracer's way crosses a gap of the pump log");
    lag_hole_close(&with);
    return status;
}

static int order_items(const void *a, const void *b)
{
    const struct lag_check *left = a;
    const struct lag_check *right = b;
    return left->in.utc_us != right->in.utc_us ? (left->in.utc_us > right->in.utc_us ? 1 : -1)
                                               : left->number - right->number;
}

const struct numbered_act lag_check_act = {
    .form = &lag_check_form,
    .word = "check",
    .order = order_items,
    .check = check,
};
