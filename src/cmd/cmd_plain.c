/* SPDX-License-Identifier: MIT */
/* Commands that need no registry: names taken apart, schemas, templates, manual, completion. */
#include <string.h>

#include "coretally/intake/correction_file.h"
#include "coretally/intake/mapping.h"
#include "coretally/run/command.h"
#include "dispatch.h"

static enum status run_name(struct run *run, struct err *err);
static enum status run_schema(struct run *run, struct err *err);
static enum status run_template(struct run *run, struct err *err);
static enum status run_manual(struct run *run, struct err *err);
static enum status run_completion(struct run *run, struct err *err);

const struct command name_command = {
    .words = "name",
    .arguments = "NAME...",
    .purpose = "take printed names apart and print their three forms; no registry needed",
    .example = "name '901-U0012A-12H-3W, 45-47 cm'",
    .use = USE_READING,
    .least = 1,
    .most = 1000,
    .run = run_name,
};

const struct command schema_command = {
    .words = "schema",
    .arguments = "KIND",
    .purpose = "the JSON Schema (2020-12) of a kind of stored record",
    .example = "schema core",
    .use = USE_NOTHING,
    .least = 1,
    .most = 1,
    .run = run_schema,
};

const struct command template_command = {
    .words = "template",
    .arguments = "cores | sections | samples | bags | tide | composite | ...",
    .purpose = "the header line of a CSV table that import, or correction add, reads without a mapping",
    .example = "template sections > sections.csv",
    .use = USE_NOTHING,
    .least = 1,
    .most = 1,
    .run = run_template,
};

const struct command manual_command = {
    .words = "manual",
    .arguments = "",
    .purpose = "the manual page",
    .example = "manual | man -l -",
    .use = USE_NOTHING,
    .run = run_manual,
};

const struct command completion_command = {
    .words = "completion",
    .arguments = "",
    .purpose = "the completion for bash",
    .example = "completion > ~/.local/share/bash-completion/completions/coretally",
    .use = USE_NOTHING,
    .run = run_completion,
};

static enum status run_name(struct run *run, struct err *err)
{
    static const struct column columns[] = {
        {"name", NULL, false},      {"typeset", NULL, false}, {"compact", NULL, false}, {"expedition", NULL, false},
        {"site", NULL, false},      {"hole", NULL, false},    {"core", NULL, true},     {"type", NULL, false},
        {"section", NULL, false},   {"half", NULL, false},    {"top", "cm", true},      {"bottom", "cm", true},
        {"with check", NULL, false}};
    struct sheet sheet;
    sheet_init(&sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t at = 0; at < run->arg_count; at++) {
        struct name name;
        char printed[NAME_TEXT_MAX];
        char typeset[NAME_TEXT_MAX];
        char compact[NAME_TEXT_MAX];
        char with_check[LABEL_ID_MAX] = ""; /* guards the expedition, too: none without it */
        char type[2] = "";
        char section[SECTION_TEXT_MAX] = "";
        TRY(name_parse(run->args[at], &name, err));
        TRY(name_check_order(&name, run->args[at], err));
        name_format(&name, NAME_PRINTED, printed);
        name_format(&name, NAME_EN_DASH, typeset);
        name_format(&name, NAME_COMPACT, compact);
        if (*name.expedition)
            label_id(compact, with_check);
        const bool offsets = name.level >= NAME_POINT;
        if (name.level >= NAME_CORE)
            type[0] = name.type;
        if (name.level >= NAME_SECTION)
            section_format(name.section, section);
        const struct cell cells[] = {cell_text(printed),
                                     cell_text(typeset),
                                     cell_text(compact),
                                     cell_text(name.expedition),
                                     cell_text(name.site),
                                     cell_text(name.letter),
                                     cell_number(name.level >= NAME_CORE ? name.core : INT_NONE),
                                     cell_text(type),
                                     cell_text(section),
                                     cell_text(half_words[name.half]),
                                     cell_length(offsets ? name.top_um : LENGTH_NONE, 2),
                                     cell_length(offsets ? name.bottom_um : LENGTH_NONE, 2),
                                     cell_text(with_check)};
        TRY(sheet_add_row(&sheet, cells, err));
    }
    return run_print_sheet(run, &sheet, err);
}

static enum status run_schema(struct run *run, struct err *err)
{
    struct text text;
    struct text known;
    struct bytes bytes;
    text_init(&text, run->state->arena);
    text_init(&known, run->state->arena);
    for (size_t at = 0; file_tables[at]; at++) {
        text_addf(&known, "%s%s", at ? ", " : "", file_tables[at]->kind);
        if (strcmp(file_tables[at]->kind, run->args[0]) == 0) {
            record_schema(file_tables[at], &text);
            return run_print_text(run, &text, err);
        }
    }
    TRY(text_done(&known, &bytes, err));
    err_set(err, STATUS_INPUT, run->args[0], "there is no such kind of record");
    return err_hint(err, "kinds are: %s", bytes.data);
}

static enum status run_template(struct run *run, struct err *err)
{
    struct text text;
    text_init(&text, run->state->arena);
    if (!correction_template(run->args[0], &text))
        TRY(import_template(run->args[0], &text, err));
    return run_print_text(run, &text, err);
}

static enum status run_manual(struct run *run, struct err *err)
{
    struct text text;
    text_init(&text, run->state->arena);
    help_manual(&text);
    return run_print_text(run, &text, err);
}

static enum status run_completion(struct run *run, struct err *err)
{
    struct text text;
    text_init(&text, run->state->arena);
    help_completion(&text);
    return run_print_text(run, &text, err);
}
