/* SPDX-License-Identifier: MIT */
/* Lag checks as rows: measured, due, the effective diameter of the open hole, and who recorded them. */
#include "check_rows.h"

#include <math.h>
#include <string.h>

#include "numbered.h"

void check_columns(const struct run *run, struct column out[CHECK_COLUMNS])
{
    const struct column columns[CHECK_COLUMNS] = {{"number", NULL, true},
                                                  {"in", NULL, false},
                                                  {"seen", NULL, false},
                                                  {"tracer", NULL, false},
                                                  {"from MRF", run_unit(run), true},
                                                  {"up", "min", true},
                                                  {"due", "min", true},
                                                  {"open hole as recorded", "mm", true},
                                                  {"effective", "mm", true},
                                                  {"withdrawn", NULL, false},
                                                  {"commit", NULL, false},
                                                  {"by", NULL, false}};
    memcpy(out, columns, sizeof columns);
}

const struct lag_check_result *check_result(const struct lag_hole *hole, int32_t number)
{
    for (size_t at = 0; at < hole->measured_count; at++)
        if (hole->measured[at].number == number)
            return &hole->results[at];
    return NULL;
}

static enum status add_row(struct run *run, const struct lag_hole *hole, const struct lag_check *it,
                           struct sheet *sheet, struct err *err)
{
    const struct record_at at = record_of_numbered(hole->target->hole_name, &lag_check_set_table, it);
    struct commit commit = {0};
    TRY(origin_find(run->state, &at, NULL, &commit, err));
    const struct lag_check_result *result = it->withdrawn ? NULL : check_result(hole, it->number);
    const bool is_due = result && result->theory_us != INT64_MIN;
    const struct cell cells[] = {cell_number(it->number),
                                 cell_instant(it->in),
                                 cell_instant(it->seen),
                                 cell_text(it->tracer),
                                 cell_length(result ? result->hole_um : LENGTH_NONE, 2),
                                 cell_amount(result ? (double)(it->seen.utc_us - result->at_bit_us) / 6e7 : NAN, 2),
                                 cell_amount(is_due ? (double)(result->theory_us - result->at_bit_us) / 6e7 : NAN, 2),
                                 cell_amount(result ? result->nominal_m * 1000 : NAN, 1),
                                 cell_amount(result ? result->effective_m * 1000 : NAN, 1),
                                 cell_text(it->withdrawn),
                                 cell_commit(commit.id),
                                 cell_text(commit.author)};
    return sheet_add_row(sheet, cells, err);
}

enum status check_rows_add(struct run *run, const struct target *target, struct sheet *sheet, struct err *err)
{
    struct lag_hole hole;
    struct numbered_set set;
    enum status status = STATUS_OK;
    TRY(numbered_read(run->state, &lag_check_kind, target->hole_name, &set, err));
    if (!set.count)
        return STATUS_OK;
    TRY(lag_hole_try(run->state, target, &hole, err));
    if (hole.why)
        (void)fprintf(run->talk, "note: what they measure is not known: %s\n", hole.why);
    for (size_t at = 0; status == STATUS_OK && at < set.count; at++)
        status = add_row(run, &hole, numbered_item(&lag_check_kind, &set, at), sheet, err);
    lag_hole_close(&hole);
    return status;
}
