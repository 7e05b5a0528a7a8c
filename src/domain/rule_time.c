/* SPDX-License-Identifier: MIT */
/* The rules for times: a day, a month, a year or a zone typed wrongly moves what is corrected for the tide. */
#include "coretally/domain/rule.h"

#include <stdio.h>

#include "coretally/base/limits.h"

static void check_ahead(enum rule rule, const char *what, struct instant at, const char *until, int64_t until_us,
                        int64_t slack_us, struct findings *findings)
{
    char text[INSTANT_TEXT_MAX];
    char until_text[INSTANT_TEXT_MAX];
    char span[SPAN_TEXT_MAX];
    if (!at.known || at.utc_us <= until_us || at.utc_us - until_us <= slack_us)
        return;
    instant_format(at, text);
    instant_format((struct instant){.utc_us = until_us - until_us % 1000000, .offset_min = at.offset_min}, until_text);
    span_format(at.utc_us - until_us, span);
    findings_add(findings, rule, "%s, %s, lies %s after %s, %s", what, text, span, until, until_text);
    findings_hint(findings, "look at the date, the time and the zone, or add --sure");
}

void time_check(enum rule rule, const char *what, struct instant at, int64_t now_us, int64_t slack_us,
                struct findings *findings)
{
    check_ahead(rule, what, at, "now", now_us, slack_us, findings);
}

void time_check_state(enum rule rule, const char *what, struct instant at, int64_t came_in_us, int64_t slack_us,
                      struct findings *findings)
{
    check_ahead(rule, what, at, "the newest act", came_in_us, slack_us + 1000000, findings);
}

static void add_deck(enum rule rule, const struct core *core, int64_t apart_us, const char *other, struct instant then,
                     struct findings *findings)
{
    char text[INSTANT_TEXT_MAX];
    char then_text[INSTANT_TEXT_MAX];
    char span[SPAN_TEXT_MAX];
    instant_format(core->on_deck, text);
    instant_format(then, then_text);
    span_format(apart_us, span);
    findings_add(findings, rule, "the time on deck, %s, lies %s %s that of %s, %s", text, span,
                 apart_us < 0 ? "before" : "after", other, then_text);
    findings_hint(findings, "look at the date, the time and the zone of both; amend the wrong one, or add --sure");
}

/* Against a core above (side 1) or below (side -1) by number. */
static void check_beside(const struct core *core, const struct core *other, int side, struct findings *findings)
{
    char name[40];
    if (!other)
        return;
    const int64_t apart_us = core->on_deck.utc_us - other->on_deck.utc_us;
    (void)snprintf(name, sizeof name, "core %d%c %s it", (int)other->number, other->type, side > 0 ? "above" : "below");
    if (apart_us * side < 0)
        add_deck(RULE_DECK_ORDER, core, apart_us, name, other->on_deck, findings);
    else if (apart_us * side > DECK_FAR_US)
        add_deck(RULE_DECK_FAR, core, apart_us, name, other->on_deck, findings);
}

void core_check_time(const struct hole *hole, const struct core *core, const struct core_neighbours *neighbours,
                     int64_t now_us, struct findings *findings)
{
    if (!core->on_deck.known)
        return;
    time_check(RULE_TIME_FUTURE, "the time on deck", core->on_deck, now_us, CLOCK_SLACK_US, findings);
    check_beside(core, neighbours->timed_above, 1, findings);
    check_beside(core, neighbours->timed_below, -1, findings);
    if (neighbours->timed_above || neighbours->timed_below)
        return;
    const int64_t ago_us = now_us == NOW_NONE ? 0 : now_us - core->on_deck.utc_us;
    if (hole->seafloor_at.known) {
        const int64_t apart_us = core->on_deck.utc_us - hole->seafloor_at.utc_us;
        if (apart_us > DECK_FAR_US || apart_us < -DECK_FAR_US)
            add_deck(RULE_DECK_FAR, core, apart_us, "the seafloor", hole->seafloor_at, findings);
    } else if (ago_us > DECK_OLD_US) {
        char text[INSTANT_TEXT_MAX];
        char span[SPAN_TEXT_MAX];
        instant_format(core->on_deck, text);
        span_format(ago_us, span);
        findings_add(findings, RULE_DECK_OLD,
                     "the time on deck, %s, is %s ago; nothing else of the hole has a time to compare it with", text,
                     span);
    }
}

void sample_check_time(const struct core *core, const struct sample *sample, int64_t now_us, struct findings *findings)
{
    char text[INSTANT_TEXT_MAX];
    char deck[INSTANT_TEXT_MAX];
    char span[SPAN_TEXT_MAX];
    time_check(RULE_TIME_FUTURE, "the time when it was taken", sample->taken, now_us, CLOCK_SLACK_US, findings);
    if (!sample->taken.known || !core->on_deck.known || core->on_deck.utc_us - sample->taken.utc_us <= CLOCK_SLACK_US)
        return;
    instant_format(sample->taken, text);
    instant_format(core->on_deck, deck);
    span_format(core->on_deck.utc_us - sample->taken.utc_us, span);
    findings_add(findings, RULE_TAKEN_EARLY, "it was taken at %s, %s before its core came on deck, %s", text, span,
                 deck);
    findings_hint(findings, "look at the date, the time and the zone of both, or add --sure");
}
