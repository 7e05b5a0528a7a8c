/* SPDX-License-Identifier: MIT */
/* Starting a registry, and the expedition that it belongs to. */
#include <string.h>

#include "command.h"

static const char *const expedition_options[] = {"title", "remark", NULL};

static const struct option start_options[] = {
    {"at", "FOLDER", "where to make it; the default is registry.git in this folder"},
    {0},
};

static enum status run_start(struct run *run, struct err *err)
{
    struct expedition expedition;
    char path[PATH_TEXT_MAX];
    bool any = false;
    record_init(&expedition_table, &expedition);
    TRY(run_set(run->state, &expedition_table, "number", run->args[0], INT_NONE, &expedition, err));
    TRY(run_take_fields(run, &expedition_table, INT_NONE, &expedition, &any, err));
    const char *at = run_option(run, "at");
    (void)snprintf(path, sizeof path, "%.3900s%s%s", at && *at == '/' ? "" : run->folder, at && *at == '/' ? "" : "/",
                   at ? at : "registry.git");
    struct act act = {.kind = run->command->words};
    struct change change = {.path = EXPEDITION_PATH};
    struct text line;
    struct bytes bytes;
    text_init(&line, run->state->arena);
    text_addf(&line, "Expedition %s%s%s", expedition.number, expedition.title ? ": " : "",
              expedition.title ? expedition.title : "");
    TRY(text_done(&line, &bytes, err));
    act.line = bytes.data;
    TRY(record_encode(&expedition_table, &expedition, run->state->arena, &change.bytes, err));
    TRY(store_actor(NULL, run->environment, run->environment_context, run->state->arena, &act.actor, err));
    if (run_option(run, "station"))
        act.actor.station = run_option(run, "station");
    act.actor.when = run->state->now;
    act.reason = run_option(run, "reason");
    if (run_option(run, "dry-run")) {
        (void)fprintf(run->out, "would start a registry: %s in %s\n", act.line, path);
        return STATUS_OK;
    }
    char id[COMMIT_ID_MAX];
    run_outlive_readers();
    TRY(store_create(path, &act, &change, 1, id, err));
    memcpy(run->recorded, id, sizeof id);
    (void)fprintf(run->out, "started: %s  (commit %.10s)\n", act.line, id);
    (void)fprintf(run->talk, "the registry is %s; next: coretally hole add U0012A --returns seafloor\n", path);
    return STATUS_OK;
}

const struct command start_command = {
    .words = "start",
    .arguments = "EXPEDITION",
    .purpose = "start a registry for an expedition",
    .example = "start 901 --title \"Slope fans of the northern basin\"",
    .use = USE_WRITING,
    .table = &expedition_table,
    .fields = expedition_options,
    .options = start_options,
    .least = 1,
    .most = 1,
    .run = run_start,
};

static enum status run_expedition_show(struct run *run, struct err *err)
{
    TRY(run_open(run, STORE_READ, err));
    struct names holes = {0};
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

const struct command expedition_show_command = {
    .words = "expedition show",
    .arguments = "",
    .purpose = "the expedition, its holes counted, and the state of the registry",
    .example = "expedition show",
    .use = USE_READING,
    .run = run_expedition_show,
};

static enum status run_expedition_amend(struct run *run, struct err *err)
{
    TRY(run_need_reason(run, err));
    TRY(run_open(run, STORE_WRITE, err));
    struct expedition expedition = run->state->expedition;
    bool any = false;
    TRY(run_take_fields(run, &expedition_table, INT_NONE, &expedition, &any, err));
    if (record_is_equal(&expedition_table, &expedition, &run->state->expedition)) {
        const struct record_at at = record_of_expedition(&expedition);
        return run_already(run, expedition.number, &at, err);
    }
    expedition.version = expedition.version ? expedition.version + 1 : 2;
    char line[NAME_TEXT_MAX];
    (void)snprintf(line, sizeof line, "Expedition %s amended", expedition.number);
    const struct writing writing = {.path = EXPEDITION_PATH, .table = &expedition_table, .record = &expedition};
    return run_commit(run, line, NULL, &writing, 1, err);
}

const struct command expedition_amend_command = {
    .words = "expedition amend",
    .arguments = "",
    .purpose = "amend the expedition's title or remark",
    .example = "expedition amend --title \"Slope fans\" --reason \"title shortened by the chief scientists\"",
    .use = USE_WRITING,
    .table = &expedition_table,
    .fields = expedition_options,
    .run = run_expedition_amend,
};
