/* SPDX-License-Identifier: MIT */
/* Figures that a file carries, held against ours at the resolution in which the file gives them. */
#include <string.h>

#include "coretally/domain/recovery.h"
#include "coretally/domain/depth.h"
#include "coretally/intake/import.h"

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
    if (import->asked.kind == IMPORT_CORES || comparison->what == COMPARE_DSF)
        depth = comparison->at_bottom ? core_bottom_depth(&core->target.hole, it, SCALE_DSF)
                                      : core_top_depth(&core->target.hole, it, SCALE_DSF, NULL);
    else {
        if (import->asked.kind == IMPORT_SECTIONS) {
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

/* A row whose figure is another one than ours. */
static enum status add_difference(const struct import *import, size_t row, const char *theirs, const char *ours,
                                  struct import_compared *out, struct err *err)
{
    struct arena *arena = import->state->arena;
    if (out->compared - out->equal > DIFFERENCES_MAX && !import->asked.each)
        return STATUS_OK;
    TRY(arena_grow(arena, &out->differences, out->difference_count, &out->difference_room, sizeof *out->differences,
                   err));
    struct import_difference *it = &out->differences[out->difference_count++];
    *it = (struct import_difference){.line = import->table.lines[row], .theirs = theirs};
    return arena_copy(arena, ours, strlen(ours), &it->ours, err);
}

static enum status compare_row(const struct import *import, size_t row, const struct comparison *comparison,
                               struct import_compared *out, struct err *err)
{
    char ours[LENGTH_TEXT_MAX];
    const char *theirs = import->table.cells[row * import->table.columns + comparison->column];
    int64_t our_micro = 0;
    int64_t their_micro = 0;
    if (!import->row_cores[row] || !*theirs)
        return STATUS_OK;
    out->compared++;
    our_figure(import, row, comparison, out->decimals, ours);
    const bool known = decimal_parse_micro(ours, strlen(ours), true, &our_micro) &&
                       decimal_parse_micro(theirs, strlen(theirs), true, &their_micro);
    if (known && our_micro == their_micro) {
        out->equal++;
        return STATUS_OK;
    }
    const int64_t off = our_micro > their_micro ? our_micro - their_micro : their_micro - our_micro;
    out->farthest_micro = known && off > out->farthest_micro ? off : out->farthest_micro;
    return add_difference(import, row, theirs, ours, out, err);
}

enum status import_compare(const struct import *import, size_t which, struct import_compared *out, struct err *err)
{
    const struct comparison *comparison = &import->mapping.comparisons[which];
    if (import->asked.kind == IMPORT_CORES && comparison->what >= COMPARE_CSF_A) {
        err_set(err, STATUS_INPUT, "mapping", "a table of cores has no offsets to compute CSF from");
        return err_hint(err, "compare dsf-top or dsf-bottom");
    }
    *out = (struct import_compared){
        .header = import->table.cells[comparison->column],
        .unit = comparison->what == COMPARE_RECOVERY ? "%" : length_unit_suffix(comparison->unit),
        .decimals = column_decimals(import, comparison->column),
    };
    for (size_t row = 1; row < import->table.rows; row++)
        TRY(compare_row(import, row, comparison, out, err));
    return STATUS_OK;
}
