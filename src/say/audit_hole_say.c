/* SPDX-License-Identifier: MIT */
/* One hole in an audit: what its readings rest on, what all corrections together moved, its lag checks. */
#include "coretally/say/audit_say.h"
#include "coretally/say/check_rows.h"

static enum status add_length(struct run *run, struct sheet *facts, const char *what, int64_t um, const char *meaning,
                              struct err *err)
{
    const char *text = NULL;
    if (um == LENGTH_NONE)
        return STATUS_OK;
    TRY(audit_text(run->state, &text, err, "%s %s%s", run_length(run, um, 3).text, run_unit(run), meaning));
    return audit_fact_add(facts, what, text, err);
}

/* The seafloor as read, with its commit, and as corrected. */
static enum status add_seafloor(struct audit *audit, const struct audit_hole *hole, struct sheet *facts,
                                struct err *err)
{
    struct run *run = audit->run;
    const struct audit_seafloor *seafloor = &hole->seafloor;
    const struct hole *of = seafloor->of;
    const bool is_own = of == &hole->roll.target.hole;
    char name[HOLE_TEXT_MAX];
    const char *words = NULL;
    hole_text(of, name);
    if (seafloor->um == LENGTH_NONE)
        return audit_fact_add(facts, "seafloor", "not recorded, so depths count from the rig floor", err);
    TRY(audit_text(run->state, &words, err, "%s %s below rig floor, %s%s%s%s%s; commit %.10s by %s",
                   run_length(run, seafloor->um, 3).text, run_unit(run), seafloor_words[of->seafloor_by],
                   of->seafloor_note ? ": " : "", of->seafloor_note ? of->seafloor_note : "",
                   is_own ? "" : ", of hole ", is_own ? "" : name, seafloor->source.id, seafloor->source.author));
    TRY(audit_fact_add(facts, "seafloor as recorded", words, err));
    if (seafloor->corrected_um == LENGTH_NONE || seafloor->corrected_um == seafloor->um)
        return STATUS_OK;
    TRY(audit_text(run->state, &words, err, "%s %s below rig floor (where no time decides; state %.10s)",
                   run_length(run, seafloor->corrected_um, 3).text, run_unit(run), audit->state.id));
    return audit_fact_add(facts, "seafloor, corrected", words, err);
}

static enum status write_facts(struct audit *audit, const struct audit_hole *hole, struct err *err)
{
    static const struct column columns[] = {{"what", NULL, false}, {"value", NULL, false}};
    struct run *run = audit->run;
    const struct hole *it = &hole->roll.target.hole;
    struct sheet *facts = NULL;
    const char *words = NULL;
    TRY(audit_sheet_new(run->state, columns, 2, &facts, err));
    TRY(audit_fact_add(facts, "withdrawn", it->withdrawn, err));
    TRY(audit_fact_add(facts, "drilled with returns to", returns_words[it->returns], err));
    if (it->parent)
        TRY(audit_text(run->state, &words, err, "%s, leaves it at %s %s below rig floor", it->parent,
                       run_length(run, it->kickoff_um, 3).text, run_unit(run)));
    TRY(audit_fact_add(facts, "sidetrack of", words, err));
    TRY(audit_sidetrack_add(audit, hole, facts, err));
    TRY(add_length(run, facts, "rig floor", it->rig_floor_um, " above sea level", err));
    TRY(add_seafloor(audit, hole, facts, err));
    TRY(add_length(run, facts, "driller's tolerance", it->tolerance_um, " to either side", err));
    TRY(add_length(run, facts, "heave left", it->heave_um, " to either side", err));
    TRY(add_length(run, facts, "tide not corrected for", it->tide_um, " to either side", err));
    TRY(audit_text(run->state, &words, err, "%zu with a depth", hole->core_count));
    TRY(audit_fact_add(facts, "cores", words, err));
    TRY(audit_text(run->state, &words, err, "%zu in force, %zu not", it->correction_count,
                   hole->roll.count - it->correction_count));
    TRY(audit_fact_add(facts, "corrections", words, err));
    return page_add_sheet(&audit->page, BLOCK_FACTS, NULL, facts, err);
}

static enum status add_together(const char *what, const char *scale, const struct reach_count *count,
                                struct sheet *sheet, struct err *err)
{
    struct cell cells[2 + REACH_CELLS] = {cell_text(what), cell_text(scale)};
    reach_cells(count, cells + 2);
    return sheet_add_row(sheet, cells, err);
}

/* With all corrections against none. */
static enum status write_together(struct audit *audit, const struct audit_hole *hole, struct err *err)
{
    struct run *run = audit->run;
    const char *unit = run_unit(run);
    const struct column columns[] = {{"what", NULL, false}, {"scale", NULL, false},   {"moved", NULL, true},
                                     {"least", unit, true}, {"greatest", unit, true}, {"mean", unit, true},
                                     {"lost", NULL, true},  {"found", NULL, true}};
    struct sheet *sheet = NULL;
    const struct reach *reach = &hole->together->reach;
    const char *caption = NULL;
    TRY(audit_sheet_new(run->state, columns, sizeof columns / sizeof columns[0], &sheet, err));
    for (int item = 0; item < REACH_ITEM_COUNT; item++)
        TRY(add_together(reach_words[item], reach_scale_word(reach, (enum reach_item)item), &reach->counts[item], sheet,
                         err));
    if (reach_count_is_any(&reach->runs))
        TRY(add_together(reach_runs_word, scale_words[SCALE_DSF], &reach->runs, sheet, err));
    TRY(audit_text(run->state, &caption, err,
                   "All corrections together: depths as corrected against depths as reported; state "
                   "%.10s",
                   audit->state.id));
    return page_add_sheet(&audit->page, BLOCK_TABLE, caption, sheet, err);
}

static enum status write_checks(struct audit *audit, const struct audit_hole *hole, struct err *err)
{
    struct sheet *sheet = NULL;
    struct column *columns = NULL;
    TRY(arena_take(audit->run->state->arena, CHECK_COLUMNS, sizeof *columns, &columns, err));
    check_columns(audit->run, columns);
    TRY(audit_sheet_new(audit->run->state, columns, CHECK_COLUMNS, &sheet, err));
    TRY(check_rows_add(audit->run, &hole->checks, sheet, err));
    if (!sheet->row_count)
        return STATUS_OK;
    TRY(page_add_heading(&audit->page, 3, "Lag checks", err));
    return page_add_sheet(&audit->page, BLOCK_TABLE,
                          "Tracers through the well: each gives the open hole one diameter, which moves the bags that "
                          "came after it",
                          sheet, err);
}

enum status audit_hole_write(struct audit *audit, const struct audit_hole *hole, struct err *err)
{
    const char *heading = NULL;
    TRY(audit_text(audit->run->state, &heading, err, "Hole %s", hole->roll.target.hole_name));
    TRY(page_add_heading(&audit->page, 1, heading, err));
    TRY(write_facts(audit, hole, err));
    TRY(write_together(audit, hole, err));
    TRY(audit_corrections_write(audit, hole, err));
    TRY(audit_cores_write(audit, hole, err));
    return write_checks(audit, hole, err);
}
