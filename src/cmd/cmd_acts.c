/* SPDX-License-Identifier: MIT */
/* What was done, act by act: since a time or a state, by a station, by a person, of a hole. */
#include <string.h>

#include "coretally/say/acts_say.h"
#include "coretally/store/merge.h"

static enum status run_acts(struct run *run, struct err *err);

static const struct option acts_options[] = {
    {"since", "STATE",
     "only what came in after this state: a commit, tag, branch or time; a date: from its beginning on, UTC"},
    {"station", "NAME", "only the acts of this station"},
    {"by", "NAME", "only the acts of whose name this is a part"},
    {"hole", "HOLE", "only the acts that changed something of this hole"},
    {0},
};

const struct command acts_command = {
    .words = "acts",
    .arguments = "",
    .purpose =
        "the acts: when, in which commit, at which station, by whom, what; the newest last; and how many by station",
    .example = "acts --since 2026-03-05T18:00Z --station 'core table'",
    .detail =
        "An act stands behind all that it was done on, otherwise by its time. Where histories were joined, the acts "
        "of all\nsides are listed; a join is no act. Since a time: also what one side had done by then and another got "
        "by "
        "a join\nlater, marked so. --since origin/main: what the other place does not have yet, as of the last "
        "fetch.\nWith --as-of: the acts that led to that state. Who signed an act is told with it (coretally "
        "sign);\ncorrections are signed as they stand: correction list.",
    .use = USE_READING,
    .on = ON_STATE,
    .options = acts_options,
    .least = 0,
    .most = 0,
    .run = run_acts,
};

/* A day begins where the one before it ends. */
static enum status read_since(struct run *run, const char *typed, const char **out, struct err *err)
{
    char text[INSTANT_TEXT_MAX];
    struct instant begin;
    struct err ignored = {0};
    enum state_kind kind = STATE_TIME;
    *out = typed;
    (void)snprintf(text, sizeof text, "%.20sT00:00:00Z", typed);
    if (strlen(typed) != 10 || instant_parse(text, INT_NONE, &begin, &ignored) != STATUS_OK)
        return STATUS_OK;
    TRY(store_state_kind(run->state->store, typed, &kind, err));
    if (kind != STATE_TIME)
        return STATUS_OK;
    begin.utc_us -= SECOND_US; /* git keeps whole seconds */
    instant_format(begin, text);
    return arena_copy(run->state->arena, text, strlen(text), out, err);
}

/* The newest commits of the state that was typed; none before the first act. */
static enum status find_since(struct run *run, const char *typed, struct commits *out, struct err *err)
{
    const char *since = NULL;
    struct err why = {0};
    struct late_acts late;
    TRY(read_since(run, typed, &since, err));
    const enum status status = store_heads(run->state->store, since, run->state->arena, out, &late, &why);
    if (status == STATUS_OK && late.count)
        (void)fprintf(run->talk, "note: %zu of the acts since then %s dated before it, and came in later\n", late.count,
                      late.count == 1 ? "is" : "are");
    if (status == STATUS_OK)
        return STATUS_OK;
    enum state_kind kind = STATE_COMMIT;
    struct err ignored = {0};
    const bool is_known = store_state_kind(run->state->store, since, &kind, &ignored) == STATUS_OK;
    if (status == STATUS_UNKNOWN && is_known && kind == STATE_TIME) /* before the first act */
        return STATUS_OK;
    *err = why;
    return status;
}

/* What one of several lines lacked then: all that came after, and what the other lines had by then, which came to it by
 * a join since. */
static enum status list_lines(struct store *store, const struct commits *heads, struct arena *arena,
                              struct commits *out, struct err *err)
{
    struct commits all = {.count = 0};
    struct commits some = {.count = 0};
    TRY(store_range(store, store_state(store), "", arena, &all, err));
    TRY(arena_take(arena, all.count, sizeof *some.ids, &some.ids, err));
    struct lineage *lacks = NULL;
    TRY(arena_take(arena, heads->count, sizeof *lacks, &lacks, err));
    for (size_t line = 0; line < heads->count; line++) {
        const struct commits head = {.ids = heads->ids + line, .count = 1};
        struct commits beyond = {.count = 0};
        TRY(store_beyond(store, &head, arena, &beyond, err));
        lacks[line] = (struct lineage){beyond.ids, beyond.count};
        lineage_sort(&lacks[line]);
    }
    for (size_t at = 0; at < all.count; at++) {
        bool is_lacking = false;
        for (size_t line = 0; line < heads->count; line++)
            is_lacking = is_lacking || lineage_has(&lacks[line], all.ids[at]);
        if (is_lacking)
            memcpy(some.ids[some.count++], all.ids[at], sizeof *some.ids);
    }
    *out = some;
    return STATUS_OK;
}

/* *beyond: of several lines, what came after all of them. */
static enum status list_commits(struct run *run, struct commits *out, struct lineage *beyond, struct err *err)
{
    struct store *store = run->state->store;
    const char *typed = run_option(run, "since");
    struct commits heads = {.count = 0};
    struct commits after = {.count = 0};
    if (store_is_shallow(store)) {
        err_set(err, STATUS_RULE, "acts", "this clone has only the newest part of the history");
        return err_hint(err, "git fetch --unshallow brings the rest");
    }
    if (typed)
        TRY(find_since(run, typed, &heads, err));
    if (heads.count < 2)
        return store_range(store, store_state(store), heads.count ? heads.ids[0] : "", run->state->arena, out, err);
    TRY(store_beyond(store, &heads, run->state->arena, &after, err));
    *beyond = (struct lineage){after.ids, after.count};
    lineage_sort(beyond);
    return list_lines(store, &heads, run->state->arena, out, err);
}

/* A hole that the state does not have is a slip of the pen. */
static enum status find_hole(struct run *run, const char *typed, const char **path, struct err *err)
{
    struct target target;
    struct name name;
    char folder[HOLE_TEXT_MAX + 8];
    if (!typed)
        return STATUS_OK;
    TRY(name_parse(typed, &name, err));
    if (name.level != NAME_HOLE)
        return err_set(err, STATUS_INPUT, typed, "this is not a hole");
    TRY(resolve_hole(run->state, &name, &target, err));
    (void)snprintf(folder, sizeof folder, "holes/%s", target.hole_name);
    return arena_copy(run->state->arena, folder, strlen(folder), path, err);
}

/* Nothing of a station that is not among them may be a name typed wrongly. */
static void tell_stations(struct run *run, const struct acts *acts, const char *typed)
{
    if (!typed || acts->count || !acts->station_count)
        return;
    (void)fprintf(run->talk, "note: nothing by station '%s'; acts are by:", typed);
    for (size_t at = 0; at < acts->station_count; at++)
        (void)fprintf(run->talk, "%s %s", at ? "," : "",
                      *acts->stations[at].name ? acts->stations[at].name : NO_STATION);
    (void)fprintf(run->talk, "\n");
}

static enum status say_count(struct run *run, const struct acts *acts, struct err *err)
{
    struct bytes count;
    char state[STATE_WORDS_MAX];
    FILE *to = run->format == SHEET_PEOPLE ? run->out : run->talk;
    TRY(acts_count_text(run, acts, &count, err));
    (void)fprintf(to, "%s\n", count.data);
    run_state_words(run->state->store, state);
    if (run_option(run, "since"))
        (void)fprintf(to, "since %s, up to %s of the registry\n", run_option(run, "since"), state);
    else
        (void)fprintf(to, "%s of the registry\n", state);
    return STATUS_OK;
}

static enum status run_acts(struct run *run, struct err *err)
{
    struct acts acts;
    struct commits commits = {.count = 0};
    struct lineage beyond = {.count = 0};
    struct acts_chosen chosen = {
        .station = run_option(run, "station"), .by = run_option(run, "by"), .signed_in = run->state};
    TRY(find_hole(run, run_option(run, "hole"), &chosen.path, err));
    TRY(list_commits(run, &commits, &beyond, err));
    if (beyond.count)
        chosen.after = &beyond;
    acts_init(run, &acts);
    TRY(acts_add(&acts, run->state->store, &commits, &chosen, err));
    if (acts.brought_count)
        (void)fprintf(run->talk,
                      "note: %zu of these acts %s done by then, and came to the other side by a join since\n",
                      acts.brought_count, acts.brought_count == 1 ? "was" : "were");
    tell_stations(run, &acts, chosen.station);
    TRY(acts_print(run, &acts, err));
    return say_count(run, &acts, err);
}
