/* SPDX-License-Identifier: MIT */
/* What an act moves: each hole that it touches, on the scales on which it can be seen. */
#include "coretally/ask/moves.h"

#include <string.h>

#include "compare_parts.h"
#include "coretally/state/bag.h"

/* A hole on one scale. What moves on a further scale is kept until it is known that the first one shows nothing. */
struct view {
    struct compare compare;
    struct compare_asked asked;
    const struct reach *first; /* of the first scale */
    struct arena *arena;
    bool keeps_all; /* the first scale shows something, too */
    struct compare_change *kept;
    size_t kept_count;
    size_t kept_room;
};

enum { VIEWS_MAX = SCALE_COUNT };

struct moves {
    struct state *const *whole;
    struct state *states[2]; /* of the hole */
    const struct moves_asked *asked;
    const struct touched *touched;
    struct view *views;
    size_t count;
};

static bool has_survey(const struct hole *hole)
{
    for (; hole; hole = hole->parent_hole)
        for (size_t at = 0; at < hole->correction_count; at++)
            if (hole->corrections[at]->kind == CORRECTION_SURVEY)
                return true;
    return false;
}

static enum status keep_change(void *context, const struct compare_change *change, struct err *err)
{
    struct view *view = context;
    struct compare_change *kept = NULL;
    if (!view->keeps_all && !reach_is_empty(view->first)) /* listed on the first scale already */
        return STATUS_OK;
    TRY(arena_grow(view->arena, &view->kept, view->kept_count, &view->kept_room, sizeof *kept, err));
    kept = &view->kept[view->kept_count];
    *kept = *change;
    TRY(arena_copy(view->arena, change->name, strlen(change->name), &kept->name, err));
    if (change->former)
        TRY(arena_copy(view->arena, change->former, strlen(change->former), &kept->former, err));
    view->kept_count++;
    return STATUS_OK;
}

static enum status add_view(struct moves *moves, enum scale scale, struct err *err)
{
    struct view *view = &moves->views[moves->count];
    const bool is_first = moves->count == 0;
    view->first = &moves->views[0].compare.reach;
    view->arena = moves->states[0]->arena;
    view->keeps_all = moves->asked->each_scale;
    view->asked = (struct compare_asked){.scale = scale};
    if (moves->asked->take) {
        view->asked.take = is_first ? moves->asked->take : keep_change;
        view->asked.context = is_first ? moves->asked->context : view;
    }
    view->compare = (struct compare){.whole = {moves->whole[0], moves->whole[1]},
                                     .states = {moves->states[0], moves->states[1]},
                                     .asked = &view->asked,
                                     .only_moved = true,
                                     .only_cores = moves->asked->is_brief ||
                                                   scale == SCALE_DRF, /* a piece of a core has bounds alone on it */
                                     .has_runs = is_first && moves->asked->has_runs,
                                     .has_labels = is_first && !moves->asked->is_brief && !moves->asked->no_labels,
                                     .since_us = moves->touched->since_us};
    moves->count++;
    return compare_hole_open(&view->compare, moves->touched->hole, err);
}

/* The scales on which the corrections that change show first, further ones alone. */
static enum status add_corrected(struct moves *moves, struct err *err)
{
    bool seen[SCALE_COUNT] = {[SCALE_CSF_A] = true, [SCALE_TVD] = true}; /* TVD: with the way of the hole */
    for (enum correction_kind kind = CORRECTION_READING; kind < CORRECTION_KIND_COUNT; kind++) {
        const enum scale scale = reach_of_kind(kind).scale;
        if (!(moves->touched->kinds & UINT32_C(1) << kind) || seen[scale])
            continue;
        seen[scale] = true;
        TRY(add_view(moves, scale, err));
    }
    return STATUS_OK;
}

/* CSF-A shows nearly everything. An advance shows on CSF-B alone, a kickoff may on TVD alone, and without a seafloor
 * there are drilled depths alone. */
static enum status add_views(struct moves *moves, struct err *err)
{
    const struct touched *touched = moves->touched;
    TRY(arena_take(moves->states[0]->arena, VIEWS_MAX, sizeof *moves->views, &moves->views, err));
    TRY(add_view(moves, SCALE_CSF_A, err));
    struct compare *first = &moves->views[0].compare;
    const bool is_below_rig = compare_is_below_rig(first);
    first->bag_scale = is_below_rig ? SCALE_DRF : SCALE_DSF;
    if (!touched->whole && touched->core_count)
        TRY(add_view(moves, SCALE_CSF_B, err));
    TRY(add_corrected(moves, err));
    if (touched->way && (has_survey(&first->targets[0].hole) || has_survey(&first->targets[1].hole)))
        TRY(add_view(moves, SCALE_TVD, err));
    if (is_below_rig)
        TRY(add_view(moves, SCALE_DRF, err));
    for (size_t at = 1; at < moves->count; at++)
        moves->views[at].compare.bag_scale = first->bag_scale;
    return STATUS_OK;
}

/* A core on every scale, with its labels. */
static enum status look_at_core(struct moves *moves, struct state sides[2], int32_t number, struct err *err)
{
    for (size_t at = 0; at < moves->count; at++) {
        struct compare *compare = &moves->views[at].compare;
        TRY(compare_core(compare, sides, number, err));
        if (compare->has_labels)
            TRY(compare_core_labels(compare, sides, number, err));
    }
    return STATUS_OK;
}

static enum status look_at_cores(struct moves *moves, struct err *err)
{
    const int32_t *numbers = moves->touched->cores;
    size_t count = moves->touched->core_count;
    int64_t next_ms = 0;
    if (moves->touched->whole) {
        int32_t *all = NULL;
        TRY(state_cores(moves->states[0], moves->touched->hole, &all, &count, err));
        numbers = all;
    }
    for (size_t at = 0; at < count; at++) {
        struct state sides[2]; /* what a core reads dies with it */
        state_progress(moves->states[1], "cores", at, count, &next_ms);
        compare_nest(moves->states, sides);
        const enum status status = look_at_core(moves, sides, numbers[at], err);
        state_leave(&sides[0]);
        TRY(status);
    }
    return STATUS_OK;
}

static bool same_counts(const struct reach *a, const struct reach *b)
{
    for (int item = 0; item <= REACH_SAMPLES; item++)
        if (a->counts[item].moved != b->counts[item].moved || a->counts[item].lost != b->counts[item].lost ||
            a->counts[item].found != b->counts[item].found || a->counts[item].least_um != b->counts[item].least_um ||
            a->counts[item].greatest_um != b->counts[item].greatest_um ||
            a->counts[item].sum_m != b->counts[item].sum_m)
            return false;
    return true;
}

/* In the arena of the whole: parts outlive their hole. */
static enum status add_part(const struct view *view, struct arena *arena, struct moves_parts *out, struct err *err)
{
    const struct reach *reach = &view->compare.reach;
    struct moves_part part = {.bag_scale = bag_scale_word(view->compare.bag_scale), .reach = *reach};
    if (reach_is_empty(reach) && !reach->labels_stale && !reach->labels_fresh && !reach->labels_gone)
        return STATUS_OK;
    (void)snprintf(part.hole, sizeof part.hole, "%s", view->compare.targets[1].hole_name);
    if (reach->why)
        TRY(arena_copy(arena, reach->why, strlen(reach->why), &part.reach.why, err));
    TRY(arena_grow(arena, &out->items, out->count, &out->room, sizeof part, err));
    out->items[out->count++] = part;
    return STATUS_OK;
}

/* A further scale counts where it shows something else. */
static enum status gather(const struct moves *moves, struct arena *arena, struct moves_parts *out, struct err *err)
{
    const struct reach *first = &moves->views[0].compare.reach;
    const bool shows_nothing = reach_is_empty(first);
    TRY(add_part(&moves->views[0], arena, out, err));
    for (size_t at = 1; at < moves->count; at++) {
        const struct view *view = &moves->views[at];
        const bool is_other = !same_counts(&view->compare.reach, first);
        const bool is_listed = shows_nothing || (view->keeps_all && is_other);
        for (size_t change = 0; is_listed && change < view->kept_count; change++)
            TRY(moves->asked->take(moves->asked->context, &view->kept[change], err));
        if (is_other)
            TRY(add_part(view, arena, out, err));
    }
    return STATUS_OK;
}

static enum status look_at_hole(struct moves *moves, struct arena *arena, struct moves_parts *out, struct err *err)
{
    TRY(add_views(moves, err));
    TRY(look_at_cores(moves, err));
    if (moves->touched->bags && !moves->asked->is_brief)
        TRY(compare_bags(&moves->views[0].compare, err));
    return gather(moves, arena, out, err);
}

enum status moves_find(struct state *const states[2], const struct moves_asked *asked, const struct touched *touched,
                       size_t count, struct moves_parts *out, struct err *err)
{
    *out = (struct moves_parts){0};
    for (size_t at = 0; at < count; at++) {
        struct state sides[2]; /* what a hole reads dies with it */
        compare_nest(states, sides);
        struct moves moves = {
            .whole = states, .states = {&sides[0], &sides[1]}, .asked = asked, .touched = &touched[at]};
        const enum status status = look_at_hole(&moves, states[0]->arena, out, err);
        state_leave(&sides[0]);
        TRY(status);
    }
    return STATUS_OK;
}

/* The name after the act, under which what was renamed is found in both; else before it. */
static enum status open_name(struct state *const states[2], const struct past_asked *asked, struct past *out,
                             struct err *err)
{
    struct err unknown = {0};
    const enum status status = past_open(states[1], asked, out, &unknown);
    if (status_is_failure(status))
        *err = unknown;
    if (status == STATUS_OK || status_is_failure(status))
        return status;
    return past_open(states[0], asked, out, err);
}

enum status moves_watch(struct state *const states[2], const struct past_asked *asked, struct watched *out,
                        struct err *err)
{
    struct past past;
    struct moment *moments = NULL;
    TRY(arena_take(states[0]->arena, 2, sizeof *moments, &moments, err));
    TRY(open_name(states, asked, &past, err));
    for (int side = 0; side < 2; side++)
        TRY(past_look(states[side], &past, &moments[side], err));
    /* its lower end alone moves */
    const bool is_lower = moments[0].top_um == moments[1].top_um && moments[0].bottom_um != moments[1].bottom_um;
    *out = (struct watched){.where = WATCHED_HERE,
                            .scale = past.name.level == NAME_BAG ? bag_scale_word(past.scale) : scale_words[past.scale],
                            .before_um = is_lower ? moments[0].bottom_um : moments[0].top_um,
                            .after_um = is_lower ? moments[1].bottom_um : moments[1].top_um};
    (void)snprintf(out->name, sizeof out->name, "%s", *moments[1].name ? moments[1].name : asked->typed);
    return STATUS_OK;
}
