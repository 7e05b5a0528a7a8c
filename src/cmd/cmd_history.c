/* SPDX-License-Identifier: MIT */
/* Every change of the depth of one thing, from the act that recorded it to the present. */
#include <string.h>

#include "coretally/base/limits.h"
#include "import.h"
#include "past.h"
#include "reach.h"
#include "span.h"

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

/* What the walk holds: the newer of two neighbouring states, and the act between them. */
struct walk {
    struct run *run;
    const struct past *past;
    struct past_path paths[TRAIL_PATHS_MAX];
    size_t path_count;
    struct store *beside;
    struct arena arenas[2]; /* of the newer and the older state, by turns */
    struct moment moments[2];
    struct commit commit; /* that made the newer one */
    uint64_t touched;
    bool has_newer;
    bool ended;         /* the thing was not there before */
    struct sheet sheet; /* newest first */
};

static enum status add_row(struct walk *walk, const struct moment *newer, const struct moment *older, struct err *err)
{
    struct run *run = walk->run;
    const struct commit *commit = &walk->commit;
    char when[INSTANT_TEXT_MAX];
    char id[16];
    const char *cause = NULL;
    const bool both = newer->top_um != LENGTH_NONE && older->top_um != LENGTH_NONE;
    TRY(past_cause(run, walk->past, walk->paths, walk->path_count, walk->touched, newer, older, &cause, err));
    instant_format(commit->when, when);
    (void)snprintf(id, sizeof id, "%.10s", commit->id);
    const struct length_text um[] = {run_length(run, older->top_um, 3), run_length(run, newer->top_um, 3),
                                     reach_signed(run, both ? newer->top_um - older->top_um : LENGTH_NONE),
                                     run_length(run, older->bottom_um, 3), run_length(run, newer->bottom_um, 3)};
    const char *cells[HISTORY_COLUMNS] = {id,
                                          when,
                                          commit->author,
                                          commit->station,
                                          cause,
                                          um[0].text,
                                          um[1].text,
                                          um[2].text,
                                          um[3].text,
                                          um[4].text,
                                          newer->withdrawn ? "withdrawn" : newer->why,
                                          commit->reason};
    return sheet_add(&walk->sheet, cells, err);
}

/* The thing at the state that an act made; compared with the one after it. */
static enum status look(struct walk *walk, const char *state, struct err *err)
{
    struct run *run = walk->run;
    struct store *const tip = run->store;
    struct arena *const whole = run->arena;
    arena_clear(&walk->arenas[1]);
    arena_init(&walk->arenas[1], ARENA_LIMIT_BYTES);
    TRY(store_stand_at(walk->beside, state, err));
    run->store = walk->beside;
    run->arena = &walk->arenas[1];
    enum status status = past_look(run, walk->past, &walk->moments[1], err);
    if (status == STATUS_OK && walk->has_newer && past_differs(&walk->moments[0], &walk->moments[1]))
        status = add_row(walk, &walk->moments[0], &walk->moments[1], err);
    run->arena = whole;
    run->store = tip;
    return status;
}

static void step_back(struct walk *walk)
{
    const struct arena newer = walk->arenas[0];
    walk->arenas[0] = walk->arenas[1];
    walk->arenas[1] = newer;
    walk->moments[0] = walk->moments[1];
}

static enum status walk_back(struct walk *walk, struct trail *trail, struct err *err)
{
    struct commit commit = {0};
    uint64_t touched = 0;
    bool more = true;
    int64_t next_ms = 0;
    for (size_t done = 0; !walk->ended; done++) {
        TRY(trail_next(trail, walk->run->arena, &commit, &touched, &more, err));
        if (!more)
            break;
        progress_tell(walk->run, "acts", done * 256, 0, &next_ms);
        TRY(look(walk, commit.id, err));
        walk->ended = walk->has_newer && !walk->moments[1].there;
        step_back(walk);
        walk->commit = commit;
        walk->touched = touched;
        walk->has_newer = true;
    }
    if (walk->ended || !walk->has_newer || !walk->moments[0].there)
        return STATUS_OK;
    memset(&walk->moments[1], 0, sizeof walk->moments[1]); /* before the first act there was nothing */
    walk->moments[1].top_um = walk->moments[1].bottom_um = LENGTH_NONE;
    return add_row(walk, &walk->moments[0], &walk->moments[1], err);
}

static enum status walk_trail(struct walk *walk, struct err *err)
{
    const char *paths[TRAIL_PATHS_MAX];
    struct trail *trail = NULL;
    for (size_t at = 0; at < walk->path_count; at++)
        paths[at] = walk->paths[at].path;
    TRY(trail_open(walk->run->store, paths, walk->path_count, &trail, err));
    enum status status = store_open_beside(walk->run->store, NULL, &walk->beside, err);
    if (status == STATUS_OK)
        status = walk_back(walk, trail, err);
    trail_close(trail);
    store_close(walk->beside);
    return status;
}

/* Oldest first: it reads as a story, and its last line is today's depth. */
static enum status print_rows(struct run *run, const struct past *past, const struct walk *walk, struct err *err)
{
    struct column columns[HISTORY_COLUMNS];
    struct sheet sheet;
    char name[NAME_TEXT_MAX];
    const char *scale = scale_words[past->scale];
    list_columns(run, columns);
    sheet_init(&sheet, run->arena, columns, HISTORY_COLUMNS);
    for (size_t at = walk->sheet.row_count; at-- > 0;)
        TRY(sheet_add(&sheet, walk->sheet.cells + at * HISTORY_COLUMNS, err));
    name_format(&past->name, NAME_PRINTED, name);
    if (past->name.level == NAME_BAG && !scale_is_vertical(past->scale))
        scale = past->scale == SCALE_DRF ? "MRF" : "MSF";
    if (run->format == SHEET_PEOPLE)
        (void)fprintf(run->out, "%s on %s\n", name, scale);
    TRY(run_print_sheet(run, &sheet, err));
    if (run->format == SHEET_PEOPLE)
        (void)fprintf(run->out, "state %.10s of the registry\n", store_state(run->store));
    if (past->name.level == NAME_BAG)
        run_say_caution(run);
    return STATUS_OK;
}

static enum status run_history(struct run *run, struct err *err)
{
    struct past past;
    struct walk *walk = NULL;
    struct column columns[HISTORY_COLUMNS];
    TRY(run_open(run, STORE_READ, err));
    TRY(past_open(run, run->args[0], &past, err));
    TRY(arena_take(run->arena, 1, sizeof *walk, &walk, err));
    walk->run = run;
    walk->past = &past;
    walk->path_count = past_paths(&past, walk->paths);
    list_columns(run, columns);
    sheet_init(&walk->sheet, run->arena, columns, HISTORY_COLUMNS);
    for (size_t at = 0; at < 2; at++)
        arena_init(&walk->arenas[at], ARENA_LIMIT_BYTES);
    enum status status = walk_trail(walk, err);
    for (size_t at = 0; at < 2; at++)
        arena_clear(&walk->arenas[at]);
    TRY(status);
    return print_rows(run, &past, walk, err);
}

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
        "and pump\nlog. A sample that was renamed is followed under its earlier names.",
    .use = USE_READING,
    .options = history_options_list,
    .least = 1,
    .most = 1,
    .run = run_history,
};
