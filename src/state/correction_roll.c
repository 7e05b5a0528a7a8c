/* SPDX-License-Identifier: MIT */
/* The corrections of a hole, and the hole under other ones. */
#include "coretally/state/correction_roll.h"

#include <stdio.h>
#include <string.h>

#include "coretally/base/limits.h"

enum status correction_roll_open(struct state *state, const char *typed, struct correction_roll *out, struct err *err)
{
    struct correction *recorded = NULL;
    TRY(resolve(state, typed, NAME_HOLE, NAME_HOLE, &out->target, err));
    TRY(state_corrections(state, out->target.hole_name, &recorded, &out->count, err));
    TRY(arena_take(state->arena, out->count, sizeof *out->all, &out->all, err));
    if (out->count)
        memcpy(out->all, recorded, out->count * sizeof *recorded);
    return STATUS_OK;
}

struct correction *correction_roll_find(const struct correction_roll *roll, int32_t number)
{
    for (size_t at = 0; at < roll->count; at++)
        if (roll->all[at].number == number)
            return &roll->all[at];
    return NULL;
}

bool correction_in_force(const struct hole *hole, int32_t number)
{
    for (size_t at = 0; at < hole->correction_count; at++)
        if (hole->corrections[at]->number == number)
            return true;
    return false;
}

const struct correction *correction_successor(const struct correction_roll *roll, const struct correction *it)
{
    if (correction_in_force(&roll->target.hole, it->number))
        return NULL;
    const struct correction *successor = NULL;
    for (size_t at = roll->count; at-- > 0;) {
        char number[16];
        (void)snprintf(number, sizeof number, "%d", (int)(successor ? successor : it)->number);
        if (!sample_list_has(roll->all[at].supersedes, number))
            continue;
        successor = &roll->all[at];
        if (!successor->withdrawn)
            return successor;
        at = roll->count; /* withdrawn itself: whoever took its place */
    }
    return successor;
}

/* Those whose place was taken by one that is left out; later ones took the places of earlier ones, or of any after a
 * join. */
static void leave_out_line(struct correction *others, size_t count, const char *left_out)
{
    for (bool any = true; any;) {
        any = false;
        for (size_t at = 0; at < count; at++)
            for (size_t by = 0; by < count && others[at].withdrawn != left_out; by++) {
                char number[16];
                (void)snprintf(number, sizeof number, "%d", (int)others[at].number);
                if (others[by].withdrawn != left_out || !sample_list_has(others[by].supersedes, number))
                    continue;
                others[at].withdrawn = left_out;
                any = true;
            }
    }
}

static enum status leave_out(struct state *state, const struct correction_roll *roll, const struct correction *it,
                             bool with_line, struct hole *out, struct err *err)
{
    static const char left_out[] = "left out";
    struct arena scratch;
    struct correction *others = NULL;
    const struct correction **in_force = NULL;
    TRY(arena_take(state->arena, roll->count, sizeof(const void *), &in_force, err));
    arena_init(&scratch, ARENA_LIMIT_BYTES);
    const enum status status = arena_take(&scratch, roll->count, sizeof *others, &others, err);
    if (status == STATUS_OK) {
        *out = roll->target.hole;
        for (size_t at = 0; at < roll->count; at++) {
            others[at] = roll->all[at];
            if (others[at].number == it->number)
                others[at].withdrawn = left_out;
        }
        if (with_line)
            leave_out_line(others, roll->count, left_out);
        out->correction_count = corrections_in_force(others, roll->count, in_force);
        for (size_t at = 0; at < out->correction_count; at++)
            in_force[at] = &roll->all[in_force[at] - others]; /* the copies die here */
        out->corrections = in_force;
    }
    arena_clear(&scratch);
    return status;
}

enum status hole_without(struct state *state, const struct correction_roll *roll, const struct correction *it,
                         struct hole *out, struct err *err)
{
    return leave_out(state, roll, it, false, out, err);
}

enum status hole_without_line(struct state *state, const struct correction_roll *roll, const struct correction *it,
                              struct hole *out, struct err *err)
{
    return leave_out(state, roll, it, true, out, err);
}

enum status state_signatures(struct state *state, const char *hole, int32_t number, struct signature_set *out,
                             struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    signatures_path(hole, number, path);
    TRY(state_read(state, path, &signature_set_table, out, &there, err));
    out->hole = hole;
    out->number = number;
    return STATUS_OK;
}
