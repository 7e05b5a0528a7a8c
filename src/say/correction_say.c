/* SPDX-License-Identifier: MIT */
/* How a correction stands and who signed it, in words. */
#include "coretally/say/correction_say.h"

#include "coretally/state/origin.h"

enum status correction_state_text(struct state *state, const struct correction_roll *roll, const struct correction *it,
                                  const char **out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    const struct correction *successor = correction_successor(roll, it);
    text_init(&text, state->arena);
    if (it->withdrawn) {
        const struct record_at at = record_of_correction(roll->target.hole_name, it);
        struct commit commit = {0};
        TRY(origin_withdrawn(state, &at, &commit, err));
        text_addf(&text, "withdrawn by %s %.10s: %s", commit.author, commit.id, it->withdrawn);
    } else if (successor)
        text_addf(&text, "superseded by %d", (int)successor->number);
    else
        text_add(&text, "in force");
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

/* "Ida Lindqvist 0f3a9c21bd 2026-03-08T08:00:00Z" */
static void add_who(const char *name, const struct commit *commit, struct instant at, struct text *out)
{
    char when[INSTANT_TEXT_MAX];
    instant_format(at, when);
    text_addf(out, "%s%s %.10s %s", out->len ? "; " : "", name, commit->id, when);
}

enum status recorded_text(struct state *state, const struct correction *it, const char **out, struct err *err)
{
    const struct record_at at = record_of_correction(it->hole, it);
    struct commit commit = {0};
    struct text text;
    struct bytes bytes;
    TRY(origin_said(state, &at, &commit, err));
    text_init(&text, state->arena);
    add_who(commit.author, &commit, commit.when, &text);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

enum status signed_text(struct state *state, const struct correction *it, const struct signed_all *by, bool with_remark,
                        const char **out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    *out = NULL;
    if (!by->count)
        return STATUS_OK;
    text_init(&text, state->arena);
    for (size_t at = 0; at < by->count; at++) {
        const struct signed_by *one = &by->items[at];
        add_who(one->signature->name, &one->commit, one->signature->at, &text);
        if (!one->is_theirs)
            text_addf(&text, " (that commit is by %s)", one->commit.author);
        if (!one->is_same)
            text_add(&text, it->withdrawn ? " before it was withdrawn" : " before it was changed");
        if (with_remark && one->signature->remark)
            text_addf(&text, ": %s", one->signature->remark);
    }
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}
