/* SPDX-License-Identifier: MIT */
/* Rows to records, held against the registry and one another. Every bad row is told with its line; nothing is written.
 */
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/store/registry.h"
#include "import_row.h"

enum { FEW_FILES = 20 };

enum { TOLD_ROWS_MAX = 1000 };

void row_refuse(struct import *import, size_t row, const char *format, ...)
{
    char text[1000];
    va_list args;
    va_start(args, format);
    (void)vsnprintf(text, sizeof text, format, args);
    va_end(args);
    text_make_printable(text);
    if (++import->tally.refused <= TOLD_ROWS_MAX)
        state_tell(import->state, "line %zu: %s\n", import->table.lines[row], text);
    import->row_cores[row] = NULL;
}

/* The text of a naming source in a row; "" when it is not mapped. */
static const char *cell_of(const struct import *import, size_t row, const struct source *source)
{
    return source->column == SIZE_MAX ? source->constant
                                      : import->table.cells[row * import->table.columns + source->column];
}

const char *row_named_cell(const struct import *import, size_t row, const char *field)
{
    for (size_t at = 0; at < import->mapping.source_count; at++)
        if (strcmp(import->mapping.sources[at].field, field) == 0)
            return cell_of(import, row, &import->mapping.sources[at]);
    return "";
}

/* The fields of a row into a record; false (and the row refused) when one is not well formed. */
enum status row_take_fields(struct import *import, size_t row, const struct import_core *core, void *record, bool *fine,
                            struct err *err)
{
    *fine = true;
    for (size_t at = 0; at < import->mapping.source_count; at++) {
        const struct source *source = &import->mapping.sources[at];
        const char *cell = cell_of(import, row, source);
        if (!source->as || !*cell)
            continue;
        struct err own = {0};
        const enum length_unit unit = source->as->type == FIELD_LENGTH ? source->unit : source->as->unit;
        if (field_set(source->as, cell, unit, core->target.hole.zone_min, import->state->arena, record, &own) ==
            STATUS_OK)
            continue;
        if (own.status == STATUS_SYSTEM) {
            *err = own;
            return own.status;
        }
        const char *header = source->column == SIZE_MAX ? "constant" : import->table.cells[source->column];
        row_refuse(import, row, "column %s: %s: %s", header, own.subject, own.reason);
        *fine = false;
        return STATUS_OK;
    }
    return STATUS_OK;
}

/* "recovered: 9.4 is recorded, the file says 9.5". */
void row_refuse_other(struct import *import, size_t row, const struct table *table, const void *present,
                      const void *typed)
{
    struct text text;
    text_init(&text, import->state->arena);
    for (size_t at = 0; at < table->count; at++) {
        const struct field *field = &table->fields[at];
        if (field_is_equal(field, present, typed) || field->type == FIELD_LIST)
            continue;
        text_addf(&text, "%s%s: ", text.len ? "; " : "", field->name);
        field_format(field, present, &text);
        text_add(&text, " is recorded, the file says ");
        field_format(field, typed, &text);
        if (field_is_absent(field, typed))
            text_add(&text, "nothing");
    }
    row_refuse(import, row, "already recorded with other values: %s", text.data ? text.data : "its lists differ");
}

/* What a record cannot be without; tells and refuses. */
bool row_is_complete(struct import *import, size_t row, const void *record)
{
    const struct table *table = import_table(import->asked.kind);
    for (size_t at = 0; at < table->count; at++)
        if (table->fields[at].need == REQUIRED && field_is_absent(&table->fields[at], record)) {
            row_refuse(import, row, "'%s' is empty, and the row needs it", table->fields[at].name);
            return false;
        }
    return true;
}

bool row_is_catcher(const struct import *import, size_t row)
{
    const char *cell = row_named_cell(import, row, "catcher");
    return strcmp(cell, "yes") == 0 || strcmp(cell, "true") == 0 || strcmp(cell, "1") == 0 || strcmp(cell, "CC") == 0;
}

/* --- the whole file --- */

enum status import_read(struct arena *arena, const struct import_asked *asked, FILE *in, const char *path,
                        struct import *out, struct err *err)
{
    *out = (struct import){.asked = *asked};
    TRY(csv_read(arena, in, path, &out->table, err));
    return mapping_read(arena, &asked->mapping, asked->kind, &out->table, &out->mapping, err);
}

static enum status take_row(struct import *import, size_t row, struct err *err)
{
    struct import_core *core = NULL;
    TRY(row_find_core(import, row, &core, err));
    import->row_cores[row] = core;
    if (!core)
        return STATUS_OK;
    if (import->asked.kind == IMPORT_CORES)
        return row_to_core(import, row, core, err);
    if (import->asked.kind == IMPORT_SECTIONS)
        return row_to_section(import, row, core, err);
    return row_to_sample(import, row, core, err);
}

/* A core, or its samples, as the rows leave it. */
static enum status draft_core(struct import *import, struct import_core *core, struct err *err)
{
    const char *hole = core->target.hole_name;
    const int32_t number = core->target.core.number;
    char path[REGISTRY_PATH_MAX];
    if (core->samples_changed) {
        samples_path(hole, number, path);
        qsort(core->set.samples, core->set.sample_count, sizeof *core->set.samples, sample_order);
        return draft_write(import->state, &import->draft, path, &sample_set_table, &core->set, err);
    }
    core_path(hole, number, path);
    return draft_write(import->state, &import->draft, path, &core_table, &core->target.core, err);
}

static enum status take_rows(struct import *import, struct err *err)
{
    int64_t next_ms = 0;
    for (size_t row = 1; row < import->table.rows; row++) {
        state_progress(import->state, "checked", row, import->table.rows - 1, &next_ms);
        TRY(take_row(import, row, err));
    }
    if (import->asked.kind != IMPORT_SAMPLES)
        TRY(import_judge_cores(import, err));
    for (size_t at = 0; at < import->core_count && !import->tally.refused; at++)
        if (import->cores[at]->changed || import->cores[at]->samples_changed)
            TRY(draft_core(import, import->cores[at], err));
    return STATUS_OK;
}

/* The line of the commit, and how often what was kept against doubt. */
static enum status write_line(struct import *import, struct err *err)
{
    const struct tally_of_rows *tally = &import->tally;
    const char *slash = strrchr(import->table.path, '/');
    struct text text;
    struct bytes bytes;
    text_init(&text, import->state->arena);
    text_addf(&text, "Import of %s from %s: %zu new", import_words[import->asked.kind],
              slash ? slash + 1 : import->table.path, tally->added);
    if (tally->present)
        text_addf(&text, ", %zu already recorded", tally->present);
    if (tally->doubtful)
        text_addf(&text, ", %zu kept as doubtful", tally->doubtful);
    TRY(text_done(&text, &bytes, err));
    import->draft.line = bytes.data;
    text_init(&text, import->state->arena);
    for (int rule = 0; rule < RULE_COUNT; rule++)
        if (tally->kept[rule].count)
            text_addf(&text, "%s%s (%zu)", text.len ? ", " : "", rule_word((enum rule)rule), tally->kept[rule].count);
    TRY(text_done(&text, &bytes, err));
    import->draft.kept = bytes.len ? bytes.data : NULL;
    return STATUS_OK;
}

enum status import_rows(struct import *import, struct state *state, struct err *err)
{
    import->state = state;
    draft_init(&import->draft);
    import->draft.name = import->table.path;
    TRY(arena_take(state->arena, import->table.rows, sizeof(struct import_core *), &import->row_cores, err));
    TRY(arena_take(state->arena, import->table.rows, sizeof *import->row_records, &import->row_records, err));
    TRY(import->asked.kind == IMPORT_BAGS ? import_bags(import, err) : take_rows(import, err));
    import->draft.is_bulk = import->draft.writing_count > FEW_FILES;
    return write_line(import, err);
}
