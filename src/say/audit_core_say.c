/* SPDX-License-Identifier: MIT */
/* Shift against depth of the cores of a hole: drawn, as a table, and those that moved most. */
#include "coretally/say/audit_say.h"

static enum status name_of(struct state *state, const struct audit_core *core, const char **out, struct err *err)
{
    return audit_text(state, out, err, "%d%c", (int)core->core.number, core->core.type);
}

/* Neighbours that moved alike in one row. */
static enum status write_groups(struct audit *audit, const struct plot *plot, const char *what, const char *caption,
                                struct err *err)
{
    struct run *run = audit->run;
    const char *unit = run_unit(run);
    const struct column columns[] = {{what, NULL, false},
                                     {"first top, as reported", unit, true},
                                     {"last top, as reported", unit, true},
                                     {"first top, corrected", unit, true},
                                     {"last top, corrected", unit, true},
                                     {"shift", unit, true}};
    struct sheet *sheet = NULL;
    TRY(audit_sheet_new(run->state, columns, sizeof columns / sizeof columns[0], &sheet, err));
    for (size_t at = 0; at < plot->count;) {
        const struct plot_bar *first = &plot->bars[at];
        const struct plot_bar *last = first;
        const char *range = NULL;
        for (; at < plot->count && plot->bars[at].shift_um == first->shift_um; at++)
            last = &plot->bars[at];
        TRY(audit_text(run->state, &range, err, "%s%s%s", first->name, first == last ? "" : " to ",
                       first == last ? "" : last->name));
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

static enum status bars_of_cores(struct state *state, const struct audit_hole *hole, struct plot_bar *bars,
                                 struct err *err)
{
    for (size_t at = 0; at < hole->core_count; at++) {
        const struct audit_core *core = &hole->cores[at];
        TRY(name_of(state, core, &bars[at].name, err));
        bars[at].top_um = core->top_um;
        bars[at].bottom_um = core->bottom_um;
        bars[at].shift_um = core->shift_um;
    }
    return STATUS_OK;
}

static enum status bars_of_bags(struct state *state, const struct audit_hole *hole, struct plot_bar *bars,
                                struct err *err)
{
    static const char *const words[] = {[BAG_CUTTINGS] = "BAG", [BAG_GAS] = "GAS", [BAG_MUD] = "MUD"};
    for (size_t at = 0; at < hole->bag_count; at++) {
        const struct audit_bag *bag = &hole->bags[at];
        TRY(audit_text(state, &bars[at].name, err, "%s%d", words[bag->kind], (int)bag->number));
        bars[at].top_um = bag->top_um;
        bars[at].bottom_um = bag->bottom_um;
        bars[at].shift_um = bag->shift_um;
    }
    return STATUS_OK;
}

/* What is drawn of a hole. */
struct drawn {
    const char *what; /* "cores" */
    size_t count;
    enum status (*bars)(struct state *state, const struct audit_hole *hole, struct plot_bar *bars, struct err *err);
    const char *scale;
    const char *by; /* what moved them */
    const char *bar;
};

static enum status write_plot(struct audit *audit, const struct audit_hole *hole, const struct drawn *drawn,
                              struct err *err)
{
    struct run *run = audit->run;
    struct plot *plot = NULL;
    struct plot_bar *bars = NULL;
    const char *words[4] = {NULL, NULL, NULL, NULL};
    const char *name = hole->roll.target.hole_name;
    const char *below = hole->scale == SCALE_DSF ? "below seafloor" : "below rig floor";
    TRY(arena_take(run->state->arena, 1, sizeof *plot, &plot, err));
    TRY(arena_take(run->state->arena, drawn->count, sizeof *bars, &bars, err));
    TRY(drawn->bars(run->state, hole, bars, err));
    TRY(audit_text(run->state, &words[0], err, "Shift of the %s of %s against depth", drawn->what, name));
    TRY(audit_text(run->state, &words[1], err, "depth as reported, %s", below));
    TRY(audit_text(run->state, &words[2], err,
                   "Shift of the %s of %s by %s (corrected less as reported, %s) against depth as reported; a bar is "
                   "%s, named where the shift changes; broken line: no shift. State %.10s.",
                   drawn->what, name, drawn->by, drawn->scale, drawn->bar, audit->state.id));
    *plot = (struct plot){.title = words[0],
                          .across = "shift, down is positive",
                          .down = words[1],
                          .unit = run->unit,
                          .bars = bars,
                          .count = drawn->count};
    TRY(page_add_plot(&audit->page, words[2], plot, err));
    TRY(audit_text(run->state, &words[3], err, "The numbers of the plot: %s that moved alike, on %s; state %.10s",
                   drawn->what, drawn->scale, audit->state.id));
    return write_groups(audit, plot, drawn->what, words[3], err);
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
    const struct drawn cores = {"cores",           hole->core_count, bars_of_cores, scale_words[hole->scale],
                                "all corrections", "a run"};
    const struct drawn bags = {"bags",
                               hole->bag_count,
                               bars_of_bags,
                               bag_scale_word(hole->scale),
                               "all corrections and lag checks",
                               "the interval that its cuttings came from"};
    if (!cores.count && !bags.count)
        return STATUS_OK;
    TRY(page_add_heading(&audit->page, 3, "Shift against depth", err));
    if (cores.count)
        TRY(write_plot(audit, hole, &cores, err));
    if (hole->most_count)
        TRY(write_most(audit, hole, err));
    return bags.count ? write_plot(audit, hole, &bags, err) : STATUS_OK;
}
