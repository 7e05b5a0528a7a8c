/* SPDX-License-Identifier: MIT */
/* Shift against depth of the cores of a hole: drawn, as a table, and those that moved most. */
#include "coretally/say/audit_say.h"

static enum status name_of(struct state *state, const struct audit_core *core, const char **out, struct err *err)
{
    return audit_text(state, out, err, "%d%c", (int)core->core.number, core->core.type);
}

/* Neighbours that moved alike in one row. */
static enum status write_groups(struct audit *audit, const struct audit_hole *hole, const char *caption,
                                struct err *err)
{
    struct run *run = audit->run;
    const char *unit = run_unit(run);
    const struct column columns[] = {{"cores", NULL, false},
                                     {"first top, as reported", unit, true},
                                     {"last top, as reported", unit, true},
                                     {"first top, corrected", unit, true},
                                     {"last top, corrected", unit, true},
                                     {"shift", unit, true}};
    struct sheet *sheet = NULL;
    TRY(audit_sheet_new(run->state, columns, sizeof columns / sizeof columns[0], &sheet, err));
    for (size_t at = 0; at < hole->group_count; at++) {
        const struct audit_group *group = &hole->groups[at];
        const struct audit_core *first = &hole->cores[group->first];
        const struct audit_core *last = &hole->cores[group->first + group->count - 1];
        const char *names[2] = {NULL, NULL};
        const char *range = NULL;
        TRY(name_of(run->state, first, &names[0], err));
        TRY(name_of(run->state, last, &names[1], err));
        TRY(audit_text(run->state, &range, err, "%s%s%s", names[0], first == last ? "" : " to ",
                       first == last ? "" : names[1]));
        const struct cell cells[] = {cell_text(range),
                                     cell_length(first->top_um, 3),
                                     cell_length(last->top_um, 3),
                                     cell_length(first->top_um + first->shift_um, 3),
                                     cell_length(last->top_um + last->shift_um, 3),
                                     cell_shift(first->shift_um, 3)};
        TRY(sheet_add_row(sheet, cells, err));
    }
    return page_add_sheet(&audit->page, BLOCK_TABLE, caption, sheet, err);
}

static enum status write_plot(struct audit *audit, const struct audit_hole *hole, struct err *err)
{
    struct run *run = audit->run;
    struct plot *plot = NULL;
    struct plot_bar *bars = NULL;
    const char *words[3] = {NULL, NULL, NULL};
    const char *below = hole->scale == SCALE_DSF ? "below seafloor" : "below rig floor";
    TRY(arena_take(run->state->arena, 1, sizeof *plot, &plot, err));
    TRY(arena_take(run->state->arena, hole->core_count, sizeof *bars, &bars, err));
    for (size_t at = 0; at < hole->core_count; at++) {
        const struct audit_core *core = &hole->cores[at];
        TRY(name_of(run->state, core, &bars[at].name, err));
        bars[at].top_um = core->top_um;
        bars[at].bottom_um = core->bottom_um;
        bars[at].shift_um = core->shift_um;
    }
    TRY(audit_text(run->state, &words[0], err, "Shift of the cores of %s against depth", hole->roll.target.hole_name));
    TRY(audit_text(run->state, &words[1], err, "depth as reported, %s", below));
    TRY(audit_text(
        run->state, &words[2], err,
        "Shift of each core of %s (corrected less as reported, %s) against its depth as reported; a bar is a "
        "run, named where the shift changes; broken line: no shift. State %.10s.",
        hole->roll.target.hole_name, scale_words[hole->scale], audit->state.id));
    *plot = (struct plot){.title = words[0],
                          .across = "shift, down is positive",
                          .down = words[1],
                          .unit = run->unit,
                          .bars = bars,
                          .count = hole->core_count};
    return page_add_plot(&audit->page, words[2], plot, err);
}

static enum status add_most(struct run *run, const struct audit_most *most, struct sheet *sheet, struct err *err)
{
    const struct audit_core *core = most->core;
    const char *name = NULL;
    TRY(name_of(run->state, core, &name, err));
    const struct cell cells[] = {cell_text(name),
                                 cell_length(core->top_um, 3),
                                 cell_length(core->top_um + core->shift_um, 3),
                                 cell_shift(core->shift_um, 3),
                                 cell_count(core->sections),
                                 cell_count(most->samples),
                                 cell_commit(most->reading.id),
                                 cell_text(most->reading.author)};
    return sheet_add_row(sheet, cells, err);
}

static enum status write_most(struct audit *audit, const struct audit_hole *hole, struct err *err)
{
    struct run *run = audit->run;
    const char *unit = run_unit(run);
    const struct column columns[] = {{"core", NULL, false},
                                     {"top, as reported", unit, true},
                                     {"top, corrected", unit, true},
                                     {"shift", unit, true},
                                     {"sections with it", NULL, true},
                                     {"samples with it", NULL, true},
                                     {"reading in commit", NULL, false},
                                     {"read by", NULL, false}};
    struct sheet *sheet = NULL;
    const char *caption = NULL;
    TRY(audit_sheet_new(run->state, columns, sizeof columns / sizeof columns[0], &sheet, err));
    for (size_t at = 0; at < hole->most_count; at++)
        TRY(add_most(run, &hole->most[at], sheet, err));
    TRY(audit_text(run->state, &caption, err,
                   "Moved most: cores by the size of their shift on %s, at most %d; state %.10s",
                   scale_words[hole->scale], AUDIT_MOST_MAX, audit->state.id));
    return page_add_sheet(&audit->page, BLOCK_TABLE, caption, sheet, err);
}

enum status audit_cores_write(struct audit *audit, const struct audit_hole *hole, struct err *err)
{
    const char *caption = NULL;
    if (!hole->core_count)
        return STATUS_OK;
    TRY(page_add_heading(&audit->page, 3, "Shift against depth", err));
    TRY(write_plot(audit, hole, err));
    TRY(audit_text(audit->run->state, &caption, err,
                   "The numbers of the plot: cores that moved alike, on %s; state %.10s", scale_words[hole->scale],
                   audit->state.id));
    TRY(write_groups(audit, hole, caption, err));
    return hole->most_count ? write_most(audit, hole, err) : STATUS_OK;
}
