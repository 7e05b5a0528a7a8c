/* SPDX-License-Identifier: MIT */
/* The audit of a registry as text, or as one page that an outsider can read, print and check. */
#include "audit_files.h"
#include "coretally/say/audit_say.h"
#include "coretally/say/compare_say.h"
#include "open_gather.h"
#include "verify_hook.h"

static enum status run_audit(struct run *run, struct err *err);

static const struct option audit_options[] = {
    {"from", "STATE", "what moved and changed since this state: a commit, a tag, a branch or a time"},
    {"out", "FILE", "write it to this file: .html gives one page that needs nothing else, .txt the text"},
    {"moves", "FILE", "each thing that moved, by each act, as CSV; with --out NAME.html by itself NAME-moves.csv"},
    {"replace", NULL, "replace files of these names"},
    {0},
};

const struct command audit_command = {
    .words = "audit",
    .arguments = "[HOLE...]",
    .purpose =
        "a report that an outsider can check: what moved, by which act, on what evidence, what is open; then all of it",
    .example = "audit --from 2026-03-05 --out audit.html",
    .detail =
        "First, on one screen: is the registry sound (verify, run for it), is the evidence intact, what moved since "
        "--from (or\nby all corrections in force), by which act, who decided and who signed, what is open. Amendments, "
        "the well, pumps and lag\nchecks count like corrections. Then the acts with reason and evidence; for each hole "
        "what its readings rest on, its\ncorrections in the order of the chain, what each one moves, plots of shift "
        "against depth, what a sidetrack takes over; and\nthe commands by which all of it is checked with a clone and "
        "plain git. The same state gives the same bytes. The page asks\nno other machine for anything. A file that is "
        "there already is replaced only with --replace, as a whole. Where holes are\nnamed, verify looks at their "
        "rules "
        "alone.",
    .use = USE_READING,
    .options = audit_options,
    .least = 0,
    .most = 100,
    .run = run_audit,
};

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

/* The state of --from as a store of its own; NULL without. */
static enum status read_states(struct audit *audit, struct store **out, struct err *err)
{
    struct run *run = audit->run;
    const char *from = run_option(run, "from");
    TRY(check_state(run, err));
    TRY(store_commit(run->state->store, store_state(run->state->store), run->state->arena, &audit->state, err));
    if (!from)
        return STATUS_OK;
    TRY(run_open_beside(run, from, out, err));
    TRY(arena_copy(run->state->arena, store_state(*out), 40, &audit->from, err));
    return store_lines(*out) ? audit_text(run->state, &audit->from_named, err, "'%s'", from)
                             : audit_text(run->state, &audit->from_named, err, "%.10s", audit->from);
}

/* --- gather --- */

static enum status gather_holes(struct audit *audit, struct names *names, struct err *err)
{
    struct run *run = audit->run;
    *names = (struct names){.items = (const char **)run->args, .count = run->arg_count};
    if (!run->arg_count)
        TRY(state_holes(run->state, names, err));
    TRY(audit_find(run->state, names, &audit->holes, err));
    TRY(arena_take(run->state->arena, names->count, sizeof *names->items, &names->items, err));
    for (size_t at = 0; at < names->count; at++)
        names->items[at] = audit->holes.items[at].roll.target.hole_name;
    return STATUS_OK;
}

static enum status gather_moves(struct audit *audit, struct store *from, const struct names *holes,
                                struct audit_files *files, struct err *err)
{
    struct run *run = audit->run;
    struct commits since = {.count = 0};
    struct late_acts late;
    if (from)
        TRY(store_heads(run->state->store, run_option(run, "from"), run->state->arena, &since, &late, err));
    const struct moved_asked asked = {.since = from ? &since : NULL,
                                      .from = from,
                                      .holes = run->arg_count ? holes : NULL,
                                      .take = files->moves ? audit_files_take : NULL,
                                      .context = files};
    return moved_find(run->state, &asked, &audit->moved, err);
}

/* All of the registry or, where holes are named, what the rules say of these. */
static enum status gather_flaws(struct audit *audit, const struct names *holes, struct err *err)
{
    struct run *run = audit->run;
    struct verify *verify = &audit->verify;
    enum status status = STATUS_OK;
    verify->store = run->state->store;
    if (!run->arg_count)
        status = verify_range(verify, "", err);
    for (size_t at = 0; status == STATUS_OK && at < run->arg_count; at++)
        status = verify_hole_rules(verify, holes->items[at], err);
    if (status == STATUS_OK && verify->failed) {
        *err = verify->failure;
        status = err->status;
    }
    return status;
}

static enum status gather(struct audit *audit, struct store *from, struct audit_files *files, struct err *err)
{
    struct names holes = {0};
    TRY(gather_holes(audit, &holes, err));
    TRY(gather_flaws(audit, &holes, err));
    TRY(gather_moves(audit, from, &holes, files, err));
    open_say_begin(audit->run, &audit->open);
    return open_gather(audit->run, &holes, &audit->open, err);
}

/* --- write --- */

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
    TRY(audit_text(audit->run->state, &title, err, "Audit of expedition %s: depths, and what moved them",
                   audit->run->state->expedition.number));
    TRY(audit_text(audit->run->state, &footer, err,
                   "State %s of expedition %s, worked out by coretally %s. For labelling samples only; never for well "
                   "control, kick detection, cementing or any pressure decision.",
                   audit->state.id, audit->run->state->expedition.number, CORETALLY_VERSION));
    page_init(&audit->page, audit->run->state->arena, title, footer);
    TRY(audit_first_write(audit, err));
    TRY(audit_decided_write(audit, err));
    TRY(page_add_text(&audit->page, BLOCK_PARAGRAPH,
                      "Readings are as they were taken. A correction is a record beside them; depths are worked out "
                      "from both, each time anew. Every figure is of the state above unless another commit stands "
                      "beside it; commits are named by their first ten digits.",
                      err));
    TRY(page_add_text(&audit->page, BLOCK_CAUTION,
                      "Depths here serve to label samples. They are never for well control, kick detection, "
                      "cementing or any pressure decision. The rig's safety rules come first.",
                      err));
    TRY(audit_open_write(audit, err));
    for (size_t at = 0; at < audit->holes.count; at++)
        TRY(audit_hole_write(audit, &audit->holes.items[at], err));
    TRY(write_changes(audit, err));
    return audit_ways_write(audit, err);
}

static enum status check_format(const struct run *run, struct err *err)
{
    if (run->format == SHEET_PEOPLE)
        return STATUS_OK;
    err_set(err, STATUS_USAGE, "audit", "the audit is a text or a page, not data for a program");
    return err_hint(err, "for programs: --moves FILE.csv; coretally correction list HOLE --reach --json, and compare, "
                         "history, check list");
}

static enum status render(struct audit *audit, struct audit_files *files, struct err *err)
{
    struct run *run = audit->run;
    struct text text;
    struct bytes bytes;
    TRY(write_page(audit, err));
    text_init(&text, run->state->arena);
    if (files->is_html)
        page_render_html(&audit->page, &text);
    else
        page_render_text(&audit->page, &text);
    if (!files->page)
        TRY(run_print_text(run, &text, err));
    TRY(text_done(&text, &bytes, err));
    return audit_files_end(files, bytes, err);
}

static enum status run_audit(struct run *run, struct err *err)
{
    struct audit *audit = NULL;
    struct audit_files *files = NULL;
    struct store *from = NULL;
    TRY(check_format(run, err));
    TRY(arena_take(run->state->arena, 1, sizeof *files, &files, err));
    TRY(audit_files_plan(run, files, err));
    TRY(run_open(run, STORE_READ, err));
    TRY(arena_take(run->state->arena, 1, sizeof *audit, &audit, err));
    audit->run = run;
    enum status status = read_states(audit, &from, err);
    if (status == STATUS_OK)
        status = verify_begin(run, store_folder(run->state->store), &audit->verify, err);
    if (status == STATUS_OK)
        status = audit_files_begin(files, err);
    if (status == STATUS_OK)
        status = gather(audit, from, files, err);
    if (status == STATUS_OK)
        status = render(audit, files, err);
    verify_close(&audit->verify);
    audit_files_drop(files);
    store_close(from);
    return status;
}
