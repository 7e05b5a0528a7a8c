/* SPDX-License-Identifier: MIT */
/* An act that git set on top of a renaming that its author had not seen. It names the core by a number, and its file
 * lies under that number; if another core has that number by now, what it recorded is that other core's, and no file
 * says so. What can be seen is that the act was set on top of something (git wrote it later than it was done), and that
 * nothing of the author's own on the line since the renaming shows that they knew. A join has no such case: it follows
 * the core. */
#include <stdlib.h>
#include <string.h>

#include "parts.h"

enum { UNSEEN_ACTS_MAX = 1000 }; /* acts since the renaming; who did nothing in so many had pulled */

static bool is_rebased(const struct commit *commit)
{
    return commit->here.utc_us > commit->when.utc_us;
}

/* The last renaming by which a core left this number; 0: none. */
static size_t find_renaming(const struct renaming_set *set, int32_t number)
{
    for (size_t at = set->renaming_count; at > 0; at--)
        if (strtol(set->renamings[at - 1].from, NULL, 10) == number)
            return at;
    return 0;
}

static enum status count_renamings(struct verify *verify, const char *id, const char *path, struct arena *arena,
                                   size_t *out, struct err *err)
{
    struct bytes bytes = {0};
    struct renaming_set set;
    *out = 0;
    if (!*id)
        return STATUS_OK;
    TRY(store_bytes(verify->store, id, path, arena, &bytes, err));
    TRY(record_decode(&renaming_set_table, bytes, arena, &set, err));
    *out = set.renaming_count;
    return STATUS_OK;
}

/* The commit that brought the number-th renaming to the line on which the past stands. */
static enum status find_commit(struct verify *verify, const char *path, size_t number, struct arena *arena,
                               struct commit *out, struct err *err)
{
    struct history *history = NULL;
    bool more = true;
    TRY(history_open(verify->past, path, &history, err));
    enum status status = STATUS_OK;
    while (status == STATUS_OK && more) {
        struct commit commit = {0};
        char id[HASH_TEXT_MAX] = "";
        size_t count = 0;
        status = history_next(history, arena, &commit, id, &more, err);
        if (status == STATUS_OK && more)
            status = count_renamings(verify, id, path, arena, &count, err);
        more = more && count >= number;
        if (status == STATUS_OK && more)
            *out = commit;
    }
    history_close(history);
    return status;
}

/* Did the author do the renaming, or anything on the line after it? */
static enum status has_seen(struct verify *verify, const struct act_told *act, const struct commit *renaming,
                            struct arena *arena, bool *out, struct err *err)
{
    char at[COMMIT_ID_MAX];
    memcpy(at, act->parent, sizeof at);
    *out = true;
    for (int steps = 0; *at && steps < UNSEEN_ACTS_MAX; steps++) {
        struct act_told told;
        TRY(store_act(verify->store, at, arena, &told, err));
        const bool is_renaming = strcmp(at, renaming->id) == 0;
        const bool is_own = strcmp(told.commit.mail, act->commit.mail) == 0;
        if (is_own && (is_renaming || !is_rebased(&told.commit)))
            return STATUS_OK;
        if (is_renaming) {
            *out = false;
            return STATUS_OK;
        }
        memcpy(at, told.parent, sizeof at);
    }
    return STATUS_OK;
}

static enum status look(struct verify *verify, const struct act_told *act, const struct place_known *place,
                        struct arena *arena, struct err *err)
{
    struct renaming_set set;
    struct bytes bytes = {0};
    struct commit renaming = {.id = ""};
    char path[REGISTRY_PATH_MAX];
    bool seen = true;
    renamed_path(place->hole, path);
    TRY(verify_stand_at(verify, act->parent, err));
    TRY(store_read(verify->past, path, arena, &bytes, err));
    if (!bytes.data)
        return STATUS_OK;
    TRY(record_decode(&renaming_set_table, bytes, arena, &set, err));
    const size_t number = find_renaming(&set, place->number);
    if (!number)
        return STATUS_OK;
    TRY(find_commit(verify, path, number, arena, &renaming, err));
    if (!*renaming.id)
        return STATUS_OK;
    TRY(has_seen(verify, act, &renaming, arena, &seen, err));
    if (!seen)
        flaw_add(verify, FLAW_NAME_UNSEEN, place->path, "",
                 "git set it on top of %.10s, by which core %s became %s; if it was done without knowing of that, it "
                 "is about the core that is %s now",
                 renaming.id, set.renamings[number - 1].from, set.renamings[number - 1].to,
                 set.renamings[number - 1].to);
    return STATUS_OK;
}

enum status verify_unseen(struct verify *verify, const struct act_told *act, const struct place_known *place,
                          struct arena *arena, struct err *err)
{
    struct err why = {0};
    if (!is_rebased(&act->commit) || !*act->parent || !place_is_of_core(place))
        return STATUS_OK;
    const enum status status = look(verify, act, place, arena, &why);
    if (status == STATUS_SYSTEM)
        *err = why;
    return status == STATUS_SYSTEM ? status : STATUS_OK; /* what cannot be read is told by itself */
}
