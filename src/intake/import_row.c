/* SPDX-License-Identifier: MIT */
/* One row of an import: its cells, its fields into a record, and its refusal, which is told with its line. */
#include "import_row.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

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
