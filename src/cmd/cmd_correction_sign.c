/* SPDX-License-Identifier: MIT */
/* A second person signs a correction as it stands. */
#include <string.h>

#include "correction_rows.h"

/* Refused to whoever recorded the correction or changed it since. */
static enum status check_apart(struct run *run, const struct correction *it, const struct actor *actor, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct history *history = NULL;
    enum status status = STATUS_OK;
    correction_path(it->hole, it->number, path);
    TRY(history_open(run->state->store, path, &history, err));
    for (bool more = true; status == STATUS_OK && more;) {
        struct commit commit = {0};
        char id[HASH_TEXT_MAX];
        status = history_next(history, run->state->arena, &commit, id, &more, err);
        if (status == STATUS_OK && more && signature_is_person(actor->name, actor->mail, commit.author, commit.mail)) {
            status = err_set(err, STATUS_RULE, run->args[1],
                             "%.80s <%.80s> recorded this correction (commit %.10s); a signature is another person's",
                             commit.author, commit.mail, commit.id);
            err_hint(err, "whoever signs types it under their own name: GIT_AUTHOR_NAME and GIT_AUTHOR_EMAIL, or git "
                          "config");
        }
    }
    history_close(history);
    return status;
}

/* The one by this person of this version; NULL. */
static const struct signature *find_signature(const struct signature_set *set, const struct signature *like)
{
    for (size_t at = 0; at < set->signature_count; at++)
        if (strcmp(set->signatures[at].record, like->record) == 0 &&
            signature_is_person(set->signatures[at].name, set->signatures[at].mail, like->name, like->mail))
            return &set->signatures[at];
    return NULL;
}

static enum status append(struct run *run, struct signature_set *set, const struct signature *added, struct err *err)
{
    struct signature *all = NULL;
    TRY(arena_take(run->state->arena, set->signature_count + 1, sizeof *all, &all, err));
    if (set->signature_count)
        memcpy(all, set->signatures, set->signature_count * sizeof *all);
    all[set->signature_count] = *added;
    set->signatures = all;
    set->signature_count++;
    return STATUS_OK;
}

static enum status check_standing(const struct correction_roll *roll, const struct correction *it, const char *typed,
                                  struct err *err)
{
    if (it->withdrawn) {
        err_set(err, STATUS_RULE, typed, "correction %d of hole %s is withdrawn: %s", (int)it->number, it->hole,
                it->withdrawn);
        return err_hint(err, "those without a signature: coretally correction list %s --unsigned", it->hole);
    }
    if (roll->target.hole.withdrawn)
        return err_set(err, STATUS_RULE, roll->target.hole_name, "this hole is withdrawn: %s",
                       roll->target.hole.withdrawn);
    return STATUS_OK;
}

static enum status run_correction_sign(struct run *run, struct err *err)
{
    struct correction_roll roll = {0};
    struct correction *it = NULL;
    struct signature_set set;
    struct signature added;
    struct actor actor;
    char path[REGISTRY_PATH_MAX];
    char hash[HASH_TEXT_MAX];
    bool any = false;
    record_init(&signature_table, &added);
    TRY(run_open(run, STORE_WRITE, err));
    TRY(correction_find(run, &roll, &it, err));
    TRY(check_standing(&roll, it, run->args[1], err));
    TRY(store_actor(run->state->store, run->environment, run->environment_context, run->state->arena, &actor, err));
    TRY(check_apart(run, it, &actor, err));
    TRY(run_take_fields(run, &signature_table, roll.target.hole.zone_min, &added, &any, err));
    correction_path(it->hole, it->number, path);
    TRY(store_id(run->state->store, path, hash, err));
    added.name = actor.name;
    added.mail = actor.mail;
    added.at = run->state->now;
    added.record = hash;
    TRY(state_signatures(run->state, it->hole, it->number, &set, err));
    const struct signature *present = find_signature(&set, &added);
    if (present) {
        char when[INSTANT_TEXT_MAX];
        instant_format(present->at, when);
        (void)fprintf(run->out, "already recorded: correction %d of hole %s was signed by %s, %s\n", (int)it->number,
                      it->hole, present->name, when);
        return STATUS_OK;
    }
    TRY(append(run, &set, &added, err));
    struct text line;
    struct bytes bytes;
    text_init(&line, run->state->arena);
    text_addf(&line, "Correction %d of hole %s signed by %s", (int)it->number, it->hole, actor.name);
    TRY(text_done(&line, &bytes, err));
    signatures_path(it->hole, it->number, path);
    const struct writing writing = {.path = path, .table = &signature_set_table, .record = &set};
    return run_commit(run, bytes.data, NULL, &writing, 1, err);
}

static const char *const sign_fields[] = {"remark", NULL};

const struct command correction_sign_command = {
    .words = "correction sign",
    .arguments = "HOLE NUMBER",
    .purpose = "a second person signs a correction as it stands; never the one who recorded it",
    .example = "correction sign U0012A 3 --remark \"checked against tally sheet 14\"",
    .detail =
        "The signature is a record of its own and holds the hash of the correction's file, so that a change made\n"
        "afterwards shows: signed before it was withdrawn. Several people may sign. Those still waiting: correction "
        "list\n--unsigned. To check the hash: git hash-object.",
    .use = USE_WRITING,
    .table = &signature_table,
    .fields = sign_fields,
    .least = 2,
    .most = 2,
    .run = run_correction_sign,
};
