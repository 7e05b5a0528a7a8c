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
    const struct column reach[] = {{"hole", NULL, false},    {"scale", NULL, false},   {"cores", NULL, true},
                                   {"sections", NULL, true}, {"samples", NULL, true},  {"bags", NULL, true},
                                   {"least", unit, true},    {"greatest", unit, true}, {"evidence", NULL, false},
                                   {"file", NULL, false},    {"hash", NULL, false}};
    memcpy(out, plain, sizeof plain);
    if (!asked->with_reach)
        return PLAIN_COLUMNS;
    memcpy(out + PLAIN_COLUMNS, reach, sizeof reach);
    return PLAIN_COLUMNS + sizeof reach / sizeof reach[0];
}

/* What moved in one hole, into the cells behind the plain ones. */
static void fill_cells(const struct reach_part *part, struct cell *out)
{
    int64_t least_um = LENGTH_NONE;
    int64_t greatest_um = LENGTH_NONE;
    *out++ = cell_text(part->target.hole_name);
    *out++ = cell_text(scale_words[part->reach.scale]);
    for (int item = 0; item < REACH_ITEM_COUNT; item++) {
        const struct reach_count *count = &part->reach.counts[item];
        const bool is_asked = item == REACH_BAGS ? part->reach.has_bags : part->reach.has_cores;
        *out++ = is_asked ? cell_count(count->moved) : cell_nothing();
        if (count->moved && (least_um == LENGTH_NONE || count->least_um < least_um))
            least_um = count->least_um;
        if (count->moved && (greatest_um == LENGTH_NONE || count->greatest_um > greatest_um))
            greatest_um = count->greatest_um;
    }
    *out++ = cell_shift(least_um, 3);
    *out = cell_shift(greatest_um, 3);
}

/* The first row has everything, those of sidetracks the number and what moves there. */
static enum status add_reach_rows(const struct corrections *all, const struct correction_facts *facts,
                                  struct cell *cells, struct sheet *sheet, struct err *err)
{
    cells[PLAIN_COLUMNS] = cell_text(all->roll->target.hole_name);
    if (!facts->in_force)
        return sheet_add_row(sheet, cells, err);
    for (size_t at = 0; at < facts->part_count; at++) {
        const struct reach_part *part = all->parts.items[facts->first_part + at];
        struct cell further[CORRECTION_COLUMNS_MAX] = {cells[0], cells[1]}; /* nothing is all zero */
        struct cell *row = at ? further : cells;
        if (at && reach_is_empty(&part->reach))
            continue;
        fill_cells(part, row + PLAIN_COLUMNS);
        TRY(sheet_add_row(sheet, row, err));
    }
    return STATUS_OK;
}

static enum status add_row(struct state *state, const struct corrections *all, const struct correction_facts *facts,
                           struct sheet *sheet, struct err *err)
{
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
    cells[PLAIN_COLUMNS + 8] = cell_text(it->evidence);
    cells[PLAIN_COLUMNS + 9] = cell_text(it->evidence_name);
    cells[PLAIN_COLUMNS + 10] = cell_text(it->evidence_file);
    return add_reach_rows(all, facts, cells, sheet, err);
}

enum status correction_rows_add(struct state *state, const struct corrections *all, struct sheet *sheet,
                                struct err *err)
{
    for (size_t at = 0; at < all->count; at++)
        TRY(add_row(state, all, &all->items[at], sheet, err));
    return STATUS_OK;
}
