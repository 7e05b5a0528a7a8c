/* SPDX-License-Identifier: MIT */
/* The lag checks of a hole with what they measured. */
#include "coretally/ask/lag_checks.h"

#include "coretally/state/lag_depth.h"
#include "coretally/state/origin.h"

static enum status add_check(struct state *state, const struct lag_hole *hole, const struct lag_check *check,
                             struct lag_checks *out, struct err *err)
{
    const struct record_at at = record_of_numbered(hole->target->hole_name, &lag_check_set_table, check);
    const struct lag_check_result *result = check->withdrawn ? NULL : lag_hole_result(hole, check->number);
    struct lag_check_read *it = &out->items[out->count++];
    struct commit commit = {0};
    *it = (struct lag_check_read){.check = check, .is_measured = result != NULL};
    if (result)
        it->result = *result;
    TRY(origin_said(state, &at, &commit, err));
    TRY(source_of_commit(state, &commit, &it->source, err));
    if (!check->withdrawn)
        return STATUS_OK;
    TRY(origin_withdrawn(state, &at, &commit, err));
    return source_of_commit(state, &commit, &it->withdrawn, err);
}

enum status lag_checks_find(struct state *state, const struct target *target, struct lag_checks *out, struct err *err)
{
    struct lag_hole hole;
    struct lag_check_set set;
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    enum status status = STATUS_OK;
    *out = (struct lag_checks){.count = 0};
    lag_checks_path(target->hole_name, path);
    TRY(state_read(state, path, &lag_check_set_table, &set, &there, err));
    if (!set.check_count)
        return STATUS_OK;
    TRY(arena_take(state->arena, set.check_count, sizeof *out->items, &out->items, err));
    TRY(lag_hole_try(state, target, &hole, err));
    out->why = hole.why;
    for (size_t at = 0; status == STATUS_OK && at < set.check_count; at++)
        status = add_check(state, &hole, &set.checks[at], out, err);
    lag_hole_close(&hole);
    return status;
}
