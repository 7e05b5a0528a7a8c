/* SPDX-License-Identifier: MIT */
/* A pump log as LAS 2.0 (Log ASCII Standard of the Canadian Well Logging Society). What is read of it:
 *
 *     ~V   VERS. 2.0 and WRAP. YES or NO
 *     ~W   NULL. what stands in an empty cell
 *     ~C   a line a curve, NAME.UNIT value : description, in the order of the columns
 *     ~A   the rows; with WRAP YES a row is its index on a line of its own and the other values on the lines below
 *
 * Other sections are passed over; '#' begins a remark line. Curves that no mapping uses need not be numbers. */
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "coretally/base/limits.h"
#include "log_mapper.h"

enum { LAS_NAME_MAX = 64, LAS_UNIT_MAX = 32 };

struct las_curve {
    char name[LAS_NAME_MAX];
    char unit[LAS_UNIT_MAX];
};

struct las {
    const struct log_taker *taker;
    const struct lines *lines;
    char section;
    unsigned met; /* sections, a bit a letter */
    bool has_version;
    bool has_wrap;
    bool is_wrapped;
    bool has_empty;
    char empty[LOG_EMPTY_MAX];
    struct las_curve curves[CSV_COLUMNS_MAX];
    size_t curve_count;
    const char *names[CSV_COLUMNS_MAX];
    const char *units[CSV_COLUMNS_MAX];
    const char *cells[CSV_COLUMNS_MAX]; /* of the row under way */
    size_t starts[CSV_COLUMNS_MAX];     /* WRAP YES: in text */
    size_t cell_count;
    size_t row_line; /* on which it began */
    char *text;
    size_t text_len;
    size_t text_room;
};

static enum status refuse_line(const struct las *las, struct err *err, const char *reason)
{
    char where[64];
    (void)snprintf(where, sizeof where, "line %zu", las->lines->number);
    return err_set(err, STATUS_INPUT, where, "%s", reason);
}

struct las_item {
    const char *name;
    const char *unit;
    const char *value;
};

/* "NAME.UNIT value : description"; the last colon ends the value. Cuts the line up. */
static bool item_take(char *line, struct las_item *out)
{
    char *dot = strchr(line, '.');
    char *colon = strrchr(line, ':');
    if (!dot || !colon || colon < dot)
        return false;
    *dot = '\0';
    *colon = '\0';
    char *unit = dot + 1;
    char *value = unit + strcspn(unit, " \t");
    if (*value)
        *value++ = '\0';
    *out = (struct las_item){.name = text_trim(line), .unit = text_trim(unit), .value = text_trim(value)};
    return *out->name != '\0';
}

/* Old files come in old encodings; only what is read must be UTF-8. */
static void copy_printable(char *out, size_t room, const char *text)
{
    size_t bad = 0;
    (void)snprintf(out, room, "%s", text);
    if (!utf8_is_valid(out, strlen(out), &bad))
        for (char *at = out; *at; at++)
            if ((unsigned char)*at >= 0x80)
                *at = '?';
}

static enum status take_version(struct las *las, const struct las_item *item, struct err *err)
{
    if (strcasecmp(item->name, "VERS") == 0) {
        struct decimal version;
        las->has_version = true;
        if (decimal_take(item->value, &version) && decimal_value(&version) == 2.0)
            return STATUS_OK;
        char reason[160];
        (void)snprintf(reason, sizeof reason, "this is LAS %.40s, and only LAS 2.0 is read", item->value);
        (void)refuse_line(las, err, reason);
        return err_hint(err, "write the log as LAS 2.0 or as CSV");
    }
    if (strcasecmp(item->name, "WRAP") == 0) {
        las->has_wrap = true;
        las->is_wrapped = strcasecmp(item->value, "YES") == 0;
        if (!las->is_wrapped && strcasecmp(item->value, "NO") != 0)
            return refuse_line(las, err, "WRAP is YES or NO");
    }
    return STATUS_OK;
}

static enum status take_curve(struct las *las, const struct las_item *item, struct err *err)
{
    if (las->curve_count == CSV_COLUMNS_MAX || strlen(item->name) >= LAS_NAME_MAX || strlen(item->unit) >= LAS_UNIT_MAX)
        return refuse_line(las, err, "no pump log has more than 256 curves, a name of 64 or a unit of 32 letters");
    struct las_curve *curve = &las->curves[las->curve_count];
    copy_printable(curve->name, sizeof curve->name, item->name);
    copy_printable(curve->unit, sizeof curve->unit, item->unit);
    las->names[las->curve_count] = curve->name;
    las->units[las->curve_count++] = curve->unit;
    return STATUS_OK;
}

static enum status take_item(struct las *las, char *line, struct err *err)
{
    struct las_item item;
    if (!strchr("VWC", las->section))
        return STATUS_OK;
    if (!item_take(line, &item)) {
        (void)refuse_line(las, err, "this is not a line of a LAS header");
        return err_hint(err, "such a line reads NAME.UNIT value : description");
    }
    if (las->section == 'V')
        return take_version(las, &item, err);
    if (las->section == 'C')
        return take_curve(las, &item, err);
    if (strcasecmp(item.name, "NULL") == 0 && *item.value) {
        if (strlen(item.value) >= LOG_EMPTY_MAX)
            return refuse_line(las, err, "NULL is a number of at most 31 letters");
        las->has_empty = true;
        (void)snprintf(las->empty, sizeof las->empty, "%s", item.value);
    }
    return STATUS_OK;
}

/* Before the rows: is everything there that they need? */
static enum status begin_rows(struct las *las, struct err *err)
{
    const char *missing = NULL;
    if (!las->has_version)
        missing = "section ~V with VERS. 2.0";
    else if (!las->has_wrap)
        missing = "WRAP. YES or NO in section ~V";
    else if (!(las->met & (1U << ('W' - 'A'))))
        missing = "section ~W";
    else if (!las->has_empty)
        missing = "NULL. -999.25 (what stands in an empty cell) in section ~W";
    else if (las->curve_count == 0)
        missing = "section ~C with the curves";
    if (missing) {
        char reason[160];
        (void)snprintf(reason, sizeof reason, "the rows begin here, and this is missing above them: %s", missing);
        return refuse_line(las, err, reason);
    }
    const struct log_columns columns = {
        .names = las->names, .units = las->units, .count = las->curve_count, .empty = las->empty};
    return las->taker->columns(las->taker->context, &columns, err);
}

static enum status take_heading(struct las *las, const char *line, struct err *err)
{
    const char letter = (char)(line[1] >= 'a' && line[1] <= 'z' ? line[1] - 'a' + 'A' : line[1]);
    if (las->section == 'A')
        return refuse_line(las, err, "section ~A is the last one of a LAS file, and here another one begins");
    if (las->section == 0 && letter != 'V') {
        (void)refuse_line(las, err, "a LAS file begins with section ~V");
        return err_hint(err, "a table with a header line is read with --format csv");
    }
    if (letter >= 'A' && letter <= 'Z') {
        const unsigned bit = 1U << (letter - 'A');
        if ((las->met & bit) && strchr("VWC", letter))
            return refuse_line(las, err, "this section occurs twice");
        las->met |= bit;
        las->section = letter;
    } else
        las->section = '?';
    return letter == 'A' ? begin_rows(las, err) : STATUS_OK;
}

static enum status give_row(struct las *las, struct err *err)
{
    las->cell_count = 0;
    las->text_len = 0;
    return las->taker->row(las->taker->context, las->cells, las->row_line, err);
}

static enum status refuse_width(const struct las *las, size_t found, struct err *err)
{
    char reason[120];
    (void)snprintf(reason, sizeof reason, "%zu values, where section ~C names %zu curves", found, las->curve_count);
    return refuse_line(las, err, reason);
}

/* The next value of a line, closed with a NUL; NULL at its end. */
static char *value_take(char **rest)
{
    char *value = *rest + strspn(*rest, " \t");
    char *end = value + strcspn(value, " \t");
    *rest = *end ? end + 1 : end;
    *end = '\0';
    return *value ? value : NULL;
}

static enum status take_line(struct las *las, char *line, struct err *err)
{
    las->row_line = las->lines->number;
    size_t found = 0;
    for (char *value = value_take(&line); value; value = value_take(&line), found++)
        if (found < las->curve_count)
            las->cells[found] = value;
    return found == las->curve_count ? give_row(las, err) : refuse_width(las, found, err);
}

static enum status keep_value(struct las *las, const char *value, struct err *err)
{
    const size_t size = strlen(value) + 1;
    if (las->text_len + size > las->text_room) {
        const size_t wanted = (las->text_len + size) * 2;
        char *grown = realloc(las->text, wanted);
        if (!grown)
            return err_set(err, STATUS_SYSTEM, "memory", "could not read the log");
        las->text = grown;
        las->text_room = wanted;
    }
    memcpy(las->text + las->text_len, value, size);
    las->starts[las->cell_count++] = las->text_len;
    las->text_len += size;
    return STATUS_OK;
}

static enum status take_wrapped_line(struct las *las, char *line, struct err *err)
{
    const bool is_first = las->cell_count == 0;
    if (is_first)
        las->row_line = las->lines->number;
    size_t found = 0;
    for (char *value = value_take(&line); value; value = value_take(&line), found++) {
        if (las->cell_count == las->curve_count || (is_first && found > 0)) {
            (void)refuse_line(las, err,
                              is_first ? "with WRAP YES the index of a row stands on a line of its own"
                                       : "more values than section ~C names curves");
            return err_hint(err, "WRAP NO in section ~V says that every row is one line");
        }
        TRY(keep_value(las, value, err));
    }
    if (las->cell_count < las->curve_count)
        return STATUS_OK;
    for (size_t at = 0; at < las->curve_count; at++)
        las->cells[at] = las->text + las->starts[at];
    return give_row(las, err);
}

static enum status each_line(struct las *las, struct lines *lines, struct err *err)
{
    for (;;) {
        char *line = NULL;
        size_t len = 0;
        TRY(lines_next(lines, &line, &len, err));
        if (!line)
            break;
        if (memchr(line, '\0', len))
            return refuse_line(las, err, "this is not text");
        while (len && (line[len - 1] == '\n' || line[len - 1] == '\r'))
            len--;
        line[len] = '\0';
        line += strspn(line, " \t");
        if (*line == '\0' || *line == '#')
            continue;
        if (*line == '~')
            TRY(take_heading(las, line, err));
        else if (las->section == 0)
            return refuse_line(las, err, "a LAS file begins with section ~V");
        else if (las->section != 'A')
            TRY(take_item(las, line, err));
        else if (las->is_wrapped)
            TRY(take_wrapped_line(las, line, err));
        else
            TRY(take_line(las, line, err));
    }
    if (lines->is_growing)
        return STATUS_OK;
    if (las->section != 'A')
        return err_set(err, STATUS_INPUT, lines->path, "the file ends before section ~A, which holds the rows");
    if (las->cell_count)
        return refuse_width(las, las->cell_count, err);
    return STATUS_OK;
}

enum status log_las_each(struct lines *lines, const struct log_taker *taker, struct err *err)
{
    struct las *las = calloc(1, sizeof *las);
    if (!las)
        return err_set(err, STATUS_SYSTEM, "memory", "could not read the log");
    las->taker = taker;
    las->lines = lines;
    const enum status status = each_line(las, lines, err);
    free(las->text);
    free(las);
    return status;
}
