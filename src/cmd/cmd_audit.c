/* SPDX-License-Identifier: MIT */
/* The audit of a registry as text, or as one page that an outsider can read, print and check. */
#include <stdarg.h>
#include <string.h>
#include <unistd.h>

#include "coretally/say/audit_say.h"
#include "coretally/say/compare_say.h"
#include "coretally/store/file.h"

static enum status run_audit(struct run *run, struct err *err);

static const struct option audit_options[] = {
    {"from", "STATE", "also what changed since this state: a commit, a tag, a branch or a time"},
    {"out", "FILE", "write it to this file: .html gives one page that needs nothing else, .txt the text"},
    {"replace", NULL, "replace a file of that name"},
    {0},
};

const struct command audit_command = {
    .words = "audit",
    .arguments = "[HOLE...]",
    .purpose = "a report that an outsider can check: corrections, evidence, signatures, reach, shift against depth",
    .example = "audit --from 2026-03-05 --out audit.html",
    .detail =
        "For each hole: what its readings rest on, its corrections in the order of the chain with reason, evidence, "
        "who recorded\n"
        "and who signed them, what each one moves, a plot of shift against depth, what moved most, its lag checks; "
        "what is open;\n"
        "and the commands by which all of it is checked with a clone and plain git. The same state gives the same "
        "bytes. The\npage asks no other machine for anything. A file that is there already is replaced only with "
        "--replace, as a whole.",
    .use = USE_READING,
    .options = audit_options,
    .least = 0,
    .most = 100,
    .run = run_audit,
};

/* --- gather --- */

static enum status gather_holes(struct audit *audit, struct err *err)
{
    struct run *run = audit->run;
    struct names names = {.items = (const char **)run->args, .count = run->arg_count};
    if (!run->arg_count)
        TRY(state_holes(run->state, &names, err));
    return audit_find(run->state, &names, &audit->holes, err);
}

/* --- write --- */

static enum status write_registry(struct audit *audit, struct err *err)
{
    struct run *run = audit->run;
    struct sheet *facts = NULL;
    const char *words = NULL;
    static const struct column columns[] = {{"what", NULL, false}, {"value", NULL, false}};
    TRY(audit_sheet_new(run->state, columns, 2, &facts, err));
    TRY(audit_text(run->state, &words, err, "%s%s%s", run->state->expedition.number,
                   run->state->expedition.title ? ", " : "",
                   run->state->expedition.title ? run->state->expedition.title : ""));
    TRY(audit_fact_add(facts, "expedition", words, err));
    TRY(audit_fact_add(facts, "remark", run->state->expedition.remark, err));
    TRY(audit_fact_add(facts, "state", audit->state.id, err));
    TRY(audit_commit_text(run->state, &audit->state, &words, err));
    TRY(audit_fact_add(facts, "its last act", audit->state.line, err));
    TRY(audit_fact_add(facts, "in commit", words, err));
    if (audit->from) {
        struct commit from = {0};
        TRY(store_commit(run->state->store, audit->from, run->state->arena, &from, err));
        TRY(audit_commit_text(run->state, &from, &words, err));
        TRY(audit_fact_add(facts, "compared with the state of", words, err));
    }
    TRY(audit_fact_add(facts, "worked out by", "coretally " CORETALLY_VERSION, err));
    TRY(page_add_sheet(&audit->page, BLOCK_FACTS, NULL, facts, err));
    TRY(page_add_text(&audit->page, BLOCK_PARAGRAPH,
                      "Readings are as they were taken. A correction is a record beside them; depths are worked out "
                      "from both, each time anew. Every figure is of the state above unless another commit stands "
                      "beside it; commits are named by their first ten digits.",
                      err));
    return page_add_text(&audit->page, BLOCK_CAUTION,
                         "Depths here serve to label samples. They are never for well control, kick detection, "
                         "cementing or any pressure decision. The rig's safety rules come first.",
                         err);
}

/* What somebody should still do or look at. */
static enum status write_open(struct audit *audit, struct err *err)
{
    static const struct column columns[] = {{"hole", NULL, false}, {"correction", NULL, true},   {"what", NULL, false},
                                            {"open", NULL, false}, {"recorded in", NULL, false}, {"by", NULL, false}};
    struct run *run = audit->run;
    struct sheet *sheet = NULL;
    size_t in_force = 0;
    TRY(audit_sheet_new(run->state, columns, sizeof columns / sizeof columns[0], &sheet, err));
    for (size_t hole = 0; hole < audit->holes.count; hole++)
        for (size_t at = 0; at < audit->holes.items[hole].correction_count; at++) {
            const struct correction_facts *one = &audit->holes.items[hole].corrections[at];
            struct audit_open open;
            const char *words = NULL;
            in_force += one->in_force;
            if (!audit_is_open(one, &open))
                continue;
            TRY(audit_text(run->state, &words, err, "%s%s%s",
                           !open.is_unsigned ? ""
                           : open.was_signed ? "signed only in an earlier form"
                                             : "not signed by a second person",
                           open.is_unsigned && open.is_bare ? "; " : "", open.is_bare ? "no evidence was given" : ""));
            const struct cell cells[] = {cell_text(audit->holes.items[hole].roll.target.hole_name),
                                         cell_number(one->it->number),
                                         cell_text(correction_words[one->it->kind]),
                                         cell_text(words),
                                         cell_commit(one->commit.id),
                                         cell_text(one->commit.author)};
            TRY(sheet_add_row(sheet, cells, err));
        }
    TRY(page_add_heading(&audit->page, 1, "What is open", err));
    if (!sheet->row_count)
        return page_add_text(&audit->page, BLOCK_PARAGRAPH,
                             in_force
                                 ? "Nothing: every correction in force is signed by a second person and has evidence."
                                 : "No correction is in force, so none waits for a signature or evidence.",
                             err);
    return page_add_sheet(&audit->page, BLOCK_TABLE, "Corrections in force that lack a signature or evidence", sheet,
                          err);
}

static enum status write_changes(struct audit *audit, struct err *err)
{
    struct run *run = audit->run;
    struct sheet *sheet = NULL;
    struct column columns[COMPARE_COLUMNS];
    char states[2][COMMIT_ID_MAX];
    const char *caption = NULL;
    if (!audit->from)
        return STATUS_OK;
    compare_columns(run, columns);
    TRY(audit_sheet_new(run->state, columns, COMPARE_COLUMNS, &sheet, err));
    for (size_t at = 0; at < (run->arg_count ? run->arg_count : 1); at++) {
        const char *const typed[] = {audit->from, NULL};
        struct compare_rows rows;
        const struct compare_asked asked = {
            .scale = SCALE_CSF_A, .hole = run->arg_count ? audit->holes.items[at].roll.target.hole_name : NULL};
        TRY(compare_typed(run, typed, &asked, &rows, states, err));
        TRY(compare_rows_add(sheet, &rows, err));
    }
    TRY(audit_text(run->state, &caption, err, "What changed from state %.10s to state %.10s", audit->from,
                   audit->state.id));
    TRY(page_add_heading(&audit->page, 1, caption, err));
    if (!sheet->row_count)
        return page_add_text(&audit->page, BLOCK_PARAGRAPH, "Nothing differs.", err);
    return page_add_sheet(&audit->page, BLOCK_TABLE,
                          "Depths that moved (CSF-A; MSF for bags), and records that were added, withdrawn, amended",
                          sheet, err);
}

static enum status write_page(struct audit *audit, struct err *err)
{
    const char *title = NULL;
    const char *footer = NULL;
    TRY(audit_text(audit->run->state, &title, err, "Audit of expedition %s: corrections of depth",
                   audit->run->state->expedition.number));
    TRY(audit_text(audit->run->state, &footer, err,
                   "State %s of expedition %s, worked out by coretally %s. For labelling samples only; never for well "
                   "control, kick detection, cementing or any pressure decision.",
                   audit->state.id, audit->run->state->expedition.number, CORETALLY_VERSION));
    page_init(&audit->page, audit->run->state->arena, title, footer);
    TRY(write_registry(audit, err));
    TRY(write_open(audit, err));
    for (size_t at = 0; at < audit->holes.count; at++)
        TRY(audit_hole_write(audit, &audit->holes.items[at], err));
    TRY(write_changes(audit, err));
    return audit_ways_write(audit, err);
}

/* --- put it where it is asked for --- */

static bool ends_with(const char *string, const char *end)
{
    const size_t len = strlen(string);
    return len > strlen(end) && strcmp(string + len - strlen(end), end) == 0;
}

/* Beside, then renamed: whoever opens the file finds it whole. */
static enum status write_file(const struct run *run, const char *path, struct bytes bytes, struct err *err)
{
    char beside[FILE_PATH_MAX];
    struct err taken = {0};
    const bool is_there = file_check_free(path, false, &taken) != STATUS_OK;
    TRY(run_check_out(run, path, err));
    TRY(file_write_beside(path, bytes, beside, err));
    if (file_settle(beside, path, run_option(run, "replace") != NULL, err) != STATUS_OK) {
        (void)unlink(beside); /* it can be worked out again */
        return err->status;
    }
    if (is_there)
        (void)fprintf(run->talk, "note: the file that stood there was replaced\n");
    return STATUS_OK;
}

static enum status check_out(const struct run *run, const char *path, struct err *err)
{
    if (run->format != SHEET_PEOPLE) {
        err_set(err, STATUS_USAGE, "audit", "the audit is a text or a page, not data for a program");
        return err_hint(err, "for programs: coretally correction list HOLE --reach --json, and compare, "
                             "history, check list");
    }
    if (!path || ends_with(path, ".html") || ends_with(path, ".txt"))
        return STATUS_OK;
    err_set(err, STATUS_INPUT, path, "a page ends in .html, a text in .txt");
    return err_hint(err, "for example: coretally audit --out audit.html");
}

/* Whoever checks the page has the commits of the registry, and not what was joined for a time. */
static enum status check_state(const struct run *run, struct err *err)
{
    if (!store_lines(run->state->store))
        return STATUS_OK;
    err_set(err, STATUS_RULE, run_option(run, "as-of"),
            "%zu lines had not been joined by then, and an audit is checked against one commit",
            store_lines(run->state->store));
    return err_hint(err, "name a commit: coretally acts lists them");
}

static enum status read_states(struct audit *audit, struct err *err)
{
    struct run *run = audit->run;
    struct store *beside = NULL;
    const char *from = run_option(run, "from");
    TRY(check_state(run, err));
    TRY(store_commit(run->state->store, store_state(run->state->store), run->state->arena, &audit->state, err));
    if (!from)
        return STATUS_OK;
    TRY(run_open_beside(run, from, &beside, err));
    enum status status = arena_copy(run->state->arena, store_state(beside), 40, &audit->from, err);
    if (status == STATUS_OK)
        status = store_lines(beside) ? audit_text(run->state, &audit->from_named, err, "'%s'", from)
                                     : audit_text(run->state, &audit->from_named, err, "%.10s", audit->from);
    store_close(beside);
    return status;
}

static enum status run_audit(struct run *run, struct err *err)
{
    struct audit *audit = NULL;
    struct text text;
    struct bytes bytes;
    const char *path = run_option(run, "out");
    TRY(check_out(run, path, err));
    if (path) /* before the long work; asked again when it is written */
        TRY(run_check_out(run, path, err));
    TRY(run_open(run, STORE_READ, err));
    TRY(arena_take(run->state->arena, 1, sizeof *audit, &audit, err));
    audit->run = run;
    TRY(read_states(audit, err));
    TRY(gather_holes(audit, err));
    TRY(write_page(audit, err));
    text_init(&text, run->state->arena);
    if (path && ends_with(path, ".html"))
        page_render_html(&audit->page, &text);
    else
        page_render_text(&audit->page, &text);
    if (!path)
        return run_print_text(run, &text, err);
    TRY(text_done(&text, &bytes, err));
    TRY(write_file(run, path, bytes, err));
    (void)fprintf(run->talk, "%s: %zu bytes, state %.10s\n", path, bytes.len, audit->state.id);
    return STATUS_OK;
}
