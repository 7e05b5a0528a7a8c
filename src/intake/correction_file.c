/* SPDX-License-Identifier: MIT */
/* Tables of corrections from CSV files: tide, composite, growth, splice, wireline, survey. */
#include "coretally/intake/correction_file.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "coretally/base/limits.h"

/* Which list of a correction holds the rows of a kind. */
static const struct {
    enum correction_kind kind;
    const char *list;
    bool has_holes; /* rows may belong to several holes, told by a column */
} tables[] = {
    {CORRECTION_TIDE, "heights", false},    {CORRECTION_COMPOSITE, "offsets", true},
    {CORRECTION_GROWTH, "steps", false},    {CORRECTION_SPLICE, "intervals", true},
    {CORRECTION_WIRELINE, "points", false}, {CORRECTION_SURVEY, "stations", false},
};

enum { TABLE_COUNT = sizeof tables / sizeof tables[0] };

static size_t find_table(enum correction_kind kind)
{
    size_t at = 0;
    while (at < TABLE_COUNT && tables[at].kind != kind)
        at++;
    return at;
}

static size_t find_word(const char *word)
{
    size_t at = 0;
    while (at < TABLE_COUNT && strcasecmp(correction_words[tables[at].kind], word) != 0)
        at++;
    return at;
}

bool correction_template(const char *word, struct text *out)
{
    const size_t at = find_word(word);
    if (at == TABLE_COUNT)
        return false;
    const struct field *list = field_find(&correction_table, tables[at].list);
    if (tables[at].has_holes)
        text_add(out, "hole,");
    for (size_t column = 0; column < list->of->count; column++) {
        char name[FIELD_KEY_MAX];
        field_column(&list->of->fields[column], name);
        text_addf(out, "%s%s", column ? "," : "", name);
    }
    text_add(out, "\n");
    return true;
}

struct rows {
    struct state *state;
    const struct table_text *text;
    struct correction_file *file;                /* filled */
    const struct field *fields[CSV_COLUMNS_MAX]; /* NULL: the hole */
    enum length_unit units[CSV_COLUMNS_MAX];
    size_t hole_column; /* SIZE_MAX: none */
};

/* "offset_m", "offset_ft", "offset": the field and the unit of bare numbers. */
static enum status map_column(struct rows *rows, size_t at, struct err *err)
{
    const char *header = rows->text->cells[at];
    char base[FIELD_KEY_MAX];
    struct text known;
    struct bytes bytes;
    const char *mark = strrchr(header, '_');
    const struct table *of = rows->file->list->of;
    if (rows->file->has_holes && strcasecmp(header, "hole") == 0) {
        if (rows->hole_column != SIZE_MAX)
            return err_set(err, STATUS_INPUT, header, "two columns have this name");
        rows->hole_column = at;
        return STATUS_OK;
    }
    const struct field *field = field_find(of, header);
    enum length_unit unit = field ? field->unit : UNIT_M;
    if (!field && mark && length_unit_find(mark + 1, &unit)) {
        (void)snprintf(base, sizeof base, "%.*s", (int)(mark - header), header);
        field = field_find(of, base);
    } else if (field && field->type == FIELD_LENGTH && mark)
        (void)length_unit_find(mark + 1, &unit); /* a key says m where the column would be cm */
    for (size_t other = 0; field && other < at; other++)
        if (rows->fields[other] == field)
            return err_set(err, STATUS_INPUT, header, "two columns hold this, %s and %s", rows->text->cells[other],
                           header);
    rows->fields[at] = field;
    rows->units[at] = unit;
    if (field && (field->type == FIELD_LENGTH || !mark || field_find(of, header)))
        return STATUS_OK;
    text_init(&known, rows->state->arena);
    (void)correction_template(correction_words[rows->file->kind], &known);
    TRY(text_done(&known, &bytes, err));
    err_set(err, STATUS_INPUT, header, "this table has no such column");
    return err_hint(err, "its columns are %.*s", (int)strcspn(bytes.data, "\n"), bytes.data);
}

/* A row into record, which is absent everywhere. */
static enum status take_row(const struct rows *rows, size_t row, const struct target *hole, void *record,
                            struct err *err)
{
    const int32_t zone_min = rows->file->holes[0].hole.zone_min;
    for (size_t at = 0; at < rows->text->columns; at++) {
        const char *cell = rows->text->cells[row * rows->text->columns + at];
        const struct field *field = rows->fields[at];
        char number[32];
        if (!field || !*cell)
            continue;
        struct core_word core = {0};
        if (strcmp(field->name, "core") == 0 && core_word_parse(cell, &core)) { /* 12H */
            TRY(resolve_letter(rows->state, hole, core, err));
            (void)snprintf(number, sizeof number, "%d", (int)core.number);
            cell = number;
        }
        TRY(field_set(field, cell, rows->units[at], zone_min, rows->state->arena, record, err));
    }
    return STATUS_OK;
}

/* The hole that a row belongs to: that of its hole column, the first one otherwise. */
static enum status find_hole(const struct rows *rows, size_t row, size_t *out, struct err *err)
{
    struct correction_file *file = rows->file;
    char typed[40];
    const char *cell =
        rows->hole_column == SIZE_MAX ? "" : rows->text->cells[row * rows->text->columns + rows->hole_column];
    *out = 0;
    if (!*cell)
        return STATUS_OK;
    const bool is_letter = strspn(cell, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz") == strlen(cell);
    (void)snprintf(typed, sizeof typed, "%s%.20s", is_letter ? file->holes[0].hole.site : "", cell);
    for (; *out < file->hole_count; (*out)++)
        if (strcasecmp(file->holes[*out].hole_name, typed) == 0)
            return STATUS_OK;
    if (file->hole_count == CORRECTION_HOLES_MAX)
        return err_set(err, STATUS_INPUT, cell, "a table has rows of at most %d holes", CORRECTION_HOLES_MAX);
    TRY(resolve(rows->state, typed, NAME_HOLE, NAME_HOLE, &file->holes[file->hole_count], err));
    file->hole_count++;
    return STATUS_OK;
}

static enum status blame_row(const struct correction_file *file, size_t row, const struct err *inner, struct err *err)
{
    char where[ERR_SUBJECT_MAX];
    (void)snprintf(where, sizeof where, "%.80s, line %zu, %.80s", file->path, file->lines[row], inner->subject);
    err_set(err, inner->status, where, "%s", inner->reason);
    return err_hint(err, "%s", inner->hint);
}

static int order_offsets(const void *a, const void *b)
{
    return ((const struct core_offset *)a)->core - ((const struct core_offset *)b)->core;
}

static int order_intervals(const void *a, const void *b)
{
    return ((const struct splice_interval *)a)->order - ((const struct splice_interval *)b)->order;
}

/* The rows as one array, with the hole of each. */
static enum status read_rows(const struct rows *rows, struct err *err)
{
    struct correction_file *file = rows->file;
    const struct table *of = file->list->of;
    for (size_t row = 0; row < file->count; row++) {
        struct err inner = {0};
        char *record = file->rows + row * of->size;
        record_init(of, record);
        enum status status = find_hole(rows, row + 1, &file->owners[row], &inner);
        if (status == STATUS_OK)
            status = take_row(rows, row + 1, &file->holes[file->owners[row]], record, &inner);
        if (status != STATUS_OK)
            return blame_row(file, row, &inner, err);
        struct splice_interval *interval = file->kind == CORRECTION_SPLICE ? (void *)record : NULL;
        if (interval && !interval->order)
            interval->order = (int32_t)row + 1; /* as they stand in the file */
    }
    return STATUS_OK;
}

enum status correction_file_take(const struct correction_file *file, size_t hole, struct arena *arena,
                                 struct correction *correction, struct err *err)
{
    const struct table *of = file->list->of;
    char *own = NULL;
    size_t count = 0;
    TRY(arena_take(arena, file->count + 1, of->size, &own, err));
    for (size_t row = 0; row < file->count; row++) {
        struct err inner = {0};
        if (file->owners[row] != hole)
            continue;
        memcpy(own + count++ * of->size, file->rows + row * of->size, of->size);
        if (record_validate(of, file->rows + row * of->size, correction_words[file->kind], &inner) != STATUS_OK)
            return blame_row(file, row, &inner, err);
    }
    if (file->kind == CORRECTION_COMPOSITE && count)
        qsort(own, count, of->size, order_offsets);
    if (file->kind == CORRECTION_SPLICE && count)
        qsort(own, count, of->size, order_intervals);
    *(void **)((char *)correction + file->list->offset) = own;
    *(size_t *)((char *)correction + file->list->count_offset) = count;
    return STATUS_OK;
}

bool correction_is_table(const char *word)
{
    return find_word(word) < TABLE_COUNT;
}

enum status correction_file_read(struct state *state, enum correction_kind kind, const struct table_text *text,
                                 const struct target *first, struct correction_file *out, struct err *err)
{
    const size_t which = find_table(kind);
    if (text->rows < 2)
        return err_set(err, STATUS_INPUT, text->path, "this file has no rows");
    struct correction_file file = {.path = text->path,
                                   .kind = kind,
                                   .has_holes = tables[which].has_holes,
                                   .list = field_find(&correction_table, tables[which].list),
                                   .count = text->rows - 1,
                                   .lines = text->lines + 1};
    struct rows rows = {.state = state, .text = text, .file = &file, .hole_column = SIZE_MAX};
    for (size_t at = 0; at < text->columns; at++)
        TRY(map_column(&rows, at, err));
    TRY(arena_take(state->arena, file.count, file.list->of->size, &file.rows, err));
    TRY(arena_take(state->arena, file.count, sizeof *file.owners, &file.owners, err));
    TRY(arena_take(state->arena, file.has_holes ? CORRECTION_HOLES_MAX : 1, sizeof *file.holes, &file.holes, err));
    file.holes[file.hole_count++] = *first;
    TRY(read_rows(&rows, err));
    *out = file;
    return STATUS_OK;
}
