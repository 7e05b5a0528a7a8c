/* SPDX-License-Identifier: MIT */
/* Every change of the depth of one thing, from the act that recorded it to the present. */
#include <string.h>

#include "coretally/state/bag.h"
#include "coretally/ask/past_walk.h"
#include "coretally/run/command.h"
#include "coretally/state/span.h"

static enum status run_history(struct run *run, struct err *err);

static const struct option history_options_list[] = {
    {"scale", "SCALE", "CSF-A, CSF-B, CCSF, TVD, ...; default: CSF-A, and MSF for what came over the shaker"},
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};

const struct command history_command = {
    .words = "history",
    .arguments = "NAME",
    .purpose = "every change of a depth: when, who, what did it, from, to; the oldest first",
    .example = "history 'U0012A-12H-3W, 45-47 cm'",
    .detail =
        "A core, section, sample, place or bag. The depth is worked out anew at each act that touched what it rests "
        "on: hole,\n"
        "corrections, core, sample; for a sidetrack also those of its parent; for a bag the well, pumps, lag checks "
        "and pump\nlog. A sample that was renamed is followed under its earlier names. Where two registries were "
        "joined, "
        "each act is\nshown with the depth on its own side; 'joined' has no author, and stands where the depth of a "
        "side "
        "changed by it.",
    .use = USE_READING,
    .on = ON_STATE,
    .options = history_options_list,
    .least = 1,
    .most = 1,
    .run = run_history,
};

enum { HISTORY_COLUMNS = 12 };

static void list_columns(const struct run *run, struct column out[HISTORY_COLUMNS])
{
    const char *unit = run_unit(run);
    const struct column columns[HISTORY_COLUMNS] = {
        {"commit", NULL, false},      {"when", NULL, false},     {"who", NULL, false},   {"station", NULL, false},
        {"what did it", NULL, false}, {"top from", unit, true},  {"top to", unit, true}, {"moved", unit, true},
        {"bottom from", unit, true},  {"bottom to", unit, true}, {"note", NULL, false},  {"reason", NULL, false}};
    memcpy(out, columns, sizeof columns);
}

static enum status add_row(struct state *state, void *context, const struct past_step *step, struct err *err)
{
    struct sheet *const sheet = context; /* newest first */
    const struct moment *newer = step->newer;
    const struct moment *older = step->older;
    const bool both = newer->top_um != LENGTH_NONE && older->top_um != LENGTH_NONE;
    const struct commit *commit = step->commit;
    (void)state;
    const struct cell cells[HISTORY_COLUMNS] = {cell_commit(commit->id),
                                                cell_instant(commit->when),
                                                cell_text(step->is_join ? NULL : commit->author),
                                                cell_text(step->is_join ? NULL : commit->station),
                                                cell_text(step->cause),
                                                cell_length(older->top_um, 3),
                                                cell_length(newer->top_um, 3),
                                                cell_shift(both ? newer->top_um - older->top_um : LENGTH_NONE, 3),
                                                cell_length(older->bottom_um, 3),
                                                cell_length(newer->bottom_um, 3),
                                                cell_text(newer->withdrawn ? "withdrawn" : newer->why),
                                                cell_text(step->is_join ? NULL : commit->reason)};
    return sheet_add_row(sheet, cells, err);
}

/* Oldest first: it reads as a story, and its last line is today's depth. */
static enum status print_rows(struct run *run, const struct past *past, const struct sheet *rows, struct err *err)
{
    struct column columns[HISTORY_COLUMNS];
    struct sheet sheet;
    char name[NAME_TEXT_MAX];
    char state[STATE_WORDS_MAX];
    const char *scale = scale_words[past->scale];
    run_state_words(run->state->store, state);
    list_columns(run, columns);
    sheet_init(&sheet, run->state->arena, columns, HISTORY_COLUMNS);
    for (size_t at = rows->row_count; at-- > 0;)
        TRY(sheet_add_row(&sheet, rows->cells + at * HISTORY_COLUMNS, err));
    name_format(&past->name, NAME_PRINTED, name);
    if (past->name.level == NAME_BAG)
        scale = bag_scale_word(past->scale);
    if (run->format == SHEET_PEOPLE)
        (void)fprintf(run->out, "%s on %s\n", name, scale);
    TRY(run_print_sheet(run, &sheet, err));
    if (run->format == SHEET_PEOPLE)
        (void)fprintf(run->out, "%s of the registry\n", state);
    if (past->name.level == NAME_BAG)
        run_say_caution(run);
    return STATUS_OK;
}

static enum status run_history(struct run *run, struct err *err)
{
    struct past past;
    struct past_asked asked = {.typed = run->args[0], .scale = SCALE_COUNT};
    struct sheet rows;
    struct column columns[HISTORY_COLUMNS];
    TRY(scale_option(run, "scale", &asked.scale, err));
    TRY(past_open(run->state, &asked, &past, err));
    list_columns(run, columns);
    sheet_init(&rows, run->state->arena, columns, HISTORY_COLUMNS);
    TRY(past_walk(run->state, &past, NULL, add_row, &rows, err));
    return print_rows(run, &past, &rows, err);
}
