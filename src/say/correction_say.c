/* SPDX-License-Identifier: MIT */
/* How a correction stands and who signed it, in words. */
#include "coretally/say/correction_say.h"

enum status correction_state_text(struct state *state, const struct correction_roll *roll, const struct correction *it,
                                  const char **out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    const struct correction *successor = correction_successor(roll, it);
    text_init(&text, state->arena);
    if (it->withdrawn)
        text_addf(&text, "withdrawn: %s", it->withdrawn);
    else if (successor)
        text_addf(&text, "superseded by %d", (int)successor->number);
    else
        text_add(&text, "in force");
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

enum status signed_text(struct state *state, const struct correction *it, const struct signed_all *by, const char **out,
                        struct err *err)
{
    struct text text;
    struct bytes bytes;
    *out = NULL;
    if (!by->count)
        return STATUS_OK;
    text_init(&text, state->arena);
    for (size_t at = 0; at < by->count; at++) {
        const struct signed_by *one = &by->items[at];
        text_addf(&text, "%s%s %.10s", text.len ? "; " : "", one->signature->name, one->commit.id);
        if (!one->is_theirs)
            text_addf(&text, " (that commit is by %s)", one->commit.author);
        if (!one->is_same)
            text_add(&text, it->withdrawn ? " before it was withdrawn" : " before it was changed");
    }
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}
