/* SPDX-License-Identifier: MIT */
/* What commands share: opening, options into records, findings, the commit, output. */
#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/base/shown.h"
#include "coretally/join/join.h"
#include "coretally/store/file.h"
#include "coretally/state/span.h"
#include "coretally/run/command.h"

const char *run_option(const struct run *run, const char *name)
{
    for (size_t at = 0; at < run->option_count; at++)
        if (strcmp(run->options[at].name, name) == 0)
            return run->options[at].value;
    return NULL;
}

/* What a date left out of the state that the store stands at by it. */
static enum status tell_late(struct run *run, struct store *store, const char *typed, struct err *err)
{
    const struct late_acts *late = store_late(store);
    struct commit first = {0};
    char done[INSTANT_TEXT_MAX];
    char came_in[INSTANT_TEXT_MAX];
    char since[INSTANT_TEXT_MAX + 40];
    if (!late)
        return STATUS_OK;
    TRY(store_commit(store, late->first, run->state->arena, &first, err));
    instant_format(first.when, done);
    instant_format(late->came_in, came_in);
    if (strcmp(late->first, late->behind) == 0)
        (void)snprintf(since, sizeof since, "here since %s", came_in);
    else
        (void)snprintf(since, sizeof since, "behind commit %.10s of %s", late->behind, came_in);
    (void)fprintf(run->talk,
                  "note: %zu act%s dated up to %s came in later and %s not in this state; the first is commit %.10s by "
                  "%s, done %s, %s\n",
                  late->count, late->count == 1 ? "" : "s", typed, late->count == 1 ? "is" : "are", late->first,
                  first.author, done, since);
    (void)fprintf(run->talk, "  to include %s, name commit %.10s instead of the date", late->count == 1 ? "it" : "them",
                  late->whole);
    if (late->later)
        (void)fprintf(run->talk, "; it also holds %zu act%s dated later", late->later, late->later == 1 ? "" : "s");
    (void)fprintf(run->talk, "\n");
    return STATUS_OK;
}

enum status run_stand_at(struct run *run, struct store *store, const char *typed, struct err *err)
{
    TRY(join_stand_at(store, typed, err));
    if (store_lines(store))
        (void)fprintf(
            run->talk,
            "note: %zu lines had not been joined by %s: state %.10s is their join, made for this answer; type "
            "the time to have it again\n",
            store_lines(store), typed, store_state(store));
    return tell_late(run, store, typed, err);
}

enum status run_open_beside(struct run *run, const char *typed, struct store **out, struct err *err)
{
    struct store *beside = NULL;
    TRY(store_open_beside(run->state->store, typed ? "" : NULL, &beside, err)); /* a time is looked for from the tip */
    if (typed && run_stand_at(run, beside, typed, err) != STATUS_OK) {
        store_close(beside);
        return err->status;
    }
    *out = beside;
    return STATUS_OK;
}

enum status run_open(struct run *run, enum store_mode mode, struct err *err)
{
    char path[PATH_TEXT_MAX];
    const char *named = run_option(run, "registry");
    if (!named)
        named = run->environment(run->environment_context, "CORETALLY_REGISTRY");
    /* A dry run writes nothing and need not wait for anybody. */
    const bool dry = run_option(run, "dry-run") != NULL;
    TRY(store_open_found(named && *named ? named : NULL, run->folder, dry ? STORE_READ : mode, run->talk, path,
                         &run->state->store, err));
    if (run_option(run, "as-of"))
        TRY(run_stand_at(run, run->state->store, run_option(run, "as-of"), err));
    bool there = false;
    TRY(state_read(run->state, EXPEDITION_PATH, &expedition_table, &run->state->expedition, &there, err));
    if (!there)
        return err_set(err, STATUS_DAMAGED, path, "this registry has no %s", EXPEDITION_PATH);
    return STATUS_OK;
}

enum status run_set(struct state *state, const struct table *table, const char *name, const char *value,
                    int32_t ship_zone_min, void *record, struct err *err)
{
    const struct field *field = field_find(table, name);
    return field_set(field, value, field->unit, ship_zone_min, state->arena, record, err);
}

enum status run_take_fields(struct run *run, const struct table *table, int32_t ship_zone_min, void *record, bool *any,
                            struct err *err)
{
    for (size_t at = 0; at < run->option_count; at++) {
        const struct option_value *option = &run->options[at];
        bool own = false;
        for (const char *const *name = run->command->fields; name && *name; name++)
            own = own || strcmp(*name, option->name) == 0;
        if (!own || !field_find(table, option->name))
            continue;
        TRY(run_set(run->state, table, option->name, option->value, ship_zone_min, record, err));
        *any = true;
    }
    return STATUS_OK;
}

void run_tell(struct run *run, const char *subject, const struct findings *findings)
{
    for (size_t at = 0; at < findings->count; at++)
        (void)fprintf(run->talk, "note: %s: %s\n", subject, findings->items[at].text);
}

enum status run_check_out(const struct run *run, const char *path, struct err *err)
{
    struct err other = {0};
    if (file_check_free(path, run_option(run, "replace") != NULL, err) == STATUS_OK)
        return STATUS_OK;
    return err_hint(err, file_check_free(path, true, &other) == STATUS_OK
                             ? "type another --out, or add --replace to replace this file"
                             : "type another --out");
}

enum status run_print_text(struct run *run, struct text *text, struct err *err)
{
    struct bytes bytes;
    TRY(text_done(text, &bytes, err));
    if (fwrite(bytes.data, 1, bytes.len, run->out) != bytes.len)
        return err_set(err, STATUS_SYSTEM, "output", "could not be written");
    return STATUS_OK;
}

enum status run_print_sheet(struct run *run, const struct sheet *sheet, struct err *err)
{
    struct text text;
    text_init(&text, run->state->arena);
    sheet_render(sheet, run->format, &text);
    return run_print_text(run, &text, err);
}

void run_state_words(const struct store *store, char out[STATE_WORDS_MAX])
{
    if (store_lines(store))
        (void)snprintf(out, STATE_WORDS_MAX, "state made of %zu lines for this time, %.10s,", store_lines(store),
                       store_state(store));
    else
        (void)snprintf(out, STATE_WORDS_MAX, "state %.40s", store_state(store));
}

struct length_text run_length(const struct run *run, int64_t um, int decimals)
{
    if (um == LENGTH_NONE)
        return (struct length_text){.text = ""};
    return length_text(um, run->unit, decimals);
}

const char *run_unit(const struct run *run)
{
    return length_unit_suffix(run->unit);
}

struct cell run_volume(const struct run *run, double volume_m3, int decimals)
{
    return cell_amount(run->unit == UNIT_FT ? volume_m3 / CUBIC_METRES_PER_BARREL : volume_m3, decimals);
}

const char *run_volume_unit(const struct run *run)
{
    return run->unit == UNIT_FT ? "bbl" : "m3";
}

void run_say_caution(struct run *run)
{
    (void)fprintf(run->talk, "for labelling samples only; never for well control, kick detection, cementing or any "
                             "pressure decision\n");
}

enum status scale_option(const struct run *run, const char *name, enum scale *out, struct err *err)
{
    return run_option(run, name) ? scale_typed(run_option(run, name), out, err) : STATUS_OK;
}
