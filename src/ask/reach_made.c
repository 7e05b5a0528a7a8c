/* SPDX-License-Identifier: MIT */
/* What the shift of a core is made of: the links of its chain with a change, less those without it. */
#include <stdlib.h>
#include <string.h>

#include "reach_walk.h"

enum { STEP_LEAST_UM = 500 }; /* what shows in a depth to the millimetre */

/* Their shift is one number, and stands in them; what stretch and tide add differs from depth to depth anyway. */
static bool states_amount(enum correction_kind kind)
{
    return kind == CORRECTION_READING || kind == CORRECTION_TALLY || kind == CORRECTION_SHIFT ||
           kind == CORRECTION_SEAFLOOR;
}

/* Adds a link to the step that is made of the same; sign -1: it is one without the change. */
static void add_link(struct reach_made *made, const struct depth_link *link, int sign)
{
    const int32_t number = link->correction ? link->correction->number : 0;
    const char *hole = link->correction ? link->correction->hole : NULL;
    if (link->amount_um == LENGTH_NONE || !link->amount_um)
        return;
    for (size_t at = 0; at < made->count; at++) {
        struct reach_step *step = &made->steps[at];
        if (step->correction != number || strcmp(step->rule, link->rule) != 0 ||
            (hole && step->hole && strcmp(step->hole, hole) != 0))
            continue;
        step->um += sign * link->amount_um;
        return;
    }
    if (made->count < REACH_STEPS_MAX)
        made->steps[made->count++] = (struct reach_step){link->rule, number, hole, sign * link->amount_um};
    else
        made->rest_um = INT64_MAX; /* too many to tell: see below */
}

/* One correction in the place of another that says the same moves nothing here. */
static void drop_pairs(struct reach_made *made)
{
    for (size_t at = 0; at < made->count; at++)
        for (size_t other = at + 1; other < made->count; other++)
            if (made->steps[at].um + made->steps[other].um == 0 &&
                strcmp(made->steps[at].rule, made->steps[other].rule) == 0)
                made->steps[at].um = made->steps[other].um = 0;
}

/* Those that show; the size of all but the greatest. */
static void keep_steps(struct reach_made *made)
{
    size_t kept = 0;
    int64_t sum_um = 0;
    int64_t most_um = 0;
    for (size_t at = 0; at < made->count; at++) {
        const int64_t size_um = llabs(made->steps[at].um);
        if (size_um < STEP_LEAST_UM)
            continue;
        made->steps[kept++] = made->steps[at];
        sum_um += size_um;
        most_um = size_um > most_um ? size_um : most_um;
    }
    made->count = kept;
    made->rest_um = sum_um - most_um;
}

void reach_look_at_steps(struct reach_walk *walk, struct reach_part *part, const struct core *core)
{
    struct reach_made made = {.core = {core->number, core->type}};
    if (!states_amount(part->kind))
        return;
    const enum scale scale = part->reach.scale == SCALE_DRF ? SCALE_DRF : SCALE_DSF;
    for (size_t side = 0; side < 2; side++)
        walk->links[side].count = walk->links[side].dropped = 0;
    const struct depth before = core_top_depth(&part->without, core, scale, &walk->links[0]);
    const struct depth after = core_top_depth(&part->with, core, scale, &walk->links[1]);
    if (before.um == LENGTH_NONE || after.um == LENGTH_NONE)
        return;
    made.um = after.um - before.um;
    for (size_t at = 0; at < walk->links[1].count; at++)
        add_link(&made, &walk->links[1].items[at], 1);
    for (size_t at = 0; at < walk->links[0].count; at++)
        add_link(&made, &walk->links[0].items[at], -1);
    if (made.rest_um == INT64_MAX)
        return;
    drop_pairs(&made);
    keep_steps(&made);
    part->reach.evened += !made.um && made.count > 1;
    if (made.count > 1 && made.rest_um > part->made.rest_um)
        part->made = made;
}
