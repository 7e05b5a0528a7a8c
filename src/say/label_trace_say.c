/* SPDX-License-Identifier: MIT */
/* The labels of a traced thing, what happened since, and what the one in the hand is worth. */
#include "coretally/say/label_trace_say.h"

#include "coretally/say/label_say.h"

static const struct column since_columns[] = {{"since it was printed", NULL, false},
                                              {"moved", "m", true},
                                              {"lower end", "m", true},
                                              {"commit", NULL, false},
                                              {"by", NULL, false},
                                              {"when", NULL, false},
                                              {"reason", NULL, false}};
static const struct column label_columns[] = {{"label", NULL, false},  {"copy", NULL, true},   {"printed", NULL, false},
                                              {"shows", "m", false},   {"scale", NULL, false}, {"state", NULL, false},
                                              {"layout", NULL, false}, {"is", NULL, false}};

static enum status add_label(struct sheet *sheet, const struct traced_label *traced, struct err *err)
{
    const struct label *label = traced->label;
    char shows[LABEL_DEPTH_MAX];
    char is[40];
    (void)snprintf(is, sizeof is, "%s%s", freshness_words[traced->now.freshness],
                   traced->is_in_hand ? ", the one in hand" : "");
    label_depth_text(label->top_um, label->bottom_um, label_decimals(label->scale), shows);
    const struct cell cells[] = {cell_text(label->name),       cell_number(label_copy(label)),
                                 cell_instant(label->printed), cell_text(shows),
                                 cell_text(label->scale),      cell_cut(label->state, LABEL_STATE_DIGITS),
                                 cell_text(label->layout),     cell_text(is)};
    return sheet_add_row(sheet, cells, err);
}

enum status label_trace_rows(struct arena *arena, const struct label_report *report, struct sheet *out, struct err *err)
{
    sheet_init(out, arena, label_columns, sizeof label_columns / sizeof label_columns[0]);
    for (size_t at = 0; at < report->label_count; at++)
        TRY(add_label(out, &report->labels[at], err));
    return STATUS_OK;
}

enum status label_since_rows(struct arena *arena, const struct label_report *report, struct sheet *out, struct err *err)
{
    sheet_init(out, arena, since_columns, sizeof since_columns / sizeof since_columns[0]);
    for (size_t at = 0; at < report->since.count; at++) {
        const struct since_act *act = &report->since.items[at];
        const struct cell cells[] = {cell_text(act->cause),          cell_length(act->top_um, 3),
                                     cell_length(act->bottom_um, 3), cell_commit(act->commit.id),
                                     cell_text(act->commit.author),  cell_instant(act->commit.when),
                                     cell_text(act->commit.reason)};
        TRY(sheet_add_row(out, cells, err));
    }
    if (!report->rest.why)
        return STATUS_OK;
    const struct cell rest[sizeof since_columns / sizeof since_columns[0]] = {
        cell_text(report->rest.why), cell_length(report->rest.top_um, 3), cell_length(report->rest.bottom_um, 3)};
    return sheet_add_row(out, rest, err);
}

/* One text on two papers: each side printed that copy, not knowing of the other. */
static void add_twin(struct text *out, const struct label_hand *hand)
{
    char times[2][INSTANT_TEXT_MAX];
    if (!hand->twin)
        return;
    instant_format(hand->twin->printed, times[0]);
    instant_format(hand->label.printed, times[1]);
    text_addf(out, "; printed twice before registries were joined, %s and %s: the paper may be either", times[0],
              times[1]);
}

/* What a label shows against what it should show. */
static void add_verdict(struct text *out, const struct label_hand *hand)
{
    const struct label *label = &hand->label;
    const struct label_now *now = &hand->now;
    const int decimals = label_decimals(label->scale);
    char shows[LABEL_DEPTH_MAX];
    char today[LABEL_DEPTH_MAX];
    label_depth_text(label->top_um, label->bottom_um, decimals, shows);
    label_depth_text(now->top_um, now->bottom_um, decimals, today);
    const bool is_known = label->top_um != LENGTH_NONE;
    if (now->freshness == LABEL_GONE) {
        text_addf(out, "label of something that no longer stands: %s", now->why);
        return;
    }
    if (now->freshness == LABEL_FRESH) {
        text_addf(out, "label as today: %s%s %s", is_known ? shows : "no depth", is_known ? " m" : "", label->scale);
        return;
    }
    text_addf(out, "STALE LABEL: it shows %s%s %s, state %.*s; today ", is_known ? shows : "no depth",
              is_known ? " m" : "", label->scale, LABEL_STATE_DIGITS, label->state);
    text_addf(out, "%s%s", now->top_um == LENGTH_NONE ? "no depth" : today, now->top_um == LENGTH_NONE ? "" : " m");
    if (is_known && now->top_um != LENGTH_NONE && now->top_um != label->top_um)
        text_addf(out, ", moved by %+.*f m", decimals, (double)(now->top_um - label->top_um) / 1e6);
    else if (is_known && now->top_um != LENGTH_NONE && now->bottom_um != label->bottom_um)
        text_addf(out, ", lower end moved by %+.*f m", decimals, (double)(now->bottom_um - label->bottom_um) / 1e6);
    if (now->why)
        text_addf(out, "; %s", now->why);
    if (hand->fresh)
        text_addf(out, "; copy %d shows that: take this one off", label_copy(hand->fresh));
}

void label_verdicts_add(const struct label_report *report, const struct name *name, struct text *out)
{
    for (size_t at = 0; at < report->hand_count; at++) {
        const struct label_hand *hand = &report->hands[at];
        if (name->level == NAME_SECTION && name->half == HALF_NONE)
            text_addf(out, "%s: ", hand->thing);
        add_verdict(out, hand);
        add_twin(out, hand);
        text_add(out, hand->is_recorded ? "\n" : "; the registry has no record that this label was printed\n");
    }
}
