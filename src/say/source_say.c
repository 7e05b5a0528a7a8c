/* SPDX-License-Identifier: MIT */
/* The act behind an input, in a cell. */
#include "coretally/say/source_say.h"

#include "coretally/ask/act_signed.h"

enum status source_who(struct state *state, const struct source *source, const char **out, struct err *err)
{
    char when[INSTANT_TEXT_MAX];
    struct text text;
    struct bytes bytes;
    const char *by = NULL;
    *out = NULL;
    if (!*source->id)
        return STATUS_OK;
    instant_format(source->when, when);
    text_init(&text, state->arena);
    text_addf(&text, "%s, %s", source->author, when);
    TRY(act_signed_by(state, source->id, &by, err));
    if (by)
        text_addf(&text, ", signed by %s", by);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}
