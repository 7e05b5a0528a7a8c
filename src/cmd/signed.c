/* SPDX-License-Identifier: MIT */
/* Who signed a correction, and whether it is still what was signed. */
#include "signed.h"

#include <string.h>

enum status signatures_read(struct state *state, const char *hole, int32_t number, struct signature_set *out,
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

/* changed: in words, what happened to the correction since; NULL: nothing. */
static enum status add_signature(struct state *state, const struct record_at *at, const char *changed, struct text *out,
                                 bool *is_theirs, struct err *err)
{
    const struct signature *it = at->present;
    struct commit commit = {0};
    TRY(origin_find(state, at, NULL, &commit, err));
    text_addf(out, "%s%s %.10s", out->len ? "; " : "", it->name, commit.id);
    *is_theirs = signature_is_person(it->name, it->mail, commit.author, commit.mail);
    if (!*is_theirs)
        text_addf(out, " (that commit is by %s)", commit.author); /* no command of ours writes this */
    if (changed)
        text_addf(out, " %s", changed);
    return STATUS_OK;
}

enum status signed_text(struct state *state, const struct correction *it, const char **out, size_t *standing,
                        struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char present[HASH_TEXT_MAX];
    struct signature_set set;
    struct text text;
    struct bytes bytes;
    *out = NULL;
    *standing = 0;
    TRY(signatures_read(state, it->hole, it->number, &set, err));
    if (!set.signature_count)
        return STATUS_OK;
    correction_path(it->hole, it->number, path);
    TRY(store_id(state->store, path, present, err));
    text_init(&text, state->arena);
    for (size_t at = 0; at < set.signature_count; at++) {
        const bool is_same = strcmp(set.signatures[at].record, present) == 0;
        const char *changed = it->withdrawn ? "before it was withdrawn" : "before it was changed";
        const struct record_at record = record_of_signature(it, &set.signatures[at]);
        bool is_theirs = false;
        TRY(add_signature(state, &record, is_same ? NULL : changed, &text, &is_theirs, err));
        *standing += is_same && is_theirs;
    }
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}
