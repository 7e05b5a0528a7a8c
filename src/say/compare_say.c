/* SPDX-License-Identifier: MIT */
/* What differs between two states, in columns. */
#include "coretally/say/compare_say.h"

#include <string.h>

static const char *const item_words[COMPARE_ITEM_COUNT] = {
    [REACH_CORES] = "cores",
    [REACH_SECTIONS] = "sections",
    [REACH_SAMPLES] = "samples",
    [REACH_BAGS] = "bags",
    [COMPARE_CORRECTIONS] = "corrections",
    [COMPARE_HOLE] = "hole",
    [COMPARE_DRILLED] = "drilled intervals",
    [COMPARE_WELL] = "states of the well",
    [COMPARE_PUMPS] = "pumps",
    [COMPARE_CHECKS] = "lag checks",
    [COMPARE_LOG] = "days of the pump log",
    [COMPARE_EXPEDITION] = "expedition",
};

static const char *const became_words[] = {
    [COMPARE_STAYS] = "",
    [COMPARE_ADDED] = "added",
    [COMPARE_BROUGHT_BACK] = "brought back",
    [COMPARE_WITHDRAWN] = "withdrawn",
    [COMPARE_NOT_THERE] = "not there",
    [COMPARE_RENAMED] = "renamed",
    [COMPARE_AMENDED] = "amended",
};

void compare_columns(const struct run *run, struct column out[COMPARE_COLUMNS])
{
    const char *unit = run_unit(run);
    const struct column columns[COMPARE_COLUMNS] = {
        {"hole", NULL, false},  {"what", NULL, false},    {"scale", NULL, false},    {"moved", NULL, true},
        {"least", unit, true},  {"greatest", unit, true}, {"mean", unit, true},      {"lost", NULL, true},
        {"found", NULL, true},  {"added", NULL, true},    {"withdrawn", NULL, true}, {"amended", NULL, true},
        {"renamed", NULL, true}};
    memcpy(out, columns, sizeof columns);
}

static enum status add_row(struct sheet *sheet, const struct compare_row *row, struct err *err)
{
    const struct reach_count *moved = &row->moved;
    const bool has_depth = row->what <= REACH_BAGS;
    const struct cell cells[COMPARE_COLUMNS] = {cell_text(row->hole),
                                                cell_text(item_words[row->what]),
                                                cell_text(row->scale),
                                                has_depth ? cell_count(moved->moved) : cell_nothing(),
                                                cell_shift(moved->moved ? moved->least_um : LENGTH_NONE, 3),
                                                cell_shift(moved->moved ? moved->greatest_um : LENGTH_NONE, 3),
                                                cell_shift(reach_mean(moved), 3),
                                                has_depth ? cell_count(moved->lost) : cell_nothing(),
                                                has_depth ? cell_count(moved->found) : cell_nothing(),
                                                cell_count(row->changes.added),
                                                cell_count(row->changes.withdrawn),
                                                cell_count(row->changes.amended),
                                                cell_count(row->changes.renamed)};
    return sheet_add_row(sheet, cells, err);
}

enum status compare_rows_add(struct sheet *sheet, const struct compare_rows *rows, struct err *err)
{
    for (size_t at = 0; at < rows->count; at++)
        TRY(add_row(sheet, &rows->items[at], err));
    return STATUS_OK;
}

void compare_each_init(const struct run *run, struct compare_each *out)
{
    const char *unit = run_unit(run);
    const struct column columns[COMPARE_EACH_COLUMNS] = {
        {"hole", NULL, false},  {"what", NULL, false}, {"name", NULL, false}, {"change", NULL, false},
        {"scale", NULL, false}, {"from", unit, true},  {"to", unit, true},    {"moved", unit, true}};
    memcpy(out->columns, columns, sizeof columns);
    sheet_init(&out->sheet, run->state->arena, out->columns, COMPARE_EACH_COLUMNS);
}

/* "renamed, was 901-U0012A-9R; moved" */
static void say_change(const struct compare_change *change, struct text *out)
{
    text_add(out, became_words[change->became]);
    if (change->former)
        text_addf(out, ", was %s", change->former);
    if (change->is_moved)
        text_addf(out, "%s%s", out->len ? "; " : "",
                  change->um[1] == LENGTH_NONE   ? "no depth any more"
                  : change->um[0] == LENGTH_NONE ? "has a depth now"
                                                 : "moved");
}

enum status compare_each_add(void *context, const struct compare_change *change, struct err *err)
{
    struct compare_each *each = context;
    struct text text;
    struct bytes bytes;
    const bool both = change->um[0] != LENGTH_NONE && change->um[1] != LENGTH_NONE;
    text_init(&text, each->sheet.arena);
    say_change(change, &text);
    TRY(text_done(&text, &bytes, err));
    const struct cell cells[COMPARE_EACH_COLUMNS] = {
        cell_text(change->hole),       cell_text(item_words[change->what]),
        cell_text(change->name),       cell_text(bytes.data),
        cell_text(change->scale),      cell_length(change->um[0], 3),
        cell_length(change->um[1], 3), cell_shift(both ? change->um[1] - change->um[0] : LENGTH_NONE, 3)};
    return sheet_add_row(&each->sheet, cells, err);
}

enum status compare_typed(struct run *run, const char *const typed[2], const struct compare_asked *asked,
                          struct compare_rows *out, char ids[2][COMMIT_ID_MAX], struct err *err)
{
    struct store *stores[2] = {NULL, NULL};
    struct state states[2];
    struct state *const both[] = {&states[0], &states[1]};
    enum status status = STATUS_OK;
    for (int side = 0; status == STATUS_OK && side < 2; side++) {
        status = run_open_beside(run, typed[side], &stores[side], err);
        if (status != STATUS_OK)
            break;
        (void)snprintf(ids[side], COMMIT_ID_MAX, "%s", store_state(stores[side]));
        state_at(run->state, stores[side], &states[side]);
    }
    if (status == STATUS_OK)
        status = compare_states(both, asked, out, err);
    store_close(stores[0]);
    store_close(stores[1]);
    return status;
}
