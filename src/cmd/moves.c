/* SPDX-License-Identifier: MIT */
/* What an act moves: each hole that it touches, on the scales on which it can be seen. */
#include "moves.h"

#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/state/bag.h"
#include "coretally/ask/touched.h"

struct moves {
    struct run *run;
    struct compare *compare;
    struct compare_asked asked;
    struct moves_part *parts;
    size_t count;
    size_t room;
};

static bool has_survey(const struct hole *hole)
{
    for (; hole; hole = hole->parent_hole)
        for (size_t at = 0; at < hole->correction_count; at++)
            if (hole->corrections[at]->kind == CORRECTION_SURVEY)
                return true;
    return false;
}

/* A core with its labels; what it reads dies with it. */
static enum status look_at_core(struct moves *moves, int32_t number, bool labels, struct err *err)
{
    struct run *run = moves->run;
    struct arena scratch;
    struct arena *const whole = run->state->arena;
    arena_init(&scratch, ARENA_LIMIT_BYTES);
    if (!moves->compare->each) /* its rows outlive it */
        run->state->arena = &scratch;
    enum status status = compare_core(moves->compare, number, err);
    if (status == STATUS_OK && labels && moves->compare->has_labels)
        status = compare_core_labels(moves->compare, number, err);
    run->state->arena = whole;
    arena_clear(&scratch);
    return status;
}

static enum status look_at_cores(struct moves *moves, const struct touched *touched, bool labels, struct err *err)
{
    const int32_t *numbers = touched->cores;
    size_t count = touched->core_count;
    if (touched->whole) {
        int32_t *all = NULL;
        TRY(state_cores(compare_at(moves->compare, 0), touched->hole, &all, &count, err));
        numbers = all;
    }
    for (size_t at = 0; at < count; at++) {
        state_progress(moves->run->state, "cores", at, count, &moves->compare->next_ms);
        TRY(look_at_core(moves, numbers[at], labels, err));
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

static enum status keep(struct moves *moves, struct err *err)
{
    const struct reach *reach = &moves->compare->reach;
    struct moves_part part = {.reach = *reach};
    if (reach_is_empty(reach) && !reach->labels_stale && !reach->labels_fresh && !reach->labels_gone)
        return STATUS_OK;
    (void)snprintf(part.hole, sizeof part.hole, "%s", moves->compare->targets[1].hole_name);
    part.bag_scale = bag_scale_word(moves->compare->bag_scale);
    TRY(arena_grow(moves->run->state->arena, &moves->parts, moves->count, &moves->room, sizeof part, err));
    moves->parts[moves->count++] = part;
    return STATUS_OK;
}

/* On a further scale, where that shows something else. */
static enum status look_again(struct moves *moves, const struct touched *touched, enum scale scale,
                              const struct reach *first, struct err *err)
{
    struct sheet *const each = moves->compare->each;
    const bool only_cores = moves->compare->only_cores;
    moves->asked.scale = scale;
    TRY(compare_hole_open(moves->compare, touched->hole, err));
    moves->compare->only_cores = only_cores || scale == SCALE_DRF; /* a piece of a core has bounds alone on it */
    moves->compare->each = reach_is_empty(first) ? each : NULL;    /* else listed on the first scale already */
    enum status status = look_at_cores(moves, touched, false, err);
    moves->compare->each = each;
    moves->compare->only_cores = only_cores;
    if (status == STATUS_OK && !same_counts(&moves->compare->reach, first))
        status = keep(moves, err);
    return status;
}

/* CSF-A shows nearly everything. An advance shows on CSF-B alone, a kickoff may on TVD alone, and without a seafloor
 * there are drilled depths alone. */
static enum status look_at_hole(struct moves *moves, const struct touched *touched, struct err *err)
{
    struct compare *compare = moves->compare;
    moves->asked.scale = SCALE_CSF_A;
    compare->since_us = touched->since_us;
    TRY(compare_hole_open(compare, touched->hole, err));
    const struct hole *holes[] = {&compare->targets[0].hole, &compare->targets[1].hole};
    const bool below_rig = compare_is_below_rig(compare);
    const bool vertical = touched->way && (has_survey(holes[0]) || has_survey(holes[1]));
    compare->bag_scale = below_rig ? SCALE_DRF : SCALE_DSF;
    TRY(look_at_cores(moves, touched, true, err));
    if (touched->bags && !compare->only_cores)
        TRY(compare_bags(compare, err));
    const struct reach first = compare->reach;
    TRY(keep(moves, err));
    if (!touched->whole && touched->core_count)
        TRY(look_again(moves, touched, SCALE_CSF_B, &first, err));
    if (vertical)
        TRY(look_again(moves, touched, SCALE_TVD, &first, err));
    return below_rig ? look_again(moves, touched, SCALE_DRF, &first, err) : STATUS_OK;
}

static enum status tell(struct run *run, struct store *const stores[2], const struct touched *touched, size_t count,
                        struct err *err)
{
    struct moves moves = {.run = run};
    struct column columns[COMPARE_EACH_COLUMNS];
    struct sheet each;
    const bool is_brief = run_option(run, "brief") != NULL;
    const bool wants_each = run_option(run, "each") != NULL;
    TRY(arena_take(run->state->arena, 1, sizeof *moves.compare, &moves.compare, err));
    compare_each_columns(run, columns);
    sheet_init(&each, run->state->arena, columns, COMPARE_EACH_COLUMNS);
    *moves.compare = (struct compare){.run = run,
                                      .asked = &moves.asked,
                                      .stores = {stores[0], stores[1]},
                                      .each = wants_each ? &each : NULL,
                                      .only_moved = true,
                                      .only_cores = is_brief,
                                      .has_labels = !is_brief};
    for (size_t at = 0; at < count; at++)
        TRY(look_at_hole(&moves, &touched[at], err));
    TRY(moves_say(run, moves.parts, moves.count, moves.compare->each, err));
    return moves_watch(run, stores, err);
}

enum status moves_tell(struct run *run, const struct change *changes, size_t count, struct err *err)
{
    struct touched *touched = NULL;
    size_t touched_count = 0;
    struct store *const own = run->state->store;
    struct store *stores[2] = {NULL, NULL};
    if (run->command->use != USE_MOVING)
        return STATUS_OK;
    TRY(touched_find(run->state, changes, count, &touched, &touched_count, err));
    if (!touched_count && !run_option(run, "watch"))
        return moves_say(run, NULL, 0, NULL, err);
    TRY(store_try(own, changes, count, stores, err));
    const enum status status = tell(run, stores, touched, touched_count, err);
    run->state->store = own;
    store_close(stores[0]);
    store_close(stores[1]);
    return status;
}
