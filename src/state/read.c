/* SPDX-License-Identifier: MIT */
/* The records of a state. */
#include "coretally/state/read.h"

enum status state_read(struct state *state, const char *path, const struct table *table, void *record, bool *there,
                       struct err *err)
{
    return registry_read(state->store, path, table, state->arena, record, there, err);
}

enum status state_bytes(struct state *state, const char *path, struct bytes *out, struct err *err)
{
    return store_read(state->store, path, state->arena, out, err);
}

enum status state_hole(struct state *state, const char *hole, struct hole *out, bool *there, struct err *err)
{
    return registry_hole(state->store, hole, state->arena, out, there, err);
}

enum status state_corrections(struct state *state, const char *hole, struct correction **out, size_t *count,
                              struct err *err)
{
    return registry_corrections(state->store, hole, state->arena, out, count, err);
}

enum status state_renamings(struct state *state, const char *hole, struct renaming_set *out, struct err *err)
{
    return registry_renamings(state->store, hole, state->arena, out, err);
}

enum status state_list(struct state *state, const char *folder, struct known_files *out, struct err *err)
{
    return registry_list(state->store, folder, state->arena, out, err);
}

enum status state_holes(struct state *state, struct names *out, struct err *err)
{
    return registry_holes(state->store, state->arena, out, err);
}

enum status state_cores(struct state *state, const char *hole, int32_t **out, size_t *count, struct err *err)
{
    return registry_cores(state->store, hole, state->arena, out, count, err);
}

enum status state_hundreds(struct state *state, const char *hole, enum bag_kind kind, int32_t **out, size_t *count,
                           struct err *err)
{
    return registry_hundreds(state->store, hole, kind, state->arena, out, count, err);
}

enum status state_log_days(struct state *state, const char *hole, int64_t **out, size_t *count, struct err *err)
{
    return registry_log_days(state->store, hole, state->arena, out, count, err);
}
