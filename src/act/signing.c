/* SPDX-License-Identifier: MIT */
/* The lists that signatures stand in. */
#include "signing.h"

#include <string.h>

const struct signature *signing_find(const struct signatures *all, const struct signature *like)
{
    for (size_t at = 0; at < all->count; at++) {
        const struct signature *it = &all->items[at];
        if ((!like->record || strcmp(it->record, like->record) == 0) &&
            signature_is_person(it->name, it->mail, like->name, like->mail))
            return it;
    }
    return NULL;
}

enum status signing_append(struct state *state, struct signatures *all, const struct signature *added, struct err *err)
{
    struct signature *items = NULL;
    TRY(arena_take(state->arena, all->count + 1, sizeof *items, &items, err));
    if (all->count)
        memcpy(items, all->items, all->count * sizeof *items);
    items[all->count] = *added;
    *all = (struct signatures){items, all->count + 1};
    return STATUS_OK;
}

enum status signing_present(struct state *state, struct draft *draft, const char *name, const struct signature *present,
                            struct err *err)
{
    char when[INSTANT_TEXT_MAX];
    struct text text;
    struct bytes bytes;
    instant_format(present->at, when);
    text_init(&text, state->arena);
    text_addf(&text, "%s was signed by %s, %s", name, present->name, when);
    TRY(text_done(&text, &bytes, err));
    return draft_present(state, draft, bytes.data, NULL, err);
}
