/* SPDX-License-Identifier: MIT */
/* From records to the fields of a layout. */
#include "coretally/say/label_face.h"

#include <string.h>

#include "coretally/state/lag_hole.h"
#include "coretally/say/label_say.h"

static enum status put(struct state *state, struct label_face *face, enum label_field field, const char *text,
                       struct err *err)
{
    return text && *text ? arena_copy(state->arena, text, strlen(text), &face->values[field], err) : STATUS_OK;
}

/* "2026-03-01 09:35 +05:30", "2026-03-01 09:35-09:40 +05:30": ship's time where the hole knows it; seconds where there
 * are any. */
static void add_time(const struct hole *hole, struct instant from, struct instant to, struct text *out)
{
    enum { DAY = 10, CLOCK = 8 };
    const struct ship_time times[] = {ship_time(hole, from.utc_us),
                                      ship_time(hole, to.known ? to.utc_us : from.utc_us)};
    for (int at = 0; at <= (int)to.known; at++) {
        const char *text = times[at].text;
        const bool is_whole = strncmp(text + DAY + 1 + 5, ":00", 3) == 0;
        if (at == 0 || strncmp(text, times[0].text, DAY) != 0)
            text_addf(out, "%s%.*s ", at ? " to " : "", DAY, text);
        else
            text_add(out, "-");
        text_addf(out, "%.*s", is_whole ? 5 : CLOCK, text + DAY + 1);
    }
    text_addf(out, " %s", times[0].text + DAY + 1 + CLOCK);
}

/* When it came on deck, was taken, or fell. */
static enum status put_taken(struct state *state, const struct things *things, const struct thing *thing,
                             struct label_face *face, struct err *err)
{
    struct instant from = things->target.core.on_deck;
    struct instant to = {.known = false};
    struct text text;
    struct bytes bytes = {0};
    if (thing->bag) {
        from = thing->bag->from;
        to = thing->bag->to;
    } else if (thing->sample && thing->sample->taken.known)
        from = thing->sample->taken;
    if (!from.known)
        return STATUS_OK;
    text_init(&text, state->arena);
    add_time(&things->target.hole, from, to, &text);
    TRY(text_done(&text, &bytes, err));
    return put(state, face, LABEL_TAKEN, bytes.data, err);
}

static enum status put_place(struct state *state, const struct thing *thing, struct label_face *face, struct err *err)
{
    static const char *const halves[] = {
        [HALF_WORKING] = "working half", [HALF_ARCHIVE] = "archive half", [HALF_WHOLE] = "whole round"};
    const enum half half = thing->sample ? thing->sample->half : thing->half;
    char interval[2 * LENGTH_TEXT_MAX + 8] = "";
    if (thing->sample)
        (void)snprintf(interval, sizeof interval, "%s-%s cm", length_text(thing->sample->top_um, UNIT_CM, 1).text,
                       length_text(thing->sample->bottom_um, UNIT_CM, 1).text);
    TRY(put(state, face, LABEL_INTERVAL, interval, err));
    TRY(put(state, face, LABEL_HALF, half == HALF_NONE ? NULL : halves[half], err));
    TRY(put(state, face, LABEL_PURPOSE, thing->sample ? thing->sample->purpose : NULL, err));
    return put(state, face, LABEL_REQUESTER,
               thing->sample ? thing->sample->requester
               : thing->bag  ? thing->bag->requester
                             : NULL,
               err);
}

enum status label_face_fill(struct state *state, const struct things *things, const struct thing *thing,
                            const struct label *label, struct label_face *out, struct err *err)
{
    struct label_face face = {.has_top = thing->kind == THING_SECTION};
    struct name name;
    char text[SYMBOL_TEXT_MAX];
    char depth[LABEL_DEPTH_MAX];
    const char check[2] = {label_check_char(label->name), '\0'};
    TRY(name_parse(label->name, &name, err));
    name_format(&name, NAME_PRINTED, text);
    TRY(put(state, &face, LABEL_NAME, text, err));
    TRY(put(state, &face, LABEL_CHECK, check, err));
    label_depth_text(label->top_um, label->bottom_um, label_decimals(label->scale), depth);
    (void)snprintf(text, sizeof text, "%s%s", label->top_um == LENGTH_NONE ? "depth " : "", depth);
    (void)snprintf(text + strlen(text), sizeof text - strlen(text), "%s", label->top_um == LENGTH_NONE ? "" : " m");
    TRY(put(state, &face, LABEL_DEPTH, text, err));
    TRY(put(state, &face, LABEL_SCALE, label->scale, err));
    TRY(put(state, &face, LABEL_WHAT, thing_words[thing->kind], err));
    TRY(put(state, &face, LABEL_HOLE, things->target.hole_name, err));
    TRY(put(state, &face, LABEL_EXPEDITION, state->expedition.number, err));
    TRY(put(state, &face, LABEL_TITLE, state->expedition.title, err));
    TRY(put_taken(state, things, thing, &face, err));
    TRY(put(state, &face, LABEL_HAZARD, label->hazard, err));
    TRY(put_place(state, thing, &face, err));
    if (label->copy != 0)
        (void)snprintf(text, sizeof text, "copy %d", (int)label->copy);
    TRY(put(state, &face, LABEL_COPY, label->copy != 0 ? text : NULL, err));
    struct text printed;
    struct bytes bytes = {0};
    text_init(&printed, state->arena);
    add_time(&things->target.hole, label->printed, (struct instant){.known = false}, &printed);
    TRY(text_done(&printed, &bytes, err));
    TRY(put(state, &face, LABEL_PRINTED, bytes.data, err));
    (void)snprintf(text, sizeof text, "%.*s", LABEL_STATE_DIGITS, label->state);
    TRY(put(state, &face, LABEL_STATE, text, err));
    label_symbol(label, text);
    TRY(arena_copy(state->arena, text, strlen(text), &face.symbol, err));
    *out = face;
    return STATUS_OK;
}
