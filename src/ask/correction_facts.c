/* SPDX-License-Identifier: MIT */
/* A correction with what is known of it. */
#include "coretally/ask/correction_facts.h"

#include "coretally/state/origin.h"
#include "coretally/state/stays.h"

enum status correction_facts_find(struct state *state, const struct correction_roll *roll, const struct correction *it,
                                  struct correction_facts *out, struct err *err)
{
    const struct record_at at = record_of_correction(roll->target.hole_name, it);
    *out = (struct correction_facts){.it = it, .in_force = correction_in_force(&roll->target.hole, it->number)};
    TRY(signed_find(state, it, &out->by, err));
    out->waits = out->in_force && !out->by.standing;
    if (it->withdrawn)
        TRY(origin_withdrawn(state, &at, &out->withdrawn, err));
    return origin_said(state, &at, &out->commit, err);
}

enum status correction_facts_first(struct state *state, const struct correction_roll *roll,
                                   struct correction_facts *facts, struct err *err)
{
    const struct record_at at = record_of_correction(roll->target.hole_name, facts->it);
    struct stays *stays = NULL;
    enum status status = STATUS_OK;
    TRY(stays_open(state, at.path, &stays, err));
    for (bool more = true; status == STATUS_OK && more;) {
        struct trail_act act = {.line_count = 0};
        status = stays_next_act(stays, state->arena, &act, &more, err);
        if (status == STATUS_OK && more && *act.id && !act.is_join)
            facts->first = act.commit;
    }
    stays_close(stays);
    return status;
}

enum status correction_facts_reach(struct state *state, const struct correction_roll *roll,
                                   struct correction_facts *facts, struct reach_parts *parts, struct err *err)
{
    struct reach_part part;
    struct reach_part alone;
    bool is_other = false;
    facts->first_part = parts->count;
    if (!facts->in_force)
        return STATUS_OK;
    TRY(reach_part_of(state, roll, facts->it, &part, err));
    TRY(reach_parts_add(state, &part, parts, err));
    TRY(reach_part_alone(state, roll, facts->it, &alone, &is_other, err));
    if (is_other)
        TRY(reach_parts_add(state, &alone, parts, err));
    facts->part_count = parts->count - facts->first_part;
    return STATUS_OK;
}

enum status corrections_find(struct state *state, const struct correction_roll *roll,
                             const struct corrections_asked *asked, struct corrections *out, struct err *err)
{
    const struct reach_asked all = {.is_brief = false};
    *out = (struct corrections){.roll = roll, .asked = *asked};
    TRY(arena_take(state->arena, roll->count, sizeof *out->items, &out->items, err));
    for (size_t at = 0; at < roll->count; at++) {
        struct correction_facts *facts = &out->items[out->count];
        TRY(correction_facts_find(state, roll, &roll->all[at], facts, err));
        out->waiting += facts->waits;
        if (asked->unsigned_only && !facts->waits)
            continue;
        if (asked->with_reach)
            TRY(correction_facts_reach(state, roll, facts, &out->parts, err));
        out->count++;
    }
    return reach_find(state, &all, &out->parts, err);
}
