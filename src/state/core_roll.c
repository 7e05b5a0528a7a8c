/* SPDX-License-Identifier: MIT */
/* What stands around a core by number, for the rules that hold it against its neighbours. */
#include "coretally/state/core_roll.h"
#include "coretally/state/read.h"

enum status core_roll_open(struct state *state, const char *hole, struct core_roll *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    *out = (struct core_roll){.state = state, .hole = hole};
    TRY(state_cores(state, hole, &out->numbers, &out->count, err));
    TRY(arena_take(state->arena, out->count, sizeof(const void *), &out->cores, err));
    drilled_path(hole, path);
    return state_read(state, path, &drilled_set_table, &out->drilled, &there, err);
}

enum status core_roll_at(struct core_roll *roll, size_t at, const struct core **out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct core *core = NULL;
    bool there = false;
    *out = roll->cores[at];
    if (*out)
        return STATUS_OK;
    TRY(arena_take(roll->state->arena, 1, sizeof *core, &core, err));
    core_path(roll->hole, roll->numbers[at], path);
    TRY(state_read(roll->state, path, &core_table, core, &there, err));
    if (!there) /* the folder was listed at the same state */
        return err_set(err, STATUS_DAMAGED, path, "it was listed, and cannot be read");
    roll->cores[at] = core;
    *out = core;
    return STATUS_OK;
}

/* The nearest standing core on one side of position at; NULL when there is none. */
static enum status nearest(struct core_roll *roll, size_t at, int step, int32_t left_out, const struct core **out,
                           const struct core **wash, struct err *err)
{
    *out = NULL;
    for (; at < roll->count; at += (size_t)step) { /* below 0 wraps past count */
        const struct core *core = NULL;
        if (roll->numbers[at] == left_out)
            continue;
        TRY(core_roll_at(roll, at, &core, err));
        if (!core->withdrawn && core->type == 'W' && wash && !*wash)
            *wash = core;
        if (!core->withdrawn && !(core_is_wide(core) && step < 0)) {
            *out = core;
            return STATUS_OK;
        }
    }
    return STATUS_OK;
}

/* From position at on; NULL when none has its time. */
static enum status nearest_timed(struct core_roll *roll, size_t at, int step, int32_t left_out, const struct core **out,
                                 struct err *err)
{
    *out = NULL;
    for (; at < roll->count && !*out; at += (size_t)step) { /* below 0 wraps past count */
        const struct core *core = NULL;
        TRY(core_roll_at(roll, at, &core, err));
        if (roll->numbers[at] != left_out && !core->withdrawn && core->on_deck.known)
            *out = core;
    }
    return STATUS_OK;
}

static size_t place_of(const struct core_roll *roll, int32_t number, size_t *behind)
{
    size_t at = 0;
    while (at < roll->count && roll->numbers[at] < number)
        at++;
    *behind = at + (at < roll->count && roll->numbers[at] == number);
    return at;
}

enum status core_roll_around(struct core_roll *roll, int32_t number, int32_t left_out, struct core_neighbours *out,
                             struct err *err)
{
    size_t behind = 0;
    const size_t at = place_of(roll, number, &behind);
    struct core_neighbours around = {.drilled = roll->drilled.intervals, .drilled_count = roll->drilled.interval_count};
    TRY(nearest(roll, at - 1, -1, left_out, &around.above, &around.wash, err));
    TRY(nearest(roll, behind, 1, left_out, &around.below, NULL, err));
    *out = around;
    return STATUS_OK;
}

enum status core_roll_timed(struct core_roll *roll, int32_t number, int32_t left_out, struct core_neighbours *out,
                            struct err *err)
{
    size_t behind = 0;
    const size_t at = place_of(roll, number, &behind);
    TRY(nearest_timed(roll, at - 1, -1, left_out, &out->timed_above, err));
    return nearest_timed(roll, behind, 1, left_out, &out->timed_below, err);
}

int32_t core_roll_below(const struct core_roll *roll, int32_t number)
{
    size_t behind = 0;
    const size_t at = place_of(roll, number, &behind);
    return at ? roll->numbers[at - 1] : 0;
}

enum status resolve_neighbours(struct state *state, const char *hole, int32_t number, struct core_neighbours *out,
                               struct err *err)
{
    struct core_roll roll;
    TRY(core_roll_open(state, hole, &roll, err));
    return core_roll_around(&roll, number, 0, out, err);
}
