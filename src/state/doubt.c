/* SPDX-License-Identifier: MIT */
/* What the rules find of recorded cores, and the words of findings. */
#include "coretally/state/doubt.h"

#include "coretally/base/limits.h"

enum status findings_words(const struct findings *findings, struct arena *arena, const char **out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, arena);
    for (size_t at = 0; at < findings->count; at++) {
        const enum rule rule = findings->items[at].rule;
        bool is_there = rule_level(rule) != RULE_DOUBTED && rule_level(rule) != RULE_TAKEN;
        for (size_t other = 0; other < at; other++)
            is_there = is_there || findings->items[other].rule == rule;
        if (!is_there)
            text_addf(&text, "%s%s", text.len ? " " : "", rule_word(rule));
    }
    TRY(text_done(&text, &bytes, err));
    *out = bytes.len ? bytes.data : NULL;
    return STATUS_OK;
}

enum status findings_kept(const struct findings *findings, enum keeping keeping, struct arena *arena, const char **out,
                          struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, arena);
    for (size_t at = 0; at < findings->count; at++)
        if (finding_fate(&findings->items[at], keeping) == FATE_KEPT)
            text_addf(&text, "%s%s", text.len ? " " : "", rule_word(findings->items[at].rule));
    TRY(text_done(&text, &bytes, err));
    *out = bytes.len ? bytes.data : NULL;
    return STATUS_OK;
}

enum status time_doubt(struct state *state, enum rule rule, const char *what, struct instant at, int64_t slack_us,
                       struct findings *findings, struct err *err)
{
    int64_t came_in_us = 0;
    if (!at.known)
        return STATUS_OK;
    TRY(store_came_in(state->store, at.utc_us, &came_in_us, err));
    time_check_state(rule, what, at, came_in_us, slack_us, findings);
    return STATUS_OK;
}

/* The rules of a core among its neighbours and their times, but for the one numbered left_out. */
static enum status check_among(struct core_roll *roll, const struct target *target, const struct core *core,
                               int32_t left_out, int64_t now_us, struct findings *findings, struct err *err)
{
    struct core_neighbours around = {0};
    TRY(core_roll_around(roll, core->number, left_out, &around, err));
    if (core->on_deck.known)
        TRY(core_roll_timed(roll, core->number, left_out, &around, err));
    core_check(&target->hole, core, &around, findings);
    core_check_time(&target->hole, core, &around, now_us, findings);
    return STATUS_OK;
}

enum status core_doubts(struct core_roll *roll, const struct target *target, const struct core *core,
                        struct findings *findings, struct err *err)
{
    if (core->withdrawn)
        return STATUS_OK;
    TRY(check_among(roll, target, core, 0, NOW_NONE, findings, err));
    return time_doubt(roll->state, RULE_TIME_FUTURE, "the time on deck", core->on_deck, CLOCK_SLACK_US, findings, err);
}

enum status core_asked(struct core_roll *roll, const struct target *target, const struct core *core, int32_t left_out,
                       struct findings *findings, struct err *err)
{
    return check_among(roll, target, core, left_out, roll->state->now.utc_us, findings, err);
}

enum status core_kept(struct state *state, const struct findings *findings, int32_t section, const char *before,
                      const char **out, struct err *err)
{
    struct findings some = {0};
    const char *words = NULL;
    struct text text;
    struct bytes bytes;
    for (size_t at = 0; at < findings->count; at++)
        if (section == SECTIONS_ALL || findings->items[at].of_section == section + 1)
            some.items[some.count++] = findings->items[at];
    TRY(findings_words(&some, state->arena, &words, err));
    text_init(&text, state->arena);
    text_addf(&text, "%s%s", before ? before : "", before && *before && words ? "; " : "");
    if (words)
        text_addf(&text, "kept: %s", words);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.len ? bytes.data : NULL;
    return STATUS_OK;
}
