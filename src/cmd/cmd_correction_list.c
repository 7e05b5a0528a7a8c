/* SPDX-License-Identifier: MIT */
/* Corrections shown, listed, withdrawn; what one moves; the file that shows it. */
#include <assert.h>
#include <string.h>

#include "coretally/act/correction.h"
#include "coretally/domain/minted.h"
#include "coretally/say/correction_rows.h"
#include "coretally/say/correction_say.h"
#include "numbered.h"
#include "coretally/say/reach_say.h"
#include "coretally/say/show.h"
#include "run_commit.h"

static enum status run_correction_list(struct run *run, struct err *err);
static enum status run_correction_show(struct run *run, struct err *err);
static enum status run_correction_reach(struct run *run, struct err *err);
static enum status run_correction_withdraw(struct run *run, struct err *err);
static enum status run_correction_evidence(struct run *run, struct err *err);

static const struct option list_options[] = {
    {"reach", NULL, "columns for what each one in force moves, and for its evidence"},
    {"unsigned", NULL, "only those in force that nobody has signed as they are"},
    {0},
};

const struct command correction_list_command = {
    .words = "correction list",
    .arguments = "HOLE",
    .purpose = "the corrections of a hole: what, by how much, over what, by whom and why, who signed; in force or not",
    .example = "correction list U0012A",
    .use = USE_READING,
    .on = ON_STATE,
    .options = list_options,
    .least = 1,
    .most = 1,
    .run = run_correction_list,
};

const struct command correction_show_command = {
    .words = "correction show",
    .arguments = "HOLE NUMBER",
    .purpose = "everything recorded about a correction, its table included",
    .example = "correction show U0012A 3",
    .use = USE_READING,
    .on = ON_STATE,
    .options = history_options,
    .least = 2,
    .most = 2,
    .run = run_correction_show,
};

const struct command correction_reach_command = {
    .words = "correction reach",
    .arguments = "HOLE NUMBER",
    .purpose = "what a recorded correction moves: the depths with it against those without it",
    .example = "correction reach U0012A 3 --watch 'U0012A-12H-3W, 45-47 cm'",
    .use = USE_READING,
    .on = ON_STATE,
    .options = reach_options,
    .least = 2,
    .most = 2,
    .run = run_correction_reach,
};

const struct command correction_withdraw_command = {
    .words = "correction withdraw",
    .arguments = "HOLE NUMBER",
    .purpose = "withdraw a correction: as if it had never been entered; it stays in the registry, marked",
    .example = "correction withdraw U0012A 3 --reason \"the joint was counted after all\"",
    .detail =
        "What it took the place of comes back into force. It first shows what moves, and with --dry-run only that.",
    .use = USE_WRITING,
    .on = ON_STATE,
    .needs_reason = true,
    .options = reach_options,
    .least = 2,
    .most = 2,
    .run = run_correction_withdraw,
};

const struct command correction_evidence_command = {
    .words = "correction evidence",
    .arguments = "HOLE NUMBER",
    .purpose = "the file attached to a correction, checked by its hash, on standard output",
    .example = "correction evidence U0012A 3 > sheet-14.pdf",
    .use = USE_READING,
    .on = ON_STATE,
    .least = 2,
    .most = 2,
    .run = run_correction_evidence,
};

static enum status run_correction_list(struct run *run, struct err *err)
{
    const struct corrections_asked asked = {.with_reach = run_option(run, "reach") != NULL,
                                            .unsigned_only = run_option(run, "unsigned") != NULL};
    struct column columns[CORRECTION_COLUMNS_MAX];
    struct correction_roll roll = {0};
    struct corrections all;
    struct sheet sheet;
    TRY(correction_roll_open(run->state, run->args[0], &roll, err));
    sheet_init(&sheet, run->state->arena, columns, correction_columns(run, &asked, columns));
    TRY(corrections_find(run->state, &roll, &asked, &all, err));
    TRY(correction_rows_add(run, &all, &sheet, err));
    for (size_t at = 0; at < roll.count; at++)
        if (minted_number(roll.all[at].was))
            (void)fprintf(run->talk, "note: correction %d was %d before the registries were joined\n",
                          (int)roll.all[at].number, (int)minted_number(roll.all[at].was));
    if (!roll.count)
        (void)fprintf(run->talk, "none is recorded yet: coretally correction add %s KIND ...\n", roll.target.hole_name);
    else if (asked.unsigned_only && !all.waiting)
        (void)fprintf(run->talk, "none waits for a signature\n");
    return run_print_sheet(run, &sheet, err);
}

static enum status run_correction_show(struct run *run, struct err *err)
{
    struct correction_roll roll = {0};
    struct correction *it = NULL;
    char name[64];
    const char *state = NULL;
    const char *who = NULL;
    const char *recorder = NULL;
    struct signed_all by = {0};
    TRY(correction_find(run, &roll, &it, err));
    const struct record_at at = record_of_correction(roll.target.hole_name, it);
    if (run_option(run, "history"))
        return show_history(run, &at, err);
    TRY(correction_state_text(run->state, &roll, it, &state, err));
    TRY(signed_find(run->state, it, &by, err));
    TRY(signed_text(run->state, it, &by, true, &who, err));
    (void)snprintf(name, sizeof name, "correction %d of hole %s", (int)it->number, roll.target.hole_name);
    TRY(recorded_text(run->state, it, &recorder, err));
    const struct extra_words below[] = {{"recorded", "by whom and when", recorder},
                                        {"signed", "who stands by it beside the one who recorded it", who}};
    TRY(show_record(run, name, &at, &(struct below){.words = below, .word_count = 2}, err));
    if (run->format == SHEET_PEOPLE)
        (void)fprintf(run->out, "%s; what it moves: coretally correction reach %s %d\n", state, roll.target.hole_name,
                      (int)it->number);
    return STATUS_OK;
}

static enum status run_correction_reach(struct run *run, struct err *err)
{
    struct correction_roll roll = {0};
    struct correction *it = NULL;
    struct reach_part part = {.kind = CORRECTION_NONE};
    struct reach_part alone = {.kind = CORRECTION_NONE};
    bool is_other = false;
    const char *state = NULL;
    TRY(correction_find(run, &roll, &it, err));
    TRY(correction_state_text(run->state, &roll, it, &state, err));
    if (strcmp(state, "in force") != 0)
        (void)fprintf(run->talk,
                      "note: it is %s, so it moves nothing in this state; --as-of COMMIT asks about an earlier one\n",
                      state);
    TRY(reach_part_of(run->state, &roll, it, &part, err));
    TRY(reach_part_alone(run->state, &roll, it, &alone, &is_other, err));
    TRY(reach_show(run, &part, is_other ? &alone : NULL, err));
    if (run->format == SHEET_PEOPLE)
        (void)fprintf(run->out, "with correction %d against without it, state %.10s of the registry\n", (int)it->number,
                      store_state(run->state->store));
    return STATUS_OK;
}

static enum status run_correction_withdraw(struct run *run, struct err *err)
{
    struct correction_roll roll = {0};
    struct correction *it = NULL;
    struct correction_withdrawal act;
    struct findings *const findings = &act.draft.findings;
    TRY(correction_find(run, &roll, &it, err));
    TRY(correction_withdraw(run->state, &roll, it, run_option(run, "reason"), &act, err));
    if (act.draft.kind != DRAFT_CHANGE || findings_level(findings) == RULE_REFUSED)
        return run_draft(run, &act.draft, err);
    (void)fprintf(run->out, "moved by its withdrawal:\n");
    struct reach_part part = {.kind = it->kind, .target = roll.target, .without = roll.target.hole, .with = act.with};
    const struct hole *const changed[] = {&part.with};
    ties_read_ahead(run->state, changed, 1);
    TRY(reach_show(run, &part, NULL, err));
    TRY(ties_check(run->state, changed, 1, findings, err));
    reach_check(&part.reach, roll.target.hole_name, findings);
    return run_draft(run, &act.draft, err);
}

static enum status run_correction_evidence(struct run *run, struct err *err)
{
    struct correction_roll roll = {0};
    struct correction *it = NULL;
    struct bytes bytes = {0};
    char path[REGISTRY_PATH_MAX];
    char hash[HASH_TEXT_MAX];
    TRY(correction_find(run, &roll, &it, err));
    assert(it);
    if (!it->evidence_file)
        return err_set(err, STATUS_UNKNOWN, run->args[1], "no file is attached to this correction");
    evidence_path(it->evidence_file, path);
    TRY(state_bytes(run->state, path, &bytes, err));
    if (bytes.data)
        TRY(store_hash(bytes, hash, err));
    if (!bytes.data || strcmp(hash, it->evidence_file) != 0)
        return err_set(err, STATUS_DAMAGED, path,
                       bytes.data ? "this file is not the one that was attached" : "the attached file is missing");
    if (fflush(run->out) != 0 || fwrite(bytes.data, 1, bytes.len, run->raw) != bytes.len)
        return err_set(err, STATUS_SYSTEM, "output", "could not be written");
    (void)fprintf(run->talk, "%s: %zu bytes, hash %s\n", it->evidence_name ? it->evidence_name : "file", bytes.len,
                  hash);
    return STATUS_OK;
}
