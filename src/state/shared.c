/* SPDX-License-Identifier: MIT */
/* What all states of an invocation share: begun and ended. */
#include "coretally/state/log.h"
#include "coretally/state/open.h"
#include "coretally/state/origin.h"

void state_init(struct state *state, struct state_shared *shared, struct arena *arena, const struct sink *sink)
{
    *shared = (struct state_shared){.arena = arena, .cache = {.arena = arena}, .open = {.tell = open_tell}};
    *state =
        (struct state){.arena = arena, .sink = sink, .cache = &shared->cache, .open = &shared->open, .shared = shared};
}

void state_clear(struct state *state)
{
    origins_close(state);
    day_shelf_clear(state->shared);
    store_close(state->store);
    state->store = NULL;
}
