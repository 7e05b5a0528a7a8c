/* SPDX-License-Identifier: MIT */
/* How deep a hole went. Depths are those of today; the same is reckoned without corrections, since these move whole
 * runs and may open gaps between them that nobody drilled. */
#include "penetrated.h"

#include "coretally/domain/depth.h"

static enum status went_add(struct state *state, struct penetrated *all, const struct core *core, enum bored_as as,
                            struct err *err)
{
    TRY(arena_grow(state->arena, &all->items, all->count, &all->room, sizeof *all->items, err));
    all->items[all->count++] = (struct went){*core, as};
    return STATUS_OK;
}

enum status penetrated_add_core(struct state *state, struct penetrated *all, const struct core *core, struct err *err)
{
    if (core_is_wide(core) && core->type != 'W')
        return STATUS_OK;
    return went_add(state, all, core, core_is_wide(core) ? BORED_UNCORED : BORED_CORED, err);
}

enum status penetrated_add_drilled(struct state *state, struct penetrated *all, const struct drilled *interval,
                                   struct err *err)
{
    const struct core run_without_core = {
        .top_um = interval->top_um, .bottom_um = interval->bottom_um, .datum = interval->datum};
    return went_add(state, all, &run_without_core, BORED_UNCORED, err);
}

/* The hole without the corrections that ask when something was drilled; and with bare, without any: with the seafloor
 * as read. */
static enum status hole_without(struct state *state, const struct hole *hole, bool bare, struct hole *out,
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
static bool place(const struct hole *hole, const struct went *it, enum scale scale, struct bored *out)
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

/* What one hole's runs are reckoned by. */
struct reckoning {
    const struct hole *hole;
    const struct hole *timeless; /* for what has no depth with corrections that ask for a time */
    enum scale scale;
    struct bored *runs;
    bool is_timeless; /* was it needed? */
    struct penetration sum;
};

static bool place_all(struct reckoning *by, const struct penetrated *all)
{
    by->is_timeless = false;
    for (size_t at = 0; at < all->count; at++) {
        if (place(by->hole, &all->items[at], by->scale, &by->runs[at]))
            continue;
        if (!place(by->timeless, &all->items[at], by->scale, &by->runs[at]))
            return false;
        by->is_timeless = true;
    }
    return true;
}

/* Where the hole begins: the kickoff, the seafloor, or where neither is known its first record. */
static const char *begin(const struct reckoning *by, size_t count, int64_t *out_um)
{
    const struct hole *hole = by->hole;
    const struct instant when = {0};
    if (hole->parent && hole->kickoff_um != LENGTH_NONE) {
        struct depth kickoff = drilled_depth(hole, hole->kickoff_um, DATUM_RIG_FLOOR, when, by->scale, NULL);
        if (kickoff.um == LENGTH_NONE)
            kickoff = drilled_depth(by->timeless, hole->kickoff_um, DATUM_RIG_FLOOR, when, by->scale, NULL);
        *out_um = kickoff.um;
        if (*out_um != LENGTH_NONE)
            return " below the kickoff";
    }
    *out_um = 0;
    if (!hole->parent && by->scale == SCALE_DSF)
        return "";
    *out_um = INT64_MAX;
    for (size_t at = 0; at < count; at++)
        if (by->runs[at].top_um < *out_um)
            *out_um = by->runs[at].top_um;
    return hole->parent ? " below the first record (no kickoff recorded)"
                        : " below the first record (no seafloor recorded)";
}

static enum status reckon(struct state *state, struct reckoning *by, const struct penetrated *all, int64_t from_um,
                          int64_t to_um, const char **below, bool *is_known, struct err *err)
{
    TRY(arena_take(state->arena, all->count, sizeof *by->runs, &by->runs, err));
    *is_known = true;
    by->scale = SCALE_DSF;
    if (!place_all(by, all)) {
        by->scale = SCALE_DRF; /* no seafloor is known */
        *is_known = place_all(by, all) && from_um == INT64_MIN && to_um == INT64_MAX;
    }
    if (*is_known) {
        int64_t begin_um = 0;
        *below = begin(by, all->count, &begin_um);
        penetration_sum(by->runs, all->count, begin_um, from_um, to_um, &by->sum);
    }
    return STATUS_OK;
}

static void add_part(struct run *run, struct text *out, int64_t um, const char *what, const char **between)
{
    if (um) {
        text_addf(out, "%s%s %s", *between, run_length(run, um, 3).text, what);
        *between = ", ";
    }
}

static void say(struct run *run, const struct reckoning *today, const char *below, int64_t opened_um, struct text *out)
{
    const struct penetration *sum = &today->sum;
    const char *between = ", of it ";
    text_addf(out, "penetration %s%s %s%s", sum->is_least ? "at least " : "",
              run_length(run, sum->bottom_um - sum->top_um, 3).text, run_unit(run), below);
    add_part(run, out, sum->uncored_um, "not cored (drilled or washed)", &between);
    add_part(run, out, sum->unrecorded_um, "neither cored nor recorded as drilled", &between);
    if (sum->gap_count) {
        if (sum->gap_count > 1)
            text_addf(out, " (%zu gaps, the first ", sum->gap_count);
        else
            text_add(out, " (");
        text_addf(out, "%s %s-%s", scale_words[today->scale], run_length(run, sum->gap_top_um, 3).text,
                  run_length(run, sum->gap_bottom_um, 3).text);
        if (opened_um > 0 && opened_um == sum->unrecorded_um)
            text_add(out, "; all of it opened by corrections");
        else if (opened_um > 0)
            text_addf(out, "; %s opened by corrections", run_length(run, opened_um, 3).text);
        text_add(out, ")");
    }
    add_part(run, out, sum->open_um, "by runs whose bottom is not known", &between);
    if (today->is_timeless)
        text_add(out, "; without the corrections that ask for a time, where none is recorded");
}

enum status penetrated_say(struct run *run, const struct hole *hole, const struct penetrated *all, int64_t from_um,
                           int64_t to_um, struct text *out, struct err *err)
{
    struct hole timeless;
    struct hole bare;
    const char *below = NULL;
    bool is_known = false;
    bool is_read = false;
    if (!all->count)
        return STATUS_OK;
    TRY(hole_without(run->state, hole, false, &timeless, err));
    TRY(hole_without(run->state, hole, true, &bare, err));
    struct reckoning today = {.hole = hole, .timeless = &timeless};
    struct reckoning as_read = {.hole = &bare, .timeless = &bare};
    TRY(reckon(run->state, &today, all, from_um, to_um, &below, &is_known, err));
    if (!is_known) {
        text_add(out, "penetration not known: no seafloor is recorded, and depths count from two datums");
        return STATUS_OK;
    }
    const char *unused = NULL;
    TRY(reckon(run->state, &as_read, all, INT64_MIN, INT64_MAX, &unused, &is_read, err));
    const bool whole = from_um == INT64_MIN && to_um == INT64_MAX;
    say(run, &today, below, is_read && whole ? today.sum.unrecorded_um - as_read.sum.unrecorded_um : 0, out);
    return STATUS_OK;
}
