/* SPDX-License-Identifier: MIT */
/* Tables of corrections from CSV files: tide, composite, growth, splice, wireline, survey. */
#include <ctype.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "correction_act.h"

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
    struct run *run;
    const struct table_text *text;
    const struct table *table; /* of a row */
    bool has_holes;
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
    if (rows->has_holes && strcasecmp(header, "hole") == 0) {
        if (rows->hole_column != SIZE_MAX)
            return err_set(err, STATUS_INPUT, header, "two columns have this name");
        rows->hole_column = at;
        return STATUS_OK;
    }
    const struct field *field = field_find(rows->table, header);
    enum length_unit unit = field ? field->unit : UNIT_M;
    if (!field && mark && length_unit_find(mark + 1, &unit)) {
        (void)snprintf(base, sizeof base, "%.*s", (int)(mark - header), header);
        field = field_find(rows->table, base);
    } else if (field && field->type == FIELD_LENGTH && mark)
        (void)length_unit_find(mark + 1, &unit); /* a key says m where the column would be cm */
    for (size_t other = 0; field && other < at; other++)
        if (rows->fields[other] == field)
            return err_set(err, STATUS_INPUT, header, "two columns hold this, %s and %s", rows->text->cells[other],
                           header);
    rows->fields[at] = field;
    rows->units[at] = unit;
    if (field && (field->type == FIELD_LENGTH || !mark || field_find(rows->table, header)))
        return STATUS_OK;
    text_init(&known, rows->run->state->arena);
    (void)correction_template(rows->run->args[1], &known);
    TRY(text_done(&known, &bytes, err));
    err_set(err, STATUS_INPUT, header, "this table has no such column");
    return err_hint(err, "its columns are %.*s", (int)strcspn(bytes.data, "\n"), bytes.data);
}

/* A row into record, which is absent everywhere. */
static enum status take_row(const struct rows *rows, size_t row, const struct target *hole, int32_t zone_min,
                            void *record, struct err *err)
{
    for (size_t at = 0; at < rows->text->columns; at++) {
        const char *cell = rows->text->cells[row * rows->text->columns + at];
        const struct field *field = rows->fields[at];
        char number[32];
        if (!field || !*cell)
            continue;
        struct core_word core = {0};
        if (strcmp(field->name, "core") == 0 && core_word_parse(cell, &core)) { /* 12H */
            TRY(resolve_letter(rows->run->state, hole, core, err));
            (void)snprintf(number, sizeof number, "%d", (int)core.number);
            cell = number;
        }
        TRY(field_set(field, cell, rows->units[at], zone_min, rows->run->state->arena, record, err));
    }
    return STATUS_OK;
}

/* The draft that a row belongs to: that of its hole column, the first one otherwise. */
static enum status find_draft(const struct rows *rows, size_t row, struct drafts *drafts, size_t *out, struct err *err)
{
    char typed[40];
    const char *cell =
        rows->hole_column == SIZE_MAX ? "" : rows->text->cells[row * rows->text->columns + rows->hole_column];
    *out = 0;
    if (!*cell)
        return STATUS_OK;
    const bool is_letter = strspn(cell, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz") == strlen(cell);
    (void)snprintf(typed, sizeof typed, "%s%.20s", is_letter ? drafts->items[0].target.hole.site : "", cell);
    for (; *out < drafts->count; (*out)++)
        if (strcasecmp(drafts->items[*out].target.hole_name, typed) == 0)
            return STATUS_OK;
    if (drafts->count == DRAFTS_MAX)
        return err_set(err, STATUS_INPUT, cell, "a table has rows of at most %d holes", DRAFTS_MAX);
    struct draft *draft = &drafts->items[drafts->count];
    TRY(draft_open(rows->run->state, typed, draft, err));
    const char *hole = draft->added.hole;
    draft->added = drafts->items[0].added; /* what was typed holds for all */
    draft->added.hole = hole;
    drafts->count++;
    return STATUS_OK;
}

static enum status blame_row(const char *path, const struct table_text *text, size_t row, const struct err *inner,
                             struct err *err)
{
    char where[ERR_SUBJECT_MAX];
    (void)snprintf(where, sizeof where, "%.80s, line %zu, %.80s", path, text->lines[row], inner->subject);
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

/* The rows as one array, with the draft of each. */
static enum status read_rows(struct rows *rows, const char *path, struct drafts *drafts, char *records, size_t *owners,
                             struct err *err)
{
    for (size_t row = 1; row < rows->text->rows; row++) {
        struct err inner = {0};
        char *record = records + (row - 1) * rows->table->size;
        record_init(rows->table, record);
        enum status status = find_draft(rows, row, drafts, &owners[row - 1], &inner);
        if (status == STATUS_OK)
            status = take_row(rows, row, &drafts->items[owners[row - 1]].target, drafts->items[0].target.hole.zone_min,
                              record, &inner);
        if (status == STATUS_OK && drafts->items[0].added.kind == CORRECTION_SPLICE &&
            !((struct splice_interval *)record)->order)
            ((struct splice_interval *)record)->order = (int32_t)row; /* as they stand in the file */
        if (status != STATUS_OK)
            return blame_row(path, rows->text, row, &inner, err);
    }
    return STATUS_OK;
}

/* Offsets that were left out, worked out in the order of the file. */
static enum status find_offsets(struct rows *rows, const char *path, struct drafts *drafts, struct core_offset *offsets,
                                const size_t *owners, struct err *err)
{
    const size_t count = rows->text->rows - 1;
    struct tie_row *ties = NULL;
    TRY(arena_take(rows->run->state->arena, count, sizeof *ties, &ties, err));
    for (size_t at = 0; at < count; at++)
        ties[at] = (struct tie_row){owners[at], rows->text->lines[at + 1], offsets[at]};
    TRY(ties_find(rows->run->state, path, drafts, ties, count, err));
    for (size_t at = 0; at < count; at++)
        offsets[at] = ties[at].offset;
    return STATUS_OK;
}

/* Hand the rows of each draft to it, whole and in order. */
static enum status share_rows(struct rows *rows, const char *path, const char *list, struct drafts *drafts,
                              const char *records, const size_t *owners, struct err *err)
{
    const struct field *field = field_find(&correction_table, list);
    const size_t size = rows->table->size;
    for (size_t at = 0; at < drafts->count; at++) {
        struct correction *it = &drafts->items[at].added;
        char *own = NULL;
        size_t count = 0;
        TRY(arena_take(rows->run->state->arena, rows->text->rows, size, &own, err));
        for (size_t row = 0; row + 1 < rows->text->rows; row++) {
            struct err inner = {0};
            if (owners[row] != at)
                continue;
            memcpy(own + count++ * size, records + row * size, size);
            if (record_validate(rows->table, records + row * size, correction_words[it->kind], &inner) != STATUS_OK)
                return blame_row(path, rows->text, row + 1, &inner, err);
        }
        *(void **)((char *)it + field->offset) = own;
        *(size_t *)((char *)it + field->count_offset) = count;
        if (it->kind == CORRECTION_COMPOSITE && count)
            qsort(it->offsets, count, size, order_offsets);
        if (it->kind == CORRECTION_SPLICE && count)
            qsort(it->intervals, count, size, order_intervals);
    }
    return STATUS_OK;
}

/* A hole that no row is of takes no part: the first one may be named for its site alone. */
static void drop_empty(struct drafts *drafts)
{
    size_t kept = 0;
    for (size_t at = 0; at < drafts->count; at++)
        if (drafts->items[at].added.offset_count || drafts->items[at].added.interval_count)
            drafts->items[kept++] = drafts->items[at];
    drafts->count = kept;
}

bool correction_is_table(const char *word)
{
    return find_word(word) < TABLE_COUNT;
}

enum status correction_table_read(struct run *run, const char *path, const struct table_text *text,
                                  struct drafts *drafts, struct err *err)
{
    const enum correction_kind kind = drafts->items[0].added.kind;
    const size_t which = find_table(kind);
    char *records = NULL;
    size_t *owners = NULL;
    if (text->rows < 2)
        return err_set(err, STATUS_INPUT, path, "this file has no rows");
    struct rows rows = {.run = run,
                        .text = text,
                        .table = field_find(&correction_table, tables[which].list)->of,
                        .has_holes = tables[which].has_holes,
                        .hole_column = SIZE_MAX};
    for (size_t at = 0; at < text->columns; at++)
        TRY(map_column(&rows, at, err));
    TRY(arena_take(run->state->arena, text->rows, rows.table->size, &records, err));
    TRY(arena_take(run->state->arena, text->rows, sizeof *owners, &owners, err));
    TRY(read_rows(&rows, path, drafts, records, owners, err));
    if (kind == CORRECTION_COMPOSITE)
        TRY(find_offsets(&rows, path, drafts, (struct core_offset *)(void *)records, owners, err));
    TRY(share_rows(&rows, path, tables[which].list, drafts, records, owners, err));
    if (tables[which].has_holes)
        drop_empty(drafts);
    return STATUS_OK;
}
