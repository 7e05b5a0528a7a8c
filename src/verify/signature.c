/* SPDX-License-Identifier: MIT */
/* A signature is made by its commit: it bears the author's name, is of the correction as it stood, and never of whoever
 * recorded that. */
#include <string.h>

#include "parts.h"

/* Did this person record the correction, or change it, up to the commit? */
static enum status find_recorder(struct verify *verify, const char *path, const struct signature *it,
                                 struct arena *arena, bool *out, struct err *err)
{
    struct history *history = NULL;
    enum status status = STATUS_OK;
    bool more = true;
    TRY(history_open(verify->past, path, &history, err));
    while (status == STATUS_OK && more && !*out) {
        struct commit commit = {0};
        char id[HASH_TEXT_MAX];
        status = history_next(history, arena, &commit, id, &more, err);
        *out = status == STATUS_OK && more && signature_is_person(it->name, it->mail, commit.author, commit.mail);
    }
    history_close(history);
    return status;
}

enum status verify_signatures(struct verify *verify, const struct place_known *place, const struct commit *commit,
                              const struct signature_set *older, const struct signature_set *newer, struct arena *arena,
                              struct err *err)
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
        TRY(find_recorder(verify, path, it, arena, &is_recorder, err));
        if (is_recorder)
            flaw_add(verify, FLAW_SIGNATURE_FALSE, place->path, it->name, "%s recorded the correction that is signed",
                     it->name);
    }
    return STATUS_OK;
}
