/* SPDX-License-Identifier: MIT */
/* A signature is made by its commit: it bears the author's name, is of the correction as it stood, and never of whoever
 * recorded that. */
#include <string.h>

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

enum status verify_signatures(struct verify *verify, const struct place_known *place, const struct commit *commit,
                              const struct signature_set *older, const struct signature_set *newer, struct err *err)
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
        if (strcmp(it->name, commit->author) != 0 || strcmp(it->mail, commit->mail) != 0)
            flaw_add(verify, FLAW_SIGNATURE_FALSE, place->path, it->name, "its commit is by %s <%s>", commit->author,
                     commit->mail);
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
