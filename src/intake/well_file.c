/* SPDX-License-Identifier: MIT */
/* Wells from files. */
#include "coretally/intake/well_file.h"

#include <string.h>
#include <strings.h>

#include "coretally/base/limits.h"
#include "coretally/intake/csv.h"
#include "coretally/record/field.h"

/* Columns of the CSV: for a bore, for a part; NULL where a row of that kind has nothing there. */
static const struct {
    const char *column;
    const char *bore;
    const char *part;
} columns[] = {
    {"name", "kind", "name"},     {"top", "top", NULL},
    {"bottom", "bottom", NULL},   {"length", NULL, "length"},
    {"outside", NULL, "outside"}, {"inside", "diameter", "inside"},
    {"washout", "washout", NULL}, {"tolerance", "tolerance", NULL},
};

enum { COLUMN_COUNT = sizeof columns / sizeof columns[0], NOT_OURS = -1, FROM = -2, WHAT = -3 };

/* What a header names, and the unit behind its underscore. */
static enum status find_column(const char *header, int *column, enum length_unit *unit, bool *has_unit, struct err *err)
{
    const char *mark = strrchr(header, '_');
    const size_t len = mark ? (size_t)(mark - header) : strlen(header);
    *has_unit = mark && length_unit_find(mark + 1, unit);
    *column = strcasecmp(header, "from") == 0 ? FROM : strcasecmp(header, "what") == 0 ? WHAT : NOT_OURS;
    for (int at = 0; at < COLUMN_COUNT && *column == NOT_OURS; at++)
        if (strlen(columns[at].column) == len && strncasecmp(columns[at].column, header, len) == 0)
            *column = at;
    if (*column != NOT_OURS && !(mark && *column >= 0 && !*has_unit && strcasecmp(mark, "_pct") != 0))
        return STATUS_OK;
    err_set(err, STATUS_INPUT, header, "a well has no such column");
    return err_hint(err, "columns are what,name,top_m,bottom_m,length_m,outside_mm,inside_mm,washout_pct,tolerance_mm "
                         "and from; units m, ft, mm, in");
}

struct rows {
    struct arena *arena;
    const struct table_text *table;
    int32_t zone_min;
    struct geometry *states;
    size_t count;
    size_t room;
    size_t bore_room;
    size_t part_room;
};

static const char *cell_of(const struct rows *rows, size_t row, int wanted)
{
    for (size_t at = 0; at < rows->table->columns; at++) {
        const char *header = rows->table->cells[at];
        if (strcasecmp(header, wanted == FROM ? "from" : "what") == 0)
            return rows->table->cells[row * rows->table->columns + at];
    }
    return "";
}

/* A new state where the first row, or another time, stands. */
static enum status open_state(struct rows *rows, size_t row, struct err *err)
{
    struct geometry state;
    const char *from = cell_of(rows, row, FROM);
    record_init(&geometry_table, &state);
    const struct field *field = field_find(&geometry_table, "from");
    if (*from)
        TRY(field_set(field, from, field->unit, rows->zone_min, rows->arena, &state, err));
    if (rows->count && (!*from || state.from.utc_us == rows->states[rows->count - 1].from.utc_us))
        return STATUS_OK;
    if (rows->count &&
        (!rows->states[rows->count - 1].from.known || state.from.utc_us < rows->states[rows->count - 1].from.utc_us))
        return err_set(err, STATUS_INPUT, from, "the states of a file stand in order of time");
    TRY(arena_grow(rows->arena, &rows->states, rows->count, &rows->room, sizeof state, err));
    rows->states[rows->count++] = state;
    rows->bore_room = rows->part_room = 0;
    return STATUS_OK;
}

static enum status take_row(struct rows *rows, size_t row, struct err *err)
{
    const struct table_text *table = rows->table;
    struct bore bore;
    struct part part;
    const char *what = cell_of(rows, row, WHAT);
    const bool is_bore = strcasecmp(what, "bore") == 0;
    TRY(open_state(rows, row, err));
    struct geometry *state = &rows->states[rows->count - 1];
    if (!is_bore && strcasecmp(what, "part") != 0) {
        err_set(err, STATUS_INPUT, what, "a row of a well is a bore or a part of the string");
        return err_hint(err, "the column 'what' says bore or part");
    }
    record_init(&bore_table, &bore);
    record_init(&part_table, &part);
    for (size_t at = 0; at < table->columns; at++) {
        int column = 0;
        bool has_unit = false;
        enum length_unit unit = UNIT_M;
        const char *cell = table->cells[row * table->columns + at];
        TRY(find_column(table->cells[at], &column, &unit, &has_unit, err));
        const char *name = column < 0 ? NULL : is_bore ? columns[column].bore : columns[column].part;
        if (!*cell || column < 0)
            continue;
        if (!name) {
            err_set(err, STATUS_INPUT, cell, "a %s has no %s", is_bore ? "bore" : "part", columns[column].column);
            return err_hint(err, "leave the cell empty");
        }
        const struct field *field = field_find(is_bore ? &bore_table : &part_table, name);
        TRY(field_set(field, cell, has_unit ? unit : field->unit, INT_NONE, rows->arena,
                      is_bore ? (void *)&bore : (void *)&part, err));
    }
    if (is_bore) {
        TRY(record_validate(&bore_table, &bore, "bore", err));
        TRY(arena_grow(rows->arena, &state->bores, state->bore_count, &rows->bore_room, sizeof bore, err));
        state->bores[state->bore_count++] = bore;
        return STATUS_OK;
    }
    TRY(record_validate(&part_table, &part, "part", err));
    TRY(arena_grow(rows->arena, &state->parts, state->part_count, &rows->part_room, sizeof part, err));
    state->parts[state->part_count++] = part;
    return STATUS_OK;
}

static enum status read_table(struct arena *arena, struct lines *lines, int32_t zone_min, struct well_file *out,
                              struct err *err)
{
    const char *path = lines->path;
    struct table_text table = {0};
    TRY(csv_gather(arena, lines, &table, err));
    struct rows rows = {.arena = arena, .table = &table, .zone_min = zone_min};
    for (size_t row = 1; row < table.rows; row++) {
        struct err inner = {0};
        if (take_row(&rows, row, &inner) == STATUS_OK)
            continue;
        char where[ERR_SUBJECT_MAX];
        (void)snprintf(where, sizeof where, "%.90s, line %zu, %.80s", path, table.lines[row], inner.subject);
        err_set(err, inner.status, where, "%s", inner.reason);
        return err_hint(err, "%s", inner.hint);
    }
    out->states = rows.states;
    out->state_count = rows.count;
    return STATUS_OK;
}

static enum status read_json(struct arena *arena, struct lines *lines, struct well_file *out, struct err *err)
{
    const char *path = lines->path;
    struct text text;
    struct bytes bytes;
    char *line = NULL;
    size_t len = 0;
    text_init(&text, arena);
    do {
        TRY(lines_next(lines, &line, &len, err));
        text_add_bytes(&text, line ? line : "", line ? len : 0);
    } while (line && text.len < RECORD_BYTES_MAX);
    TRY(text_done(&text, &bytes, err));
    struct err inner = {0};
    struct geometry_set set = {0};
    if (record_decode(&geometry_set_table, bytes, arena, &set, &inner) == STATUS_OK &&
        record_check_texts(&geometry_set_table, &set, &inner) == STATUS_OK) {
        *out = (struct well_file){.states = set.states, .is_whole = true};
        for (size_t at = 0; at < set.state_count; at++) { /* withdrawn ones count for nothing */
            if (set.states[at].withdrawn)
                continue;
            set.states[at].version = 0;
            out->states[out->state_count++] = set.states[at];
        }
        return STATUS_OK;
    }
    char where[ERR_SUBJECT_MAX];
    (void)snprintf(where, sizeof where, "%.90s, %.100s", path, inner.subject);
    err_set(err, STATUS_INPUT, where, "%s", inner.reason);
    return err_hint(err, "its shape: coretally schema well");
}

enum status well_file_read(struct arena *arena, FILE *in, const char *path, int32_t ship_zone_min,
                           struct well_file *out, struct err *err)
{
    struct well_file set = {0};
    struct lines lines = {0};
    struct bytes begin = {0};
    TRY(lines_open(in, path, &lines, err));
    enum status status = lines_peek(&lines, &begin, err);
    while (begin.len && strchr(" \n\r\t", *begin.data))
        begin = (struct bytes){begin.data + 1, begin.len - 1};
    if (status == STATUS_OK)
        status = begin.len && *begin.data == '{' ? read_json(arena, &lines, &set, err)
                                                 : read_table(arena, &lines, ship_zone_min, &set, err);
    lines_close(&lines);
    if (status == STATUS_OK && set.state_count == 0)
        return err_set(err, STATUS_INPUT, path, "this file holds no well");
    if (status == STATUS_OK)
        *out = set;
    return status;
}
