/* SPDX-License-Identifier: MIT */
/* CSV as rows one at a time or as a table in memory, through libcsv. */
#include "coretally/intake/csv.h"

#include <csv.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"

/* The row under way. Its cells lie one behind the other in text, each with a NUL. */
struct row {
    char *text;
    size_t text_room;
    size_t text_len;
    size_t starts[CSV_COLUMNS_MAX];
    const char *cells[CSV_COLUMNS_MAX];
    size_t count;
    size_t line; /* on which it began */
    bool is_open;
    size_t columns; /* of the header; 0 before it */
    csv_row *on_row;
    void *context;
    enum status status;
    struct err *err;
};

static enum status refuse_row(const struct row *row, const char *reason)
{
    char where[64];
    (void)snprintf(where, sizeof where, "line %zu", row->line);
    return err_set(row->err, STATUS_INPUT, where, "%s", reason);
}

static void end_cell(void *data, size_t len, void *context)
{
    struct row *row = context;
    size_t bad = 0;
    if (row->status != STATUS_OK)
        return;
    if (len > CSV_CELL_MAX || row->count >= CSV_COLUMNS_MAX) {
        char reason[120];
        (void)snprintf(reason, sizeof reason, "a table has at most %d columns, and %d bytes in a cell", CSV_COLUMNS_MAX,
                       CSV_CELL_MAX);
        row->status = refuse_row(row, reason);
        return;
    }
    if (!utf8_is_valid(data, len, &bad)) {
        row->status = refuse_row(row, "this is not UTF-8 text");
        return;
    }
    if (row->text_len + len + 1 > row->text_room) {
        const size_t wanted = (row->text_len + len + 1) * 2;
        char *grown = realloc(row->text, wanted);
        if (!grown) {
            row->status = err_set(row->err, STATUS_SYSTEM, "memory", "could not read the table");
            return;
        }
        row->text = grown;
        row->text_room = wanted;
    }
    if (len)
        memcpy(row->text + row->text_len, data, len);
    row->text[row->text_len + len] = '\0';
    row->starts[row->count++] = row->text_len;
    row->text_len += len + 1;
}

static void end_row(int c, void *context)
{
    struct row *row = context;
    (void)c;
    if (row->status != STATUS_OK)
        return;
    if (row->columns == 0)
        row->columns = row->count;
    if (row->count != row->columns) {
        char reason[80];
        (void)snprintf(reason, sizeof reason, "%zu cells, where the header has %zu", row->count, row->columns);
        (void)refuse_row(row, reason);
        row->status = err_hint(row->err, "a cell that holds a comma is put in double quotes");
        return;
    }
    for (size_t at = 0; at < row->count; at++)
        row->cells[at] = row->text + row->starts[at];
    row->status = row->on_row(row->context, row->cells, row->count, row->line, row->err);
    row->count = 0;
    row->text_len = 0;
    row->is_open = false;
}

static bool is_blank(const char *line, size_t len)
{
    for (size_t at = 0; at < len; at++)
        if (line[at] != '\r' && line[at] != '\n')
            return false;
    return true;
}

static enum status feed_lines(struct row *row, struct csv_parser *parser, struct lines *lines, struct err *err)
{
    for (;;) {
        char *line = NULL;
        size_t len = 0;
        TRY(lines_next(lines, &line, &len, err));
        if (!line)
            break;
        if (!row->is_open && is_blank(line, len))
            continue;
        if (!row->is_open)
            row->line = lines->number;
        row->is_open = true;
        if (csv_parse(parser, line, len, end_cell, end_row, row) != len) {
            char where[64];
            (void)snprintf(where, sizeof where, "line %zu", lines->number);
            return err_set(err, STATUS_INPUT, where, "there is a quote where none belongs");
        }
        TRY(row->status);
    }
    if (csv_fini(parser, end_cell, end_row, row) != 0)
        return err_set(err, STATUS_INPUT, lines->path, "the last quoted cell has no end");
    return row->status;
}

enum status csv_each(struct lines *lines, csv_row *on_row, void *context, struct err *err)
{
    struct csv_parser parser;
    struct row *row = calloc(1, sizeof *row); /* too large for the stack of a caller that we do not know */
    if (!row)
        return err_set(err, STATUS_SYSTEM, "memory", "could not read the table");
    row->on_row = on_row;
    row->context = context;
    row->err = err;
    enum status status = STATUS_OK;
    if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI) != 0)
        status = err_set(err, STATUS_SYSTEM, "memory", "could not read the table");
    else {
        status = feed_lines(row, &parser, lines, err);
        csv_free(&parser);
    }
    free(row->text);
    free(row);
    return status;
}

struct gathered {
    struct arena *arena;
    struct table_text table;
    size_t *lines;
    size_t cell_room;
    size_t row_room;
};

static enum status gather_row(void *context, const char *const *cells, size_t count, size_t line, struct err *err)
{
    struct gathered *to = context;
    struct table_text *table = &to->table;
    const size_t base = table->rows * count;
    table->columns = count;
    for (size_t at = 0; at < count; at++) {
        TRY(arena_grow(to->arena, &table->cells, base + at, &to->cell_room, sizeof *table->cells, err));
        TRY(arena_copy(to->arena, cells[at], strlen(cells[at]), &table->cells[base + at], err));
    }
    TRY(arena_grow(to->arena, &to->lines, table->rows, &to->row_room, sizeof *to->lines, err));
    to->lines[table->rows++] = line;
    return STATUS_OK;
}

enum status csv_read(struct arena *arena, FILE *in, const char *path, struct table_text *out, struct err *err)
{
    struct lines lines = {0};
    TRY(lines_open(in, path, &lines, err));
    const enum status status = csv_gather(arena, &lines, out, err);
    lines_close(&lines);
    return status;
}

enum status csv_gather(struct arena *arena, struct lines *lines, struct table_text *out, struct err *err)
{
    struct gathered to = {.arena = arena};
    TRY(csv_each(lines, gather_row, &to, err));
    if (to.table.rows < 2) {
        err_set(err, STATUS_INPUT, lines->path, "the table has no rows");
        return err_hint(err, "the first line names the columns, every further line is a row");
    }
    *out = to.table;
    out->lines = to.lines;
    out->path = lines->path;
    return STATUS_OK;
}
