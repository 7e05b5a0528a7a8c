/* SPDX-License-Identifier: MIT */
/* Lag checks as rows: measured, due, the effective diameter of the open hole, and who recorded them. */
#include "coretally/say/check_rows.h"

#include <math.h>
#include <string.h>

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

/* "by Mira Tamm 0f3a9c21bd: never came up"; *out NULL: it stands. */
static enum status withdrawn_text(struct run *run, const struct lag_check_read *it, const char **out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    *out = NULL;
    if (!it->check->withdrawn)
        return STATUS_OK;
    text_init(&text, run->state->arena);
    text_addf(&text, "by %s %.10s: %s", it->withdrawn.author, it->withdrawn.id, it->check->withdrawn);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

enum status check_rows_add(struct run *run, const struct lag_checks *checks, struct sheet *sheet, struct err *err)
{
    if (checks->why)
        (void)fprintf(run->talk, "note: what they measure is not known: %s\n", checks->why);
    for (size_t at = 0; at < checks->count; at++) {
        const struct lag_check_read *it = &checks->items[at];
        const struct lag_check *check = it->check;
        const struct lag_check_result *result = it->is_measured ? &it->result : NULL;
        const char *withdrawn = NULL;
        const bool is_due = result && result->theory_us != INT64_MIN;
        TRY(withdrawn_text(run, it, &withdrawn, err));
        const struct cell cells[] = {
            cell_number(check->number),
            cell_instant(check->in),
            cell_instant(check->seen),
            cell_text(check->tracer),
            cell_length(result ? result->hole_um : LENGTH_NONE, 2),
            cell_amount(result ? (double)(check->seen.utc_us - result->at_bit_us) / 6e7 : NAN, 2),
            cell_amount(is_due ? (double)(result->theory_us - result->at_bit_us) / 6e7 : NAN, 2),
            cell_amount(result ? result->nominal_m * 1000 : NAN, 1),
            cell_amount(result ? result->effective_m * 1000 : NAN, 1),
            cell_text(withdrawn),
            cell_commit(it->source.id),
            cell_text(it->source.author)};
        TRY(sheet_add_row(sheet, cells, err));
    }
    return STATUS_OK;
}
