/* SPDX-License-Identifier: MIT */
/* Shift against depth of the cores of a hole: drawn, as a table, and those that moved most. */
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "audit.h"

/* Corrected less as reported of one core, on the audit's scale; false: it has no depth. */
static bool shift_of(const struct audit_hole *hole, const struct core *core, struct audit_core *out)
{
    const struct depth before = core_top_depth(&hole->reported, core, hole->scale, NULL);
    const struct depth after = core_top_depth(&hole->roll.target.hole, core, hole->scale, NULL);
    const struct depth bottom = core_bottom_depth(&hole->reported, core, hole->scale);
    if (before.um == LENGTH_NONE || after.um == LENGTH_NONE)
        return false;
    *out = (struct audit_core){.number = core->number,
                               .type = core->type,
                               .top_um = before.um,
                               .bottom_um = bottom.um,
                               .shift_um = after.um - before.um,
                               .sections = core_standing_sections(core)};
    return true;
}

enum status audit_cores_read(struct state *state, struct audit_hole *hole, struct err *err)
{
    int32_t *numbers = NULL;
    size_t count = 0;
    TRY(state_cores(state, hole->roll.target.hole_name, &numbers, &count, err));
    TRY(arena_take(state->arena, count, sizeof *hole->cores, &hole->cores, err));
    for (size_t at = 0; at < count; at++) {
        char path[REGISTRY_PATH_MAX];
        struct state inner; /* what a core reads dies with it */
        struct core core;
        bool there = false;
        state_nest(state, &inner);
        core_path(hole->roll.target.hole_name, numbers[at], path);
        const enum status status = state_read(&inner, path, &core_table, &core, &there, err);
        if (status == STATUS_OK && there && !core.withdrawn)
            hole->core_count += shift_of(hole, &core, &hole->cores[hole->core_count]);
        state_leave(&inner);
        TRY(status);
    }
    return STATUS_OK;
}

static enum status name_of(struct state *state, const struct audit_core *core, const char **out, struct err *err)
{
    return audit_text(state, out, err, "%d%c", (int)core->number, core->type);
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
    for (size_t at = 0; at < hole->core_count;) {
        size_t end = at + 1;
        const char *names[2] = {NULL, NULL};
        const char *range = NULL;
        while (end < hole->core_count && hole->cores[end].shift_um == hole->cores[at].shift_um)
            end++;
        const struct audit_core *first = &hole->cores[at];
        const struct audit_core *last = &hole->cores[end - 1];
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
        at = end;
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

static int order_shift(const void *a, const void *b)
{
    const struct audit_core *left = *(const struct audit_core *const *)a;
    const struct audit_core *right = *(const struct audit_core *const *)b;
    const int64_t sizes[] = {llabs(left->shift_um), llabs(right->shift_um)};
    return sizes[0] != sizes[1] ? (sizes[0] < sizes[1] ? 1 : -1) : left->number - right->number;
}

static enum status add_most(struct audit *audit, const struct audit_hole *hole, const struct audit_core *core,
                            struct sheet *sheet, struct err *err)
{
    static const char *const only[] = {"top", "datum", NULL};
    struct run *run = audit->run;
    char path[REGISTRY_PATH_MAX];
    struct core record;
    struct sample_set set;
    struct commit commit = {0};
    bool there = false;
    size_t standing = 0;
    const char *name = NULL;
    samples_path(hole->roll.target.hole_name, core->number, path);
    TRY(state_read(run->state, path, &sample_set_table, &set, &there, err));
    for (size_t at = 0; at < set.sample_count; at++)
        standing += !set.samples[at].withdrawn;
    core_path(hole->roll.target.hole_name, core->number, path);
    TRY(state_read(run->state, path, &core_table, &record, &there, err));
    const struct record_at at = record_of_core(hole->roll.target.hole_name, &record);
    TRY(origin_find(run->state, &at, only, &commit, err));
    TRY(name_of(run->state, core, &name, err));
    const struct cell cells[] = {cell_text(name),
                                 cell_length(core->top_um, 3),
                                 cell_length(core->top_um + core->shift_um, 3),
                                 cell_shift(core->shift_um, 3),
                                 cell_count(core->sections),
                                 cell_count(standing),
                                 cell_commit(commit.id),
                                 cell_text(commit.author)};
    return sheet_add_row(sheet, cells, err);
}

enum { MOST_MAX = 10 };

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
    const struct audit_core **order = NULL;
    struct sheet *sheet = NULL;
    const char *caption = NULL;
    TRY(arena_take(run->state->arena, hole->core_count, sizeof(const void *), &order, err));
    for (size_t at = 0; at < hole->core_count; at++)
        order[at] = &hole->cores[at];
    if (hole->core_count)
        qsort(order, hole->core_count, sizeof(const void *), order_shift);
    TRY(audit_sheet_new(run->state, columns, sizeof columns / sizeof columns[0], &sheet, err));
    for (size_t at = 0; at < hole->core_count && at < MOST_MAX && order[at]->shift_um; at++)
        TRY(add_most(audit, hole, order[at], sheet, err));
    if (!sheet->row_count)
        return STATUS_OK;
    TRY(audit_text(run->state, &caption, err,
                   "Moved most: cores by the size of their shift on %s, at most %d; state %.10s",
                   scale_words[hole->scale], MOST_MAX, audit->state.id));
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
    return write_most(audit, hole, err);
}
