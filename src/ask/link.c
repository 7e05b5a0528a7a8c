/* SPDX-License-Identifier: MIT */
/* Links of the chain of depth: which act is behind one, and what it says. */
#include "coretally/ask/link.h"

#include "coretally/state/correction_text.h"
#include "coretally/state/origin.h"

enum status link_commit(struct state *state, const struct depth_link *link, struct commit *out, struct err *err)
{
    static const char *const of_seafloor[] = {"seafloor",       "seafloor_by",       "mudline_bit",
                                              "mudline_stroke", "mudline_recovered", NULL};
    char hole[HOLE_TEXT_MAX];
    hole_text(link->hole, hole);
    const struct record_at at =
        link->correction ? record_of_correction(hole, link->correction) : record_of_hole(hole, link->hole);
    return origin_find(state, &at, link->correction ? NULL : of_seafloor, out, err);
}

enum status link_words(struct state *state, const struct depth_link *link, int32_t core, const char **rule,
                       const char **why, struct err *err)
{
    char hole[HOLE_TEXT_MAX];
    struct text words;
    struct bytes bytes;
    *rule = link->rule;
    *why = NULL;
    if (!link->correction)
        return STATUS_OK;
    text_init(&words, state->arena);
    hole_text(link->hole, hole);
    text_addf(&words, "%s (correction %d of %s)", link->rule, (int)link->correction->number, hole);
    TRY(text_done(&words, &bytes, err));
    *rule = bytes.data;
    text_init(&words, state->arena);
    text_addf(&words, "  %s, ", correction_words[link->correction->kind]);
    correction_add_range(link->correction, &words);
    text_add(&words, ": ");
    const struct core_offset *offset = composite_find(link->correction, core);
    if (offset && offset->feature && offset->reference)
        text_addf(&words, "%s is %s; ", offset->feature, offset->reference);
    correction_add_why(link->correction, &words);
    TRY(text_done(&words, &bytes, err));
    *why = bytes.data;
    return STATUS_OK;
}
