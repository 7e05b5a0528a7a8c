/* SPDX-License-Identifier: MIT */
/* One record field by field, and the versions that it had. */
#include "coretally/say/show.h"

#include <string.h>

#include "coretally/state/open.h"
#include "coretally/state/origin.h"
#include "coretally/state/stays.h"

const struct option history_options[] = {
    {"history", NULL, "every version, newest first: who, when, why, and what it changed"},
    {0},
};

/* One field as people read it, with its unit. */
static enum status field_text(struct run *run, const struct field *field, const void *record, const char **out,
                              struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, run->state->arena);
    if (field->type == FIELD_LENGTH && run->unit == UNIT_FT && field->unit == UNIT_M &&
        !field_is_absent(field, record)) {
        text_addf(&text, "%s ft", run_length(run, *(const int64_t *)((uintptr_t)record + field->offset), 3).text);
        TRY(text_done(&text, &bytes, err));
        *out = bytes.data;
        return STATUS_OK;
    }
    field_format(field, record, &text);
    if (field->type == FIELD_LENGTH && text.len)
        text_addf(&text, " %s", length_unit_suffix(field->unit));
    if (field->type == FIELD_REAL && text.len && field->suffix)
        text_addf(&text, " %s", field->suffix);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

static enum status show_json(struct run *run, const char *name, const struct record_at *at, const struct below *below,
                             const struct commit *commit, struct err *err)
{
    const struct extra *extras = below->extras;
    struct text text;
    text_init(&text, run->state->arena);
    text_add(&text, "{\"name\":");
    text_add_json(&text, name);
    text_add(&text, ",\"record\":");
    record_print(at->part, at->present, &text);
    for (size_t it = 0; it < below->extra_count; it++)
        text_addf(&text, ",\"%s_%s\":%s", extras[it].name, run_unit(run),
                  extras[it].um == LENGTH_NONE ? "null" : run_length(run, extras[it].um, 3).text);
    for (size_t it = 0; it < below->word_count; it++) {
        text_addf(&text, ",\"%s\":", below->words[it].name);
        if (below->words[it].text)
            text_add_json(&text, below->words[it].text);
        else
            text_add(&text, "null");
    }
    text_addf(&text, ",\"commit\":\"%s\"}\n", commit->id);
    return run_print_text(run, &text, err);
}

/* The rows below the fields. */
static enum status add_below(struct run *run, const struct below *below, struct sheet *sheet, struct err *err)
{
    for (size_t at = 0; at < below->extra_count; at++) {
        const struct extra *extra = &below->extras[at];
        char value[LENGTH_TEXT_MAX + 8] = "n/a";
        if (extra->um != LENGTH_NONE)
            (void)snprintf(value, sizeof value, "%s %s", run_length(run, extra->um, 3).text, run_unit(run));
        const struct cell cells[] = {cell_text(extra->name), cell_text(value), cell_text(extra->meaning)};
        TRY(sheet_add_row(sheet, cells, err));
    }
    for (size_t at = 0; at < below->word_count; at++) {
        const struct extra_words *words = &below->words[at];
        const struct cell cells[] = {cell_text(words->name), cell_text(words->text), cell_text(words->meaning)};
        if (words->text)
            TRY(sheet_add_row(sheet, cells, err));
    }
    return STATUS_OK;
}

enum status show_record(struct run *run, const char *name, const struct record_at *at, const struct below *below,
                        struct err *err)
{
    static const struct below nothing = {0};
    struct commit commit = {0};
    below = below ? below : &nothing;
    TRY(open_tell_record(run->state, at, err));
    TRY(origin_find(run->state, at, NULL, &commit, err));
    if (run->format == SHEET_JSON)
        return show_json(run, name, at, below, &commit, err);
    static const struct column columns[] = {{"field", NULL, false}, {"value", NULL, false}, {"meaning", NULL, false}};
    struct sheet sheet;
    sheet_init(&sheet, run->state->arena, columns, 3);
    for (size_t it = 0; it < at->part->count; it++) {
        const struct field *field = &at->part->fields[it];
        const char *value = NULL;
        if (field_is_absent(field, at->present) ||
            (field->type == FIELD_LIST && field->of->fields[0].type == FIELD_SECTION))
            continue; /* sections have their own list */
        TRY(field_text(run, field, at->present, &value, err));
        const struct cell cells[] = {cell_text(field->name), cell_text(value), cell_text(field->meaning)};
        TRY(sheet_add_row(&sheet, cells, err));
    }
    TRY(add_below(run, below, &sheet, err));
    char when[INSTANT_TEXT_MAX];
    instant_format(commit.when, when);
    if (run->format == SHEET_PEOPLE)
        (void)fprintf(run->out, "%s\n", name);
    TRY(run_print_sheet(run, &sheet, err));
    if (run->format == SHEET_PEOPLE)
        (void)fprintf(run->out, "since commit %.10s by %s, %s%s%s\n", commit.id, commit.author, when,
                      commit.reason ? ": " : "", commit.reason ? commit.reason : "");
    return STATUS_OK;
}

/* What a version came from on each line: twice the same where there is one alone; NULL: it is the first. */
struct came_from {
    const void *part[TRAIL_LINES_MAX];
};

/* What a version changed, so that no line had it. */
static enum status tell_changes(struct run *run, const struct table *part, const void *newer,
                                const struct came_from *from, const char **out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    const void *const older = from->part[0];
    text_init(&text, run->state->arena);
    for (size_t at = 0; older && at < part->count; at++) {
        const struct field *field = &part->fields[at];
        const char *before = NULL;
        const char *after = NULL;
        if (field_is_equal(field, newer, older) || field_is_equal(field, newer, from->part[1]) ||
            strcmp(field->name, "version") == 0)
            continue;
        if (field->type == FIELD_LIST && field->of->fields[0].type == FIELD_SECTION) {
            text_addf(&text, "%s%s", text.len ? "; " : "", field->name);
            continue;
        }
        TRY(field_text(run, field, older, &before, err));
        TRY(field_text(run, field, newer, &after, err));
        text_addf(&text, "%s%s: %s -> %s", text.len ? "; " : "", field->name, *before ? before : "none",
                  *after ? after : "none");
    }
    if (!older)
        text_add(&text, "recorded");
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

enum status run_say_changes(struct run *run, const struct table *part, const void *newer, const void *older,
                            struct err *err)
{
    const struct came_from from = {{older, older}};
    const char *changes = NULL;
    TRY(tell_changes(run, part, newer, &from, &changes, err));
    if (*changes)
        (void)fprintf(run->out, "  %s\n", changes);
    return STATUS_OK;
}

/* The part in the version that an act made, and in those that it came from. */
static enum status read_parts(struct run *run, const struct record_at *at, const void *among,
                              const struct trail_act *act, const void **newer, struct came_from *from, struct err *err)
{
    struct store *store = run->state->store;
    const void *record = NULL;
    TRY(state_version(run->state, act->id, at->path, at->table, &record, err));
    TRY(record_at_then(store, at, among, record, act->commit.id, newer, err));
    for (size_t line = 0; line < act->line_count; line++) {
        TRY(state_version(run->state, act->lines[line].id, at->path, at->table, &record, err));
        TRY(record_at_then(store, at, among, record, act->lines[line].parent, &from->part[line], err));
    }
    if (!from->part[0]) /* one line, or the other one has it alone */
        from->part[0] = from->part[1];
    if (!from->part[1])
        from->part[1] = from->part[0];
    return STATUS_OK;
}

static enum status add_version(struct run *run, struct sheet *sheet, const struct table *part,
                               const struct trail_act *act, const void *newer, const struct came_from *from,
                               struct err *err)
{
    const char *changes = NULL;
    const struct commit *commit = &act->commit;
    const bool is_joined = act->is_join && act->line_count > 1;
    TRY(tell_changes(run, part, newer, from, &changes, err));
    if (!*changes)
        return STATUS_OK; /* the commit touched another record of the same file */
    const struct cell cells[] = {cell_commit(commit->id),
                                 cell_instant(commit->when),
                                 cell_text(is_joined ? NULL : commit->author),
                                 cell_text(is_joined ? NULL : commit->station),
                                 cell_text(changes),
                                 cell_text(is_joined ? NULL : commit->reason)};
    return sheet_add_row(sheet, cells, err);
}

enum status show_history(struct run *run, const struct record_at *at, struct err *err)
{
    static const struct column columns[] = {{"commit", NULL, false},  {"when", NULL, false},   {"who", NULL, false},
                                            {"station", NULL, false}, {"change", NULL, false}, {"reason", NULL, false}};
    struct sheet sheet;
    struct stays *history = NULL;
    const void *among = NULL;
    sheet_init(&sheet, run->state->arena, columns, 6);
    TRY(stays_open(run->state, at->path, &history, err));
    enum status status = STATUS_OK;
    for (bool more = true; status == STATUS_OK && more;) {
        struct trail_act act = {.line_count = 0};
        struct came_from from = {{NULL, NULL}};
        const void *newer = NULL;
        status = stays_next_act(history, run->state->arena, &act, &more, err);
        if (status != STATUS_OK || !more)
            break;
        if (!among)
            status = state_version(run->state, act.id, at->path, at->table, &among, err);
        if (status == STATUS_OK)
            status = read_parts(run, at, among, &act, &newer, &from, err);
        if (status == STATUS_OK && newer)
            status = add_version(run, &sheet, at->part, &act, newer, &from, err);
    }
    stays_close(history);
    return status == STATUS_OK ? run_print_sheet(run, &sheet, err) : status;
}
