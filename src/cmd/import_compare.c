/* SPDX-License-Identifier: MIT */
/* Figures that a file carries, held against ours at the resolution in which the file gives them. */
#include <string.h>

#include "coretally/domain/recovery.h"
#include "import.h"

enum { DIFFERENCES_SHOWN = 20 };

/* The most decimals that a column has. */
static int column_decimals(const struct import *import, size_t column)
{
    int most = 0;
    for (size_t row = 1; row < import->table.rows; row++) {
        const char *point = strchr(import->table.cells[row * import->table.columns + column], '.');
        const int decimals = point ? (int)strlen(point + 1) : 0;
        most = decimals > most ? decimals : most;
    }
    return most > 6 ? 6 : most;
}

/* Our figure for a row as text with these decimals; "" where we have none. */
static void our_figure(const struct import *import, size_t row, const struct comparison *comparison, int decimals,
                       char out[LENGTH_TEXT_MAX])
{
    const struct import_core *core = import->row_cores[row];
    const struct core *it = &core->target.core;
    struct depth depth = {.um = LENGTH_NONE};
    out[0] = '\0';
    if (comparison->what == COMPARE_RECOVERY) {
        recovery_format(core_recovered(it), core_advance(it), decimals > 4 ? 4 : decimals, out);
        return;
    }
    struct place place = {&core->target.hole, it, 0, 0};
    if (import->kind == IMPORT_CORES || comparison->what == COMPARE_DSF)
        depth = comparison->at_bottom ? core_bottom_depth(&core->target.hole, it, SCALE_DSF)
                                      : core_top_depth(&core->target.hole, it, SCALE_DSF, NULL);
    else {
        if (import->kind == IMPORT_SECTIONS) {
            const struct section *section = import->row_records[row];
            place.section = section->number;
            place.offset_um = comparison->at_bottom ? section_curated(section) : 0;
        } else {
            const struct sample *sample = import->row_records[row];
            place.section = sample->section;
            place.offset_um = comparison->at_bottom ? sample->bottom_um : sample->top_um;
        }
        static const enum scale scales[] = {
            [COMPARE_CSF_A] = SCALE_CSF_A, [COMPARE_CSF_B] = SCALE_CSF_B, [COMPARE_CCSF] = SCALE_CCSF};
        depth = place_depth(&place, scales[comparison->what], NULL);
    }
    if (depth.um != LENGTH_NONE)
        length_format(depth.um, comparison->unit, decimals, out);
}

static void compare_column(const struct import *import, const struct comparison *comparison)
{
    static const char *const unit_of_recovery = "%";
    const int decimals = column_decimals(import, comparison->column);
    const char *header = import->table.cells[comparison->column];
    const char *unit = comparison->what == COMPARE_RECOVERY ? unit_of_recovery : length_unit_suffix(comparison->unit);
    size_t compared = 0;
    size_t equal = 0;
    int64_t farthest = 0;
    for (size_t row = 1; row < import->table.rows; row++) {
        char ours[LENGTH_TEXT_MAX];
        const char *theirs = import->table.cells[row * import->table.columns + comparison->column];
        int64_t our_micro = 0;
        int64_t their_micro = 0;
        if (!import->row_cores[row] || !*theirs)
            continue;
        compared++;
        our_figure(import, row, comparison, decimals, ours);
        const bool known = decimal_parse_micro(ours, strlen(ours), true, &our_micro) &&
                           decimal_parse_micro(theirs, strlen(theirs), true, &their_micro);
        if (known && our_micro == their_micro) {
            equal++;
            continue;
        }
        const int64_t off = our_micro > their_micro ? our_micro - their_micro : their_micro - our_micro;
        farthest = known && off > farthest ? off : farthest;
        if (compared - equal <= DIFFERENCES_SHOWN || run_option(import->run, "each"))
            (void)fprintf(import->run->out, "line %zu: %s: the file says %s %s, ours is %s\n", import->table.lines[row],
                          header, theirs, unit, *ours ? ours : "n/a");
    }
    char far[LENGTH_TEXT_MAX];
    length_format(farthest, UNIT_M, decimals, far);
    (void)fprintf(import->run->out, "compared %s: %zu of %zu equal to %d decimals", header, equal, compared, decimals);
    if (equal < compared)
        (void)fprintf(import->run->out, ", largest difference %s %s", far, unit);
    if (compared - equal > DIFFERENCES_SHOWN && !run_option(import->run, "each"))
        (void)fprintf(import->run->out, " (the first %d are listed; all with --each --dry-run)", DIFFERENCES_SHOWN);
    (void)fprintf(import->run->out, "\n");
}

enum status import_compare(struct import *import, struct err *err)
{
    for (size_t at = 0; at < import->mapping.comparison_count; at++) {
        const struct comparison *comparison = &import->mapping.comparisons[at];
        if (import->kind == IMPORT_CORES && comparison->what >= COMPARE_CSF_A) {
            err_set(err, STATUS_INPUT, "mapping", "a table of cores has no offsets to compute CSF from");
            return err_hint(err, "compare dsf-top or dsf-bottom");
        }
        compare_column(import, comparison);
    }
    return STATUS_OK;
}
