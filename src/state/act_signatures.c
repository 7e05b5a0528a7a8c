/* SPDX-License-Identifier: MIT */
/* Signatures under acts: a file an act. */
#include "coretally/state/act_signatures.h"

#include "coretally/state/read.h"

enum status state_act_signatures(struct state *state, const char *act, struct act_signature_set *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    act_signatures_path(act, path);
    TRY(state_read(state, path, &act_signature_set_table, out, &there, err));
    out->act = act;
    return STATUS_OK;
}

/* key: const struct signature *. */
static const void *pick_signature(const void *record, const void *key)
{
    const struct act_signature_set *set = record;
    for (size_t at = 0; at < set->signature_count; at++)
        if (record_is_equal(&act_signature_table, &set->signatures[at], key))
            return &set->signatures[at];
    return NULL;
}

struct record_at record_of_act_signature(const char *act, const struct signature *signature)
{
    struct record_at at = {.table = &act_signature_set_table,
                           .pick = pick_signature,
                           .key = signature,
                           .part = &act_signature_table,
                           .present = signature};
    act_signatures_path(act, at.path);
    return at;
}
