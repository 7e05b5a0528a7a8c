/* SPDX-License-Identifier: MIT */
/* A table keyed by names: the same rows in the same order, with depths behind them. */
#include "trace_file.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

#include "coretally/ask/trace_names.h"
#include "coretally/intake/csv.h"

enum { TRACE_SCALES_MAX = SCALE_COUNT, UNKNOWN_SHOWN = 20, BLOCK_BYTES = 1 << 16 };

struct stream {
    struct run *run;
    struct trace_names names;
    enum scale scales[TRACE_SCALES_MAX];
    size_t scale_count;
    size_t name_column; /* SIZE_MAX before the header */
    bool must;          /* a sample must be recorded */
    struct arena arena; /* of the output that waits */
    struct text text;
    size_t rows;
    size_t unknown;
    size_t renamed;
    size_t twice;
    size_t namesakes;
    char former[600];   /* what is told of a former name in the row */
    char namesake[600]; /* of another sample that had the name */
    char stale[120];    /* of a scanned label in the row */
    int64_t next_ms;
};

/* "CSF-A,CCSF" */
static enum status read_scales(struct run *run, struct stream *stream, struct err *err)
{
    const char *typed = run_option(run, "scale");
    stream->scales[stream->scale_count++] = SCALE_CSF_A;
    if (!typed)
        return STATUS_OK;
    stream->scale_count = 0;
    while (*typed) {
        char word[24];
        const size_t len = strcspn(typed, ",; ");
        (void)snprintf(word, sizeof word, "%.*s", (int)(len < sizeof word ? len : sizeof word - 1), typed);
        typed += len + strspn(typed + len, ",; ");
        if (stream->scale_count == TRACE_SCALES_MAX)
            return err_set(err, STATUS_INPUT, "--scale", "more scales than there are");
        TRY(scale_typed(word, &stream->scales[stream->scale_count++], err));
    }
    return STATUS_OK;
}

static enum status flush(struct stream *stream, struct err *err)
{
    struct bytes bytes = {0};
    TRY(text_done(&stream->text, &bytes, err));
    if (bytes.len && fwrite(bytes.data, 1, bytes.len, stream->run->out) != bytes.len)
        return err_set(err, STATUS_SYSTEM, "output", "could not be written");
    stream->text.len = 0;
    return STATUS_OK;
}

static enum status take_header(struct stream *stream, const char *const *cells, size_t count, struct err *err)
{
    const char *wanted = run_option(stream->run, "column") ? run_option(stream->run, "column") : "name";
    const char *unit = run_unit(stream->run);
    static const char *const parts[] = {"top", "bottom", "low", "high"};
    for (size_t at = 0; at < count; at++) {
        if (strcasecmp(cells[at], wanted) == 0 && stream->name_column != SIZE_MAX)
            return err_set(err, STATUS_INPUT, wanted, "two columns have this name");
        if (strcasecmp(cells[at], wanted) == 0)
            stream->name_column = at;
        text_add(&stream->text, at ? "," : "");
        text_add_csv(&stream->text, cells[at]);
    }
    if (stream->name_column == SIZE_MAX) {
        err_set(err, STATUS_INPUT, wanted, "the table has no column of this name");
        return err_hint(err, "say which column holds the names: --column NAME");
    }
    text_add(&stream->text, ",traced");
    for (size_t scale = 0; scale < stream->scale_count; scale++) {
        char word[16];
        (void)snprintf(word, sizeof word, "%s", scale_words[stream->scales[scale]]);
        for (char *at = word; *at; at++) {
            const int lower = *at == '-' ? '_' : tolower((unsigned char)*at);
            *at = (char)lower;
        }
        for (size_t part = 0; part < 4; part++)
            text_addf(&stream->text, ",%s_%s_%s", word, parts[part], unit);
        text_addf(&stream->text, ",%s_method", word);
    }
    text_add(&stream->text, ",note\n");
    return STATUS_OK;
}

/* Depths of one scale, or as many empty cells; the first reason why there are none into *why. */
static void add_scale(struct stream *stream, const struct span *span, enum scale scale, const char **why)
{
    struct depth top = {.um = LENGTH_NONE, .low_um = LENGTH_NONE, .high_um = LENGTH_NONE};
    struct depth bottom = top;
    if (span)
        span_depths(span, scale, &top, &bottom);
    const bool is_upside_down = top.um != LENGTH_NONE && bottom.um != LENGTH_NONE && bottom.um < top.um;
    const int64_t parts_um[] = {top.um, bottom.um, is_upside_down ? bottom.low_um : top.low_um,
                                is_upside_down ? top.high_um : bottom.high_um};
    for (size_t at = 0; at < 4; at++) {
        text_add(&stream->text, ",");
        text_add(&stream->text, run_length(stream->run, parts_um[at], 3).text);
    }
    text_add(&stream->text, ",");
    text_add_csv(&stream->text, top.method ? top.method : "");
    if (span && !*why)
        *why = span_note(span, &top, &bottom);
}

/* A table of scanned texts: what the label showed, where that is no longer so. */
static void tell_stale(struct stream *stream, const struct span *span, const char **why)
{
    const struct label_text *label = &stream->names.label;
    if (!trace_names_is_stale(&stream->names, span))
        return;
    const int decimals = label_decimals(label->scale);
    (void)snprintf(stream->stale, sizeof stream->stale, "stale label: it shows %s to %s m %s",
                   length_text(label->top_um == LENGTH_NONE ? 0 : label->top_um, UNIT_M, decimals).text,
                   length_text(label->bottom_um == LENGTH_NONE ? 0 : label->bottom_um, UNIT_M, decimals).text,
                   label->scale);
    *why = label->top_um == LENGTH_NONE ? "stale label: it shows no depth" : stream->stale;
}

/* A name that another core has, or had, than when the table was made. */
static void tell_former(struct stream *stream, const char **why)
{
    const struct former *former = &stream->names.former;
    if (former->what == FORMER_NONE)
        return;
    if (former->what == FORMER_CARRIED)
        (void)snprintf(stream->former, sizeof stream->former, "%s is now %s%s%.200s", former->typed, former->other,
                       *why ? "; " : "", *why ? *why : "");
    else
        (void)snprintf(stream->former, sizeof stream->former, "%s was once the name of what is now %s%s%.200s",
                       former->typed, former->other, *why ? "; " : "", *why ? *why : "");
    stream->renamed += former->what == FORMER_CARRIED;
    stream->twice += former->what == FORMER_TWICE;
    *why = stream->former;
}

/* The same of a sample whose key a join gave to another one. */
static void tell_namesake(struct stream *stream, const char **why)
{
    const struct namesake *namesake = &stream->names.namesake;
    char key[SAMPLE_KEY_MAX];
    if (namesake->what == NAMESAKE_NONE || (namesake->what == NAMESAKE_CARRIED && !*namesake->commit))
        return;
    sample_key(namesake->sample, key);
    (void)snprintf(stream->namesake, sizeof stream->namesake, "%s %s%s%.300s",
                   namesake->what == NAMESAKE_CARRIED ? "since registries were joined it is"
                                                      : "another sample had this name and is now",
                   key, *why ? "; " : "", *why ? *why : "");
    stream->namesakes += namesake->what == NAMESAKE_TWICE;
    *why = stream->namesake;
}

static void say_former(const struct stream *stream)
{
    FILE *talk = stream->run->talk;
    if (stream->renamed)
        (void)fprintf(talk,
                      "note: %zu row%s a name that its core had before it was amended; 'traced' has that of now\n",
                      stream->renamed, stream->renamed > 1 ? "s have" : " has");
    if (stream->twice)
        (void)fprintf(talk,
                      "note: %zu row%s the name of a core that another core had before; an older table means that one: "
                      "trace it with --as-of\n",
                      stream->twice, stream->twice > 1 ? "s have" : " has");
    if (stream->namesakes)
        (void)fprintf(talk,
                      "note: %zu row%s the name of a sample that another one had, too, before the registries were "
                      "joined; scanned labels say which is meant\n",
                      stream->namesakes, stream->namesakes > 1 ? "s have" : " has");
}

static enum status take_row(struct stream *stream, const char *const *cells, size_t count, size_t line, struct err *err)
{
    struct err refusal = {0};
    struct span span;
    const char *why = NULL;
    const enum status status =
        trace_names_span(&stream->names, cells[stream->name_column], stream->must, &span, &refusal);
    if (status == STATUS_SYSTEM || status == STATUS_DAMAGED) {
        *err = refusal;
        return status;
    }
    for (size_t at = 0; at < count; at++) {
        text_add(&stream->text, at ? "," : "");
        text_add_csv(&stream->text, cells[at]);
    }
    text_add(&stream->text, ",");
    text_add_csv(&stream->text, status == STATUS_OK ? span.name : "");
    for (size_t scale = 0; scale < stream->scale_count; scale++)
        add_scale(stream, status == STATUS_OK ? &span : NULL, stream->scales[scale], &why);
    if (status == STATUS_OK)
        tell_stale(stream, &span, &why);
    if (status == STATUS_OK) {
        tell_former(stream, &why);
        tell_namesake(stream, &why);
    }
    text_add(&stream->text, ",");
    text_add_csv(&stream->text, status == STATUS_OK ? (why ? why : "") : refusal.reason);
    text_add(&stream->text, "\n");
    stream->rows++;
    if (status != STATUS_OK && stream->unknown++ < UNKNOWN_SHOWN)
        (void)fprintf(stream->run->talk, "line %zu: %s: %s\n", line, refusal.subject, refusal.reason);
    return STATUS_OK;
}

static enum status on_row(void *context, const char *const *cells, size_t count, size_t line, struct err *err)
{
    struct stream *stream = context;
    TRY(stream->name_column == SIZE_MAX ? take_header(stream, cells, count, err)
                                        : take_row(stream, cells, count, line, err));
    state_progress(stream->run->state, "traced", stream->rows, 0, &stream->next_ms);
    return stream->text.len >= BLOCK_BYTES ? flush(stream, err) : STATUS_OK;
}

enum status trace_file(struct run *run, const char *path, struct err *err)
{
    struct lines lines;
    struct stream stream = {.run = run, .names = {.state = run->state}, .name_column = SIZE_MAX};
    TRY(read_scales(run, &stream, err));
    stream.must = run_option(run, "any-interval") == NULL;
    if (run->format == SHEET_JSON)
        return err_set(err, STATUS_USAGE, "--json", "a table comes out as CSV, as it went in");
    TRY(run_open(run, STORE_READ, err));
    TRY(lines_open(run->in, path, &lines, err));
    arena_init(&stream.arena, ARENA_LIMIT_BYTES);
    text_init(&stream.text, &stream.arena);
    enum status status = csv_each(&lines, on_row, &stream, err);
    if (status == STATUS_OK)
        status = flush(&stream, err);
    arena_clear(&stream.arena);
    lines_close(&lines);
    TRY(status);
    if (stream.unknown > UNKNOWN_SHOWN)
        (void)fprintf(run->talk, "%zu more like these\n", stream.unknown - UNKNOWN_SHOWN);
    say_former(&stream);
    (void)fprintf(run->talk, "%zu rows traced, state %.10s of the registry\n", stream.rows,
                  store_state(run->state->store));
    if (!stream.unknown)
        return STATUS_OK;
    err_set(err, STATUS_UNKNOWN, path, "%zu of %zu names were not found; their rows are there, without depths",
            stream.unknown, stream.rows);
    return err_hint(err, "the column 'note' says why");
}
