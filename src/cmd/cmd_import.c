/* SPDX-License-Identifier: MIT */
/* Import of a whole table: all rows checked before anything is written, one commit for one file. */
#include <stdlib.h>
#include <string.h>

#include "import.h"

/* How many rows, which, and how the rest is listed. */
static void tell_rows(const struct import *import, const char *before, enum rule rule, const struct rule_rows *rows)
{
    if (!rows->count)
        return;
    (void)fprintf(import->run->talk, "%s: %zu row%s: %s (%s)\n", before, rows->count, rows->count == 1 ? "" : "s",
                  rule_meaning(rule), rule_word(rule));
    for (size_t at = 0; at < rows->text_count; at++)
        (void)fprintf(import->run->talk, "  %s\n", rows->texts[at]);
    if (rows->count > NOTE_ROWS_MAX && !run_option(import->run, "each"))
        (void)fprintf(import->run->talk, "  and %zu more: type the command again with --each --dry-run%s\n",
                      rows->count - NOTE_ROWS_MAX, rule_level(rule) == RULE_TOLD ? "" : "; or coretally kept");
}

static void tell_rules(const struct import *import)
{
    for (int rule = 0; rule < RULE_COUNT; rule++) {
        tell_rows(import, "note", (enum rule)rule, &import->tally.told[rule]);
        tell_rows(import, "kept, marked doubtful", (enum rule)rule, &import->tally.kept[rule]);
    }
}

static void tell_unused(const struct import *import)
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
            (void)fprintf(import->run->talk, "%s%s", any ? ", " : "note: columns not used: ", name);
        any = any || !used;
    }
    if (any)
        (void)fprintf(import->run->talk, "\n");
}

/* The records that changed, with their paths. */
static enum status gather_writings(struct import *import, struct writing **out, size_t *count, struct err *err)
{
    struct arena *arena = import->run->state->arena;
    TRY(arena_take(arena, import->core_count, sizeof **out, out, err));
    *count = 0;
    for (size_t at = 0; at < import->core_count; at++) {
        struct import_core *core = import->cores[at];
        char *path = NULL;
        if (!core->changed && !core->samples_changed)
            continue;
        TRY(arena_take(arena, REGISTRY_PATH_MAX, 1, &path, err));
        if (core->samples_changed) {
            samples_path(core->target.hole_name, core->target.core.number, path);
            qsort(core->set.samples, core->set.sample_count, sizeof *core->set.samples, sample_order);
            (*out)[(*count)++] = (struct writing){.path = path, .table = &sample_set_table, .record = &core->set};
        } else {
            core_path(core->target.hole_name, core->target.core.number, path);
            (*out)[(*count)++] = (struct writing){.path = path, .table = &core_table, .record = &core->target.core};
        }
    }
    return STATUS_OK;
}

static enum status write_down(struct import *import, const char *file, const struct writing *writings, size_t count,
                              struct err *err)
{
    struct run *run = import->run;
    const char *slash = strrchr(file, '/');
    struct text line;
    struct bytes bytes;
    struct text kept;
    struct bytes kept_bytes;
    text_init(&line, run->state->arena);
    text_init(&kept, run->state->arena);
    text_addf(&line, "Import of %s from %s: %zu new", run->args[0], slash ? slash + 1 : file, import->tally.added);
    if (import->tally.present)
        text_addf(&line, ", %zu already recorded", import->tally.present);
    if (import->tally.doubtful)
        text_addf(&line, ", %zu kept as doubtful", import->tally.doubtful);
    for (int rule = 0; rule < RULE_COUNT; rule++)
        if (import->tally.kept[rule].count)
            text_addf(&kept, "%s%s (%zu)", kept.len ? ", " : "", rule_word((enum rule)rule),
                      import->tally.kept[rule].count);
    TRY(text_done(&line, &bytes, err));
    TRY(text_done(&kept, &kept_bytes, err));
    return run_commit(run, bytes.data, kept_bytes.len ? kept_bytes.data : NULL, writings, count, err);
}

static enum status run_import(struct run *run, struct err *err)
{
    struct import import = {.run = run};
    const struct mapping_asked asked = {.file = run_option(run, "map"), .lines = run_option(run, "set")};
    const char *file = run->args[1];
    TRY(import_kind_find(run->args[0], &import.kind, err));
    TRY(csv_read(run->state->arena, run->in, file, &import.table, err));
    TRY(mapping_read(run->state->arena, &asked, import.kind, &import.table, &import.mapping, err));
    TRY(run_open(run, STORE_WRITE, err));
    tell_unused(&import);
    struct writing *writings = NULL;
    size_t count = 0;
    TRY(import.kind == IMPORT_BAGS ? import_bags(&import, &writings, &count, err) : import_rows(&import, err));
    tell_rules(&import);
    if (import.tally.refused) {
        err_set(err, STATUS_INPUT, file, "%zu of %zu rows were refused; nothing was recorded", import.tally.refused,
                import.table.rows - 1);
        return err_hint(err, "mend the lines listed above, or their mapping, and import again");
    }
    if (import.kind != IMPORT_BAGS)
        TRY(import_compare(&import, err));
    if (import.tally.added == 0) {
        (void)fprintf(run->out, "already recorded: all %zu rows of %s; nothing changed\n", import.tally.present, file);
        return STATUS_OK;
    }
    if (import.kind != IMPORT_BAGS)
        TRY(gather_writings(&import, &writings, &count, err));
    return write_down(&import, file, writings, count, err);
}

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
