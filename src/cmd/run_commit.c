/* SPDX-License-Identifier: MIT */
/* What commands that act share: findings told, what is there already said, one commit written and said. */
#include <signal.h>
#include <string.h>

#include "moves_say.h"
#include "show.h"

const struct option restore_options[] = {
    {"restore", NULL, "bring a withdrawn record back"},
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};

enum status run_standing(const struct run *run, const char *name, const char **withdrawn, struct err *err)
{
    if (!run_option(run, "restore"))
        return standing_check(name, *withdrawn, err);
    *withdrawn = NULL;
    return STATUS_OK;
}

static struct will run_will(const struct run *run)
{
    return (struct will){.command = run->command->words,
                         .reason = run_option(run, "reason"),
                         .keeping = run_option(run, "sure") ? KEEP_DOUBTED : KEEP_NOTHING};
}

enum status run_need_reason(const struct run *run, struct err *err)
{
    const struct will will = run_will(run);
    return reason_check(&will, err);
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

void run_outlive_readers(void)
{
    (void)signal(SIGPIPE, SIG_IGN);
}

/* One commit, or none in a dry run; what it moves is told first. */
static enum status append(struct run *run, struct act *act, const struct change *changes, size_t count, bool bulk,
                          struct err *err)
{
    TRY(store_actor(run->state->store, run->environment, run->environment_context, run->state->arena, &act->actor,
                    err));
    if (run_option(run, "station"))
        act->actor.station = run_option(run, "station");
    act->actor.when = run->state->now;
    TRY(moves_tell(run, changes, count, err));
    if (run_option(run, "dry-run")) {
        (void)fprintf(run->out, "would record: %s\n", act->line);
        (void)fprintf(run->talk, "dry run: nothing was written\n");
        return STATUS_OK;
    }
    char id[COMMIT_ID_MAX] = "";
    bool made = false;
    run_outlive_readers();
    TRY(store_append(run->state->store, act, changes, count, bulk, id, &made, err));
    memcpy(run->recorded, id, sizeof id);
    (void)fprintf(run->out, made ? "recorded: %s  (commit %.10s)\n" : "already recorded: %s  (as of commit %.10s)\n",
                  act->line, id);
    return STATUS_OK;
}

enum status run_commit_changes(struct run *run, const char *line, const char *sure, const struct change *changes,
                               size_t count, bool bulk, struct err *err)
{
    const struct will will = run_will(run);
    struct act act = {.line = line, .kind = will.command};
    TRY(reason_write(run->state, &will, sure, &act.reason, err));
    return append(run, &act, changes, count, bulk, err);
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

enum status run_already(struct run *run, const char *name, const struct record_at *at, struct err *err)
{
    struct commit commit = {0};
    char when[INSTANT_TEXT_MAX];
    TRY(origin_find(run->state, at, NULL, &commit, err));
    instant_format(commit.when, when);
    (void)fprintf(run->out, "already recorded: %s  (commit %.10s by %s, %s)\n", name, commit.id, commit.author, when);
    return STATUS_OK;
}

/* Everything that is doubted, told; refused where it is not kept. */
static enum status hold(struct run *run, const struct draft *draft, struct err *err)
{
    TRY(run_findings(run, draft->name, &draft->findings, NULL, err));
    for (size_t at = 0; at < draft->further_count; at++)
        TRY(run_findings(run, draft->further[at].name, &draft->further[at].findings, NULL, err));
    return STATUS_OK;
}

enum status run_draft(struct run *run, const struct draft *draft, struct err *err)
{
    const struct will will = run_will(run);
    struct act act;
    struct change *changes = NULL;
    if (draft->kind == DRAFT_WITHDRAWN || (draft->kind == DRAFT_PRESENT && !draft->present.table)) {
        (void)fprintf(run->out, draft->withdrawn ? "already withdrawn: %s (%s)\n" : "already recorded: %s\n",
                      draft->name, draft->withdrawn);
        return STATUS_OK;
    }
    TRY(hold(run, draft, err));
    if (draft->kind == DRAFT_PRESENT)
        return run_already(run, draft->name, &draft->present, err);
    TRY(draft_encode(run->state, draft, &will, &act, &changes, err));
    if (draft->notes)
        state_tell(run->state, "%s", draft->notes);
    TRY(append(run, &act, changes, draft->writing_count, draft->is_bulk, err));
    const struct changed *changed = &draft->changed;
    return changed->before ? run_say_changes(run, changed->part, changed->after, changed->before, err) : STATUS_OK;
}
