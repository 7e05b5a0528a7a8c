/* SPDX-License-Identifier: MIT */
/* Layouts read from their text, line by line. Whether what stands there fits is layout_check.c's. */
#include "coretally/view/layout.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/base/quantity.h"
#include "layout_rules.h"

const char *const label_field_words[LABEL_FIELD_COUNT] = {
#define LABEL_FIELD_WORD(id, word, meaning) [LABEL_##id] = word,
    LABEL_FIELD_LIST(LABEL_FIELD_WORD)
#undef LABEL_FIELD_WORD
};

const char *const label_field_meanings[LABEL_FIELD_COUNT] = {
#define LABEL_FIELD_MEANING(id, word, meaning) [LABEL_##id] = meaning,
    LABEL_FIELD_LIST(LABEL_FIELD_MEANING)
#undef LABEL_FIELD_MEANING
};

enum { PARTS_MAX = 4, SIDES_MAX = 4 };

/* What is being read: its line, and where each key stood first. */
struct reading {
    struct layout *layout;
    struct arena *arena;
    size_t line;
    size_t seen[LAYOUT_KEY_COUNT];
};

static bool find_word(const char *const *words, size_t count, const char *typed, size_t *out)
{
    for (size_t at = 0; at < count; at++)
        if (strcmp(words[at], typed) == 0) {
            *out = at;
            return true;
        }
    return false;
}

/* "60 x 30": count_least to count_most lengths in mm; none is negative, and those from `sized` on are above 0. */
static enum status read_sides(char *part, size_t least, size_t most, size_t sized, int64_t *out, size_t *count,
                              struct err *err)
{
    int64_t sides[SIDES_MAX] = {0};
    size_t found = 0;
    for (char *rest = part; rest; found++) {
        char *side = rest;
        rest = strchr(rest, 'x');
        if (rest)
            *rest++ = '\0';
        side = text_trim(side);
        if (found == most)
            return err_set(err, STATUS_INPUT, side, "there are more than %zu lengths here", most);
        TRY(length_parse(side, UNIT_MM, &sides[found], err));
        if (sides[found] < 0 || (found >= sized && sides[found] == 0))
            return err_set(err, STATUS_INPUT, side, "a %s",
                           found >= sized ? "size is more than 0" : "place is 0 or more");
        if (sides[found] > LAYOUT_SHEET_MOST_UM)
            return err_set(err, STATUS_INPUT, side, "no sheet or label is more than %s mm",
                           length_text(LAYOUT_SHEET_MOST_UM, UNIT_MM, 0).text);
    }
    if (found < least)
        return err_set(err, STATUS_INPUT, text_trim(part), "%zu lengths with an x between them belong here", least);
    memcpy(out, sides, found * sizeof *out);
    if (count)
        *count = found;
    return STATUS_OK;
}

static enum status read_pair(char *part, size_t sized, int64_t *x_um, int64_t *y_um, struct err *err)
{
    int64_t sides[2] = {0, 0};
    TRY(read_sides(part, 2, 2, sized, sides, NULL, err));
    *x_um = sides[0];
    *y_um = sides[1];
    return STATUS_OK;
}

static enum status take_label(struct reading *reading, char **parts, struct err *err)
{
    return read_pair(parts[0], 0, &reading->layout->width_um, &reading->layout->height_um, err);
}

static enum status take_sheet(struct reading *reading, char **parts, struct err *err)
{
    return read_pair(parts[0], 0, &reading->layout->sheet_width_um, &reading->layout->sheet_height_um, err);
}

static enum status take_first(struct reading *reading, char **parts, struct err *err)
{
    return read_pair(parts[0], 2, &reading->layout->first_x_um, &reading->layout->first_y_um, err);
}

static enum status take_step(struct reading *reading, char **parts, struct err *err)
{
    return read_pair(parts[0], 0, &reading->layout->step_x_um, &reading->layout->step_y_um, err);
}

static enum status read_count(char *typed, int32_t *out, struct err *err)
{
    int64_t micro = 0;
    const char *count = text_trim(typed);
    if (!decimal_parse_micro(count, strlen(count), false, &micro) || micro % 1000000 != 0 || micro < 1000000 ||
        micro / 1000000 > LAYOUT_GRID_MAX)
        return err_set(err, STATUS_INPUT, count, "columns and rows are whole numbers from 1 to %d", LAYOUT_GRID_MAX);
    *out = (int32_t)(micro / 1000000);
    return STATUS_OK;
}

static enum status take_grid(struct reading *reading, char **parts, struct err *err)
{
    char *rows = strchr(parts[0], 'x');
    if (!rows)
        return err_set(err, STATUS_INPUT, parts[0], "columns x rows belong here");
    *rows++ = '\0';
    TRY(read_count(parts[0], &reading->layout->columns, err));
    return read_count(rows, &reading->layout->rows, err);
}

static enum status take_symbol(struct reading *reading, char **parts, struct err *err)
{
    static const char *const kinds[] = {[SYMBOL_QR] = "qr", [SYMBOL_MATRIX] = "matrix"};
    struct layout *layout = reading->layout;
    struct layout_symbol it = {.box.line = reading->line};
    size_t kind = 0;
    if (layout->symbol_count == LAYOUT_SYMBOLS_MAX)
        return err_set(err, STATUS_INPUT, "symbol", "a label has at most %d symbols", LAYOUT_SYMBOLS_MAX);
    if (!find_word(kinds, sizeof kinds / sizeof *kinds, parts[0], &kind))
        return err_set(err, STATUS_INPUT, parts[0], "a symbol is qr or matrix");
    it.kind = (enum symbol_kind)kind;
    TRY(read_pair(parts[1], 2, &it.box.x_um, &it.box.y_um, err));
    TRY(read_sides(parts[2], 1, 1, 0, &it.box.width_um, NULL, err));
    it.box.height_um = it.box.width_um;
    layout->symbols[layout->symbol_count++] = it;
    return STATUS_OK;
}

static enum status take_top(struct reading *reading, char **parts, struct err *err)
{
    static const char *const ways[] = {
        [ARROW_UP] = "up", [ARROW_DOWN] = "down", [ARROW_LEFT] = "left", [ARROW_RIGHT] = "right"};
    struct layout *layout = reading->layout;
    struct layout_arrow it = {.box.line = reading->line};
    size_t way = 0;
    if (layout->arrow_count == LAYOUT_ARROWS_MAX)
        return err_set(err, STATUS_INPUT, "top", "a label has at most %d arrows", LAYOUT_ARROWS_MAX);
    TRY(read_pair(parts[0], 2, &it.box.x_um, &it.box.y_um, err));
    TRY(read_sides(parts[1], 1, 1, 0, &it.box.width_um, NULL, err));
    it.box.height_um = it.box.width_um;
    if (!find_word(ways, sizeof ways / sizeof *ways, parts[2], &way))
        return err_set(err, STATUS_INPUT, parts[2], "an arrow points up, down, left or right");
    it.way = (enum arrow_way)way;
    layout->arrows[layout->arrow_count++] = it;
    return STATUS_OK;
}

#define FIELD_WORD_SPACED(id, word, meaning) " " word

/* The fields that a pattern names. */
static enum status read_pattern(const char *pattern, uint32_t *fields, struct err *err)
{
    *fields = 0;
    for (const char *at = pattern; *at; at++) {
        if (*at == '}')
            return err_set(err, STATUS_INPUT, pattern, "there is a '}' without a '{' before it");
        if (*at != '{')
            continue;
        char word[24];
        size_t field = 0;
        const size_t len = strcspn(at + 1, "{}");
        if (at[1 + len] != '}')
            return err_set(err, STATUS_INPUT, pattern, "there is a '{' without a '}' after it");
        (void)snprintf(word, sizeof word, "%.*s", (int)(len < sizeof word ? len : sizeof word - 1), at + 1);
        if (!find_word(label_field_words, LABEL_FIELD_COUNT, word, &field)) {
            err_set(err, STATUS_INPUT, pattern, "there is no field {%s}", word);
            return err_hint(err, "fields are:" LABEL_FIELD_LIST(FIELD_WORD_SPACED));
        }
        *fields |= UINT32_C(1) << field;
        at += 1 + len;
    }
    return STATUS_OK;
}

/* "9 bold right" */
static enum status read_style(char *part, struct layout_line *line, struct err *err)
{
    char *rest = NULL;
    const char *size = strtok_r(part, " \t", &rest);
    TRY(real_parse(size ? size : "", &line->size_pt, err));
    if (line->size_pt < LAYOUT_SIZE_LEAST_PT || line->size_pt > LAYOUT_SIZE_MOST_PT)
        return err_set(err, STATUS_INPUT, size, "a text is %d to %d points high", LAYOUT_SIZE_LEAST_PT,
                       LAYOUT_SIZE_MOST_PT);
    for (const char *word = strtok_r(NULL, " \t", &rest); word; word = strtok_r(NULL, " \t", &rest)) {
        if (strcmp(word, "bold") == 0)
            line->is_bold = true;
        else if (strcmp(word, "centre") == 0)
            line->side = LINE_CENTRE;
        else if (strcmp(word, "right") == 0)
            line->side = LINE_RIGHT;
        else if (strcmp(word, "cut") == 0)
            line->may_be_cut = true;
        else
            return err_set(err, STATUS_INPUT, word, "only bold, centre, right or cut may follow the size");
    }
    return STATUS_OK;
}

static enum status take_text(struct reading *reading, char **parts, struct err *err)
{
    struct layout *layout = reading->layout;
    struct layout_line it = {.box.line = reading->line};
    int64_t sides[SIDES_MAX] = {0};
    size_t count = 0;
    if (layout->line_count == LAYOUT_LINES_MAX)
        return err_set(err, STATUS_INPUT, "text", "a label has at most %d texts", LAYOUT_LINES_MAX);
    if (!*parts[0])
        return err_set(err, STATUS_INPUT, "text", "the text to print is missing");
    TRY(read_pattern(parts[0], &it.fields, err));
    TRY(arena_copy(reading->arena, parts[0], strlen(parts[0]), &it.pattern, err));
    TRY(read_sides(parts[1], 3, 4, 2, sides, &count, err));
    TRY(read_style(parts[2], &it, err));
    if (it.may_be_cut && (it.fields & LAYOUT_WHOLE_FIELDS))
        return err_set(err, STATUS_INPUT, parts[0], "what names, places or warns is never cut");
    it.is_wrapped = count == 4;
    it.box.x_um = sides[0];
    it.box.y_um = sides[1];
    it.box.width_um = sides[2];
    it.box.height_um = it.is_wrapped ? sides[3] : (int64_t)llround(it.size_pt * LAYOUT_LINE_UM_PER_PT);
    layout->lines[layout->line_count++] = it;
    return STATUS_OK;
}

static const struct key_row {
    const char *word;
    enum status (*take)(struct reading *reading, char **parts, struct err *err);
    size_t parts;
    bool repeats;
    const char *form;
} key_rows[LAYOUT_KEY_COUNT] = {
    [LAYOUT_KEY_LABEL] = {"label", take_label, 1, false, "label = 60 x 30"},
    [LAYOUT_KEY_SHEET] = {"sheet", take_sheet, 1, false, "sheet = 210 x 297"},
    [LAYOUT_KEY_GRID] = {"grid", take_grid, 1, false, "grid = 3 x 8"},
    [LAYOUT_KEY_FIRST] = {"first", take_first, 1, false, "first = 0 x 4.5"},
    [LAYOUT_KEY_STEP] = {"step", take_step, 1, false, "step = 60 x 30"},
    [LAYOUT_KEY_SYMBOL] = {"symbol", take_symbol, 3, true, "symbol = qr | 2 x 2 | 22"},
    [LAYOUT_KEY_TEXT] = {"text", take_text, 3, true, "text = {name} {check} | 26 x 3 x 42 | 9 bold"},
    [LAYOUT_KEY_TOP] = {"top", take_top, 3, true, "top = 60 x 4 | 8 | up"},
};

static enum status take_line(struct reading *reading, char *line, struct err *err)
{
    char *parts[PARTS_MAX] = {NULL};
    size_t count = 0;
    char *rest = strchr(line, '=');
    if (!rest)
        return err_set(err, STATUS_INPUT, line, "a line has the form key = value");
    *rest++ = '\0';
    const char *word = text_trim(line);
    size_t key = 0;
    while (key < LAYOUT_KEY_COUNT && strcmp(key_rows[key].word, word) != 0)
        key++;
    if (key == LAYOUT_KEY_COUNT)
        return err_set(err, STATUS_INPUT, word, "keys are label, sheet, grid, first, step, symbol, text, top");
    const struct key_row *row = &key_rows[key];
    for (; rest && count < PARTS_MAX; count++) {
        parts[count] = rest;
        rest = strchr(rest, '|');
        if (rest)
            *rest++ = '\0';
        parts[count] = text_trim(parts[count]);
    }
    if (rest || count != row->parts) {
        err_set(err, STATUS_INPUT, word, "%zu part%s should follow the '='", row->parts,
                row->parts == 1 ? "" : "s with | between them");
        return err_hint(err, "write it like this: %s", row->form);
    }
    if (reading->seen[key] && !row->repeats)
        return err_set(err, STATUS_INPUT, word, "it is on line %zu already", reading->seen[key]);
    reading->seen[key] = reading->line;
    if (row->take(reading, parts, err) != STATUS_OK)
        return *err->hint ? err->status : err_hint(err, "write it like this: %s", row->form);
    return STATUS_OK;
}

enum status layout_parse(const char *name, struct bytes text, struct arena *arena, struct layout *out, struct err *err)
{
    struct layout layout = {.columns = 1, .rows = 1};
    struct reading reading = {.layout = &layout, .arena = arena};
    const char *copy = NULL;
    size_t bad = 0;
    if (text.len > LAYOUT_TEXT_MAX)
        return err_set(err, STATUS_INPUT, name, "a layout has a few lines, this one is %zu bytes long (at most %d)",
                       text.len, LAYOUT_TEXT_MAX);
    if (!utf8_is_valid(text.data, text.len, &bad))
        return err_set(err, STATUS_INPUT, name, "byte %zu is not UTF-8", bad + 1);
    TRY(arena_copy(arena, name, strlen(name), &layout.name, err));
    TRY(arena_copy(arena, text.data, text.len, &copy, err));
    char *rest = (char *)(uintptr_t)copy; /* our own copy, cut up here */
    while (rest) {
        char *line = rest;
        struct err own = {0};
        reading.line++;
        rest = strchr(rest, '\n');
        if (rest)
            *rest++ = '\0';
        text_cut_remark(line);
        line = text_trim(line);
        if (!*line || take_line(&reading, line, &own) == STATUS_OK)
            continue;
        char where[ERR_SUBJECT_MAX];
        (void)snprintf(where, sizeof where, "%.90s, line %zu, '%.80s'", name, reading.line, own.subject);
        err_set(err, own.status, where, "%s", own.reason);
        return *own.hint ? err_hint(err, "%s", own.hint) : err->status;
    }
    TRY(layout_check(&layout, reading.seen, err));
    *out = layout;
    return STATUS_OK;
}

size_t layout_places(const struct layout *layout)
{
    return (size_t)layout->columns * (size_t)layout->rows;
}
