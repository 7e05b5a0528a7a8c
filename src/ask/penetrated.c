/* SPDX-License-Identifier: MIT */
/* How deep a hole went. Depths are those of today; the same is reckoned without corrections, since these move whole
 * runs and may open gaps between them that nobody drilled. */
#include "coretally/ask/penetrated.h"

static enum status run_add(struct state *state, struct bored_runs *all, const struct core *core, enum bored_as as,
                           struct err *err)
{
    TRY(arena_grow(state->arena, &all->items, all->count, &all->room, sizeof *all->items, err));
    all->items[all->count++] = (struct bored_run){*core, as};
    return STATUS_OK;
}

enum status bored_runs_add_core(struct state *state, struct bored_runs *all, const struct core *core, struct err *err)
{
    if (core_is_wide(core) && core->type != 'W')
        return STATUS_OK;
    return run_add(state, all, core, core_is_wide(core) ? BORED_UNCORED : BORED_CORED, err);
}

enum status bored_runs_add_drilled(struct state *state, struct bored_runs *all, const struct drilled *interval,
                                   struct err *err)
{
    const struct core run_without_core = {
        .top_um = interval->top_um, .bottom_um = interval->bottom_um, .datum = interval->datum};
    return run_add(state, all, &run_without_core, BORED_UNCORED, err);
}

/* The hole without the corrections that ask when something was drilled; and with bare, without any: with the seafloor
 * as read. */
static enum status hole_timeless(struct state *state, const struct hole *hole, bool bare, struct hole *out,
                                 struct err *err)
{
    const struct correction **kept = NULL;
    *out = *hole;
    out->correction_count = 0;
    if (bare) {
        out->parent_hole = NULL;
        out->seafloor_um = hole_seafloor(hole_of_seafloor(hole));
        return STATUS_OK;
    }
    TRY(arena_take(state->arena, hole->correction_count + 1, sizeof(const void *), &kept, err));
    for (size_t at = 0; at < hole->correction_count; at++) {
        const struct correction *it = hole->corrections[at];
        if (it->kind != CORRECTION_TIDE && !it->from.known && !it->to.known)
            kept[out->correction_count++] = it;
    }
    out->corrections = kept;
    return STATUS_OK;
}

/* Its top and bottom; a drilled interval is corrected at both ends, a core moves as a whole. False: not known. */
static bool place(const struct hole *hole, const struct bored_run *it, enum scale scale, struct bored *out)
{
    const struct core *core = &it->core;
    const struct core retyped = core_retyped(hole, core);
    const bool has_bottom = core_bottom(&retyped) != LENGTH_NONE;
    const struct depth top = core->number ? core_top_depth(hole, core, scale, NULL)
                                          : drilled_depth(hole, core->top_um, core->datum, core->on_deck, scale, NULL);
    const struct depth bottom = !has_bottom ? top
                                : core->number
                                    ? core_bottom_depth(hole, core, scale)
                                    : drilled_depth(hole, core->bottom_um, core->datum, core->on_deck, scale, NULL);
    *out = (struct bored){top.um, bottom.um, has_bottom ? it->as : BORED_NO_BOTTOM};
    return top.um != LENGTH_NONE && bottom.um != LENGTH_NONE;
}

/* What one hole's runs are reckoned by, and what comes of it. */
struct reckoning {
    const struct hole *hole;
    const struct hole *timeless; /* for what has no depth with corrections that ask for a time */
    struct depth_range range;
    struct bored *runs;
    struct penetrated found;
};

static bool is_whole(const struct reckoning *by)
{
    return by->range.from_um == INT64_MIN && by->range.to_um == INT64_MAX;
}

static bool place_all(struct reckoning *by, const struct bored_runs *all)
{
    by->found.is_timeless = false;
    for (size_t at = 0; at < all->count; at++) {
        if (place(by->hole, &all->items[at], by->found.scale, &by->runs[at]))
            continue;
        if (!place(by->timeless, &all->items[at], by->found.scale, &by->runs[at]))
            return false;
        by->found.is_timeless = true;
    }
    return true;
}

/* Where the hole begins: the kickoff, the seafloor, or where neither is known its first record. */
static enum penetrated_from begin(const struct reckoning *by, size_t count, int64_t *out_um)
{
    const struct hole *hole = by->hole;
    const struct instant when = {0};
    if (hole->parent && hole->kickoff_um != LENGTH_NONE) {
        struct depth kickoff = drilled_depth(hole, hole->kickoff_um, DATUM_RIG_FLOOR, when, by->found.scale, NULL);
        if (kickoff.um == LENGTH_NONE)
            kickoff = drilled_depth(by->timeless, hole->kickoff_um, DATUM_RIG_FLOOR, when, by->found.scale, NULL);
        *out_um = kickoff.um;
        if (*out_um != LENGTH_NONE)
            return FROM_KICKOFF;
    }
    *out_um = 0;
    if (!hole->parent && by->found.scale == SCALE_DSF)
        return FROM_SEAFLOOR;
    *out_um = INT64_MAX;
    for (size_t at = 0; at < count; at++)
        if (by->runs[at].top_um < *out_um)
            *out_um = by->runs[at].top_um;
    return FROM_FIRST_RECORD;
}

static enum status reckon(struct state *state, const struct bored_runs *all, struct reckoning *by, struct err *err)
{
    TRY(arena_take(state->arena, all->count, sizeof *by->runs, &by->runs, err));
    by->found.is_known = true;
    by->found.scale = SCALE_DSF;
    if (!place_all(by, all)) {
        by->found.scale = SCALE_DRF; /* no seafloor is known */
        by->found.is_known = place_all(by, all) && is_whole(by);
    }
    if (by->found.is_known) {
        int64_t begin_um = 0;
        by->found.from = begin(by, all->count, &begin_um);
        penetration_sum(by->runs, all->count, begin_um, by->range.from_um, by->range.to_um, &by->found.sum);
    }
    return STATUS_OK;
}

enum status penetrated_find(struct state *state, const struct hole *hole, const struct bored_runs *all,
                            const struct depth_range *range, struct penetrated *out, struct err *err)
{
    struct hole timeless;
    struct hole bare;
    TRY(hole_timeless(state, hole, false, &timeless, err));
    TRY(hole_timeless(state, hole, true, &bare, err));
    struct reckoning today = {.hole = hole, .timeless = &timeless, .range = *range};
    struct reckoning as_read = {.hole = &bare, .timeless = &bare, .range = {INT64_MIN, INT64_MAX}};
    TRY(reckon(state, all, &today, err));
    *out = today.found;
    if (!out->is_known || !is_whole(&today))
        return STATUS_OK;
    TRY(reckon(state, all, &as_read, err));
    if (as_read.found.is_known)
        out->opened_um = out->sum.unrecorded_um - as_read.found.sum.unrecorded_um;
    return STATUS_OK;
}
