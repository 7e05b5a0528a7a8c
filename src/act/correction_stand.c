/* SPDX-License-Identifier: MIT */
/* Corrections of depth withdrawn, and signed by a second person. */
#include "coretally/act/correction.h"

#include <string.h>

#include "coretally/state/correction_text.h"
#include "coretally/state/stays.h"
#include "signing.h"

/* What comes back into force may repeat what is in force. */
static void check_returned(const struct target *target, const struct hole *with, struct findings *findings)
{
    for (size_t at = 0; at < with->correction_count; at++)
        for (size_t other = 0; other < at; other++)
            if (correction_repeats(with->corrections[at], with->corrections[other]) &&
                !(correction_in_force(&target->hole, with->corrections[at]->number) &&
                  correction_in_force(&target->hole, with->corrections[other]->number))) {
                findings_add(findings, RULE_CORRECTION_TWICE,
                             "corrections %d and %d of hole %s would then both be in force for the same",
                             (int)with->corrections[other]->number, (int)with->corrections[at]->number,
                             target->hole_name);
                findings_hint(findings, "withdraw one of them first");
            }
}

enum status correction_withdraw(struct state *state, const struct correction_roll *roll, const struct correction *it,
                                const char *reason, struct correction_withdrawal *out, struct err *err)
{
    struct draft *const draft = &out->draft;
    struct correction *all = NULL;
    char path[REGISTRY_PATH_MAX];
    const size_t at = (size_t)(it - roll->all);
    *out = (struct correction_withdrawal){.with = roll->target.hole};
    draft_init(draft);
    if (it->withdrawn) {
        char name[40];
        (void)snprintf(name, sizeof name, "correction %d", (int)it->number);
        return draft_withdrawn(state, draft, name, it->withdrawn, err);
    }
    TRY(arena_take(state->arena, roll->count, sizeof *all, &all, err));
    memcpy(all, roll->all, roll->count * sizeof *all);
    all[at].withdrawn = reason;
    all[at].version = it->version ? it->version + 1 : 2;
    TRY(hole_under(state, &roll->target.hole, all, roll->count, &out->with, err));
    TRY(draft_copy(state, roll->target.hole_name, &draft->name, err));
    check_returned(&roll->target, &out->with, &draft->findings);
    if (it->kind == CORRECTION_COMPOSITE || it->kind == CORRECTION_SPLICE)
        draft->notes = "note: what the same table said of other holes stands: withdraw it there, too\n";
    draft->needs_reason = true;
    draft->changed = (struct changed){.part = &correction_table, .after = &all[at]};
    correction_path(roll->target.hole_name, it->number, path);
    return draft_write(state, draft, path, &correction_table, &all[at], err);
}

/* Refused to whoever recorded the correction or changed it since. */
static enum status check_apart(struct state *state, const struct correction *it, const struct signature *by,
                               struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct stays *stays = NULL;
    enum status status = STATUS_OK;
    correction_path(it->hole, it->number, path);
    TRY(stays_open(state, path, &stays, err));
    for (bool more = true; status == STATUS_OK && more;) {
        struct commit commit = {0};
        char id[HASH_TEXT_MAX];
        status = stays_next(stays, state->arena, &commit, id, &more, err);
        if (status == STATUS_OK && more && signature_is_person(by->name, by->mail, commit.author, commit.mail)) {
            char number[16];
            (void)snprintf(number, sizeof number, "%d", (int)it->number);
            status = err_set(err, STATUS_RULE, number,
                             "%.80s <%.80s> recorded this correction (commit %.10s); a signature is another person's",
                             commit.author, commit.mail, commit.id);
            err_hint(err, "whoever signs types it under their own name: GIT_AUTHOR_NAME and GIT_AUTHOR_EMAIL, or git "
                          "config");
        }
    }
    stays_close(stays);
    return status;
}

static enum status check_standing(const struct correction_roll *roll, const struct correction *it, struct err *err)
{
    char number[16];
    (void)snprintf(number, sizeof number, "%d", (int)it->number);
    if (it->withdrawn) {
        err_set(err, STATUS_RULE, number, "correction %d of hole %s is withdrawn: %s", (int)it->number, it->hole,
                it->withdrawn);
        return err_hint(err, "those without a signature: coretally correction list %s --unsigned", it->hole);
    }
    if (roll->target.hole.withdrawn)
        return err_set(err, STATUS_RULE, roll->target.hole_name, "this hole is withdrawn: %s",
                       roll->target.hole.withdrawn);
    return STATUS_OK;
}

enum status correction_sign(struct state *state, const struct correction_roll *roll, const struct correction *it,
                            const struct signature *signature, struct draft *out, struct err *err)
{
    struct signature added = *signature;
    struct signature_set *set = NULL;
    char path[REGISTRY_PATH_MAX];
    char hash[HASH_TEXT_MAX];
    draft_init(out);
    TRY(check_standing(roll, it, err));
    TRY(check_apart(state, it, signature, err));
    correction_path(it->hole, it->number, path);
    TRY(store_id(state->store, path, hash, err));
    TRY(draft_copy(state, hash, &added.record, err));
    added.at = state->now;
    TRY(arena_take(state->arena, 1, sizeof *set, &set, err));
    TRY(state_signatures(state, it->hole, it->number, set, err));
    struct signatures all = {set->signatures, set->signature_count};
    const struct signature *present = signing_find(&all, &added);
    if (present) {
        char name[NAME_TEXT_MAX];
        (void)snprintf(name, sizeof name, "correction %d of hole %s", (int)it->number, it->hole);
        return signing_present(state, out, name, present, err);
    }
    TRY(signing_append(state, &all, &added, err));
    set->signatures = all.items;
    set->signature_count = all.count;
    TRY(draft_copy(state, it->hole, &out->name, err));
    out->changed = (struct changed){.part = &signature_table, .after = &set->signatures[set->signature_count - 1]};
    signatures_path(it->hole, it->number, path);
    return draft_write(state, out, path, &signature_set_table, set, err);
}
