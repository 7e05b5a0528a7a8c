/* SPDX-License-Identifier: MIT */
/* Corrections as rows: what, by how much, over what, in force or not, by whom, signed by whom, and what each moves. */
#include "correction_rows.h"

#include <string.h>

#include "coretally/state/correction_text.h"
#include "coretally/state/origin.h"
#include "correction_say.h"
#include "reach.h"

enum status correction_find(struct run *run, struct correction_roll *roll, struct correction **out, struct err *err)
{
    struct correction wanted;
    record_init(&correction_table, &wanted);
    TRY(correction_roll_open(run->state, run->args[0], roll, err));
    TRY(run_set(run->state, &correction_table, "number", run->args[1], INT_NONE, &wanted, err));
    *out = correction_roll_find(roll, wanted.number);
    if (*out)
        return STATUS_OK;
    err_set(err, STATUS_UNKNOWN, run->args[1], "hole %s has no correction of this number", roll->target.hole_name);
    return err_hint(err, "they are listed by: coretally correction list %s", roll->target.hole_name);
}

enum { PLAIN_COLUMNS = 9 };

size_t correction_columns(const struct run *run, const struct correction_asked *asked,
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
struct reach_cells {
    char counts[REACH_ITEM_COUNT][24];
    struct length_text least;
    struct length_text greatest;
};

static void fill_cells(const struct run *run, const struct reach_part *part, struct reach_cells *out)
{
    int64_t least_um = LENGTH_NONE;
    int64_t greatest_um = LENGTH_NONE;
    for (int item = 0; item < REACH_ITEM_COUNT; item++) {
        const struct reach_count *count = &part->reach.counts[item];
        const bool is_asked = item == REACH_BAGS ? part->reach.has_bags : part->reach.has_cores;
        (void)snprintf(out->counts[item], sizeof out->counts[item], is_asked ? "%zu" : "", count->moved);
        if (count->moved && (least_um == LENGTH_NONE || count->least_um < least_um))
            least_um = count->least_um;
        if (count->moved && (greatest_um == LENGTH_NONE || count->greatest_um > greatest_um))
            greatest_um = count->greatest_um;
    }
    out->least = reach_signed(run, least_um);
    out->greatest = reach_signed(run, greatest_um);
}

/* The first row has everything, those of sidetracks the number and what moves there. */
static enum status add_reach_rows(struct run *run, const struct correction_roll *roll, struct correction *it,
                                  const char **cells, struct sheet *sheet, struct err *err)
{
    struct hole without;
    struct reach_part *parts = NULL;
    size_t count = 0;
    cells[PLAIN_COLUMNS] = roll->target.hole_name;
    if (!correction_in_force(&roll->target.hole, it->number))
        return sheet_add(sheet, cells, err);
    TRY(hole_without(run->state, roll, it, &without, err));
    TRY(reach_holes(run, &roll->target, &without, &roll->target.hole, it->kind, &parts, &count, err));
    for (size_t at = 0; at < count; at++) {
        struct reach_cells own;
        const char *further[CORRECTION_COLUMNS_MAX] = {cells[0], cells[1]};
        const char **row = at ? further : cells;
        if (at && reach_is_empty(&parts[at].reach))
            continue;
        fill_cells(run, &parts[at], &own);
        row[PLAIN_COLUMNS] = parts[at].hole;
        row[PLAIN_COLUMNS + 1] = scale_words[parts[at].reach.scale];
        for (int item = 0; item < REACH_ITEM_COUNT; item++)
            row[PLAIN_COLUMNS + 2 + item] = own.counts[item];
        row[PLAIN_COLUMNS + 6] = own.least.text;
        row[PLAIN_COLUMNS + 7] = own.greatest.text;
        TRY(sheet_add(sheet, row, err));
    }
    return STATUS_OK;
}

static enum status add_row(struct run *run, const struct correction_roll *roll, struct correction *it,
                           const struct correction_asked *asked, struct sheet *sheet, size_t *waiting, struct err *err)
{
    const char *cells[CORRECTION_COLUMNS_MAX] = {NULL};
    const struct record_at at = record_of_correction(roll->target.hole_name, it);
    char number[16];
    char id[16];
    struct signed_all by;
    struct commit commit = {0};
    TRY(signed_find(run->state, it, &by, err));
    TRY(signed_text(run->state, it, &by, &cells[7], err));
    const bool waits = !by.standing && correction_in_force(&roll->target.hole, it->number);
    *waiting += waits;
    if (asked->unsigned_only && !waits)
        return STATUS_OK;
    TRY(correction_words_of(run->state, it, correction_add_amount, &cells[2], err));
    TRY(correction_words_of(run->state, it, correction_add_range, &cells[3], err));
    TRY(correction_state_text(run->state, roll, it, &cells[4], err));
    TRY(origin_find(run->state, &at, NULL, &commit, err));
    (void)snprintf(number, sizeof number, "%d", (int)it->number);
    (void)snprintf(id, sizeof id, "%.10s", commit.id);
    cells[0] = number;
    cells[1] = correction_words[it->kind];
    cells[5] = id;
    cells[6] = commit.author;
    cells[8] = it->reason;
    if (!asked->with_reach) {
        TRY(correction_words_of(run->state, it, correction_add_why, &cells[8], err));
        return sheet_add(sheet, cells, err);
    }
    cells[PLAIN_COLUMNS + 8] = it->evidence;
    cells[PLAIN_COLUMNS + 9] = it->evidence_name;
    cells[PLAIN_COLUMNS + 10] = it->evidence_file;
    return add_reach_rows(run, roll, it, cells, sheet, err);
}

enum status correction_rows_add(struct run *run, const struct correction_roll *roll,
                                const struct correction_asked *asked, struct sheet *sheet, size_t *waiting,
                                struct err *err)
{
    *waiting = 0;
    for (size_t at = 0; at < roll->count; at++)
        TRY(add_row(run, roll, &roll->all[at], asked, sheet, waiting, err));
    return STATUS_OK;
}
