/* SPDX-License-Identifier: MIT */
/* The expedition of a registry: started with it, and amended. */
#include "coretally/act/expedition.h"

static enum status keep(struct state *state, const struct expedition *expedition, struct expedition **out,
                        struct err *err)
{
    TRY(arena_take(state->arena, 1, sizeof **out, out, err));
    **out = *expedition;
    return STATUS_OK;
}

static enum status expedition_write(struct state *state, const struct expedition *expedition, struct draft *out,
                                    struct err *err)
{
    struct expedition *written = NULL;
    TRY(keep(state, expedition, &written, err));
    out->name = written->number;
    return draft_write(state, out, EXPEDITION_PATH, &expedition_table, written, err);
}

enum status expedition_start(struct state *state, const struct expedition *expedition, struct draft *out,
                             struct err *err)
{
    draft_init(out);
    return expedition_write(state, expedition, out, err);
}

enum status expedition_amend(struct state *state, const struct expedition *changed, struct draft *out, struct err *err)
{
    struct expedition expedition = *changed;
    draft_init(out);
    if (record_is_equal(&expedition_table, changed, &state->expedition)) {
        const struct record_at at = record_of_expedition(&state->expedition);
        return draft_present(state, out, expedition.number, &at, err);
    }
    expedition.version = expedition.version ? expedition.version + 1 : 2;
    out->needs_reason = true;
    return expedition_write(state, &expedition, out, err);
}
