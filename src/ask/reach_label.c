/* SPDX-License-Identifier: MIT */
/* Labels that a change makes stale, or right again. */
#include "reach_walk.h"

/* The depth of a bag is made with the hole that its lag names. */
static enum status hold(const struct reach_side *side, const struct held_label *held, struct label_now *out,
                        struct err *err)
{
    const struct things *things = side->things;
    const struct target *const own = things->lag ? things->lag->target : NULL;
    if (things->lag)
        things->lag->target = &things->target;
    const enum status status = label_hold(side->state, things, &things->items[held->thing], held->label, out, err);
    if (things->lag)
        things->lag->target = own;
    return status;
}

/* The label of a list at a place of another list that may have grown or been ordered anew; NULL: not in it. */
static const struct held_label *find_held(const struct things *things, const struct label *label, size_t at)
{
    if (at < things->held_count && record_is_equal(&label_table, things->held[at].label, label))
        return &things->held[at];
    for (size_t other = 0; other < things->held_count; other++)
        if (record_is_equal(&label_table, things->held[other].label, label))
            return &things->held[other];
    return NULL;
}

enum status reach_add_labels(const struct reach_side *before, const struct reach_side *after, struct reach *reach,
                             struct err *err)
{
    const struct things *things = before->things;
    for (size_t at = 0; at < things->held_count; at++) {
        const struct held_label *was = &things->held[at];
        const struct held_label *is = find_held(after->things, was->label, at);
        struct label_now old;
        struct label_now new;
        if (!was->is_newest || !is || things->items[was->thing].kind == THING_GONE)
            continue;
        TRY(hold(before, was, &old, err));
        TRY(hold(after, is, &new, err));
        reach->labels_stale += old.freshness == LABEL_FRESH && new.freshness == LABEL_STALE;
        reach->labels_fresh += old.freshness == LABEL_STALE && new.freshness == LABEL_FRESH;
        reach->labels_gone += new.freshness == LABEL_GONE;
    }
    return STATUS_OK;
}

enum status reach_count_labels(const struct reach_walk *walk, struct state *state, const struct things *things,
                               bool (*is_asked)(const struct reach_part *), struct err *err)
{
    struct things before = *things;
    struct things after = *things;
    const struct reach_side sides[] = {{state, &before}, {state, &after}};
    for (size_t at = 0; at < walk->count; at++) {
        struct reach_part *part = walk->follows[at].part;
        if (is_asked && !is_asked(part))
            continue;
        before.target.hole = part->without;
        after.target.hole = part->with;
        TRY(reach_add_labels(&sides[0], &sides[1], &part->reach, err));
    }
    return STATUS_OK;
}
