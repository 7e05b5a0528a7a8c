/* SPDX-License-Identifier: MIT */
/* Tables of results as text: aligned, JSON or CSV. */
#include "coretally/view/sheet.h"

#include <string.h>

#include "coretally/base/shown.h"
#include "coretally/view/width.h"

void sheet_init(struct sheet *sheet, struct arena *arena, const struct column *columns, size_t column_count)
{
    *sheet = (struct sheet){.arena = arena, .columns = columns, .column_count = column_count};
}

enum status sheet_add(struct sheet *sheet, const char *const *cells, struct err *err)
{
    const size_t row_size = sheet->column_count * sizeof *sheet->cells;
    TRY(arena_grow(sheet->arena, &sheet->cells, sheet->row_count, &sheet->room, row_size, err));
    const char **row = sheet->cells + sheet->row_count * sheet->column_count;
    for (size_t at = 0; at < sheet->column_count; at++) {
        row[at] = NULL;
        if (cells[at] && *cells[at])
            TRY(arena_copy(sheet->arena, cells[at], strlen(cells[at]), &row[at], err));
    }
    sheet->row_count++;
    return STATUS_OK;
}

static const char *cell_at(const struct sheet *sheet, size_t row, size_t column)
{
    return sheet->cells[row * sheet->column_count + column];
}

/* A cell as people see it: one line, and nothing that commands the terminal. The one that is kept, but for a flaw. */
static const char *people_cell(const struct sheet *sheet, size_t row, size_t column)
{
    const char *cell = cell_at(sheet, row, column);
    struct text_flaw flaw;
    struct text text;
    if (!cell)
        return "-";
    if (!text_find_flaw(cell, strlen(cell), false, &flaw))
        return cell;
    text_init(&text, sheet->arena);
    text_add_shown(&text, cell, strlen(cell), false);
    return text.failed ? "?" : text.data;
}

static void add_padding(struct text *out, size_t count)
{
    while (count-- > 0)
        text_add(out, " ");
}

/* Does it stand unquoted in JSON? Digits with sign and point: what length_format and recovery_format print. */
static bool is_number(const char *cell)
{
    return cell[strspn(cell, "+-.0123456789eE")] == '\0';
}

static size_t width_of(const char *string)
{
    return display_width(string, strlen(string));
}

static size_t header_width(const struct column *column)
{
    return width_of(column->name) + (column->unit ? 1 + width_of(column->unit) : 0);
}

static void add_aligned(struct text *out, const struct column *column, const char *cell, size_t width, bool last)
{
    const size_t padding = width - width_of(cell);
    if (column->number)
        add_padding(out, padding);
    text_add(out, cell);
    if (!column->number && !last)
        add_padding(out, padding);
    text_add(out, last ? "\n" : "  ");
}

static void render_people(const struct sheet *sheet, struct text *out)
{
    enum { COLUMNS_MAX = 32 };
    size_t widths[COLUMNS_MAX] = {0};
    for (size_t column = 0; column < sheet->column_count; column++) {
        widths[column] = header_width(&sheet->columns[column]);
        for (size_t row = 0; row < sheet->row_count; row++) {
            const size_t width = width_of(people_cell(sheet, row, column));
            widths[column] = width > widths[column] ? width : widths[column];
        }
    }
    for (size_t column = 0; column < sheet->column_count; column++) {
        const struct column *it = &sheet->columns[column];
        const size_t padding = widths[column] - header_width(it);
        const bool last = column + 1 == sheet->column_count;
        if (it->number)
            add_padding(out, padding);
        text_addf(out, "%s%s%s", it->name, it->unit ? " " : "", it->unit ? it->unit : "");
        if (!it->number && !last)
            add_padding(out, padding);
        text_add(out, last ? "\n" : "  ");
    }
    for (size_t row = 0; row < sheet->row_count; row++)
        for (size_t column = 0; column < sheet->column_count; column++)
            add_aligned(out, &sheet->columns[column], people_cell(sheet, row, column), widths[column],
                        column + 1 == sheet->column_count);
}

static void add_key(struct text *out, const struct column *column)
{
    for (const char *at = column->name; *at; at++)
        text_add_bytes(out, *at == ' ' || *at == '-' ? "_" : at, 1);
    if (column->unit)
        text_addf(out, "_%s", strcmp(column->unit, "%") == 0 ? "pct" : column->unit);
}

static void render_json(const struct sheet *sheet, struct text *out)
{
    text_add(out, "[");
    for (size_t row = 0; row < sheet->row_count; row++) {
        text_add(out, row ? ",\n{" : "\n{");
        for (size_t column = 0; column < sheet->column_count; column++) {
            const char *cell = cell_at(sheet, row, column);
            text_add(out, column ? ",\"" : "\"");
            add_key(out, &sheet->columns[column]);
            text_add(out, "\":");
            if (!cell || (sheet->columns[column].number && !is_number(cell)))
                text_add(out, "null");
            else if (sheet->columns[column].number)
                text_add(out, cell);
            else
                text_add_json(out, cell);
        }
        text_add(out, "}");
    }
    text_add(out, "\n]\n");
}

/* A spreadsheet takes what begins with one of these for a formula. A signed number with or without its unit ("-0.35",
 * "+9.620 m", "-20 C") is none. */
static bool starts_formula(const char *cell)
{
    if (!strchr("=@+-\t\r", *cell))
        return false;
    if (*cell != '+' && *cell != '-')
        return true;
    const char *rest = cell + 1 + strspn(cell + 1, "0123456789.:"); /* a zone, +05:30, is none either */
    const bool is_number = rest > cell + 1 || !*rest;
    rest += *rest == ' ';
    return !is_number || rest[strspn(rest, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789/%")];
}

static void render_csv(const struct sheet *sheet, struct text *out)
{
    for (size_t column = 0; column < sheet->column_count; column++) {
        text_add(out, column ? "," : "");
        add_key(out, &sheet->columns[column]);
    }
    text_add(out, "\n");
    for (size_t row = 0; row < sheet->row_count; row++) {
        for (size_t column = 0; column < sheet->column_count; column++) {
            const char *cell = cell_at(sheet, row, column);
            text_add(out, column ? "," : "");
            if (!cell || (sheet->columns[column].number && !is_number(cell)))
                continue;
            if (!sheet->columns[column].number && starts_formula(cell)) {
                struct text guarded; /* a leading apostrophe says to a spreadsheet that it is text */
                text_init(&guarded, sheet->arena);
                text_addf(&guarded, "'%s", cell);
                cell = guarded.failed ? "?" : guarded.data;
            }
            text_add_csv(out, cell);
        }
        text_add(out, "\n");
    }
}

void sheet_render(const struct sheet *sheet, enum sheet_format format, struct text *out)
{
    if (format == SHEET_JSON)
        render_json(sheet, out);
    else if (format == SHEET_CSV)
        render_csv(sheet, out);
    else
        render_people(sheet, out);
}
