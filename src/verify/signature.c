/* SPDX-License-Identifier: MIT */
/* A signature is made by its commit: it bears the author's name, is of the correction as it stood, and never of whoever
 * recorded that. */
#include <string.h>

#include "coretally/domain/minted.h"
#include "coretally/store/merge.h"
#include "parts.h"

/* Commits from which versions of a correction are followed back: that of the signature, and what was joined before. */
enum { SIDES_WALKED_MAX = 64 };
struct sides {
    char ids[SIDES_WALKED_MAX][COMMIT_ID_MAX];
    size_t count;
};

/* A join recorded nothing; whoever did stands on one of its sides. */
static enum status add_side(struct verify *verify, const char *commit, struct sides *sides, struct err *err)
{
    struct parents parents;
    TRY(store_parents(verify->store, commit, &parents, err));
    if (parents.count == SIDES_MAX && sides->count < SIDES_WALKED_MAX)
        memcpy(sides->ids[sides->count++], parents.ids[1], COMMIT_ID_MAX);
    return STATUS_OK;
}

/* Along one line, where the past stands. */
static enum status find_in_line(struct verify *verify, const char *path, const struct signature *it,
                                struct sides *sides, struct arena *arena, bool *out, struct err *err)
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
        if (status == STATUS_OK && more)
            status = add_side(verify, commit.id, sides, err);
    }
    history_close(history);
    return status;
}

/* One that got another number in a join names the act that recorded it. */
static enum status find_minted(struct verify *verify, const char *path, const struct signature *it, struct arena *arena,
                               bool *out, struct err *err)
{
    struct bytes bytes = {0};
    struct correction correction;
    struct act_told act;
    const char *name = NULL;
    size_t len = 0;
    char commit[MINTED_COMMIT_MAX];
    struct err why = {0};
    TRY(store_read(verify->past, path, arena, &bytes, err));
    if (!bytes.data || record_decode(&correction_table, bytes, arena, &correction, &why) != STATUS_OK ||
        !minted_former(correction.was, &name, &len, commit))
        return STATUS_OK; /* what cannot be read is told by itself */
    if (store_act(verify->store, commit, arena, &act, &why) == STATUS_OK)
        *out = signature_is_person(it->name, it->mail, act.commit.author, act.commit.mail);
    return STATUS_OK;
}

/* Did this person record the correction, or change it, up to the commit? */
static enum status find_recorder(struct verify *verify, const char *path, const char *commit,
                                 const struct signature *it, struct arena *arena, bool *out, struct err *err)
{
    struct sides sides = {.count = 1};
    memcpy(sides.ids[0], commit, COMMIT_ID_MAX);
    TRY(verify_stand_at(verify, commit, err));
    TRY(find_minted(verify, path, it, arena, out, err));
    for (size_t at = 0; at < sides.count && !*out; at++) {
        TRY(verify_stand_at(verify, sides.ids[at], err));
        TRY(find_in_line(verify, path, it, &sides, arena, out, err));
    }
    return STATUS_OK;
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
        TRY(find_recorder(verify, path, commit->id, it, arena, &is_recorder, err));
        if (is_recorder)
            flaw_add(verify, FLAW_SIGNATURE_FALSE, place->path, it->name, "%s recorded the correction that is signed",
                     it->name);
    }
    return STATUS_OK;
}
