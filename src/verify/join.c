/* SPDX-License-Identifier: MIT */
/* A commit with two parents carries no decision: its tree follows from theirs. It is made again, in memory, and
 * compared; so nothing can be undone, dropped or added in one unseen, and a merge by a git client is taken where its
 * tree is the same. What the acts of both sides did is looked at in their own commits. */
#include "coretally/join/join.h"

#include <string.h>

#include "coretally/store/merge.h"
#include "parts.h"

static void tell_false(struct verify *verify, const struct parents *parents, const char *why)
{
    flaw_add(verify, FLAW_JOIN_FALSE, "", "", "%s", why);
    if (*verify->undo.join)
        return;
    (void)snprintf(verify->undo.join, sizeof verify->undo.join, "%s", verify->commit);
    (void)snprintf(verify->undo.ours, sizeof verify->undo.ours, "%s", parents->ids[0]);
    (void)snprintf(verify->undo.theirs, sizeof verify->undo.theirs, "%s", parents->ids[1]);
}

/* What is made again dies with its store. */
static enum status make_again(struct verify *verify, struct arena *arena, bool *sound, const char **why,
                              struct err *err)
{
    struct store *store = NULL;
    TRY(store_open_at(verify->path, verify->commit, verify->objects, &store, err));
    enum status status = store_keep_in_memory(store, err);
    if (status == STATUS_OK)
        status = join_is_sound(store, verify->commit, arena, sound, why, err);
    store_close(store);
    return status;
}

/* A join made by this program is nobody's, and says which two it joins; so its commit is the same wherever it is made.
 * What a git client merged has the words of who did it; git's own begin with "Merge". */
static void hold_words(struct verify *verify, const struct act_told *act, const struct parents *parents)
{
    const struct commit *commit = &act->commit;
    char wanted[60];
    (void)snprintf(wanted, sizeof wanted, "Join of %.10s and %.10s", parents->ids[0], parents->ids[1]);
    const bool is_ours = act->kind && strcmp(act->kind, JOIN_KIND) == 0;
    const bool is_said = is_ours ? strcmp(commit->line, wanted) == 0 && !act->is_lengthened && !commit->reason
                                 : strncmp(commit->line, "Merge", strlen("Merge")) == 0;
    if (!is_said)
        flaw_add(verify, FLAW_ACT_LINE, "", "", "it joins two histories, and says \"%.200s\"", commit->line);
}

enum status verify_join(struct verify *verify, const struct act_told *act, struct arena *arena, struct err *err)
{
    struct parents parents;
    struct err own = {0};
    const char *why = NULL;
    bool sound = false;
    if (act->parent_count > SIDES_MAX) {
        flaw_add(verify, FLAW_COMMIT_MERGED, "", "", "it joins %zu histories: \"%s\"", act->parent_count,
                 act->commit.line);
        return STATUS_OK;
    }
    if (act->kind && strcmp(act->kind, JOIN_KIND) != 0)
        flaw_add(verify, FLAW_ACT_UNKNOWN, "", "", "it joins two histories, and says that it is the act '%.60s'",
                 act->kind);
    if (store_parents(verify->store, verify->commit, &parents, &own) != STATUS_OK)
        return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, "", &own, err);
    hold_words(verify, act, &parents);
    const enum status status = make_again(verify, arena, &sound, &why, &own);
    if (status != STATUS_OK)
        return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, "", &own, err);
    if (!sound)
        tell_false(verify, &parents, why);
    return STATUS_OK;
}
