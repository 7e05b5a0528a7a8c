/* SPDX-License-Identifier: MIT */
/* Who signed a correction, and whether it is still what was signed. */
#include "coretally/ask/signed.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/state/correction_roll.h"
#include "coretally/state/namesake.h"
#include "coretally/state/origin.h"
#include "coretally/store/merge.h"

/* key: const struct signature *. */
static const void *pick_signature(const void *record, const void *key)
{
    const struct signature_set *set = record;
    const struct signature *wanted = key;
    for (size_t at = 0; at < set->signature_count; at++)
        if (record_is_equal(&signature_table, &set->signatures[at], wanted))
            return &set->signatures[at];
    return NULL;
}

static struct record_at record_of_signature(const struct correction *signed_one, const struct signature *it)
{
    struct record_at at = {
        .table = &signature_set_table, .pick = pick_signature, .key = it, .part = &signature_table, .present = it};
    signatures_path(signed_one->hole, signed_one->number, at.path);
    return at;
}

/* --- by which act: under the number that the correction had --- */

/* Is it the correction that has this number in another state? One that a join renumbered had, before that, the number
 * that its former name tells. */
static enum status is_it(struct store *store, const struct correction *then, const struct correction *it, bool *out,
                         struct err *err)
{
    const char *name = NULL;
    size_t len = 0;
    char commit[MINTED_COMMIT_MAX];
    *out = minted_is_same(then->was, it->was);
    if (*out || then->was || then->number != minted_number(it->was) || !minted_former(it->was, &name, &len, commit))
        return STATUS_OK;
    return store_descends(store, commit, out, err);
}

/* The first act of the unbroken row that has the signature at the path; *out stays where none does. */
static enum status walk_back(struct state *past, const char *path, const struct signature *signature,
                             struct commit *out, struct err *err)
{
    struct history *history = NULL;
    enum status status = STATUS_OK;
    TRY(history_open(past->store, path, &history, err));
    for (bool more = true; status == STATUS_OK && more;) {
        struct commit commit = {0};
        char id[HASH_TEXT_MAX];
        const void *set = NULL;
        status = history_next(history, past->arena, &commit, id, &more, err);
        if (status == STATUS_OK && more)
            status = state_version(past, id, path, &signature_set_table, &set, err);
        more = more && set && pick_signature(set, signature);
        if (status == STATUS_OK && more)
            *out = commit;
    }
    history_close(history);
    return status;
}

static enum status find_before(struct state *state, const struct correction *it, const struct signature *signature,
                               struct commit *out, struct err *err);

/* On the line that led to a join. */
static enum status look_at_line(struct state *past, const struct correction *it, const struct signature *signature,
                                struct commit *out, struct err *err)
{
    struct correction *all = NULL;
    size_t count = 0;
    char path[REGISTRY_PATH_MAX];
    TRY(state_corrections(past, it->hole, &all, &count, err));
    for (size_t at = 0; at < count; at++) {
        bool is_found = false;
        TRY(is_it(past->store, &all[at], it, &is_found, err));
        if (!is_found)
            continue;
        signatures_path(it->hole, all[at].number, path);
        TRY(walk_back(past, path, signature, out, err));
        return find_before(past, it, signature, out, err); /* NOLINT(misc-no-recursion): a step a join */
    }
    return STATUS_OK;
}

/* A join brought the signature under another number: the act that wrote it stands on one of its lines. */
static enum status find_before(struct state *state, const struct correction *it, const struct signature *signature,
                               struct commit *out, struct err *err)
{
    struct parents lines = {.count = 0};
    char join[COMMIT_ID_MAX];
    if (!it->was || !out->mail || strcmp(out->mail, JOIN_MAIL) != 0)
        return STATUS_OK;
    memcpy(join, out->id, sizeof join);
    TRY(store_parents(state->store, join, &lines, err));
    for (size_t at = 0; at < lines.count && at < SIDES_MAX && strcmp(join, out->id) == 0; at++) {
        struct store *beside = NULL;
        struct state past;
        TRY(store_open_beside(state->store, lines.ids[at], &beside, err));
        state_at(state, beside, &past);
        const enum status status = look_at_line(&past, it, signature, out, err);
        store_close(beside);
        TRY(status);
    }
    return STATUS_OK;
}

static enum status find_act(struct state *state, const struct correction *it, const struct signature *signature,
                            struct commit *out, struct err *err)
{
    const struct record_at record = record_of_signature(it, signature);
    TRY(origin_find(state, &record, NULL, out, err));
    return find_before(state, it, signature, out, err);
}

/* --- is it what was signed --- */

/* The numbers of a list as they are now; those of the state in which it was signed. */
static enum status map_numbers(struct state *state, const struct minted_group *group, const char *then_id,
                               struct then *then, const char *list, const char **out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, state->arena);
    for (const char *at = list; at && *at; at += strcspn(at, " "), at += *at == ' ') {
        struct namesake meant;
        const int32_t number = (int32_t)strtol(at, NULL, 10);
        TRY(namesake_number(state, group, then_id, then, number, &meant, err));
        text_addf(&text, "%s%d", text.len ? " " : "", (int)(meant.is_certain ? meant.number : number));
    }
    TRY(text_done(&text, &bytes, err));
    *out = bytes.len ? bytes.data : NULL;
    return STATUS_OK;
}

/* Names of cores of the state in which it was signed, as they are now. */
struct names_then {
    struct state *state; /* then */
    const char *hole;
    struct renaming_set then;
    struct renaming_set now;
};

static enum status map_core(const struct names_then *names, int32_t *number, struct err *err)
{
    struct core core;
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    if (!*number)
        return STATUS_OK;
    core_path(names->hole, *number, path);
    TRY(state_read(names->state, path, &core_table, &core, &there, err));
    struct core_id id = {core.number, core.type};
    if (there && renamings_between(&names->then, &names->now, &id))
        *number = id.number;
    return STATUS_OK;
}

static int compare_offsets(const void *a, const void *b)
{
    return ((const struct core_offset *)a)->core - ((const struct core_offset *)b)->core;
}

/* it: a copy, whose lists are copied here. */
static enum status map_cores(const struct names_then *names, struct correction *it, struct err *err)
{
    struct arena *const arena = names->state->arena;
    struct core_offset *offsets = NULL;
    struct splice_interval *intervals = NULL;
    TRY(map_core(names, &it->core, err));
    TRY(arena_take(arena, it->offset_count, sizeof *offsets, &offsets, err));
    TRY(arena_take(arena, it->interval_count, sizeof *intervals, &intervals, err));
    for (size_t at = 0; at < it->offset_count; at++) {
        offsets[at] = it->offsets[at];
        TRY(map_core(names, &offsets[at].core, err));
    }
    for (size_t at = 0; at < it->interval_count; at++) {
        intervals[at] = it->intervals[at];
        TRY(map_core(names, &intervals[at].core, err));
    }
    if (it->offset_count)
        qsort(offsets, it->offset_count, sizeof *offsets, compare_offsets);
    it->offsets = offsets;
    it->intervals = intervals;
    return STATUS_OK;
}

/* A join carries the cores that it names to the names that they have; no act does. */
static enum status carry_cores(struct state *state, const char *commit, struct then *then, struct correction *it,
                               struct err *err)
{
    struct names_then names = {.hole = it->hole};
    TRY(state_renamings(state, it->hole, &names.now, err));
    if (!names.now.renaming_count)
        return STATUS_OK;
    TRY(then_stand(state, commit, then, err));
    if (!then->is_known)
        return STATUS_OK;
    names.state = &then->state;
    TRY(state_renamings(names.state, it->hole, &names.then, err));
    return map_cores(&names, it, err);
}

/* What was signed, with the numbers of now, against what stands. */
static enum status compare(struct state *state, const struct correction *it, const struct correction *signed_one,
                           const struct commit *commit, bool *out, struct err *err)
{
    const struct minted_group group = {.hole = it->hole};
    struct correction then_with_now = *signed_one;
    struct namesake meant;
    struct then then = {.store = NULL};
    enum status status = namesake_number(state, &group, commit->id, &then, signed_one->number, &meant, err);
    if (status == STATUS_OK)
        status = map_numbers(state, &group, commit->id, &then, signed_one->supersedes, &then_with_now.supersedes, err);
    if (status == STATUS_OK)
        status = carry_cores(state, commit->id, &then, &then_with_now, err);
    then_close(&then);
    TRY(status);
    then_with_now.number = meant.is_certain ? meant.number : signed_one->number;
    then_with_now.was = it->was;
    *out = record_is_equal(&correction_table, &then_with_now, it);
    return STATUS_OK;
}

/* A join gave numbers anew, its own or those that it names, of corrections or cores: the file is another, what it says
 * is not. */
static enum status is_renumbered(struct state *state, const struct correction *it, const struct signed_by *by,
                                 bool *out, struct err *err)
{
    struct correction *all = NULL;
    size_t count = 0;
    char path[REGISTRY_PATH_MAX];
    const void *signed_one = NULL;
    struct err unread = {0};
    struct renaming_set renamed = {0};
    TRY(state_corrections(state, it->hole, &all, &count, err));
    TRY(state_renamings(state, it->hole, &renamed, err));
    bool is_any = renamed.renaming_count > 0;
    for (size_t at = 0; at < count; at++)
        is_any = is_any || all[at].was;
    if (!is_any)
        return STATUS_OK;
    correction_path(it->hole, it->number, path);
    const enum status status =
        state_version(state, by->signature->record, path, &correction_table, &signed_one, &unread);
    if (status == STATUS_SYSTEM) {
        *err = unread;
        return status;
    }
    return status == STATUS_OK && signed_one ? compare(state, it, signed_one, &by->commit, out, err) : STATUS_OK;
}

enum status signed_find(struct state *state, const struct correction *it, struct signed_all *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char present[HASH_TEXT_MAX];
    struct signature_set set;
    *out = (struct signed_all){.count = 0};
    TRY(state_signatures(state, it->hole, it->number, &set, err));
    if (!set.signature_count)
        return STATUS_OK;
    correction_path(it->hole, it->number, path);
    TRY(store_id(state->store, path, present, err));
    TRY(arena_take(state->arena, set.signature_count, sizeof *out->items, &out->items, err));
    for (size_t at = 0; at < set.signature_count; at++) {
        struct signed_by *by = &out->items[out->count++];
        by->signature = &set.signatures[at];
        TRY(find_act(state, it, by->signature, &by->commit, err));
        by->is_same = strcmp(by->signature->record, present) == 0;
        if (!by->is_same)
            TRY(is_renumbered(state, it, by, &by->is_same, err));
        by->is_theirs =
            signature_is_person(by->signature->name, by->signature->mail, by->commit.author, by->commit.mail);
        out->standing += by->is_same && by->is_theirs;
    }
    return STATUS_OK;
}
