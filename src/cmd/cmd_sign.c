/* SPDX-License-Identifier: MIT */
/* A second person signs what an act did. */
#include "coretally/act/sign.h"
#include "run_commit.h"

static enum status run_sign(struct run *run, struct err *err);

static const char *const sign_fields[] = {"remark", NULL};

const struct command sign_command = {
    .words = "sign",
    .arguments = "COMMIT",
    .purpose = "a second person signs what an act did: an amendment, a withdrawal, another well; never who did it",
    .example = "sign 3f2a9c4d1e --remark \"held against the driller's tally\"",
    .detail =
        "COMMIT is that of the act: its first digits, as acts, explain, history and the audit print them. The id of a\n"
        "commit is the hash of all that it did, so nothing of it can be changed afterwards. Several people may sign.\n"
        "A correction is signed as it stands: correction sign. By a key as well, like every act: git's commit.gpgsign "
        "and\nuser.signingkey; coretally verify checks it.",
    .use = USE_WRITING,
    .table = &act_signature_table,
    .fields = sign_fields,
    .least = 1,
    .most = 1,
    .run = run_sign,
};

static enum status run_sign(struct run *run, struct err *err)
{
    struct signature signature;
    struct actor actor;
    struct draft draft;
    bool any = false;
    record_init(&act_signature_table, &signature);
    TRY(run_open(run, STORE_WRITE, err));
    TRY(store_actor(run->state->store, run->environment, run->environment_context, run->state->arena, &actor, err));
    TRY(run_take_fields(run, &act_signature_table, 0, &signature, &any, err));
    signature.name = actor.name;
    signature.mail = actor.mail;
    TRY(act_sign(run->state, run->args[0], &signature, &draft, err));
    return run_draft(run, &draft, err);
}
