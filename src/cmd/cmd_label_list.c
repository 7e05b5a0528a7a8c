/* SPDX-License-Identifier: MIT */
/* Labels that were printed, and whether they still show the depth of today. */
#include <string.h>

#include "coretally/say/label_say.h"

static enum status run_label_list(struct run *run, struct err *err);

static const struct option list_options[] = {
    {"stale", NULL, "only labels that no longer show depth and name of today, or whose thing no longer stands"},
    {"every", NULL, "earlier copies, too"},
    {"what", "KINDS", "only these: core, section, sample, bag; by ','"},
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};

const struct command label_list_command = {
    .words = "label list",
    .arguments = "[NAME...]",
    .purpose = "labels printed of a hole, a core or everything: depth as printed and as of today, and which are stale",
    .example = "label list U0012A --stale",
    .detail =
        "A label is stale when a depth, the name or the hazard that it shows is no longer what it would show today, on "
        "its own\nscale and to its own decimals. Of several copies the newest counts; --every shows the earlier ones.",
    .use = USE_READING,
    .on = ON_STATE,
    .options = list_options,
    .least = 0,
    .most = 1000,
    .run = run_label_list,
};

struct listing {
    const struct label_scope *scope;
    bool is_stale; /* only these */
    bool is_every; /* earlier copies, too */
    struct sheet *sheet;
    size_t stale;
    size_t gone;
};

static enum status add_label(struct state *state, const struct things *things, const struct held_label *held,
                             struct listing *listing, struct err *err)
{
    const struct label *label = held->label;
    struct label_now now;
    char symbol[SYMBOL_TEXT_MAX];
    TRY(label_hold(state, things, &things->items[held->thing], label, &now, err));
    listing->stale += held->is_newest && now.freshness == LABEL_STALE;
    listing->gone += held->is_newest && now.freshness == LABEL_GONE;
    if (listing->is_stale && now.freshness == LABEL_FRESH)
        return STATUS_OK;
    const int decimals = label_decimals(label->scale);
    const bool both = now.top_um != LENGTH_NONE && label->top_um != LENGTH_NONE;
    int64_t moved_um = LENGTH_NONE;
    if (both)
        moved_um = now.top_um != label->top_um ? now.top_um - label->top_um : now.bottom_um - label->bottom_um;
    label_symbol(label, symbol);
    const struct cell cells[] = {cell_text(label->name),
                                 cell_number(label_copy(label)),
                                 cell_instant(label->printed),
                                 cell_text(label->scale),
                                 cell_length(label->top_um, decimals),
                                 cell_length(label->bottom_um, decimals),
                                 cell_length(now.top_um, decimals),
                                 cell_length(now.bottom_um, decimals),
                                 cell_length(moved_um, decimals),
                                 cell_cut(label->state, LABEL_STATE_DIGITS),
                                 cell_text(label->layout),
                                 cell_text(held->is_newest ? freshness_words[now.freshness] : "earlier copy"),
                                 cell_text(now.why),
                                 cell_text(symbol)};
    return sheet_add_row(listing->sheet, cells, err);
}

static enum status visit_labels(struct state *state, void *context, struct things *things, struct err *err)
{
    struct listing *listing = context;
    for (size_t at = 0; at < things->count; at++) /* thing by thing, however often one was printed */
        for (size_t label = 0; things->items[at].copies && label < things->held_count; label++)
            if (things->held[label].thing == at && (listing->is_every || things->held[label].is_newest) &&
                label_scope_has(listing->scope, &things->items[at]))
                TRY(add_label(state, things, &things->held[label], listing, err));
    return STATUS_OK;
}

static enum status run_label_list(struct run *run, struct err *err)
{
    const char *unit = run_unit(run);
    const struct column columns[] = {{"name", NULL, false},   {"copy", NULL, true},       {"printed", NULL, false},
                                     {"scale", NULL, false},  {"top", unit, true},        {"bottom", unit, true},
                                     {"top now", unit, true}, {"bottom now", unit, true}, {"moved", unit, true},
                                     {"state", NULL, false},  {"layout", NULL, false},    {"is", NULL, false},
                                     {"note", NULL, false},   {"symbol", NULL, false}};
    struct sheet sheet;
    struct listing listing = {
        .is_stale = run_option(run, "stale") != NULL, .is_every = run_option(run, "every") != NULL, .sheet = &sheet};
    struct label_asked asked;
    TRY(label_asked_read(run, &asked, err));
    const size_t count = sizeof columns / sizeof columns[0];
    sheet_init(&sheet, run->state->arena, columns,
               run->format == SHEET_PEOPLE ? count - 1 : count); /* symbols: for programs */
    for (size_t at = 0; at == 0 || at < run->arg_count; at++) {
        struct label_scope scope;
        TRY(label_scope_of(run->state, &asked, run->arg_count ? run->args[at] : NULL, &scope, err));
        scope.is_below = true;
        scope.is_labelled = true;
        listing.scope = &scope;
        TRY(label_walk(run->state, &scope, visit_labels, &listing, err));
    }
    TRY(run_print_sheet(run, &sheet, err));
    if (listing.stale)
        (void)fprintf(run->talk, "%zu stale; to print them anew: coretally label print%s%s --stale\n", listing.stale,
                      run->arg_count ? " " : "",
                      run->arg_count == 1 ? run->args[0]
                      : run->arg_count    ? "NAMES"
                                          : "");
    if (listing.gone)
        (void)fprintf(run->talk,
                      "%zu for what no longer stands or has another name now: take these labels off; for the new "
                      "names: coretally label print --new\n",
                      listing.gone);
    return STATUS_OK;
}
