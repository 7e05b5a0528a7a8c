/* SPDX-License-Identifier: MIT */
/* Import of a whole table: all rows checked before anything is written, one commit for one file. */
#include "coretally/intake/import.h"
#include "coretally/run/command.h"
#include "run_commit.h"

static enum status run_import(struct run *run, struct err *err);

static const struct option import_options[] = {
    {"map", "FILE", "the mapping: lines 'field = column | unit | scale'; see above"},
    {"set", "LINES", "mapping lines on the command line, separated by ';'"},
    {"each", NULL, "list every row that a note counts, and every figure that differs, not just the first ones"},
    {0},
};

const struct command import_command = {
    .words = "import",
    .arguments = "cores | sections | samples | bags FILE.csv",
    .purpose = "import a whole table: all rows are checked first; one commit, or none if a row is bad",
    .example = "import cores cores.csv --set 'top = top_mbsf | m | DSF; bottom = bottom_mbsf | m | DSF'",
    .detail =
        "Mapping lines (in --map FILE a line each; # begins a remark):\n"
        "  top = top_mbsf | m | DSF      field, column, unit (m cm mm ft in), scale of drilled depths (DSF, DRF)\n"
        "  half = \"W\"                    a constant for every row\n"
        "  catcher = is_cc               a column that says yes where the section is the core catcher\n"
        "  compare csf-a-top = top | m   compare a column of the file with ours: recovery, dsf-, csf-a-, csf-b-top, "
        "-bottom\n"
        "  doubtful = keep               take in what the rules doubt, marked; for tables of an archive\n"
        "Columns named as in 'coretally template' map themselves. A file that was imported before changes nothing.",
    .use = USE_MOVING,
    .options = import_options,
    .least = 2,
    .most = 2,
    .run = run_import,
};

/* How many rows, which, and how the rest is listed. */
static void tell_rows(const struct run *run, const char *before, enum rule rule, const struct rule_rows *rows)
{
    if (!rows->count)
        return;
    (void)fprintf(run->talk, "%s: %zu row%s: %s (%s)\n", before, rows->count, rows->count == 1 ? "" : "s",
                  rule_meaning(rule), rule_word(rule));
    for (size_t at = 0; at < rows->text_count; at++)
        (void)fprintf(run->talk, "  %s\n", rows->texts[at]);
    if (rows->count > NOTE_ROWS_MAX && !run_option(run, "each"))
        (void)fprintf(run->talk, "  and %zu more: type the command again with --each --dry-run%s\n",
                      rows->count - NOTE_ROWS_MAX, rule_level(rule) == RULE_TOLD ? "" : "; or coretally kept");
}

static void tell_rules(const struct run *run, const struct tally_of_rows *tally)
{
    for (int rule = 0; rule < RULE_COUNT; rule++) {
        tell_rows(run, "note", (enum rule)rule, &tally->told[rule]);
        tell_rows(run, "kept, marked doubtful", (enum rule)rule, &tally->kept[rule]);
    }
}

static void tell_unused(const struct run *run, const struct import *import)
{
    bool any = false;
    for (size_t column = 0; column < import->table.columns; column++) {
        bool used = false;
        for (size_t at = 0; at < import->mapping.source_count; at++)
            used = used || import->mapping.sources[at].column == column;
        for (size_t at = 0; at < import->mapping.comparison_count; at++)
            used = used || import->mapping.comparisons[at].column == column;
        char name[120];
        (void)snprintf(name, sizeof name, "%s", import->table.cells[column]);
        text_make_printable(name);
        if (!used)
            (void)fprintf(run->talk, "%s%s", any ? ", " : "note: columns not used: ", name);
        any = any || !used;
    }
    if (any)
        (void)fprintf(run->talk, "\n");
}

static void say_compared(const struct run *run, const struct import_compared *it)
{
    char far[LENGTH_TEXT_MAX];
    for (size_t at = 0; at < it->difference_count; at++) {
        const struct import_difference *one = &it->differences[at];
        (void)fprintf(run->out, "line %zu: %s: the file says %s %s, ours is %s\n", one->line, it->header, one->theirs,
                      it->unit, *one->ours ? one->ours : "n/a");
    }
    length_format(it->farthest_micro, UNIT_M, it->decimals, far);
    (void)fprintf(run->out, "compared %s: %zu of %zu equal to %d decimals", it->header, it->equal, it->compared,
                  it->decimals);
    if (it->equal < it->compared)
        (void)fprintf(run->out, ", largest difference %s %s", far, it->unit);
    if (it->compared - it->equal > it->difference_count)
        (void)fprintf(run->out, " (the first %zu are listed; all with --each --dry-run)", it->difference_count);
    (void)fprintf(run->out, "\n");
}

static enum status compare(const struct run *run, const struct import *import, struct err *err)
{
    for (size_t at = 0; at < import->mapping.comparison_count; at++) {
        struct import_compared compared;
        TRY(import_compare(import, at, &compared, err));
        say_compared(run, &compared);
    }
    return STATUS_OK;
}

static enum status run_import(struct run *run, struct err *err)
{
    struct import import;
    struct import_asked asked = {.mapping = {.file = run_option(run, "map"), .lines = run_option(run, "set")},
                                 .each = run_option(run, "each") != NULL};
    const char *file = run->args[1];
    TRY(import_kind_find(run->args[0], &asked.kind, err));
    TRY(import_read(run->state->arena, &asked, run->in, file, &import, err));
    TRY(run_open(run, STORE_WRITE, err));
    tell_unused(run, &import);
    TRY(import_rows(&import, run->state, err));
    tell_rules(run, &import.tally);
    if (import.tally.refused) {
        err_set(err, STATUS_INPUT, file, "%zu of %zu rows were refused; nothing was recorded", import.tally.refused,
                import.table.rows - 1);
        return err_hint(err, "mend the lines listed above, or their mapping, and import again");
    }
    if (asked.kind != IMPORT_BAGS)
        TRY(compare(run, &import, err));
    if (import.tally.added == 0) {
        (void)fprintf(run->out, "already recorded: all %zu rows of %s; nothing changed\n", import.tally.present, file);
        return STATUS_OK;
    }
    return run_draft(run, &import.draft, err);
}
