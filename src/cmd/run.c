/* SPDX-License-Identifier: MIT */
/* What commands share: opening, options into records, findings, the commit, output. */
#include <inttypes.h>
#include <math.h>
#include <signal.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/base/shown.h"
#include "coretally/store/file.h"
#include "coretally/state/span.h"
#include "moves.h"

const char *run_option(const struct run *run, const char *name)
{
    for (size_t at = 0; at < run->option_count; at++)
        if (strcmp(run->options[at].name, name) == 0)
            return run->options[at].value;
    return NULL;
}

enum status run_tell_late(struct run *run, struct store *store, const char *typed, struct err *err)
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
    if (run_option(run, "as-of")) {
        TRY(store_stand_at(run->state->store, run_option(run, "as-of"), err));
        TRY(run_tell_late(run, run->state->store, run_option(run, "as-of"), err));
    }
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

static void tell_findings(struct run *run, const char *subject, const struct findings *findings, enum keeping keeping)
{
    const struct finding *worst = findings_worst(findings, keeping);
    for (size_t at = 0; at < findings->count; at++) {
        const struct finding *finding = &findings->items[at];
        const enum fate fate = finding_fate(finding, keeping);
        if (fate == FATE_TOLD || fate == FATE_KEPT)
            (void)fprintf(run->talk, "note: %s: %s%s\n", subject, finding->text,
                          fate == FATE_KEPT ? " (kept: --sure)" : "");
        if (fate == FATE_TOLD && *finding->hint)
            (void)fprintf(run->talk, "  %s\n", finding->hint);
    }
    for (size_t at = 0; at < findings->count; at++)
        if (&findings->items[at] != worst && finding_fate(&findings->items[at], keeping) == FATE_REFUSED)
            (void)fprintf(run->talk, "also: %s: %s\n", subject, findings->items[at].text);
    if (findings->dropped)
        (void)fprintf(run->talk, "also: %s: %zu more like these\n", subject, findings->dropped);
}

enum status run_findings(struct run *run, const char *subject, const struct findings *findings, const char **sure,
                         struct err *err)
{
    const enum keeping keeping = run_option(run, "sure") ? KEEP_DOUBTED : KEEP_NOTHING;
    const char *kept = NULL;
    tell_findings(run, subject, findings, keeping);
    TRY(findings_pass(findings, keeping, subject, err));
    TRY(findings_kept(findings, keeping, run->state->arena, &kept, err));
    if (sure && kept)
        *sure = kept;
    return STATUS_OK;
}

void run_tell(struct run *run, const char *subject, const struct findings *findings)
{
    for (size_t at = 0; at < findings->count; at++)
        (void)fprintf(run->talk, "note: %s: %s\n", subject, findings->items[at].text);
}

/* --reason, and what the user was sure of against a doubt. */
static enum status gather_reason(struct run *run, const char *sure, const char **out, struct err *err)
{
    const char *reason = run_option(run, "reason");
    struct text text;
    struct bytes bytes;
    size_t bad = 0;
    if (reason && (strlen(reason) > TEXT_FIELD_MAX || !utf8_is_valid(reason, strlen(reason), &bad)))
        return err_set(err, STATUS_INPUT, "--reason", "a reason is UTF-8 text of at most %d bytes", TEXT_FIELD_MAX);
    for (const char *line = reason; line; line = strchr(line, '\n') ? strchr(line, '\n') + 1 : NULL) {
        const char *own = NULL; /* a reason may have lines */
        TRY(arena_copy(run->state->arena, line, strcspn(line, "\n"), &own, err));
        TRY(text_check("--reason", own, err));
    }
    text_init(&text, run->state->arena);
    text_add(&text, reason ? reason : "");
    if (sure)
        text_addf(&text, "%s" KEPT_AGAINST "%s", reason ? "; " : "", sure);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.len ? bytes.data : NULL;
    return STATUS_OK;
}

enum status run_commit(struct run *run, const char *line, const char *sure, const struct writing *writings,
                       size_t count, struct err *err)
{
    struct change *changes = NULL;
    TRY(arena_take(run->state->arena, count, sizeof *changes, &changes, err));
    for (size_t at = 0; at < count; at++) {
        const struct writing *writing = &writings[at];
        TRY(record_validate(writing->table, writing->record, run->command->words, err));
        changes[at].path = writing->path;
        TRY(record_encode(writing->table, writing->record, run->state->arena, &changes[at].bytes, err));
    }
    return run_commit_changes(run, line, sure, changes, count, count > 20, err);
}

void run_outlive_readers(void)
{
    (void)signal(SIGPIPE, SIG_IGN);
}

enum status run_commit_changes(struct run *run, const char *line, const char *sure, const struct change *changes,
                               size_t count, bool bulk, struct err *err)
{
    struct act act = {.line = line, .kind = run->command->words};
    TRY(gather_reason(run, sure, &act.reason, err));
    TRY(store_actor(run->state->store, run->environment, run->environment_context, run->state->arena, &act.actor, err));
    if (run_option(run, "station"))
        act.actor.station = run_option(run, "station");
    act.actor.when = run->state->now;
    TRY(moves_tell(run, changes, count, err));
    if (run_option(run, "dry-run")) {
        (void)fprintf(run->out, "would record: %s\n", line);
        (void)fprintf(run->talk, "dry run: nothing was written\n");
        return STATUS_OK;
    }
    char id[COMMIT_ID_MAX] = "";
    bool made = false;
    run_outlive_readers();
    TRY(store_append(run->state->store, &act, changes, count, bulk, id, &made, err));
    memcpy(run->recorded, id, sizeof id);
    (void)fprintf(run->out, made ? "recorded: %s  (commit %.10s)\n" : "already recorded: %s  (as of commit %.10s)\n",
                  line, id);
    return STATUS_OK;
}

enum status run_already(struct run *run, const char *name, const struct record_at *at, struct err *err)
{
    struct commit commit = {0};
    char when[INSTANT_TEXT_MAX];
    TRY(origin_find(run->state, at, NULL, &commit, err));
    instant_format(commit.when, when);
    (void)fprintf(run->out, "already recorded: %s  (commit %.10s by %s, %s)\n", name, commit.id, commit.author, when);
    return STATUS_OK;
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

struct length_text amount_text(double amount, int decimals)
{
    struct length_text out = {.text = ""};
    if (!isnan(amount))
        (void)snprintf(out.text, sizeof out.text, "%.*f", decimals, amount);
    return out;
}

struct length_text run_volume(const struct run *run, double volume_m3, int decimals)
{
    return amount_text(run->unit == UNIT_FT ? volume_m3 / CUBIC_METRES_PER_BARREL : volume_m3, decimals);
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

const struct option restore_options[] = {
    {"restore", NULL, "bring a withdrawn record back"},
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};

enum status run_standing(const struct run *run, const char *name, const char **withdrawn, struct err *err)
{
    if (!*withdrawn)
        return STATUS_OK;
    if (!run_option(run, "restore")) {
        err_set(err, STATUS_RULE, name, "it is withdrawn: %s", *withdrawn);
        return err_hint(err, "to bring it back, amend it with --restore and a --reason");
    }
    *withdrawn = NULL;
    return STATUS_OK;
}

enum status run_need_reason(const struct run *run, struct err *err)
{
    const char *reason = run_option(run, "reason");
    if (reason && reason[strspn(reason, " \t")])
        return STATUS_OK;
    err_set(err, STATUS_USAGE, run->command->words, "a change to what was recorded needs a reason");
    return err_hint(err, "add --reason \"what was wrong, and how you know\"");
}

enum status scale_option(const struct run *run, const char *name, enum scale *out, struct err *err)
{
    return run_option(run, name) ? scale_typed(run_option(run, name), out, err) : STATUS_OK;
}
