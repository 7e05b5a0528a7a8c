/* SPDX-License-Identifier: MIT */
/* Labels printed of the same things, in two states: which no longer show the depth of their thing. */
#include "compare_parts.h"
#include "coretally/ask/reach.h"

/* A file of labels that cannot be read stops no act. */
static enum status pass_damage(const struct compare *compare, enum status status, const struct err *unread,
                               struct err *err)
{
    if (status == STATUS_DAMAGED) {
        state_tell(compare->states[1], "note: labels not looked at: %s: %s\n", unread->subject, unread->reason);
        return STATUS_OK;
    }
    if (status != STATUS_OK)
        *err = *unread;
    return status;
}

static enum status add_both(struct compare *compare, struct state *const states[2], const struct things things[2],
                            struct err *err)
{
    const struct reach_side sides[] = {{states[0], &things[0]}, {states[1], &things[1]}};
    return reach_add_labels(&sides[0], &sides[1], &compare->reach, err);
}

/* The core stands under another number, or is no more: none of its labels names a thing that stands. */
static void add_gone(const struct things *before, struct reach *reach)
{
    for (size_t at = 0; at < before->held_count; at++)
        reach->labels_gone += before->held[at].is_newest && before->items[before->held[at].thing].kind != THING_GONE;
}

enum status compare_core_labels(struct compare *compare, struct state sides[2], int32_t number, struct err *err)
{
    struct state *const states[] = {&sides[0], &sides[1]};
    char path[REGISTRY_PATH_MAX];
    struct things things[2];
    bool labelled[2];
    bool there[2] = {false, false};
    enum status status = STATUS_OK;
    struct err unread = {0};
    bool same = false;
    core_labels_path(compare->targets[1].hole_name, number, path);
    TRY(compare_same(compare, path, &same, labelled, err));
    if (!labelled[0])
        return STATUS_OK;
    for (int side = 0; status == STATUS_OK && side < 2; side++)
        status = things_of_core(states[side], &compare->targets[side], number, &things[side], &there[side], &unread);
    if (status != STATUS_OK || !there[0])
        return pass_damage(compare, status, &unread, err);
    if (there[1])
        return add_both(compare, states, things, err);
    add_gone(&things[0], &compare->reach);
    return STATUS_OK;
}

enum status compare_bag_labels(struct compare *compare, enum bag_kind kind, int32_t hundred, struct lag_hole lags[2],
                               struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct things things[2];
    enum status status = STATUS_OK;
    struct err unread = {0};
    bool labelled[2];
    bool same = false;
    bag_labels_path(compare->targets[1].hole_name, kind, hundred, path);
    TRY(compare_same(compare, path, &same, labelled, err));
    if (!labelled[0] || !labelled[1])
        return STATUS_OK;
    for (int side = 0; status == STATUS_OK && side < 2; side++)
        status = things_of_bags(compare->states[side], &compare->targets[side], kind, hundred, &lags[side],
                                &things[side], &unread);
    TRY(pass_damage(compare, status, &unread, err));
    return status == STATUS_OK ? add_both(compare, compare->states, things, err) : STATUS_OK;
}
