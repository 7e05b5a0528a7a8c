/* SPDX-License-Identifier: MIT */
/* Corrections shown, listed, withdrawn; what one moves; the file that shows it. */
#include <assert.h>
#include <string.h>

#include "coretally/domain/rule.h"
#include "correction_act.h"
#include "correction_rows.h"
#include "correction_say.h"
#include "coretally/state/correction_text.h"
#include "numbered.h"
#include "reach_say.h"
#include "show.h"

static const struct option list_options[] = {
    {"reach", NULL, "columns for what each one in force moves, and for its evidence"},
    {"unsigned", NULL, "only those in force that nobody has signed as they are"},
    {0},
};

static enum status run_correction_list(struct run *run, struct err *err)
{
    const struct corrections_asked asked = {.with_reach = run_option(run, "reach") != NULL,
                                            .unsigned_only = run_option(run, "unsigned") != NULL};
    struct column columns[CORRECTION_COLUMNS_MAX];
    struct correction_roll roll = {0};
    struct corrections all;
    struct sheet sheet;
    TRY(run_open(run, STORE_READ, err));
    TRY(correction_roll_open(run->state, run->args[0], &roll, err));
    sheet_init(&sheet, run->state->arena, columns, correction_columns(run, &asked, columns));
    TRY(corrections_find(run->state, &roll, &asked, &all, err));
    TRY(correction_rows_add(run->state, &all, &sheet, err));
    if (!roll.count)
        (void)fprintf(run->talk, "none is recorded yet: coretally correction add %s KIND ...\n", roll.target.hole_name);
    else if (asked.unsigned_only && !all.waiting)
        (void)fprintf(run->talk, "none waits for a signature\n");
    return run_print_sheet(run, &sheet, err);
}

const struct command correction_list_command = {
    .words = "correction list",
    .arguments = "HOLE",
    .purpose = "the corrections of a hole: what, by how much, over what, by whom and why, who signed; in force or not",
    .example = "correction list U0012A",
    .use = USE_READING,
    .options = list_options,
    .least = 1,
    .most = 1,
    .run = run_correction_list,
};

static enum status run_correction_show(struct run *run, struct err *err)
{
    struct correction_roll roll = {0};
    struct correction *it = NULL;
    char name[64];
    const char *state = NULL;
    const char *who = NULL;
    struct signed_all by = {0};
    TRY(run_open(run, STORE_READ, err));
    TRY(correction_find(run, &roll, &it, err));
    const struct record_at at = record_of_correction(roll.target.hole_name, it);
    if (run_option(run, "history"))
        return show_history(run, &at, err);
    TRY(correction_state_text(run->state, &roll, it, &state, err));
    TRY(signed_find(run->state, it, &by, err));
    TRY(signed_text(run->state, it, &by, &who, err));
    (void)snprintf(name, sizeof name, "correction %d of hole %s", (int)it->number, roll.target.hole_name);
    const struct extra_words below = {"signed", "who stands by it beside the one who recorded it", who};
    TRY(show_record(run, name, &at, &(struct below){.words = &below}, err));
    if (run->format == SHEET_PEOPLE)
        (void)fprintf(run->out, "%s; what it moves: coretally correction reach %s %d\n", state, roll.target.hole_name,
                      (int)it->number);
    return STATUS_OK;
}

const struct command correction_show_command = {
    .words = "correction show",
    .arguments = "HOLE NUMBER",
    .purpose = "everything recorded about a correction, its table included",
    .example = "correction show U0012A 3",
    .use = USE_READING,
    .options = history_options,
    .least = 2,
    .most = 2,
    .run = run_correction_show,
};

static enum status run_correction_reach(struct run *run, struct err *err)
{
    struct correction_roll roll = {0};
    struct correction *it = NULL;
    struct reach_part part = {.kind = CORRECTION_NONE};
    const char *state = NULL;
    TRY(run_open(run, STORE_READ, err));
    TRY(correction_find(run, &roll, &it, err));
    TRY(correction_state_text(run->state, &roll, it, &state, err));
    if (strcmp(state, "in force") != 0)
        (void)fprintf(run->talk,
                      "note: it is %s, so it moves nothing in this state; --as-of COMMIT asks about an earlier one\n",
                      state);
    TRY(reach_part_of(run->state, &roll, it, &part, err));
    TRY(reach_show(run, &part, err));
    if (run->format == SHEET_PEOPLE)
        (void)fprintf(run->out, "with correction %d against without it, state %.10s of the registry\n", (int)it->number,
                      store_state(run->state->store));
    return STATUS_OK;
}

const struct command correction_reach_command = {
    .words = "correction reach",
    .arguments = "HOLE NUMBER",
    .purpose = "what a recorded correction moves: the depths with it against those without it",
    .example = "correction reach U0012A 3 --watch 'U0012A-12H-3W, 45-47 cm'",
    .use = USE_READING,
    .options = reach_options,
    .least = 2,
    .most = 2,
    .run = run_correction_reach,
};

/* What comes back into force may repeat what is in force. */
static void check_returned(const struct target *target, const struct hole *with, struct findings *findings)
{
    for (size_t at = 0; at < with->correction_count; at++)
        for (size_t other = 0; other < at; other++)
            if (correction_repeats(with->corrections[at], with->corrections[other]) &&
                !(correction_in_force(&target->hole, with->corrections[at]->number) &&
                  correction_in_force(&target->hole, with->corrections[other]->number))) {
                findings_add(findings, RULE_CORRECTION_TWICE,
                             "corrections %d and %d of hole %s would then both be in force for the same",
                             (int)with->corrections[other]->number, (int)with->corrections[at]->number,
                             target->hole_name);
                findings_hint(findings, "withdraw one of them first");
            }
}

static enum status run_correction_withdraw(struct run *run, struct err *err)
{
    struct correction_roll roll = {0};
    struct correction *it = NULL;
    struct reach_part part = {.kind = CORRECTION_NONE};
    struct findings findings = {0};
    struct text line;
    struct bytes bytes;
    char path[REGISTRY_PATH_MAX];
    TRY(run_need_reason(run, err));
    TRY(run_open(run, STORE_WRITE, err));
    TRY(correction_find(run, &roll, &it, err));
    if (it->withdrawn) {
        (void)fprintf(run->out, "already withdrawn: correction %s (%s)\n", run->args[1], it->withdrawn);
        return STATUS_OK;
    }
    it->withdrawn = run_option(run, "reason");
    it->version = it->version ? it->version + 1 : 2;
    part = (struct reach_part){.kind = it->kind, .target = roll.target, .without = roll.target.hole};
    TRY(hole_under(run->state, &roll.target.hole, roll.all, roll.count, &part.with, err));
    check_returned(&roll.target, &part.with, &findings);
    if (findings_level(&findings) == RULE_REFUSED)
        return run_findings(run, roll.target.hole_name, &findings, NULL, err);
    (void)fprintf(run->out, "moved by its withdrawal:\n");
    const struct hole *const changed[] = {&part.with};
    ties_read_ahead(run->state, changed, 1);
    TRY(reach_show(run, &part, err));
    TRY(ties_check(run->state, changed, 1, &findings, err));
    reach_check(&part.reach, roll.target.hole_name, &findings);
    const char *sure = NULL;
    TRY(run_findings(run, roll.target.hole_name, &findings, &sure, err));
    if (it->kind == CORRECTION_COMPOSITE || it->kind == CORRECTION_SPLICE)
        (void)fprintf(run->talk, "note: what the same table said of other holes stands: withdraw it there, too\n");
    text_init(&line, run->state->arena);
    text_addf(&line, "Correction %d of hole %s withdrawn, %s: ", (int)it->number, roll.target.hole_name,
              correction_words[it->kind]);
    correction_add_amount(it, &line);
    TRY(text_done(&line, &bytes, err));
    correction_path(roll.target.hole_name, it->number, path);
    const struct writing writing = {.path = path, .table = &correction_table, .record = it};
    return run_commit(run, bytes.data, sure, &writing, 1, err);
}

const struct command correction_withdraw_command = {
    .words = "correction withdraw",
    .arguments = "HOLE NUMBER",
    .purpose = "withdraw a correction: as if it had never been entered; it stays in the registry, marked",
    .example = "correction withdraw U0012A 3 --reason \"the joint was counted after all\"",
    .detail =
        "What it took the place of comes back into force. It first shows what moves, and with --dry-run only that.",
    .use = USE_WRITING,
    .options = reach_options,
    .least = 2,
    .most = 2,
    .run = run_correction_withdraw,
};

static enum status run_correction_evidence(struct run *run, struct err *err)
{
    struct correction_roll roll = {0};
    struct correction *it = NULL;
    struct bytes bytes = {0};
    char path[REGISTRY_PATH_MAX];
    char hash[HASH_TEXT_MAX];
    TRY(run_open(run, STORE_READ, err));
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

const struct command correction_evidence_command = {
    .words = "correction evidence",
    .arguments = "HOLE NUMBER",
    .purpose = "the file attached to a correction, checked by its hash, on standard output",
    .example = "correction evidence U0012A 3 > sheet-14.pdf",
    .use = USE_READING,
    .least = 2,
    .most = 2,
    .run = run_correction_evidence,
};
