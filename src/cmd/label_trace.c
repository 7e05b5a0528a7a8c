/* SPDX-License-Identifier: MIT */
/* The label in the hand against the registry of today. */
#include "label_trace.h"

#include <string.h>
#include <strings.h>

#include "correction_text.h"
#include "label_since.h"

static const struct column since_columns[] = {{"since it was printed", NULL, false},
                                              {"moved", "m", true},
                                              {"commit", NULL, false},
                                              {"by", NULL, false},
                                              {"when", NULL, false},
                                              {"reason", NULL, false}};
static const struct column label_columns[] = {{"label", NULL, false},  {"copy", NULL, true},   {"printed", NULL, false},
                                              {"shows", "m", false},   {"scale", NULL, false}, {"state", NULL, false},
                                              {"layout", NULL, false}, {"is", NULL, false}};

struct finding_labels {
    const struct label_scope *scope;
    struct label_text *hand; /* as scanned; or the newest label */
    struct label_report *report;
    bool is_known; /* the scanned one is among those recorded */
    int32_t fresh; /* the newest copy that shows the depth of today; 0: none */
    size_t thing_count;
    struct label_now now; /* against the hand */
    char name[NAME_TEXT_MAX];
};

static bool is_hand(const struct label_text *hand, const struct label *label)
{
    return hand->is_symbol && strncmp(hand->state, label->state, LABEL_STATE_DIGITS) == 0 &&
           hand->copy == (label->copy == 0 ? 1 : label->copy) && hand->top_um == label->top_um &&
           hand->bottom_um == label->bottom_um && strcmp(hand->scale, label->scale) == 0;
}

static enum status add_label(struct run *run, const struct things *things, const struct thing *thing,
                             const struct label *label, struct finding_labels *finding, struct err *err)
{
    static const char *const words[] = {[LABEL_FRESH] = "as today", [LABEL_STALE] = "stale", [LABEL_GONE] = "gone"};
    struct label_now now;
    char printed[INSTANT_TEXT_MAX];
    char copy[16];
    char state[LABEL_STATE_DIGITS + 1];
    char shows[LABEL_DEPTH_MAX];
    char is[40];
    TRY(label_hold(run, things, thing, label, &now, err));
    const bool in_hand = is_hand(finding->hand, label);
    if (now.freshness == LABEL_FRESH)
        finding->fresh = label->copy ? label->copy : 1;
    finding->is_known = finding->is_known || in_hand;
    (void)snprintf(copy, sizeof copy, "%d", label->copy == 0 ? 1 : (int)label->copy);
    (void)snprintf(state, sizeof state, "%.*s", LABEL_STATE_DIGITS, label->state);
    (void)snprintf(is, sizeof is, "%s%s", words[now.freshness], in_hand ? ", the one in hand" : "");
    label_depth_text(label->top_um, label->bottom_um, label_decimals(label->scale), shows);
    instant_format(label->printed, printed);
    const char *cells[] = {thing->name, copy, printed, shows, label->scale, state, label->layout, is};
    return sheet_add(&finding->report->labels, cells, err);
}

/* Without a scanned text the newest label of the thing is the one in hand. */
static void take_newest(struct label_text *hand, const struct label *label)
{
    hand->top_um = label->top_um;
    hand->bottom_um = label->bottom_um;
    (void)snprintf(hand->scale, sizeof hand->scale, "%s", label->scale);
    (void)snprintf(hand->state, sizeof hand->state, "%.*s", LABEL_STATE_DIGITS, label->state);
}

static enum status visit_labels(struct run *run, void *context, struct things *things, struct arena *keep,
                                struct err *err)
{
    struct finding_labels *finding = context;
    struct label_text *hand = finding->hand;
    for (size_t at = 0; at < things->count; at++) {
        const struct thing *thing = &things->items[at];
        if (!label_scope_has(finding->scope, thing))
            continue;
        for (size_t label = 0; label < things->labels.label_count; label++)
            if (strcmp(things->labels.labels[label].name, thing->name) == 0)
                TRY(add_label(run, things, thing, &things->labels.labels[label], finding, err));
        if (thing->label && !hand->is_symbol)
            take_newest(hand, thing->label);
        if (!*hand->scale || (finding->thing_count && !thing->label))
            continue;
        struct label shown = {.scale = hand->scale, .top_um = hand->top_um, .bottom_um = hand->bottom_um};
        if (scale_find(hand->scale) == SCALE_COUNT) {
            err_set(err, STATUS_INPUT, hand->scale, "this label shows a depth on a scale that is not kept here");
            return err_hint(err, "it may be of a newer program; type the name alone");
        }
        TRY(label_hold(run, things, thing, &shown, &finding->now, err));
        if (finding->now.why)
            TRY(arena_copy(keep, finding->now.why, strlen(finding->now.why), &finding->now.why, err));
        (void)snprintf(finding->name, sizeof finding->name, "%s", thing->name);
        finding->thing_count++;
    }
    return STATUS_OK;
}

static enum status say_verdict(struct run *run, const struct finding_labels *finding, struct err *err)
{
    const struct label_text *hand = finding->hand;
    const struct label_now *now = &finding->now;
    const int decimals = label_decimals(hand->scale);
    char shows[LABEL_DEPTH_MAX];
    char today[LABEL_DEPTH_MAX];
    struct text text;
    struct bytes bytes = {0};
    text_init(&text, run->arena);
    label_depth_text(hand->top_um, hand->bottom_um, decimals, shows);
    label_depth_text(now->top_um, now->bottom_um, decimals, today);
    if (now->freshness == LABEL_GONE)
        text_addf(&text, "label of something that is no more: %s", now->why);
    else if (now->freshness == LABEL_STALE) {
        text_addf(&text, "STALE LABEL: it shows %s m %s, state %s; today %s m", shows, hand->scale, hand->state, today);
        if (now->why)
            text_addf(&text, ": %s", now->why);
        else if (hand->top_um != LENGTH_NONE && now->top_um != hand->top_um)
            text_addf(&text, ", moved by %+.*f m", decimals, (double)(now->top_um - hand->top_um) / 1e6);
        else if (hand->top_um != LENGTH_NONE)
            text_addf(&text, ", lower end moved by %+.*f m", decimals,
                      (double)(now->bottom_um - hand->bottom_um) / 1e6);
        if (finding->fresh)
            text_addf(&text, "; copy %d shows that: take this one off", (int)finding->fresh);
    } else
        text_addf(&text, "label as today: %s m %s", shows, hand->scale);
    if (hand->is_symbol && !finding->is_known)
        text_add(&text, "; the registry has no record that this label was printed");
    TRY(text_done(&text, &bytes, err));
    finding->report->verdict = bytes.data;
    return STATUS_OK;
}

enum status label_report(struct run *run, const char *typed, const struct name *name, struct label_report *out,
                         struct err *err)
{
    struct label_text hand;
    struct label_scope scope = {.name = *name, .kinds = {true, true, true, true}, .scale = SCALE_COUNT};
    struct finding_labels finding = {.scope = &scope, .hand = &hand, .report = out};
    *out = (struct label_report){.verdict = NULL};
    sheet_init(&out->labels, run->arena, label_columns, sizeof label_columns / sizeof label_columns[0]);
    sheet_init(&out->since, run->arena, since_columns, sizeof since_columns / sizeof since_columns[0]);
    TRY(label_text_read(typed, &hand, err));
    TRY(label_walk(run, &scope, visit_labels, &finding, err));
    if (!finding.thing_count)
        return STATUS_OK;
    TRY(say_verdict(run, &finding, err));
    out->is_stale = finding.now.freshness == LABEL_STALE;
    if (!out->is_stale)
        return STATUS_OK;
    return label_since(run, hand.state, finding.name, scale_find(hand.scale), &out->since, err);
}
