/* SPDX-License-Identifier: MIT */
/* What commands that act share: findings told, what is there already said, one commit written and said. */
#include <signal.h>
#include <string.h>

#include "coretally/act/settle.h"
#include "coretally/say/moves_say.h"
#include "coretally/say/show.h"
#include "run_commit.h"

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

enum status run_findings(struct run *run, const char *subject, const struct findings *findings, struct err *err)
{
    const enum keeping keeping = run_option(run, "sure") ? KEEP_DOUBTED : KEEP_NOTHING;
    tell_findings(run, subject, findings, keeping);
    return findings_pass(findings, keeping, subject, err);
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
    TRY(run_findings(run, draft->name, &draft->findings, err));
    for (size_t at = 0; at < draft->further_count; at++)
        TRY(run_findings(run, draft->further[at].name, &draft->further[at].findings, err));
    return STATUS_OK;
}

enum status run_draft(struct run *run, const struct draft *drafted, struct err *err)
{
    const struct will will = run_will(run);
    struct draft whole = *drafted;
    const struct draft *draft = &whole;
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
    TRY(draft_close_open(run->state, &whole, err));
    TRY(draft_encode(run->state, draft, &will, &act, &changes, err));
    if (draft->notes)
        state_tell(run->state, "%s", draft->notes);
    TRY(append(run, &act, changes, draft->writing_count, draft->is_bulk, err));
    const struct changed *changed = &draft->changed;
    return changed->before ? run_say_changes(run, changed->part, changed->after, changed->before, err) : STATUS_OK;
}
