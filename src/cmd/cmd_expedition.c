/* SPDX-License-Identifier: MIT */
/* Starting a registry, and the expedition that it belongs to. */
#include <string.h>

#include "coretally/act/expedition.h"
#include "coretally/kind/kind.h"
#include "coretally/state/open.h"
#include "coretally/run/command.h"
#include "run_commit.h"

static enum status run_start(struct run *run, struct err *err);
static enum status run_expedition_show(struct run *run, struct err *err);
static enum status run_expedition_amend(struct run *run, struct err *err);

static const struct option start_options[] = {
    {"at", "FOLDER", "where to make it; the default is registry.git in this folder"},
    {0},
};

const struct command start_command = {
    .words = "start",
    .arguments = "EXPEDITION",
    .purpose = "start a registry for an expedition",
    .example = "start 901 --title \"Slope fans of the northern basin\"",
    .use = USE_WRITING,
    .table = &expedition_table,
    .fields = expedition_fields_amended,
    .options = start_options,
    .least = 1,
    .most = 1,
    .run = run_start,
};

const struct command expedition_show_command = {
    .words = "expedition show",
    .arguments = "",
    .purpose = "the expedition, its holes counted, and the state of the registry",
    .example = "expedition show",
    .use = USE_READING,
    .on = ON_STATE,
    .run = run_expedition_show,
};

const struct command expedition_amend_command = {
    .words = "expedition amend",
    .arguments = "",
    .purpose = "amend the expedition's title or remark",
    .example = "expedition amend --title \"Slope fans\" --reason \"title shortened by the chief scientists\"",
    .use = USE_WRITING,
    .on = ON_STATE,
    .needs_reason = true,
    .table = &expedition_table,
    .fields = expedition_fields_amended,
    .run = run_expedition_amend,
};

static enum status run_start(struct run *run, struct err *err)
{
    struct expedition expedition;
    struct draft draft;
    char path[PATH_TEXT_MAX];
    bool any = false;
    record_init(&expedition_table, &expedition);
    TRY(run_set(run->state, &expedition_table, "number", run->args[0], INT_NONE, &expedition, err));
    TRY(run_take_fields(run, &expedition_table, INT_NONE, &expedition, &any, err));
    const char *at = run_option(run, "at");
    (void)snprintf(path, sizeof path, "%.3900s%s%s", at && *at == '/' ? "" : run->folder, at && *at == '/' ? "" : "/",
                   at ? at : "registry.git");
    const struct will will = {.command = run->command->words, .reason = run_option(run, "reason")};
    struct act act;
    struct change *changes = NULL;
    TRY(expedition_start(run->state, &expedition, &draft, err));
    TRY(draft_encode(run->state, &draft, &will, &act, &changes, err));
    TRY(store_actor(NULL, run->environment, run->environment_context, run->state->arena, &act.actor, err));
    if (run_option(run, "station"))
        act.actor.station = run_option(run, "station");
    act.actor.when = run->state->now;
    if (run_option(run, "dry-run")) {
        (void)fprintf(run->out, "would start a registry: %s in %s\n", act.line, path);
        return STATUS_OK;
    }
    char id[COMMIT_ID_MAX];
    run_outlive_readers();
    TRY(store_create(path, &act, changes, draft.writing_count, id, err));
    memcpy(run->recorded, id, sizeof id);
    (void)fprintf(run->out, "started: %s  (commit %.10s)\n", act.line, id);
    (void)fprintf(run->talk, "the registry is %s; next: coretally hole add U0012A --returns seafloor\n", path);
    return STATUS_OK;
}

static enum status run_expedition_show(struct run *run, struct err *err)
{
    struct names holes = {0};
    const struct record_at at = record_of_expedition(&run->state->expedition);
    TRY(open_tell_record(run->state, &at, err));
    TRY(state_holes(run->state, &holes, err));
    static const struct column columns[] = {{"expedition", NULL, false},
                                            {"title", NULL, false},
                                            {"holes", NULL, true},
                                            {"state", NULL, false},
                                            {"remark", NULL, false}};
    struct sheet sheet;
    sheet_init(&sheet, run->state->arena, columns, 5);
    const struct cell cells[] = {cell_text(run->state->expedition.number), cell_text(run->state->expedition.title),
                                 cell_count(holes.count), cell_commit(store_state(run->state->store)),
                                 cell_text(run->state->expedition.remark)};
    TRY(sheet_add_row(&sheet, cells, err));
    return run_print_sheet(run, &sheet, err);
}

static enum status run_expedition_amend(struct run *run, struct err *err)
{
    struct expedition expedition = run->state->expedition;
    struct draft draft;
    bool any = false;
    TRY(run_take_fields(run, &expedition_table, INT_NONE, &expedition, &any, err));
    TRY(expedition_amend(run->state, &expedition, &draft, err));
    return run_draft(run, &draft, err);
}
