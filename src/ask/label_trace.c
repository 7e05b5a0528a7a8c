/* SPDX-License-Identifier: MIT */
/* The label in the hand against the registry of today. */
#include "coretally/ask/label_trace.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/state/namesake.h"

struct looking {
    const struct label_scope *scope;
    const struct label_text *scanned;
    struct label_report *report;
    size_t label_room;
    size_t hand_room;
};

static bool is_scanned(const struct label_text *scanned, const struct label *label)
{
    return scanned->is_symbol && strncmp(scanned->state, label->state, LABEL_STATE_DIGITS) == 0 &&
           scanned->copy == label_copy(label) && scanned->top_um == label->top_um &&
           scanned->bottom_um == label->bottom_um && strcmp(scanned->scale, label->scale) == 0;
}

static enum status add_label(struct state *state, struct looking *looking, const struct label *label,
                             const struct label_now *now, struct err *err)
{
    struct label_report *const report = looking->report;
    TRY(arena_grow(state->arena, &report->labels, report->label_count, &looking->label_room, sizeof *report->labels,
                   err));
    report->labels[report->label_count++] = (struct traced_label){label, *now, is_scanned(looking->scanned, label)};
    return STATUS_OK;
}

/* hand->thing is set where one of the labels is in the hand. */
static enum status look_at_labels(struct state *state, struct looking *looking, const struct things *things,
                                  size_t thing, struct label_hand *hand, struct err *err)
{
    for (size_t at = 0; at < things->held_count; at++) {
        const struct held_label *held = &things->held[at];
        struct label_now now;
        if (held->thing != thing)
            continue;
        TRY(label_hold(state, things, &things->items[thing], held->label, &now, err));
        TRY(add_label(state, looking, held->label, &now, err));
        const bool is_worse = !hand->thing || hand->now.freshness == LABEL_FRESH || now.freshness == LABEL_STALE;
        if (looking->scanned->is_symbol ? is_scanned(looking->scanned, held->label) : held->is_newest && is_worse) {
            const struct label *const twin = looking->scanned->is_symbol ? hand->recorded : NULL;
            *hand = (struct label_hand){.thing = things->items[thing].name,
                                        .label = *held->label,
                                        .is_recorded = true,
                                        .now = now,
                                        .recorded = held->label,
                                        .twin = twin};
        }
    }
    return STATUS_OK;
}

/* The name as it stands on a label that was scanned. */
static enum status read_scanned_name(struct state *state, const struct label_text *scanned, const char **out,
                                     struct err *err)
{
    struct name name;
    struct err unread;
    char compact[NAME_TEXT_MAX];
    if (name_parse(scanned->name, &name, &unread) != STATUS_OK)
        return STATUS_OK;
    if (!*name.expedition)
        (void)snprintf(name.expedition, sizeof name.expedition, "%s", state->expedition.number);
    name_format(&name, NAME_COMPACT, compact);
    return arena_copy(state->arena, compact, strlen(compact), out, err);
}

/* Scanned, and not among those recorded. */
static enum status take_scanned(struct state *state, const struct label_text *scanned, const struct things *things,
                                size_t thing, struct label_hand *hand, struct err *err)
{
    struct label label = {.name = things->items[thing].name,
                          .top_um = scanned->top_um,
                          .bottom_um = scanned->bottom_um,
                          .copy = scanned->copy > 1 ? scanned->copy : 0};
    if (scale_find(scanned->scale) == SCALE_COUNT) {
        err_set(err, STATUS_INPUT, scanned->scale, "this label shows a depth on a scale that is not kept here");
        return err_hint(err, "it may be of a newer program; type the name alone");
    }
    TRY(read_scanned_name(state, scanned, &label.name, err));
    TRY(arena_copy(state->arena, scanned->scale, strlen(scanned->scale), &label.scale, err));
    TRY(arena_copy(state->arena, scanned->state, strlen(scanned->state), &label.state, err));
    *hand = (struct label_hand){.thing = things->items[thing].name, .label = label};
    return label_hold(state, things, &things->items[thing], &hand->label, &hand->now, err);
}

/* *out NULL: none does. */
static enum status find_fresh(struct state *state, const struct things *things, size_t thing, const struct label *hand,
                              const struct label **out, struct err *err)
{
    *out = NULL;
    for (size_t at = 0; at < things->held_count; at++) {
        const struct held_label *held = &things->held[at];
        struct label_now now;
        if (held->thing != thing || strcmp(held->label->scale, hand->scale) != 0)
            continue;
        TRY(label_hold(state, things, &things->items[thing], held->label, &now, err));
        *out = !*out && now.freshness == LABEL_FRESH ? held->label : *out;
    }
    return STATUS_OK;
}

static enum status look_at_thing(struct state *state, struct looking *looking, const struct things *things,
                                 size_t thing, struct err *err)
{
    struct label_report *const report = looking->report;
    struct label_hand hand = {.thing = NULL};
    TRY(look_at_labels(state, looking, things, thing, &hand, err));
    if (!hand.thing && looking->scanned->is_symbol)
        TRY(take_scanned(state, looking->scanned, things, thing, &hand, err));
    if (!hand.thing)
        return STATUS_OK;
    if (hand.now.freshness == LABEL_STALE)
        TRY(find_fresh(state, things, thing, &hand.label, &hand.fresh, err));
    TRY(arena_grow(state->arena, &report->hands, report->hand_count, &looking->hand_room, sizeof hand, err));
    report->hands[report->hand_count++] = hand;
    return STATUS_OK;
}

static enum status visit_things(struct state *state, void *context, struct things *things, struct err *err)
{
    struct looking *looking = context;
    bool is_standing = false;
    for (size_t at = 0; at < things->count; at++) {
        if (!label_scope_has(looking->scope, &things->items[at]) ||
            (is_standing && things->items[at].kind == THING_GONE)) /* of another expedition, as damage left it */
            continue;
        is_standing = things->items[at].kind != THING_GONE;
        TRY(look_at_thing(state, looking, things, at, err));
    }
    return STATUS_OK;
}

/* The key that a sample has now; what is not recorded may have a label, too. */
static enum status name_sample_now(struct state *state, const char *typed, struct name *name, struct err *err)
{
    struct target target;
    struct namesake namesake;
    const struct sample *sample = NULL;
    struct err absent = {0};
    char key[SAMPLE_KEY_MAX];
    if (name->level != NAME_SAMPLE)
        return STATUS_OK;
    const enum status status = resolve_named(state, typed, name, NAME_CORE, &target, &absent);
    name_sample_key(name, key);
    if (status == STATUS_OK)
        TRY(namesake_find_sample(state, typed, &target, &sample, &namesake, err));
    if (sample &&
        ((sample->was && strchr(sample->was, '@')) || (namesake.is_certain && sample_may_differ(&target.samples, key))))
        name_set_sample(name, sample);
    if (!status_is_failure(status))
        return STATUS_OK;
    *err = absent;
    return status;
}

static void find_stale(struct label_report *report)
{
    for (size_t at = 0; at < report->hand_count && !report->stale; at++)
        if (report->hands[at].now.freshness == LABEL_STALE)
            report->stale = &report->hands[at];
}

/* What is said of one end, less the steps as they are shown. */
static int64_t find_rest(const struct since_acts *acts, int64_t shown_um, int64_t now_um, bool is_top, bool *has_gap)
{
    int64_t rest_um = now_um - shown_um;
    for (size_t at = 0; at < acts->count; at++) {
        const int64_t step_um = is_top ? acts->items[at].top_um : acts->items[at].bottom_um;
        if (step_um == LENGTH_NONE)
            *has_gap = true;
        else
            rest_um -= label_rounded(step_um, 3);
    }
    return rest_um;
}

static void find_rests(struct label_report *report)
{
    static const int64_t rounding_um = 20000; /* of two depths to the centimetre, and the steps */
    const struct label *label = &report->stale->label;
    const struct label_now *now = &report->stale->now;
    struct label_rest *rest = &report->rest;
    bool has_gap = false;
    if (label->top_um == LENGTH_NONE || now->top_um == LENGTH_NONE || !report->since.count)
        return;
    rest->top_um = find_rest(&report->since, label->top_um, now->top_um, true, &has_gap);
    rest->bottom_um = find_rest(&report->since, label->bottom_um, now->bottom_um, false, &has_gap);
    if (!rest->top_um && !rest->bottom_um)
        return;
    const bool is_small = llabs(rest->top_um) <= rounding_um && llabs(rest->bottom_um) <= rounding_um;
    rest->why = has_gap                   ? "while it had no depth"
                : is_small                ? "rounding of what is shown"
                : report->since.is_joined ? "acts of joined sides together"
                                          : "what the label showed was not the depth of its state";
}

enum status label_report(struct state *state, const char *typed, const struct name *name, struct label_report *out,
                         struct err *err)
{
    struct label_text scanned;
    struct label_scope scope = {.asked = {{true, true, true, true}, SCALE_COUNT}, .name = *name, .is_kept = true};
    struct label_report report = {.stale = NULL};
    struct looking looking = {.scope = &scope, .scanned = &scanned, .report = &report};
    TRY(label_text_read(typed, &scanned, err));
    TRY(name_sample_now(state, typed, &scope.name, err));
    TRY(label_walk(state, &scope, visit_things, &looking, err));
    find_stale(&report);
    *out = report;
    if (!report.stale)
        return STATUS_OK;
    const struct label *label = &report.stale->label;
    const struct since_asked since = {report.stale->thing, scale_find(label->scale), label->state, label->printed};
    TRY(label_since(state, &since, &out->since, err));
    find_rests(out);
    return STATUS_OK;
}
