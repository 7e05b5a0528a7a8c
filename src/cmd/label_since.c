/* SPDX-License-Identifier: MIT */
/* The acts between a label and today, as history tells them. */
#include "label_since.h"

#include "coretally/store/walk.h"
#include "past_walk.h"

static enum status add_row(struct state *state, void *context, const struct past_step *step, struct err *err)
{
    struct sheet *const rows = context;
    const struct moment *newer = step->newer;
    const struct moment *older = step->older;
    const bool both = newer->top_um != LENGTH_NONE && older->top_um != LENGTH_NONE;
    const int64_t top_um = both ? newer->top_um - older->top_um : LENGTH_NONE;
    const bool is_end = both && !top_um && newer->bottom_um != LENGTH_NONE && older->bottom_um != LENGTH_NONE;
    char when[INSTANT_TEXT_MAX];
    char id[16];
    (void)state;
    instant_format(step->commit->when, when);
    (void)snprintf(id, sizeof id, "%.10s", step->commit->id);
    const int64_t moved_um = is_end ? newer->bottom_um - older->bottom_um : top_um; /* its lower end alone */
    const struct length_text moved = length_text(moved_um, UNIT_M, 3);
    const char *cells[SINCE_COLUMNS] = {
        step->cause, moved_um == LENGTH_NONE ? NULL : moved.text, id, step->commit->author, when, step->commit->reason};
    return sheet_add(rows, cells, err);
}

/* The commit of a state, "" where there is none. */
static enum status find_state(struct state *state, const char *since, char out[COMMIT_ID_MAX], struct err *err)
{
    struct store *beside = NULL;
    struct err why = {0};
    *out = '\0';
    TRY(store_open_beside(state->store, NULL, &beside, err));
    const enum status status = store_stand_at(beside, since, &why);
    if (status == STATUS_OK)
        (void)snprintf(out, COMMIT_ID_MAX, "%s", store_state(beside));
    store_close(beside);
    if (status == STATUS_OK || status == STATUS_UNKNOWN)
        return STATUS_OK;
    *err = why;
    return status;
}

/* Is the state part of this history? Another clone's that was rebased is not. */
static enum status has_state(struct state *state, const char *since, bool *out, struct err *err)
{
    char id[COMMIT_ID_MAX];
    *out = false;
    TRY(find_state(state, since, id, err));
    return *id ? store_descends(state->store, id, out, err) : STATUS_OK;
}

/* The state of a time, as --as-of has it; "" before the first commit. */
static enum status find_time(struct state *state, struct instant time, char out[COMMIT_ID_MAX], struct err *err)
{
    char text[INSTANT_TEXT_MAX];
    instant_format(time, text);
    return find_state(state, text, out, err);
}

enum status label_since(struct run *run, const char *since, struct instant printed, const char *name, enum scale scale,
                        struct sheet *out, struct err *err)
{
    struct past past;
    struct sheet rows;
    bool is_known = false;
    char then[COMMIT_ID_MAX] = "";
    TRY(has_state(run->state, since, &is_known, err));
    if (!is_known) {
        (void)fprintf(run->talk,
                      "note: state %.10s of the label is not in this history: printed in a clone before a rebase, or "
                      "after your last pull%s\n",
                      since, printed.known ? "; told is what came after the time of printing" : "");
        if (!printed.known)
            return STATUS_OK;
        TRY(find_time(run->state, printed, then, err));
    }
    TRY(past_open(run, name, &past, err));
    past.scale = scale;
    sheet_init(&rows, run->state->arena, out->columns, SINCE_COLUMNS);
    TRY(past_walk(run->state, &past, is_known ? since : *then ? then : NULL, add_row, &rows, err));
    for (size_t at = rows.row_count; at-- > 0;)
        TRY(sheet_add(out, rows.cells + at * SINCE_COLUMNS, err));
    return STATUS_OK;
}
