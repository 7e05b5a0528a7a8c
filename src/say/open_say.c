/* SPDX-License-Identifier: MIT */
/* What is open, told. */
#include "coretally/say/open_say.h"

#include <string.h>

static const struct column columns[] = {{"kind", NULL, false},    {"thing", NULL, false},    {"field", NULL, false},
                                        {"value", NULL, false},   {"stands", NULL, false},   {"by", NULL, false},
                                        {"station", NULL, false}, {"when", NULL, false},     {"commit", NULL, false},
                                        {"reason", NULL, false},  {"sentence", NULL, false}, {"command", NULL, false}};

void open_say_begin(struct run *run, struct open_say *out)
{
    *out = (struct open_say){.run = run, .waiting = {.arena = run->state->arena}};
    sheet_init(&out->sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    text_init(&out->text, run->state->arena);
}

/* A word as a shell takes it: in quotes where it is not of the plainest. */
static void add_word(struct text *out, const char *word)
{
    static const char plain[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.,:+/";
    if (*word && strspn(word, plain) == strlen(word)) {
        text_add(out, word);
        return;
    }
    text_add(out, "'");
    for (; *word; word++)
        if (*word == '\'')
            text_add(out, "'\\''");
        else
            text_add_bytes(out, word, 1);
    text_add(out, "'");
}

/* Of a correction an act changes words only: what it says is said by another one. */
static bool is_fixed(const struct open_point *point)
{
    return point->at.part == &correction_table && point->it.field && strcmp(point->it.field, "withdrawn") != 0 &&
           strcmp(point->it.field, "remark") != 0;
}

/* "coretally settle U0020A-2H-2 curated 1.47 --reason WHY"; value NULL: what stands. */
static enum status make_command(struct open_say *say, const struct open_point *point, const char *value,
                                const char **out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    const bool is_gone = value && is_fixed(point);
    text_init(&text, say->run->state->arena);
    if (is_gone)
        text_addf(&text, "coretally correction withdraw %s %d", point->at.known.hole, (int)point->at.known.number);
    else
        text_addf(&text, "coretally settle %s", point->typed);
    if (point->it.field && !is_gone)
        text_addf(&text, " %s", point->it.field);
    if (value && !is_gone) {
        text_add(&text, " ");
        add_word(&text, value);
    }
    text_add(&text, " --reason WHY");
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

/* "  1.48 m (stands)  Mira Tamm, core table, 2026-03-02T04:12:00Z, commit 1a2b3c4d5e: recut" */
static void add_claim(struct text *out, const char *value, bool stands, const struct commit *commit)
{
    char when[INSTANT_TEXT_MAX];
    instant_format(commit->when, when);
    text_addf(out, "  %s%s: %s", value, stands ? ", which stands" : "", commit->author);
    if (commit->station)
        text_addf(out, ", %s", commit->station);
    text_addf(out, ", %s, commit %.10s%s%s\n", when, commit->id, commit->reason ? ": " : "",
              commit->reason ? commit->reason : "");
}

/* Who claims it; an act that git cannot give is named by its id, and by verify. */
static enum status find_act(const struct open_say *say, const char *id, struct commit *out, struct err *err)
{
    struct err why = {0};
    const enum status status = store_commit(say->run->state->store, id, say->run->state->arena, out, &why);
    if (status == STATUS_SYSTEM) {
        *err = why;
        return status;
    }
    if (status != STATUS_OK) {
        *out = (struct commit){.author = "not known"};
        (void)snprintf(out->id, sizeof out->id, "%s", id);
    }
    return STATUS_OK;
}

static enum status say_claim(struct open_say *say, const struct open_point *point, size_t at, struct err *err)
{
    const struct claim *claim = &point->it.claims[at];
    struct arena *const arena = say->run->state->arena;
    struct commit commit = {.id = ""};
    struct text text;
    struct bytes value;
    const char *command = NULL;
    TRY(find_act(say, claim->commit, &commit, err));
    text_init(&text, arena);
    open_add_value(point, claim->value, &text);
    TRY(text_done(&text, &value, err));
    if (at && !point->it.field)
        command = "";
    else
        TRY(make_command(say, point, at ? claim->value ? claim->value : "" : NULL, &command, err));
    add_claim(&say->text, value.data, at == 0, &commit);
    const struct cell cells[] = {cell_text("differs"),
                                 cell_text(point->thing),
                                 cell_text(point->it.field),
                                 cell_text(value.data),
                                 cell_text(at ? "no" : "yes"),
                                 cell_text(commit.author),
                                 cell_text(commit.station),
                                 cell_instant(commit.when),
                                 cell_commit(commit.id),
                                 cell_text(commit.reason),
                                 cell_text(NULL),
                                 cell_text(command)};
    return sheet_add_row(&say->sheet, cells, err);
}

enum status open_say_point(struct open_say *say, const struct open_point *point, struct err *err)
{
    const char *command = NULL;
    text_addf(&say->text, "%s%s: %s%snot decided\n", say->points ? "\n" : "", point->thing,
              point->it.field ? point->it.field : "", point->it.field ? " " : "");
    say->points++;
    for (size_t at = 0; at < point->it.claim_count; at++)
        TRY(say_claim(say, point, at, err));
    TRY(make_command(say, point, NULL, &command, err));
    text_addf(&say->text, "  to confirm: %s\n", command);
    for (size_t at = 1; point->it.field && at < (is_fixed(point) ? 2 : point->it.claim_count); at++) {
        const char *value = point->it.claims[at].value;
        TRY(make_command(say, point, value ? value : "", &command, err));
        text_addf(&say->text, "  to change: %s%s\n", command, is_fixed(point) ? ", then coretally correction add" : "");
    }
    if (!point->it.field && !point->at.part)
        text_addf(&say->text, "  to change: coretally log withdraw %s %s --reason WHY, then coretally log add\n",
                  point->at.known.hole, strrchr(point->typed, ' ') + 1);
    return STATUS_OK;
}

static enum status say_waiting(struct open_say *say, const struct waiting *it, struct err *err)
{
    struct text all;
    struct bytes commands;
    text_init(&all, say->run->state->arena);
    for (size_t at = 0; at < it->way_count; at++)
        text_addf(&all, "%s%s", at ? "; or " : "", it->ways[at].command);
    TRY(text_done(&all, &commands, err));
    const struct cell cells[] = {cell_text(it->kind == WAITING_LABEL ? "label" : "rule"),
                                 cell_text(it->thing),
                                 cell_text(NULL),
                                 cell_text(NULL),
                                 cell_text(NULL),
                                 cell_text(NULL),
                                 cell_text(NULL),
                                 cell_text(NULL),
                                 cell_text(NULL),
                                 cell_text(NULL),
                                 cell_text(it->sentence),
                                 cell_text(commands.data)};
    text_addf(&say->text, "%s%s: %s\n", say->text.len ? "\n" : "", it->thing, it->sentence);
    for (size_t at = 0; at < it->way_count; at++)
        text_addf(&say->text, "  to %s: %s\n", it->ways[at].word, it->ways[at].command);
    return sheet_add_row(&say->sheet, cells, err);
}

enum status open_say_waiting(struct open_say *say, struct err *err)
{
    for (size_t at = 0; at < say->waiting.count; at++)
        TRY(say_waiting(say, &say->waiting.items[at], err));
    return STATUS_OK;
}

enum status open_say_end(struct open_say *say, struct err *err)
{
    struct run *const run = say->run;
    size_t labels = 0;
    TRY(open_say_waiting(say, err));
    for (size_t at = 0; at < say->waiting.count; at++)
        labels += say->waiting.items[at].kind == WAITING_LABEL;
    const size_t rules = say->waiting.count - labels;
    if (run->format != SHEET_PEOPLE)
        TRY(run_print_sheet(run, &say->sheet, err));
    else if (say->text.len)
        TRY(run_print_text(run, &say->text, err));
    if (!say->points && !say->waiting.count) {
        (void)fprintf(run->talk, "nothing is open: no decision waits\n");
        return STATUS_OK;
    }
    (void)fprintf(run->talk, "open: %zu field%s, %zu by the rules, %zu for new labels\n", say->points,
                  say->points == 1 ? "" : "s", rules, labels);
    return STATUS_OK;
}
