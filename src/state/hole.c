/* SPDX-License-Identifier: MIT */
/* A hole with what its depths rest on. */
#include <stdio.h>

#include "coretally/base/limits.h"
#include "coretally/state/read.h"

enum status state_corrections(struct state *state, const char *hole, struct correction **out, size_t *count,
                              struct err *err)
{
    char folder[REGISTRY_PATH_MAX];
    struct known_files places = {0};
    struct correction *all = NULL;
    size_t found = 0;
    (void)snprintf(folder, sizeof folder, "holes/%.12s/corrections", hole);
    TRY(state_list(state, folder, &places, err));
    TRY(arena_take(state->arena, places.count, sizeof *all, &all, err));
    for (size_t at = 0; at < places.count; at++) {
        bool there = false;
        if (places.items[at].known->table != &correction_table)
            continue;
        TRY(state_read(state, places.items[at].path, &correction_table, &all[found], &there, err));
        found += there;
    }
    *out = all;
    *count = found;
    return STATUS_OK;
}

enum status hole_under(struct state *state, const struct hole *hole, const struct correction *all, size_t count,
                       struct hole *out, struct err *err)
{
    const struct correction **in_force = NULL;
    TRY(arena_take(state->arena, count, sizeof(const void *), &in_force, err));
    *out = *hole;
    out->correction_count = corrections_in_force(all, count, in_force);
    out->corrections = in_force;
    return STATUS_OK;
}

static enum status read_hole(struct state *state, const char *hole, int depth, struct hole *out, bool *there,
                             struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct correction *all = NULL;
    size_t count = 0;
    hole_path(hole, path);
    TRY(state_read(state, path, &hole_table, out, there, err));
    if (!*there)
        return STATUS_OK;
    TRY(state_corrections(state, hole, &all, &count, err));
    TRY(hole_under(state, out, all, count, out, err));
    if (!out->parent)
        return STATUS_OK;
    if (depth == PARENTS_MAX)
        return err_set(err, STATUS_DAMAGED, path, "it is a sidetrack of itself, or more than %d sidetracks deep",
                       PARENTS_MAX);
    struct hole *parent = NULL;
    bool has_parent = false;
    TRY(arena_take(state->arena, 1, sizeof *parent, &parent, err));
    TRY(read_hole(state, out->parent, depth + 1, parent, &has_parent, err));
    if (has_parent)
        out->parent_hole = parent;
    return STATUS_OK;
}

enum status state_hole(struct state *state, const char *hole, struct hole *out, bool *there, struct err *err)
{
    return read_hole(state, hole, 0, out, there, err);
}

enum status state_renamings(struct state *state, const char *hole, struct renaming_set *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    renamed_path(hole, path);
    return state_read(state, path, &renaming_set_table, out, &there, err);
}
