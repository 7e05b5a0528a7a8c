/* SPDX-License-Identifier: MIT */
/* A signature is made by its commit: it bears the author's name, is of the correction as it stood or of an act that had
 * been done, and never of whoever recorded or did that. */
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/state/stays.h"
#include "parts.h"

/* Did this person record the correction, or change it, up to the commit? On whichever side of a join, and under
 * whichever number: two may have recorded it, neither knowing of the other. */
static enum status find_recorder(struct verify *verify, const char *path, const char *signing,
                                 const struct signature *it, bool *out, struct err *err)
{
    struct state aside;
    struct stays *stays = NULL;
    bool more = true;
    TRY(verify_stand_at(verify, signing, err));
    state_nest(verify->state, &aside);
    aside.store = verify->past;
    enum status status = stays_open(&aside, path, &stays, err);
    while (status == STATUS_OK && more && !*out) {
        struct commit commit = {0};
        char id[HASH_TEXT_MAX];
        status = stays_next(stays, aside.arena, &commit, id, &more, err);
        *out = status == STATUS_OK && more && signature_is_person(it->name, it->mail, commit.author, commit.mail);
    }
    stays_close(stays);
    state_leave(&aside);
    return status;
}

/* Is it the name that git made of this one? It leaves out marks at either end; acts of earlier versions kept them here.
 */
static bool is_made_of(const char *author, const char *name)
{
    static const char left_out[] = " .,:;<>\"\\'";
    name += strspn(name, left_out);
    size_t len = strlen(name);
    while (len && strchr(left_out, name[len - 1]))
        len--;
    return strlen(author) == len && strncmp(author, name, len) == 0;
}

static void hold_signer(struct verify *verify, const char *path, const struct commit *commit,
                        const struct signature *it)
{
    if (!is_made_of(commit->author, it->name) || !is_made_of(commit->mail, it->mail))
        flaw_add(verify, FLAW_SIGNATURE_FALSE, path, it->name, "its commit is by %s <%s>", commit->author,
                 commit->mail);
}

static enum status hold_of_correction(struct verify *verify, const struct place_known *place,
                                      const struct commit *commit, const struct signature_set *older,
                                      const struct signature_set *newer, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char record[HASH_TEXT_MAX] = "";
    struct err why = {0};
    correction_path(place->hole, place->number, path);
    if (verify_stand_at(verify, commit->id, &why) != STATUS_OK ||
        store_id(verify->past, path, record, &why) != STATUS_OK)
        return flaw_unreadable(verify, FLAW_REFERENCE_MISSING, place->path, &why, err);
    for (size_t at = older ? older->signature_count : 0; at < newer->signature_count; at++) {
        const struct signature *it = &newer->signatures[at];
        bool is_recorder = false;
        hold_signer(verify, place->path, commit, it);
        if (strcmp(it->record, record) != 0)
            flaw_add(verify, FLAW_SIGNATURE_FALSE, place->path, it->name,
                     "it is of contents %.10s; the correction then was %.10s", it->record, record);
        TRY(find_recorder(verify, path, commit->id, it, &is_recorder, err));
        if (is_recorder)
            flaw_add(verify, FLAW_SIGNATURE_FALSE, place->path, it->name, "%s recorded the correction that is signed",
                     it->name);
    }
    return STATUS_OK;
}

/* Was the act done when it was signed? One that is not in this history at all is told with the state. */
static enum status hold_order(struct verify *verify, const char *path, const struct commit *commit, const char *act,
                              bool *is_behind, struct err *err)
{
    bool is_here = false;
    struct err why = {0};
    if (store_leads(verify->store, act, commit->id, is_behind, &why) != STATUS_OK)
        return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, path, &why, err);
    if (*is_behind && strcmp(act, commit->id) != 0)
        return STATUS_OK;
    TRY(verify_has_commit(verify, act, &is_here, err));
    if (is_here)
        flaw_add(verify, FLAW_SIGNATURE_FALSE, path, "", "act %.10s does not lead to the commit that signed it", act);
    *is_behind = false;
    return STATUS_OK;
}

static enum status hold_of_act(struct verify *verify, const struct place_known *place, const struct commit *commit,
                               const struct act_signature_set *older, const struct act_signature_set *newer,
                               struct err *err)
{
    struct act_told act;
    struct err why = {0};
    bool is_behind = false;
    TRY(hold_order(verify, place->path, commit, newer->act, &is_behind, err));
    if (is_behind && store_act(verify->store, newer->act, verify->state->arena, &act, &why) != STATUS_OK)
        return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, place->path, &why, err);
    if (is_behind && act.parent_count > 1)
        flaw_add(verify, FLAW_SIGNATURE_FALSE, place->path, "", "commit %.10s is a join, and nobody's act", newer->act);
    for (size_t at = older ? older->signature_count : 0; at < newer->signature_count; at++) {
        const struct signature *it = &newer->signatures[at];
        hold_signer(verify, place->path, commit, it);
        if (!signature_is_person(it->name, it->mail, commit->committer, commit->committer_mail))
            flaw_add(verify, FLAW_SIGNATURE_FALSE, place->path, it->name, "its commit was written by %s <%s>",
                     commit->committer, commit->committer_mail);
        if (is_behind && (signature_is_person(it->name, it->mail, act.commit.author, act.commit.mail) ||
                          signature_is_person(it->name, it->mail, act.commit.committer, act.commit.committer_mail)))
            flaw_add(verify, FLAW_SIGNATURE_FALSE, place->path, it->name, "%s did the act that is signed", it->name);
    }
    return STATUS_OK;
}

bool verify_is_signatures(const struct place_known *place)
{
    return place->known->table == &signature_set_table || place->known->table == &act_signature_set_table;
}

enum status verify_signatures(struct verify *verify, const struct place_known *place, const struct commit *commit,
                              const void *older, const void *newer, struct err *err)
{
    return place->known->table == &signature_set_table ? hold_of_correction(verify, place, commit, older, newer, err)
                                                       : hold_of_act(verify, place, commit, older, newer, err);
}

/* The state: each is of an act that led to it. */
enum status verify_act_signatures(struct verify *verify, const struct place_known *place, struct err *err)
{
    struct arena arena;
    struct act_signature_set set;
    bool sound = false;
    bool is_here = false;
    arena_init(&arena, ARENA_LIMIT_BYTES);
    enum status status = verify_read(verify, place, &arena, &set, &sound, err);
    if (status == STATUS_OK && sound)
        status = verify_has_commit(verify, set.act, &is_here, err);
    if (status == STATUS_OK && sound && !is_here)
        flaw_add(verify, FLAW_SIGNATURE_LOST, place->path, "",
                 "act %.10s is not in this history: it was done under another id, or never; sign that one", set.act);
    arena_clear(&arena);
    return status;
}
