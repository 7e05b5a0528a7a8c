/* SPDX-License-Identifier: MIT */
/* Corrections as rows: what, by how much, over what, in force or not, by whom, signed by whom, and what each moves. */
#include "coretally/say/correction_rows.h"

#include <string.h>

#include "coretally/state/correction_text.h"
#include "coretally/state/namesake.h"
#include "coretally/say/correction_say.h"
#include "coretally/say/reach_say.h"

enum status correction_find(struct run *run, struct correction_roll *roll, struct correction **out, struct err *err)
{
    struct correction wanted;
    record_init(&correction_table, &wanted);
    TRY(correction_roll_open(run->state, run->args[0], roll, err));
    TRY(run_set(run->state, &correction_table, "number", run->args[1], INT_NONE, &wanted, err));
    TRY(namesake_carry_number(run->state, &(struct minted_group){.hole = roll->target.hole_name}, "correction",
                              &wanted.number, err));
    *out = correction_roll_find(roll, wanted.number);
    if (*out)
        return STATUS_OK;
    err_set(err, STATUS_UNKNOWN, run->args[1], "hole %s has no correction of this number", roll->target.hole_name);
    return err_hint(err, "they are listed by: coretally correction list %s", roll->target.hole_name);
}

enum { PLAIN_COLUMNS = 9 };

size_t correction_columns(const struct run *run, const struct corrections_asked *asked,
                          struct column out[CORRECTION_COLUMNS_MAX])
{
    const char *unit = run_unit(run);
    const struct column plain[PLAIN_COLUMNS] = {
        {"number", NULL, true},  {"what", NULL, false},   {"amount", NULL, false},
        {"covers", NULL, false}, {"state", NULL, false},  {"commit", NULL, false},
        {"by", NULL, false},     {"signed", NULL, false}, {"reason", NULL, false}};
    const struct column reach[] = {
        {"hole", NULL, false},          {"scale", NULL, false},        {"cores", NULL, true},
        {"sections", NULL, true},       {"samples", NULL, true},       {"bags", NULL, true},
        {"least", unit, true},          {"greatest", unit, true},      {"evidence", NULL, false},
        {"file", NULL, false},          {"hash", NULL, false},         {"against", NULL, false},
        {"given a depth", NULL, false}, {"left without", NULL, false}, {reach_runs_word, NULL, true},
        {"made of", NULL, false}};
    memcpy(out, plain, sizeof plain);
    if (!asked->with_reach)
        return PLAIN_COLUMNS;
    memcpy(out + PLAIN_COLUMNS, reach, sizeof reach);
    return PLAIN_COLUMNS + sizeof reach / sizeof reach[0];
}

/* "3 cores, 22 sections": those that find a depth, or lose it; *out NULL: none. */
static enum status told_items(struct state *state, const struct reach *reach, bool is_found, const char **out,
                              struct err *err)
{
    struct text text;
    struct bytes bytes;
    *out = NULL;
    text_init(&text, state->arena);
    for (int item = 0; item < REACH_ITEM_COUNT; item++) {
        const size_t count = is_found ? reach->counts[item].found : reach->counts[item].lost;
        if (count)
            text_addf(&text, "%s%zu %.*s", text.len ? ", " : "", count, (int)strlen(reach_words[item]) - (count == 1),
                      reach_words[item]);
    }
    if (text.len) {
        TRY(text_done(&text, &bytes, err));
        *out = bytes.data;
    }
    return STATUS_OK;
}

enum {
    HOLE = PLAIN_COLUMNS,
    SCALE,
    ITEMS,
    LEAST = ITEMS + REACH_ITEM_COUNT,
    GREATEST,
    EVIDENCE,
    AGAINST = EVIDENCE + 3,
    FOUND,
    LOST,
    RUNS,
    MADE
};

static void widen(const struct reach_count *count, int64_t *least_um, int64_t *greatest_um)
{
    if (count->moved && (*least_um == LENGTH_NONE || count->least_um < *least_um))
        *least_um = count->least_um;
    if (count->moved && (*greatest_um == LENGTH_NONE || count->greatest_um > *greatest_um))
        *greatest_um = count->greatest_um;
}

/* What moved in one hole on one scale, into the cells behind the plain ones. */
static enum status fill_cells(struct run *run, const struct reach_part *part, const struct reach *reach,
                              struct cell *cells, struct err *err)
{
    int64_t least_um = LENGTH_NONE;
    int64_t greatest_um = LENGTH_NONE;
    const char *words[2] = {NULL, NULL};
    struct text made;
    struct bytes bytes = {0};
    cells[HOLE] = cell_text(part->target.hole_name);
    cells[SCALE] = cell_text(scale_words[reach->scale]);
    for (int item = 0; item < REACH_ITEM_COUNT; item++) {
        const bool is_asked = item == REACH_BAGS ? reach->has_bags : reach->has_cores;
        cells[ITEMS + item] = is_asked ? cell_count(reach->counts[item].moved) : cell_nothing();
        widen(&reach->counts[item], &least_um, &greatest_um);
    }
    widen(&reach->runs, &least_um, &greatest_um);
    cells[LEAST] = cell_shift(least_um, 3);
    cells[GREATEST] = cell_shift(greatest_um, 3);
    TRY(told_items(run->state, reach, true, &words[0], err));
    TRY(told_items(run->state, reach, false, &words[1], err));
    text_init(&made, run->state->arena);
    reach_made_add(run, part, &made);
    TRY(text_done(&made, &bytes, err));
    cells[AGAINST] = cell_text(part->against);
    cells[FOUND] = cell_text(words[0]);
    cells[LOST] = cell_text(words[1]);
    cells[RUNS] = cell_count(reach->runs.moved);
    cells[MADE] = cell_text(bytes.data);
    return STATUS_OK;
}

/* The first row has everything, further ones (sidetracks, another scale, against none) the number and what moves. */
static enum status add_reach_rows(struct run *run, const struct corrections *all, const struct correction_facts *facts,
                                  struct cell *cells, struct sheet *sheet, struct err *err)
{
    cells[HOLE] = cell_text(all->roll->target.hole_name);
    if (!facts->in_force)
        return sheet_add_row(sheet, cells, err);
    for (size_t at = 0; at < facts->part_count; at++) {
        const struct reach_part *part = all->parts.items[facts->first_part + at];
        struct cell further[CORRECTION_COLUMNS_MAX] = {cells[0], cells[1]}; /* nothing is all zero */
        struct cell *row = at ? further : cells;
        if (at && reach_is_empty(&part->reach) && strcmp(part->target.hole_name, all->roll->target.hole_name) != 0)
            continue;
        TRY(fill_cells(run, part, &part->reach, row, err));
        TRY(sheet_add_row(sheet, row, err));
        if (!part->has_also)
            continue;
        struct cell on_another[CORRECTION_COLUMNS_MAX] = {cells[0], cells[1]};
        TRY(fill_cells(run, part, &part->also, on_another, err));
        TRY(sheet_add_row(sheet, on_another, err));
    }
    return STATUS_OK;
}

static enum status add_row(struct run *run, const struct corrections *all, const struct correction_facts *facts,
                           struct sheet *sheet, struct err *err)
{
    struct state *state = run->state;
    const struct correction *it = facts->it;
    const char *words[3] = {NULL, NULL, NULL}; /* amount, covers, state */
    const char *why = it->reason;
    const char *by = NULL;
    TRY(correction_words_of(state, it, correction_add_amount, &words[0], err));
    TRY(correction_words_of(state, it, correction_add_range, &words[1], err));
    TRY(correction_state_text(state, all->roll, it, &words[2], err));
    TRY(signed_text(state, it, &facts->by, all->asked.with_reach, &by, err));
    if (!all->asked.with_reach)
        TRY(correction_words_of(state, it, correction_add_why, &why, err));
    struct cell cells[CORRECTION_COLUMNS_MAX] = {cell_number(it->number),
                                                 cell_text(correction_words[it->kind]),
                                                 cell_text(words[0]),
                                                 cell_text(words[1]),
                                                 cell_text(words[2]),
                                                 cell_commit(facts->commit.id),
                                                 cell_text(facts->commit.author),
                                                 cell_text(by),
                                                 cell_text(why)};
    if (!all->asked.with_reach)
        return sheet_add_row(sheet, cells, err);
    cells[EVIDENCE] = cell_text(it->evidence);
    cells[EVIDENCE + 1] = cell_text(it->evidence_name);
    cells[EVIDENCE + 2] = cell_text(it->evidence_file);
    return add_reach_rows(run, all, facts, cells, sheet, err);
}

enum status correction_rows_add(struct run *run, const struct corrections *all, struct sheet *sheet, struct err *err)
{
    for (size_t at = 0; at < all->count; at++)
        TRY(add_row(run, all, &all->items[at], sheet, err));
    return STATUS_OK;
}
