/* SPDX-License-Identifier: MIT */
/* The acts between a label and today, as history tells them. */
#include "coretally/ask/label_since.h"

#include <string.h>

#include "coretally/store/walk.h"
#include "coretally/ask/past_walk.h"

struct since {
    struct arena *arena; /* of what is told */
    struct since_acts acts;
    size_t room;
};

static int64_t moved(int64_t newer_um, int64_t older_um)
{
    return newer_um == LENGTH_NONE || older_um == LENGTH_NONE ? LENGTH_NONE : newer_um - older_um;
}

static enum status add_act(struct state *state, void *context, const struct past_step *step, struct err *err)
{
    struct since *const since = context;
    struct since_acts *const acts = &since->acts;
    struct since_act act = {.commit = *step->commit,
                            .top_um = moved(step->newer->top_um, step->older->top_um),
                            .bottom_um = moved(step->newer->bottom_um, step->older->bottom_um)};
    (void)state;
    acts->is_joined = acts->is_joined || step->is_join;
    if (step->is_join) /* what it brought is told by the acts themselves */
        return STATUS_OK;
    TRY(arena_copy(since->arena, step->cause, strlen(step->cause), &act.cause, err));
    TRY(arena_grow(since->arena, &acts->items, acts->count, &since->room, sizeof act, err));
    acts->items[acts->count++] = act;
    return STATUS_OK;
}

/* The newest commits of a state; none where there is no such state. */
static enum status find_state(struct state *state, const char *since, struct commits *out, struct err *err)
{
    struct err why = {0};
    struct late_acts ignored;
    out->count = 0;
    const enum status status = store_heads(state->store, since, state->arena, out, &ignored, &why);
    if (status == STATUS_OK || status == STATUS_UNKNOWN)
        return STATUS_OK;
    *err = why;
    return status;
}

/* The state where it is part of this history, none where not: another clone's that was rebased is not. */
static enum status find_own(struct state *state, const char *since, struct commits *out, struct err *err)
{
    bool is_own = false;
    TRY(find_state(state, since, out, err));
    if (out->count)
        TRY(store_descends(state->store, out->ids[0], &is_own, err));
    out->count = is_own;
    return STATUS_OK;
}

/* The state of a time, as --as-of has it; none before the first commit. */
static enum status find_time(struct state *state, struct instant time, struct commits *out, struct err *err)
{
    char text[INSTANT_TEXT_MAX];
    instant_format(time, text);
    return find_state(state, text, out, err);
}

/* From where on acts are told; none: from the first one. *is_told false: from nowhere that is known. */
static enum status find_start(struct state *state, const struct since_asked *asked, struct commits *out, bool *is_told,
                              struct err *err)
{
    TRY(find_own(state, asked->state, out, err));
    *is_told = out->count || asked->printed.known;
    if (out->count)
        return STATUS_OK;
    state_tell(state,
               "note: state %.10s of the label is not in this history: printed in a clone before a rebase, or "
               "after your last pull%s\n",
               asked->state, asked->printed.known ? "; what follows came after it was printed" : "");
    return *is_told ? find_time(state, asked->printed, out, err) : STATUS_OK;
}

static void turn(struct since_act *acts, size_t count)
{
    for (size_t at = 0; at < count / 2; at++) {
        const struct since_act last = acts[count - 1 - at];
        acts[count - 1 - at] = acts[at];
        acts[at] = last;
    }
}

enum status label_since(struct state *state, const struct since_asked *asked, struct since_acts *out, struct err *err)
{
    const struct past_asked thing = {.typed = asked->name, .scale = asked->scale};
    struct since since = {.arena = state->arena};
    struct past past;
    bool is_told = false;
    struct commits start = {.count = 0};
    *out = (struct since_acts){.count = 0};
    TRY(find_start(state, asked, &start, &is_told, err));
    if (!is_told)
        return STATUS_OK;
    TRY(past_open(state, &thing, &past, err));
    TRY(past_walk(state, &past, start.count ? &start : NULL, add_act, &since, err));
    turn(since.acts.items, since.acts.count);
    *out = since.acts;
    return STATUS_OK;
}
