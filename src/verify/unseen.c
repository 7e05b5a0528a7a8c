/* SPDX-License-Identifier: MIT */
/* An act that git set on top of a renaming that its author had not seen. It names the core by a number, and its file
 * lies under that number; if another core has that number by now, what it recorded is that other core's, and no file
 * says so. What can be seen is that the act was set on top of something (git wrote it later than it was done), and that
 * nothing of the author's own on the line since the renaming shows that they knew. A join has no such case: it follows
 * the core. */
#include <stdlib.h>
#include <string.h>

#include "coretally/store/merge.h"
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

static bool has_renaming(const struct renaming_set *set, const struct renaming *it)
{
    for (size_t at = 0; at < set->renaming_count; at++)
        if (strcmp(set->renamings[at].from, it->from) == 0 && strcmp(set->renamings[at].to, it->to) == 0)
            return true;
    return false;
}

static enum status version_has(struct verify *verify, const char *id, const char *path, const struct renaming *it,
                               struct arena *arena, bool *out, struct err *err)
{
    struct bytes bytes = {0};
    struct renaming_set set;
    *out = false;
    if (!*id)
        return STATUS_OK;
    TRY(store_bytes(verify->store, id, path, arena, &bytes, err));
    TRY(record_decode(&renaming_set_table, bytes, arena, &set, err));
    *out = has_renaming(&set, it);
    return STATUS_OK;
}

/* The act that renamed the core, behind the state at which the past stands. Where lists were joined, the one line has
 * the renaming and the other may not, and its place in the list is not the same in both. */
static enum status find_commit(struct verify *verify, const char *path, const struct renaming *it, struct arena *arena,
                               char out[COMMIT_ID_MAX], struct err *err)
{
    struct trail *trail = NULL;
    char wanted[COMMIT_ID_MAX] = "";
    bool more = true;
    TRY(trail_open(verify->past, &path, 1, &trail, err));
    enum status status = STATUS_OK;
    while (status == STATUS_OK && more) {
        struct trail_act act = {.line_count = 0};
        status = trail_next(trail, arena, &act, &more, err);
        if (status != STATUS_OK || !more || (*wanted && strcmp(act.commit.id, wanted) != 0))
            continue;
        (void)snprintf(out, COMMIT_ID_MAX, "%s", act.commit.id);
        *wanted = '\0';
        for (size_t at = 0; status == STATUS_OK && at < act.line_count && !*wanted; at++) {
            bool there = false;
            status = version_has(verify, act.lines[at].id, path, it, arena, &there, err);
            if (there)
                (void)snprintf(wanted, sizeof wanted, "%s", act.lines[at].older);
        }
        more = *wanted != '\0';
    }
    trail_close(trail);
    return status;
}

/* To the commit before, at a join to the one behind which the renaming is. */
static enum status step_back(struct verify *verify, const struct act_told *told, const char *renaming,
                             char at[COMMIT_ID_MAX], struct err *err)
{
    struct parents parents;
    bool leads = false;
    if (told->parent_count < 2) {
        memcpy(at, told->parent, COMMIT_ID_MAX);
        return STATUS_OK;
    }
    TRY(store_parents(verify->store, at, &parents, err));
    *at = '\0';
    for (size_t side = 0; side < parents.count && side < SIDES_MAX && !leads; side++) {
        TRY(store_leads(verify->store, renaming, parents.ids[side], &leads, err));
        if (leads)
            memcpy(at, parents.ids[side], COMMIT_ID_MAX);
    }
    return STATUS_OK;
}

/* Did the author do the renaming, or anything on the line after it? What they did beside it does not count. */
static enum status has_seen(struct verify *verify, const struct act_told *act, const char *renaming,
                            struct arena *arena, bool *out, struct err *err)
{
    char at[COMMIT_ID_MAX];
    memcpy(at, act->parent, sizeof at);
    *out = true;
    for (int steps = 0; *at && steps < UNSEEN_ACTS_MAX; steps++) {
        struct act_told told;
        TRY(store_act(verify->store, at, arena, &told, err));
        const bool is_renaming = strcmp(at, renaming) == 0;
        const bool is_own = strcmp(told.commit.mail, act->commit.mail) == 0;
        if (is_own && (is_renaming || !is_rebased(&told.commit)))
            return STATUS_OK;
        if (is_renaming) {
            *out = false;
            return STATUS_OK;
        }
        TRY(step_back(verify, &told, renaming, at, err));
    }
    return STATUS_OK;
}

static enum status look(struct verify *verify, const struct act_told *act, const struct place_known *place,
                        struct arena *arena, struct err *err)
{
    struct renaming_set set;
    struct bytes bytes = {0};
    char renaming[COMMIT_ID_MAX] = "";
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
    TRY(find_commit(verify, path, &set.renamings[number - 1], arena, renaming, err));
    if (!*renaming)
        return STATUS_OK;
    TRY(has_seen(verify, act, renaming, arena, &seen, err));
    if (!seen)
        flaw_add(verify, FLAW_NAME_UNSEEN, place->path, "",
                 "git set it on top of %.10s, by which core %s became %s; if it was done without knowing of that, it "
                 "is about the core that is %s now",
                 renaming, set.renamings[number - 1].from, set.renamings[number - 1].to, set.renamings[number - 1].to);
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
