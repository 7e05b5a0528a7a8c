/* SPDX-License-Identifier: MIT */
/* A CSV file as a table in memory, through libcsv; and progress on standard error. */
#include <csv.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "coretally/base/limits.h"
#include "import.h"

struct reader {
    struct run *run;
    struct table_text table;
    size_t *lines;
    size_t cell_room;
    size_t row_room;
    size_t cell_count;
    size_t row_line;  /* on which the row under way began */
    size_t row_cells; /* of the row under way */
    bool in_row;
    enum status status;
    struct err err;
};

static void end_cell(void *data, size_t len, void *context)
{
    struct reader *reader = context;
    size_t bad = 0;
    if (reader->status != STATUS_OK)
        return;
    char where[64];
    (void)snprintf(where, sizeof where, "line %zu", reader->row_line);
    if (len > CSV_CELL_MAX || reader->row_cells >= CSV_COLUMNS_MAX)
        reader->status = err_set(&reader->err, STATUS_INPUT, where,
                                 "more than %d columns or %d bytes in a cell are no table of samples", CSV_COLUMNS_MAX,
                                 CSV_CELL_MAX);
    else if (!utf8_is_valid(data, len, &bad))
        reader->status = err_set(&reader->err, STATUS_INPUT, where, "this is not UTF-8 text");
    else
        reader->status = arena_grow(reader->run->arena, &reader->table.cells, reader->cell_count, &reader->cell_room,
                                    sizeof *reader->table.cells, &reader->err);
    if (reader->status == STATUS_OK)
        reader->status =
            arena_copy(reader->run->arena, data, len, &reader->table.cells[reader->cell_count], &reader->err);
    reader->cell_count++;
    reader->row_cells++;
}

static void end_row(int c, void *context)
{
    struct reader *reader = context;
    (void)c;
    if (reader->status != STATUS_OK)
        return;
    if (reader->table.rows == 0)
        reader->table.columns = reader->row_cells;
    if (reader->row_cells != reader->table.columns) {
        char where[64];
        (void)snprintf(where, sizeof where, "line %zu", reader->row_line);
        reader->status = err_set(&reader->err, STATUS_INPUT, where, "%zu cells, where the header has %zu",
                                 reader->row_cells, reader->table.columns);
        err_hint(&reader->err, "a cell that holds a comma is put in double quotes");
        return;
    }
    reader->status = arena_grow(reader->run->arena, &reader->lines, reader->table.rows, &reader->row_room,
                                sizeof *reader->lines, &reader->err);
    if (reader->status != STATUS_OK)
        return;
    reader->lines[reader->table.rows++] = reader->row_line;
    reader->row_cells = 0;
    reader->in_row = false;
}

static enum status feed_lines(struct reader *reader, struct csv_parser *parser, FILE *file, struct err *err)
{
    char *line = NULL;
    size_t room = 0;
    ssize_t len = 0;
    enum status status = STATUS_OK;
    for (size_t number = 1; status == STATUS_OK && (len = getline(&line, &room, file)) >= 0; number++) {
        const char *start = line;
        if (number == 1 && len >= 3 && memcmp(line, "\xEF\xBB\xBF", 3) == 0) { /* a byte-order mark is no text */
            start += 3;
            len -= 3;
        }
        if (!reader->in_row && start[strspn(start, "\r\n")] == '\0')
            continue;
        if (!reader->in_row)
            reader->row_line = number;
        reader->in_row = true;
        if (csv_parse(parser, start, (size_t)len, end_cell, end_row, reader) != (size_t)len) {
            char where[64];
            (void)snprintf(where, sizeof where, "line %zu", number);
            status = err_set(err, STATUS_INPUT, where, "a quote stands where none belongs");
        }
        if (status == STATUS_OK && reader->status != STATUS_OK) {
            *err = reader->err;
            status = reader->status;
        }
    }
    free(line);
    return status;
}

enum status csv_read(struct run *run, const char *path, struct table_text *out, struct err *err)
{
    struct csv_parser parser;
    struct reader reader = {.run = run};
    FILE *file = strcmp(path, "-") == 0 ? run->in : fopen(path, "rb");
    if (!file) {
        err_set(err, errno == ENOENT ? STATUS_UNKNOWN : STATUS_SYSTEM, path, "could not open this file: %s",
                strerror(errno));
        return err_hint(err, "type the path of a CSV file, or - for standard input");
    }
    enum status status = STATUS_OK;
    if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI) != 0)
        status = err_set(err, STATUS_SYSTEM, "memory", "could not read the table");
    if (status == STATUS_OK) {
        status = feed_lines(&reader, &parser, file, err);
        if (status == STATUS_OK && csv_fini(&parser, end_cell, end_row, &reader) != 0)
            status = err_set(err, STATUS_INPUT, path, "the last quoted cell has no end");
        if (status == STATUS_OK && reader.status != STATUS_OK) {
            *err = reader.err;
            status = reader.status;
        }
        if (status == STATUS_OK && ferror(file))
            status = err_set(err, STATUS_SYSTEM, path, "could not be read to its end");
        csv_free(&parser);
    }
    if (file != run->in)
        (void)fclose(file);
    if (status == STATUS_OK && reader.table.rows < 2) {
        err_set(err, STATUS_INPUT, path, "the table has no rows");
        status = err_hint(err, "the first line names the columns, every further line is a row");
    }
    if (status != STATUS_OK)
        return status;
    *out = reader.table;
    out->lines = reader.lines;
    return STATUS_OK;
}

void progress_tell(struct run *run, const char *what, size_t done, size_t total, int64_t *next_ms)
{
    struct timespec now;
    if (done % 256 != 0)
        return;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    const int64_t now_ms = (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
    if (*next_ms == 0)
        *next_ms = now_ms + 1000;
    if (now_ms < *next_ms)
        return;
    *next_ms = now_ms + 1000;
    (void)fprintf(run->talk, "%s: %zu of %zu rows\n", what, done, total);
}
