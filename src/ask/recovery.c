/* SPDX-License-Identifier: MIT */
/* Recovery tallied over the cores of a hole. */
#include "coretally/ask/recovery.h"

static enum status add_core(struct state *state, const struct core *core, struct recovery_tally *tally, struct err *err)
{
    struct recovery_core own = {.core = {core->number, core->type}};
    recovery_add(&own.own, core);
    if (own.own.unknown || own.own.wide) {
        own.own.advance_um = core_advance(core);
        own.own.recovered_um = core_recovered(core);
    }
    TRY(arena_grow(state->arena, &tally->cores, tally->core_count, &tally->core_room, sizeof own, err));
    tally->cores[tally->core_count++] = own;
    return STATUS_OK;
}

enum status recovery_of_core(struct state *state, const struct target *target, const struct recovery_asked *asked,
                             struct recovery_tally *tally, struct err *err)
{
    const struct core core = core_retyped(&target->hole, &target->core);
    if (core.withdrawn)
        return STATUS_OK;
    TRY(bored_runs_add_core(state, &tally->runs, &target->core, err));
    const struct depth top = core_top_depth(&target->hole, &target->core, SCALE_DSF, NULL);
    const struct depth bottom = core_bottom_depth(&target->hole, &target->core, SCALE_DSF);
    if (asked->has_range && top.um == LENGTH_NONE)
        return err_set(err, STATUS_RULE, target->hole_name, "%s, so no range below seafloor can be taken", top.why);
    if (asked->has_range && (top.um < asked->range.from_um || top.um >= asked->range.to_um))
        return STATUS_OK;
    tally->straddlers += asked->has_range && bottom.um != LENGTH_NONE && bottom.um > asked->range.to_um;
    recovery_add(&tally->total, &core);
    recovery_add(&tally->by_type[core.type - 'A'], &core);
    return add_core(state, &core, tally, err);
}

enum status recovery_of_hole(struct state *state, const struct target *target, const struct recovery_asked *asked,
                             struct recovery_tally *tally, struct err *err)
{
    struct target each = *target;
    struct drilled_set set;
    char path[REGISTRY_PATH_MAX];
    int32_t *numbers = NULL;
    size_t count = 0;
    bool there = false;
    TRY(state_cores(state, target->hole_name, &numbers, &count, err));
    for (size_t at = 0; at < count; at++) {
        core_path(target->hole_name, numbers[at], path);
        TRY(state_read(state, path, &core_table, &each.core, &there, err));
        TRY(recovery_of_core(state, &each, asked, tally, err));
    }
    drilled_path(target->hole_name, path);
    TRY(state_read(state, path, &drilled_set_table, &set, &there, err));
    for (size_t at = 0; at < set.interval_count; at++)
        if (!set.intervals[at].withdrawn)
            TRY(bored_runs_add_drilled(state, &tally->runs, &set.intervals[at], err));
    return STATUS_OK;
}
