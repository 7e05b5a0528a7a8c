/* SPDX-License-Identifier: MIT */
/* The label in the hand against the registry of today. */
#include "label_trace.h"

#include <string.h>

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

struct looking {
    const struct label_scope *scope;
    const struct label_text *scanned;
    struct label_report *report;
    struct text verdict; /* a line a thing */
    /* The first stale label in hand: what happened since is told of it. */
    bool is_stale;
    char name[NAME_TEXT_MAX];
    char scale[LABEL_SCALE_MAX];
    char state[COMMIT_ID_MAX];
    struct instant printed;
};

static bool is_scanned(const struct label_text *scanned, const struct label *label)
{
    return scanned->is_symbol && strncmp(scanned->state, label->state, LABEL_STATE_DIGITS) == 0 &&
           scanned->copy == label_copy(label) && scanned->top_um == label->top_um &&
           scanned->bottom_um == label->bottom_um && strcmp(scanned->scale, label->scale) == 0;
}

static enum status add_row(struct looking *looking, const struct label *label, const struct label_now *now,
                           struct err *err)
{
    char printed[INSTANT_TEXT_MAX];
    char copy[16];
    char state[LABEL_STATE_DIGITS + 1];
    char shows[LABEL_DEPTH_MAX];
    char is[40];
    (void)snprintf(copy, sizeof copy, "%d", label_copy(label));
    (void)snprintf(state, sizeof state, "%.*s", LABEL_STATE_DIGITS, label->state);
    (void)snprintf(is, sizeof is, "%s%s", freshness_words[now->freshness],
                   is_scanned(looking->scanned, label) ? ", the one in hand" : "");
    label_depth_text(label->top_um, label->bottom_um, label_decimals(label->scale), shows);
    instant_format(label->printed, printed);
    const char *cells[] = {label->name, copy, printed, shows, label->scale, state, label->layout, is};
    return sheet_add(&looking->report->labels, cells, err);
}

/* What a label shows against what it should show; fresh: a copy on its scale that does, or NULL. */
static void add_verdict(struct text *out, const struct label *label, const struct label_now *now,
                        const struct label *fresh)
{
    const int decimals = label_decimals(label->scale);
    char shows[LABEL_DEPTH_MAX];
    char today[LABEL_DEPTH_MAX];
    label_depth_text(label->top_um, label->bottom_um, decimals, shows);
    label_depth_text(now->top_um, now->bottom_um, decimals, today);
    const bool is_known = label->top_um != LENGTH_NONE;
    if (now->freshness == LABEL_GONE) {
        text_addf(out, "label of something that is no more: %s", now->why);
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
    if (fresh)
        text_addf(out, "; copy %d shows that: take this one off", label_copy(fresh));
}

static void remember_stale(struct looking *looking, const char *name, const struct label *label)
{
    if (looking->is_stale)
        return;
    looking->is_stale = true;
    looking->printed = label->printed;
    (void)snprintf(looking->name, sizeof looking->name, "%s", name);
    (void)snprintf(looking->scale, sizeof looking->scale, "%s", label->scale);
    (void)snprintf(looking->state, sizeof looking->state, "%s", label->state);
}

/* The label in hand: the scanned one, recorded or not; else a stale one among the newest; else the newest. */
struct hand {
    struct label label;
    bool is_set;
    bool is_recorded;
    struct label_now now;
};

static enum status look_at_labels(struct state *state, struct looking *looking, const struct things *things,
                                  size_t thing, struct hand *hand, struct err *err)
{
    for (size_t at = 0; at < things->labels.label_count; at++) {
        const struct held_label *held = &things->held[at];
        struct label_now now;
        if (held->thing != thing)
            continue;
        TRY(label_hold(state, things, &things->items[thing], held->label, &now, err));
        TRY(add_row(looking, held->label, &now, err));
        const bool is_worse = !hand->is_set || hand->now.freshness == LABEL_FRESH || now.freshness == LABEL_STALE;
        if (looking->scanned->is_symbol ? is_scanned(looking->scanned, held->label) : held->is_newest && is_worse)
            *hand = (struct hand){*held->label, true, true, now};
    }
    return STATUS_OK;
}

/* Scanned, and not among those recorded. */
static enum status take_scanned(struct state *state, const struct label_text *scanned, const struct things *things,
                                size_t thing, struct hand *hand, struct err *err)
{
    if (scale_find(scanned->scale) == SCALE_COUNT) {
        err_set(err, STATUS_INPUT, scanned->scale, "this label shows a depth on a scale that is not kept here");
        return err_hint(err, "it may be of a newer program; type the name alone");
    }
    const char *name = NULL; /* as it stands on it */
    struct name parsed;
    struct err unread;
    char compact[NAME_TEXT_MAX];
    TRY(arena_copy(state->arena, things->items[thing].name, strlen(things->items[thing].name), &name, err));
    if (name_parse(scanned->name, &parsed, &unread) == STATUS_OK) {
        if (!*parsed.expedition)
            (void)snprintf(parsed.expedition, sizeof parsed.expedition, "%s", state->expedition.number);
        name_format(&parsed, NAME_COMPACT, compact);
        TRY(arena_copy(state->arena, compact, strlen(compact), &name, err));
    }
    hand->label = (struct label){.name = name,
                                 .scale = scanned->scale,
                                 .state = scanned->state,
                                 .top_um = scanned->top_um,
                                 .bottom_um = scanned->bottom_um,
                                 .copy = scanned->copy > 1 ? scanned->copy : 0};
    hand->is_set = true;
    return label_hold(state, things, &things->items[thing], &hand->label, &hand->now, err);
}

/* *out NULL: none does. */
static enum status find_fresh(struct state *state, const struct things *things, size_t thing, const struct label *hand,
                              const struct label **out, struct err *err)
{
    *out = NULL;
    for (size_t at = 0; at < things->labels.label_count; at++) {
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
    struct hand hand = {.is_set = false};
    const struct label *fresh = NULL;
    TRY(look_at_labels(state, looking, things, thing, &hand, err));
    if (!hand.is_set && looking->scanned->is_symbol)
        TRY(take_scanned(state, looking->scanned, things, thing, &hand, err));
    if (!hand.is_set)
        return STATUS_OK;
    struct text line;
    struct bytes bytes = {0};
    text_init(&line, state->arena);
    if (hand.now.freshness == LABEL_STALE)
        TRY(find_fresh(state, things, thing, &hand.label, &fresh, err));
    add_verdict(&line, &hand.label, &hand.now, fresh);
    if (!hand.is_recorded)
        text_add(&line, "; the registry has no record that this label was printed");
    TRY(text_done(&line, &bytes, err));
    if (looking->scope->name.level == NAME_SECTION && looking->scope->name.half == HALF_NONE)
        text_addf(&looking->verdict, "%s: ", things->items[thing].name);
    text_addf(&looking->verdict, "%s\n", bytes.data);
    if (hand.now.freshness == LABEL_STALE)
        remember_stale(looking, things->items[thing].name, &hand.label);
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

enum status label_report(struct run *run, const char *typed, const struct name *name, struct label_report *out,
                         struct err *err)
{
    struct label_text scanned;
    struct label_scope scope = {.name = *name, .kinds = {true, true, true, true}, .scale = SCALE_COUNT};
    struct looking looking = {.scope = &scope, .scanned = &scanned, .report = out};
    struct bytes bytes = {0};
    *out = (struct label_report){.verdict = NULL};
    sheet_init(&out->labels, run->state->arena, label_columns, sizeof label_columns / sizeof label_columns[0]);
    sheet_init(&out->since, run->state->arena, since_columns, sizeof since_columns / sizeof since_columns[0]);
    text_init(&looking.verdict, run->state->arena);
    TRY(label_text_read(typed, &scanned, err));
    TRY(label_walk(run->state, &scope, visit_things, &looking, err));
    TRY(text_done(&looking.verdict, &bytes, err));
    out->verdict = bytes.len ? bytes.data : NULL;
    out->is_stale = looking.is_stale;
    if (!out->is_stale)
        return STATUS_OK;
    return label_since(run, looking.state, looking.printed, looking.name, scale_find(looking.scale), &out->since, err);
}
