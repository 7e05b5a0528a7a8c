/* SPDX-License-Identifier: MIT */
/* Tables of results as text: aligned, JSON or CSV. */
#include "coretally/view/sheet.h"

#include <assert.h>
#include <string.h>

#include "coretally/base/shown.h"
#include "coretally/view/width.h"

void sheet_init(struct sheet *sheet, struct arena *arena, const struct column *columns, size_t column_count)
{
    *sheet = (struct sheet){.arena = arena, .columns = columns, .column_count = column_count};
}

static bool is_text(const struct cell *cell)
{
    return cell->kind == CELL_TEXT || cell->kind == CELL_COMMIT;
}

static enum status keep_text(struct sheet *sheet, struct cell *cell, struct err *err)
{
    const size_t len = cell->more ? strnlen(cell->text, (size_t)cell->more) : strlen(cell->text);
    cell->more = 0;
    return arena_copy(sheet->arena, cell->text, len, &cell->text, err);
}

enum status sheet_add_row(struct sheet *sheet, const struct cell *cells, struct err *err)
{
    const size_t row_size = sheet->column_count * sizeof *sheet->cells;
    TRY(arena_grow(sheet->arena, &sheet->cells, sheet->row_count, &sheet->room, row_size, err));
    struct cell *row = sheet->cells + sheet->row_count * sheet->column_count;
    for (size_t at = 0; at < sheet->column_count; at++) {
        assert(!sheet->columns[at].number || (!is_text(&cells[at]) && cells[at].kind != CELL_INSTANT));
        row[at] = cells[at];
        if (is_text(&cells[at]))
            TRY(keep_text(sheet, &row[at], err));
    }
    sheet->row_count++;
    return STATUS_OK;
}

static const struct cell *cell_at(const struct sheet *sheet, size_t row, size_t column)
{
    return &sheet->cells[row * sheet->column_count + column];
}

const char *sheet_people(const struct sheet *sheet, size_t row, size_t column, struct text *scratch)
{
    const struct cell *cell = cell_at(sheet, row, column);
    if (cell->kind == CELL_TEXT)
        return cell->text;
    if (cell_is_nothing(cell))
        return "";
    scratch->len = 0;
    cell_add_people(cell, sheet->columns[column].unit, scratch);
    return scratch->failed ? "?" : scratch->data;
}

/* One line, and nothing that commands the terminal. The one that is kept, but for a flaw. */
static const char *people_cell(const struct sheet *sheet, size_t row, size_t column, struct text *scratch)
{
    const char *cell = sheet_people(sheet, row, column, scratch);
    struct text_flaw flaw;
    if (!*cell)
        return "-";
    if (!is_text(cell_at(sheet, row, column))) /* made here */
        return cell;
    if (!text_find_flaw(cell, strlen(cell), false, &flaw))
        return cell;
    struct text shown;
    text_init(&shown, sheet->arena);
    text_add_shown(&shown, cell, strlen(cell), false);
    return shown.failed ? "?" : shown.data;
}

static void add_padding(struct text *out, size_t count)
{
    while (count-- > 0)
        text_add(out, " ");
}

/* Nothing for programs? */
static bool is_left_out(const struct column *column, const struct cell *cell)
{
    return column->number ? !cell_is_number(cell) : cell_is_nothing(cell) || cell->kind == CELL_UNDEFINED;
}

/* As programs read it, without quotes. */
static const char *plain_cell(const struct column *column, const struct cell *cell, struct text *scratch)
{
    if (is_text(cell))
        return cell->text;
    scratch->len = 0;
    cell_add_plain(cell, column->unit, scratch);
    return scratch->failed ? "?" : scratch->data;
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

static void render_header(const struct sheet *sheet, const size_t *widths, struct text *out)
{
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
}

/* Every cell as it is shown, made once: its width is asked for before it is printed. */
static enum status show_cells(const struct sheet *sheet, const char ***out, struct err *err)
{
    const char **shown = NULL;
    struct text scratch;
    text_init(&scratch, sheet->arena);
    TRY(arena_take(sheet->arena, sheet->row_count * sheet->column_count, sizeof *shown, &shown, err));
    for (size_t row = 0; row < sheet->row_count; row++)
        for (size_t column = 0; column < sheet->column_count; column++) {
            const char **cell = &shown[row * sheet->column_count + column];
            *cell = people_cell(sheet, row, column, &scratch);
            if (*cell == scratch.data) /* the next one is made there */
                TRY(arena_copy(sheet->arena, *cell, strlen(*cell), cell, err));
        }
    *out = shown;
    return STATUS_OK;
}

static void render_people(const struct sheet *sheet, struct text *out)
{
    enum { COLUMNS_MAX = 32 };
    size_t widths[COLUMNS_MAX] = {0};
    const char **shown = NULL;
    struct err short_of_memory = {0};
    if (show_cells(sheet, &shown, &short_of_memory) != STATUS_OK) {
        out->failed = true;
        return;
    }
    for (size_t column = 0; column < sheet->column_count; column++) {
        widths[column] = header_width(&sheet->columns[column]);
        for (size_t row = 0; row < sheet->row_count; row++) {
            const size_t width = width_of(shown[row * sheet->column_count + column]);
            widths[column] = width > widths[column] ? width : widths[column];
        }
    }
    render_header(sheet, widths, out);
    for (size_t row = 0; row < sheet->row_count; row++)
        for (size_t column = 0; column < sheet->column_count; column++)
            add_aligned(out, &sheet->columns[column], shown[row * sheet->column_count + column], widths[column],
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
    struct text scratch;
    text_init(&scratch, sheet->arena);
    text_add(out, "[");
    for (size_t row = 0; row < sheet->row_count; row++) {
        text_add(out, row ? ",\n{" : "\n{");
        for (size_t column = 0; column < sheet->column_count; column++) {
            const struct column *it = &sheet->columns[column];
            const struct cell *cell = cell_at(sheet, row, column);
            text_add(out, column ? ",\"" : "\"");
            add_key(out, it);
            text_add(out, "\":");
            if (is_left_out(it, cell))
                text_add(out, "null");
            else if (it->number)
                text_add(out, plain_cell(it, cell, &scratch));
            else
                text_add_json(out, plain_cell(it, cell, &scratch));
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
    struct text scratch;
    text_init(&scratch, sheet->arena);
    for (size_t column = 0; column < sheet->column_count; column++) {
        text_add(out, column ? "," : "");
        add_key(out, &sheet->columns[column]);
    }
    text_add(out, "\n");
    for (size_t row = 0; row < sheet->row_count; row++) {
        for (size_t column = 0; column < sheet->column_count; column++) {
            const struct column *it = &sheet->columns[column];
            const struct cell *cell = cell_at(sheet, row, column);
            text_add(out, column ? "," : "");
            if (is_left_out(it, cell))
                continue;
            if (!it->number && cell->kind == CELL_TEXT && starts_formula(cell->text)) {
                scratch.len = 0; /* a leading apostrophe says to a spreadsheet that it is text */
                text_addf(&scratch, "'%s", cell->text);
                text_add_csv(out, scratch.failed ? "?" : scratch.data);
            } else
                text_add_csv(out, plain_cell(it, cell, &scratch));
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
