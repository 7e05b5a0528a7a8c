/* SPDX-License-Identifier: MIT */
/* An act signed by a second person. */
#include "coretally/act/sign.h"

#include <string.h>

#include "coretally/state/act_signatures.h"
#include "coretally/store/walk.h"
#include "signing.h"

/* What an act changed, as far as it matters for who signs. */
enum signed_as {
    SIGNED_NOT,           /* nothing that depths rest on: labels, signatures, evidence, what is open */
    SIGNED_AS_CORRECTION, /* corrections that it recorded are signed themselves */
    SIGNED_AS_ACT
};

static enum signed_as look_at_change(const struct difference *it)
{
    struct place_known place;
    if (!registry_place(it->path, &place))
        return SIGNED_NOT;
    const struct table *table = place.known->table;
    if (place.known->kind == KNOWN_EVIDENCE || table == &label_set_table || table == &signature_set_table ||
        table == &act_signature_set_table || table == &contradiction_table)
        return SIGNED_NOT;
    return table == &correction_table && !*it->older ? SIGNED_AS_CORRECTION : SIGNED_AS_ACT;
}

static enum status check_changes(struct state *state, const struct act_told *act, struct err *err)
{
    struct differences all = {.count = 0};
    enum signed_as as = SIGNED_NOT;
    struct place_known place = {.number = 0};
    TRY(store_differences(state->store, act->parent, act->commit.id, state->arena, &all, err));
    for (size_t at = 0; at < all.count && as != SIGNED_AS_ACT; at++) {
        const enum signed_as it = look_at_change(&all.items[at]);
        as = it > as ? it : as;
        if (it == SIGNED_AS_CORRECTION)
            (void)registry_place(all.items[at].path, &place);
    }
    if (as == SIGNED_AS_ACT)
        return STATUS_OK;
    if (as == SIGNED_NOT) {
        err_set(err, STATUS_RULE, act->commit.id, "this act (\"%.120s\") changed nothing that a depth rests on",
                act->commit.line);
        return err_hint(err, "what was done, act by act: coretally acts");
    }
    err_set(err, STATUS_RULE, act->commit.id, "this act recorded a correction, which is signed as it stands");
    return err_hint(err, "coretally correction sign %s %d", place.hole, (int)place.number);
}

static enum status check_apart(const struct act_told *act, const struct signature *by, struct err *err)
{
    const struct commit *it = &act->commit;
    const bool is_author = signature_is_person(by->name, by->mail, it->author, it->mail);
    if (!is_author && !signature_is_person(by->name, by->mail, it->committer, it->committer_mail))
        return STATUS_OK;
    err_set(err, STATUS_RULE, it->id, "%.80s <%.80s> %s; a signature is another person's",
            is_author ? it->author : it->committer, is_author ? it->mail : it->committer_mail,
            is_author ? "did this act" : "had git write this commit");
    return err_hint(err, "whoever signs types it under their own name: GIT_AUTHOR_NAME and GIT_AUTHOR_EMAIL, or git "
                         "config");
}

static enum status find_act(struct state *state, const char *typed, struct act_told *out, struct err *err)
{
    struct commit commit = {.line = NULL};
    bool is_behind = false;
    enum status status = store_commit(state->store, typed, state->arena, &commit, err);
    if (status == STATUS_OK)
        status = store_descends(state->store, commit.id, &is_behind, err);
    if (status == STATUS_OK && !is_behind)
        status =
            err_set(err, STATUS_UNKNOWN, typed, "this commit is not in the history that led to the registry's state");
    if (status == STATUS_OK)
        return store_act(state->store, commit.id, state->arena, out, err);
    return status == STATUS_UNKNOWN || status == STATUS_INPUT
               ? err_hint(err, "the acts with their commits: coretally acts")
               : status;
}

enum status act_sign(struct state *state, const char *typed, const struct signature *signature, struct draft *out,
                     struct err *err)
{
    struct signature added = *signature;
    struct act_signature_set *set = NULL;
    struct act_told act = {.kind = NULL};
    char path[REGISTRY_PATH_MAX];
    char name[24];
    draft_init(out);
    TRY(find_act(state, typed, &act, err));
    if (act.parent_count > 1) {
        err_set(err, STATUS_RULE, typed, "this commit joins two histories, and is nobody's act");
        return err_hint(err, "sign the acts behind it: coretally acts");
    }
    TRY(check_apart(&act, signature, err));
    TRY(check_changes(state, &act, err));
    (void)snprintf(name, sizeof name, "act %.10s", act.commit.id);
    TRY(draft_copy(state, name, &out->name, err));
    added.at = state->now;
    TRY(arena_take(state->arena, 1, sizeof *set, &set, err));
    TRY(draft_copy(state, act.commit.id, &set->act, err));
    TRY(state_act_signatures(state, set->act, set, err));
    struct signatures all = {set->signatures, set->signature_count};
    const struct signature *present = signing_find(&all, &added);
    if (present)
        return signing_present(state, out, name, present, err);
    TRY(signing_append(state, &all, &added, err));
    set->signatures = all.items;
    set->signature_count = all.count;
    out->changed = (struct changed){.part = &act_signature_table, .after = &all.items[all.count - 1]};
    act_signatures_path(act.commit.id, path);
    return draft_write(state, out, path, &act_signature_set_table, set, err);
}
