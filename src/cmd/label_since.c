/* SPDX-License-Identifier: MIT */
/* The acts between a label and today, as history tells them. */
#include "label_since.h"

#include "coretally/store/walk.h"
#include "past_walk.h"

static enum status add_row(struct run *run, void *context, const struct past_step *step, struct err *err)
{
    struct sheet *const rows = context;
    const struct moment *newer = step->newer;
    const struct moment *older = step->older;
    const bool both = newer->top_um != LENGTH_NONE && older->top_um != LENGTH_NONE;
    const int64_t top_um = both ? newer->top_um - older->top_um : LENGTH_NONE;
    const bool is_end = both && !top_um && newer->bottom_um != LENGTH_NONE && older->bottom_um != LENGTH_NONE;
    char when[INSTANT_TEXT_MAX];
    char id[16];
    (void)run;
    instant_format(step->commit->when, when);
    (void)snprintf(id, sizeof id, "%.10s", step->commit->id);
    const int64_t moved_um = is_end ? newer->bottom_um - older->bottom_um : top_um; /* its lower end alone */
    const struct length_text moved = length_text(moved_um, UNIT_M, 3);
    const char *cells[SINCE_COLUMNS] = {
        step->cause, moved_um == LENGTH_NONE ? NULL : moved.text, id, step->commit->author, when, step->commit->reason};
    return sheet_add(rows, cells, err);
}

/* Is the state part of this history? Another clone's that was rebased is not. */
static enum status has_state(struct run *run, const char *state, bool *out, struct err *err)
{
    struct store *beside = NULL;
    struct err absent = {0};
    *out = false;
    TRY(store_open_beside(run->store, NULL, &beside, err));
    enum status status = STATUS_OK;
    if (store_stand_at(beside, state, &absent) == STATUS_OK)
        status = store_descends(run->store, store_state(beside), out, err);
    store_close(beside);
    return status;
}

enum status label_since(struct run *run, const char *state, struct instant printed, const char *name, enum scale scale,
                        struct sheet *out, struct err *err)
{
    struct past past;
    struct sheet rows;
    bool is_known = false;
    TRY(has_state(run, state, &is_known, err));
    if (!is_known) {
        (void)fprintf(run->talk,
                      "note: state %.10s of the label is not in this history: printed in a clone before a rebase, or "
                      "after your last pull%s\n",
                      state, printed.known ? "; told is what came after the time of printing" : "");
        if (!printed.known)
            return STATUS_OK;
    }
    TRY(past_open(run, name, &past, err));
    past.scale = scale;
    sheet_init(&rows, run->arena, out->columns, SINCE_COLUMNS);
    TRY(past_walk(run, &past, is_known ? state : NULL, is_known ? INT64_MIN : printed.utc_us, add_row, &rows, err));
    for (size_t at = rows.row_count; at-- > 0;)
        TRY(sheet_add(out, rows.cells + at * SINCE_COLUMNS, err));
    return STATUS_OK;
}
