/* SPDX-License-Identifier: MIT */
/* A second person signs a correction as it stands. */
#include "coretally/act/correction.h"
#include "coretally/say/correction_rows.h"
#include "run_commit.h"

static enum status run_correction_sign(struct run *run, struct err *err);

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

static enum status run_correction_sign(struct run *run, struct err *err)
{
    struct correction_roll roll = {0};
    struct correction *it = NULL;
    struct signature signature;
    struct actor actor;
    struct draft draft;
    bool any = false;
    record_init(&signature_table, &signature);
    TRY(run_open(run, STORE_WRITE, err));
    TRY(correction_find(run, &roll, &it, err));
    TRY(store_actor(run->state->store, run->environment, run->environment_context, run->state->arena, &actor, err));
    TRY(run_take_fields(run, &signature_table, roll.target.hole.zone_min, &signature, &any, err));
    signature.name = actor.name;
    signature.mail = actor.mail;
    TRY(correction_sign(run->state, &roll, it, &signature, &draft, err));
    return run_draft(run, &draft, err);
}
