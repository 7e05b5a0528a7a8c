/* SPDX-License-Identifier: MIT */
/* Signatures under an act, each with the commit that brought it. */
#include "coretally/ask/act_signed.h"

#include "coretally/state/act_signatures.h"
#include "coretally/state/origin.h"

enum status act_signed(struct state *state, const char *act, struct signed_all *out, struct err *err)
{
    struct act_signature_set set;
    struct commit it = {.line = NULL};
    *out = (struct signed_all){.count = 0};
    TRY(state_act_signatures(state, act, &set, err));
    if (!set.signature_count)
        return STATUS_OK;
    TRY(store_commit(state->store, act, state->arena, &it, err));
    TRY(arena_take(state->arena, set.signature_count, sizeof *out->items, &out->items, err));
    for (size_t at = 0; at < set.signature_count; at++) {
        struct signed_by *by = &out->items[out->count++];
        by->signature = &set.signatures[at];
        by->is_same = true;
        const char *const name = by->signature->name;
        const char *const mail = by->signature->mail;
        const struct record_at record = record_of_act_signature(act, by->signature);
        TRY(origin_find(state, &record, NULL, &by->commit, err));
        by->is_theirs = signature_is_person(name, mail, by->commit.author, by->commit.mail) &&
                        !signature_is_person(name, mail, it.author, it.mail) &&
                        !signature_is_person(name, mail, it.committer, it.committer_mail);
        out->standing += by->is_theirs;
    }
    return STATUS_OK;
}

enum status act_signed_by(struct state *state, const char *act, const char **out, struct err *err)
{
    struct signed_all all;
    struct text text;
    struct bytes bytes;
    *out = NULL;
    TRY(act_signed(state, act, &all, err));
    if (!all.standing)
        return STATUS_OK;
    text_init(&text, state->arena);
    for (size_t at = 0; at < all.count; at++)
        if (all.items[at].is_theirs)
            text_addf(&text, "%s%s", text.len ? ", " : "", all.items[at].signature->name);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}
