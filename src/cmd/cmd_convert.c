/* SPDX-License-Identifier: MIT */
/* Depths of a hole from one scale to another: a few typed, or a column of a table. */
#include <ctype.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "coretally/ask/convert.h"
#include "coretally/intake/csv.h"
#include "coretally/state/span.h"
#include "coretally/run/command.h"

static enum status run_convert(struct run *run, struct err *err);

static const struct option convert_options[] = {
    {"from", "SCALE", "the scale that the depths are on; required"},
    {"to", "SCALE", "the scale wanted"},
    {"core", "CORE", "the core that is meant, where two overlap"},
    {"file", "FILE", "a CSV table of depths, - for standard input; it comes out with columns added, row by row"},
    {"column", "NAME", "which column holds the depths; default: depth, with its unit behind it (depth_m, depth_ft)"},
    {0},
};

const struct command convert_command = {
    .words = "convert",
    .arguments = "HOLE DEPTH... | HOLE --file FILE",
    .purpose = "depths of a hole from one scale to another, few or a whole table",
    .example = "convert U0012A 101.25 --from CSF-A --to CCSF",
    .detail =
        "DRF, DSF, TVD and TVDSF (MRF, MSF) convert among themselves. CSF-A, CSF-B, CCSF, CCSF-B, CCSF-D, WMSF, TVD\n"
        "and TVDSF convert through the core that holds the depth; where cores overlap it must be named. Between a\n"
        "drilled depth and a core depth nothing is defined. A row that has no answer keeps its place, with a note.",
    .use = USE_READING,
    .options = convert_options,
    .least = 1,
    .most = 1000,
    .run = run_convert,
};

static enum status need_scale(const struct run *run, const char *option, enum scale *out, struct err *err)
{
    if (!run_option(run, option)) {
        err_set(err, STATUS_USAGE, option, "a depth means nothing without its scale: which scale is it %s?",
                strcmp(option, "from") == 0 ? "on" : "wanted on");
        return err_hint(err, "for example --from CSF-A --to CCSF");
    }
    return scale_option(run, option, out, err);
}

/* "12H" or "12"; "" is none. */
static enum status read_core(const char *typed, struct core_word *out, struct err *err)
{
    *out = (struct core_word){0};
    if (!*typed || core_word_parse(typed, out))
        return STATUS_OK;
    err_set(err, STATUS_INPUT, typed, "this is not a core number");
    return err_hint(err, "type a core of this hole, 12H or 12");
}

static enum status add_row(struct run *run, const struct convert *convert, const char *typed, struct core_word core,
                           struct sheet *sheet, struct err *err)
{
    int64_t um = 0;
    struct converted converted;
    char name[24] = "";
    TRY(length_parse(typed, run->unit, &um, err));
    TRY(convert_depth(convert, um, core, &converted, err));
    if (converted.core)
        (void)snprintf(name, sizeof name, "%d%c", (int)converted.core->number, converted.core->type);
    const struct depth *it = &converted.depth;
    const struct cell cells[] = {cell_length(um, 3),          cell_text(name),
                                 cell_length(it->um, 3),      cell_length(it->low_um, 3),
                                 cell_length(it->high_um, 3), cell_text(it->method)};
    return sheet_add_row(sheet, cells, err);
}

/* As it was typed, MRF for DRF, in capitals. */
static void scale_text(const struct run *run, const char *option, char out[16])
{
    (void)snprintf(out, 16, "%s", run_option(run, option));
    for (char *at = out; *at; at++)
        *at = (char)toupper((unsigned char)*at);
}

static enum status convert_typed(struct run *run, const struct convert *convert, struct err *err)
{
    const char *unit = run_unit(run);
    char from[16];
    char to[16];
    scale_text(run, "from", from);
    scale_text(run, "to", to);
    const struct column columns[] = {{from, unit, true},  {"core", NULL, false}, {to, unit, true},
                                     {"low", unit, true}, {"high", unit, true},  {"method", NULL, false}};
    struct sheet sheet;
    struct core_word core;
    TRY(read_core(run_option(run, "core") ? run_option(run, "core") : "", &core, err));
    sheet_init(&sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t at = 1; at < run->arg_count; at++)
        TRY(add_row(run, convert, run->args[at], core, &sheet, err));
    return run_print_sheet(run, &sheet, err);
}

/* A table goes through row by row: its own columns, then ours. */
struct stream {
    struct run *run;
    const struct convert *convert;
    size_t depth_column; /* SIZE_MAX before the header */
    size_t core_column;  /* SIZE_MAX: none */
    enum length_unit unit;
    struct core_word core; /* of --core */
    size_t rows;
    size_t refused;
    int64_t next_ms;
};

static void print_cells(const char *const *cells, size_t count, struct text *text)
{
    for (size_t at = 0; at < count; at++) {
        text_add(text, at ? "," : "");
        text_add_csv(text, cells[at]);
    }
}

static enum status take_header(struct stream *stream, const char *const *cells, size_t count, struct text *text,
                               struct err *err)
{
    struct run *run = stream->run;
    const char *wanted = run_option(run, "column") ? run_option(run, "column") : "depth";
    const char *unit = run_unit(run);
    for (size_t at = 0; at < count; at++) {
        const char *mark = strrchr(cells[at], '_');
        enum length_unit behind = run->unit;
        const bool has_unit = mark && length_unit_find(mark + 1, &behind);
        const size_t len = has_unit ? (size_t)(mark - cells[at]) : strlen(cells[at]);
        if (strcasecmp(cells[at], "core") == 0)
            stream->core_column = at;
        if (strcasecmp(cells[at], wanted) != 0 && !(strlen(wanted) == len && strncasecmp(cells[at], wanted, len) == 0))
            continue;
        if (stream->depth_column != SIZE_MAX) {
            err_set(err, STATUS_INPUT, wanted, "two columns could be meant, %s and %s", cells[stream->depth_column],
                    cells[at]);
            return err_hint(err, "name one of them in full: --column %s", cells[at]);
        }
        stream->depth_column = at;
        stream->unit = behind;
    }
    if (stream->depth_column == SIZE_MAX) {
        err_set(err, STATUS_INPUT, wanted, "the table has no column of this name");
        return err_hint(err, "say which column holds the depths: --column NAME; depth_m, depth_ft tell the unit");
    }
    print_cells(cells, count, text);
    for (const char *const *part = (const char *const[]){"", "_low", "_high", NULL}; *part; part++)
        text_addf(text, ",%s%s_%s", scale_words[stream->convert->to], *part, unit);
    text_add(text, ",method,in_core,note\n");
    return STATUS_OK;
}

static enum status take_row(struct stream *stream, const char *const *cells, size_t count, struct text *text)
{
    struct run *run = stream->run;
    struct err why = {0};
    struct converted converted = {.depth = {.um = LENGTH_NONE, .low_um = LENGTH_NONE, .high_um = LENGTH_NONE}};
    struct core_word core = stream->core;
    int64_t um = 0;
    enum status status = STATUS_OK;
    if (stream->core_column != SIZE_MAX)
        status = read_core(cells[stream->core_column], &core, &why);
    if (status == STATUS_OK)
        status = length_parse(cells[stream->depth_column], stream->unit, &um, &why);
    if (status == STATUS_OK)
        status = convert_depth(stream->convert, um, core, &converted, &why);
    stream->refused += status != STATUS_OK;
    stream->rows++;
    print_cells(cells, count, text);
    const int64_t parts_um[] = {converted.depth.um, converted.depth.low_um, converted.depth.high_um};
    for (size_t at = 0; at < 3; at++)
        text_addf(text, ",%s", run_length(run, parts_um[at], 3).text);
    text_add(text, ",");
    text_add_csv(text, converted.depth.method ? converted.depth.method : "");
    text_add(text, ",");
    if (converted.core)
        text_addf(text, "%d%c", (int)converted.core->number, converted.core->type);
    text_add(text, ",");
    text_add_csv(text, status == STATUS_OK ? "" : why.reason);
    text_add(text, "\n");
    return STATUS_OK;
}

static enum status on_row(void *context, const char *const *cells, size_t count, size_t line, struct err *err)
{
    struct stream *stream = context;
    struct arena arena; /* of one line */
    struct text text;
    struct bytes bytes;
    (void)line;
    arena_init(&arena, ARENA_LIMIT_BYTES);
    text_init(&text, &arena);
    enum status status = stream->depth_column == SIZE_MAX ? take_header(stream, cells, count, &text, err)
                                                          : take_row(stream, cells, count, &text);
    if (status == STATUS_OK)
        status = text_done(&text, &bytes, err);
    if (status == STATUS_OK && fwrite(bytes.data, 1, bytes.len, stream->run->out) != bytes.len)
        status = err_set(err, STATUS_SYSTEM, "output", "could not be written");
    arena_clear(&arena);
    state_progress(stream->run->state, "converted", stream->rows, 0, &stream->next_ms);
    return status;
}

static enum status convert_table(struct run *run, const struct convert *convert, struct err *err)
{
    const char *path = run_option(run, "file");
    struct lines lines;
    struct stream stream = {
        .run = run, .convert = convert, .depth_column = SIZE_MAX, .core_column = SIZE_MAX, .unit = run->unit};
    if (run->format == SHEET_JSON)
        return err_set(err, STATUS_USAGE, "--json", "a table comes out as CSV, as it went in");
    TRY(read_core(run_option(run, "core") ? run_option(run, "core") : "", &stream.core, err));
    TRY(lines_open(run->in, path, &lines, err));
    const enum status status = csv_each(&lines, on_row, &stream, err);
    lines_close(&lines);
    TRY(status);
    if (stream.refused)
        return err_set(err, STATUS_INPUT, path, "%zu of %zu rows have no %s; the column 'note' says why",
                       stream.refused, stream.rows, scale_words[convert->to]);
    return STATUS_OK;
}

static enum status run_convert(struct run *run, struct err *err)
{
    struct target target;
    struct convert convert;
    enum scale from = SCALE_COUNT;
    enum scale to = SCALE_COUNT;
    TRY(need_scale(run, "from", &from, err));
    TRY(need_scale(run, "to", &to, err));
    if ((run->arg_count > 1) == (run_option(run, "file") != NULL)) {
        err_set(err, STATUS_USAGE, "convert", "type depths, or --file with a table of them");
        return err_hint(err, "coretally convert U0012A 101.25 --from CSF-A --to CCSF");
    }
    TRY(run_open(run, STORE_READ, err));
    TRY(resolve(run->state, run->args[0], NAME_HOLE, NAME_HOLE, &target, err));
    TRY(convert_open(run->state, &target, from, to, &convert, err));
    return run_option(run, "file") ? convert_table(run, &convert, err) : convert_typed(run, &convert, err);
}
