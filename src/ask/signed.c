/* SPDX-License-Identifier: MIT */
/* Who signed a correction, and whether it is still what was signed. */
#include "coretally/ask/signed.h"

#include <string.h>

#include "coretally/state/correction_roll.h"
#include "coretally/state/origin.h"

/* key: const struct signature *. */
static const void *pick_signature(const void *record, const void *key)
{
    const struct signature_set *set = record;
    const struct signature *wanted = key;
    for (size_t at = 0; at < set->signature_count; at++)
        if (record_is_equal(&signature_table, &set->signatures[at], wanted))
            return &set->signatures[at];
    return NULL;
}

static struct record_at record_of_signature(const struct correction *signed_one, const struct signature *it)
{
    struct record_at at = {
        .table = &signature_set_table, .pick = pick_signature, .key = it, .part = &signature_table, .present = it};
    signatures_path(signed_one->hole, signed_one->number, at.path);
    return at;
}

enum status signed_find(struct state *state, const struct correction *it, struct signed_all *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char present[HASH_TEXT_MAX];
    struct signature_set set;
    *out = (struct signed_all){.count = 0};
    TRY(state_signatures(state, it->hole, it->number, &set, err));
    if (!set.signature_count)
        return STATUS_OK;
    correction_path(it->hole, it->number, path);
    TRY(store_id(state->store, path, present, err));
    TRY(arena_take(state->arena, set.signature_count, sizeof *out->items, &out->items, err));
    for (size_t at = 0; at < set.signature_count; at++) {
        struct signed_by *by = &out->items[out->count++];
        by->signature = &set.signatures[at];
        const struct record_at record = record_of_signature(it, by->signature);
        TRY(origin_find(state, &record, NULL, &by->commit, err));
        by->is_same = strcmp(by->signature->record, present) == 0;
        by->is_theirs =
            signature_is_person(by->signature->name, by->signature->mail, by->commit.author, by->commit.mail);
        out->standing += by->is_same && by->is_theirs;
    }
    return STATUS_OK;
}
