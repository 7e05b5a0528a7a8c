/* SPDX-License-Identifier: MIT */
/* Beside their places first, then renamed: whoever opens one of the files finds it whole. */
#include "audit_files.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

#include "coretally/base/limits.h"

enum { ROWS_AT_ONCE = 4096 };

static bool ends_with(const char *string, const char *end)
{
    const size_t len = strlen(string);
    return len > strlen(end) && strcmp(string + len - strlen(end), end) == 0;
}

/* "audit-moves.csv" of "audit.html". */
static enum status name_moves(struct run *run, const char *page, const char **out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, run->state->arena);
    text_addf(&text, "%.*s-moves.csv", (int)(strlen(page) - strlen(".html")), page);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

static enum status check_endings(const struct audit_files *files, struct err *err)
{
    if (files->page && !ends_with(files->page, ".html") && !ends_with(files->page, ".txt")) {
        err_set(err, STATUS_INPUT, files->page, "a page ends in .html, a text in .txt");
        return err_hint(err, "for example: coretally audit --out audit.html");
    }
    if (!files->moves || ends_with(files->moves, ".csv"))
        return STATUS_OK;
    err_set(err, STATUS_INPUT, files->moves, "the list of moves is CSV, and its name ends in .csv");
    return err_hint(err, "for example: coretally audit --moves moves.csv");
}

enum status audit_files_plan(struct run *run, struct audit_files *out, struct err *err)
{
    *out =
        (struct audit_files){.run = run, .page = run_option(run, "out"), .moves = run_option(run, "moves"), .fd = -1};
    TRY(check_endings(out, err));
    out->is_html = out->page && ends_with(out->page, ".html");
    if (out->is_html && !out->moves)
        TRY(name_moves(run, out->page, &out->moves, err));
    if (out->page)
        TRY(run_check_out(run, out->page, err));
    return out->moves ? run_check_out(run, out->moves, err) : STATUS_OK;
}

enum status audit_files_begin(struct audit_files *files, struct err *err)
{
    const char *unit = run_unit(files->run);
    const struct column columns[MOVES_COLUMNS] = {{"row", NULL, false},   {"act", NULL, false},  {"hole", NULL, false},
                                                  {"what", NULL, false},  {"name", NULL, false}, {"was", NULL, false},
                                                  {"scale", NULL, false}, {"from", unit, true},  {"to", unit, true},
                                                  {"moved", unit, true},  {"by", NULL, false},   {"when", NULL, false},
                                                  {"did", NULL, false},   {"why", NULL, false}};
    if (!files->moves)
        return STATUS_OK;
    memcpy(files->columns, columns, sizeof columns);
    arena_init(&files->arena, files->run->state->arena->limit);
    sheet_init(&files->sheet, &files->arena, files->columns, MOVES_COLUMNS);
    return file_open_beside(files->moves, files->moves_beside, &files->fd, err);
}

static enum status write_all(const char *path, int fd, const char *data, size_t len, struct err *err)
{
    while (len) {
        const ssize_t done = write(fd, data, len);
        if (done < 0 && errno == EINTR)
            continue;
        if (done <= 0)
            return err_set(err, STATUS_SYSTEM, path, "could not be written: %s", strerror(errno));
        data += done;
        len -= (size_t)done;
    }
    return STATUS_OK;
}

/* Rows so far; the header once. */
static enum status flush_rows(struct audit_files *files, struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, &files->arena);
    sheet_render(&files->sheet, SHEET_CSV, &text);
    TRY(text_done(&text, &bytes, err));
    const char *data = files->is_begun ? strchr(bytes.data, '\n') + 1 : bytes.data;
    TRY(write_all(files->moves, files->fd, data, bytes.len - (size_t)(data - bytes.data), err));
    files->is_begun = true;
    files->rows += files->sheet.row_count;
    arena_clear(&files->arena);
    arena_init(&files->arena, files->run->state->arena->limit);
    sheet_init(&files->sheet, &files->arena, files->columns, MOVES_COLUMNS);
    return STATUS_OK;
}

enum status audit_files_take(void *context, const struct moved_act *act, const struct compare_change *change,
                             struct err *err)
{
    static const char *const words[] = {
        [REACH_CORES] = "core", [REACH_SECTIONS] = "section", [REACH_SAMPLES] = "sample", [REACH_BAGS] = "bag"};
    struct audit_files *files = context;
    const bool both = change->um[0] != LENGTH_NONE && change->um[1] != LENGTH_NONE;
    const bool is_own = act && !act->is_join;
    const struct cell cells[MOVES_COLUMNS] = {cell_text(!act           ? "ends"
                                                        : act->is_join ? "join"
                                                                       : "act"),
                                              act ? cell_commit_whole(act->commit.id) : cell_nothing(),
                                              cell_text(change->hole),
                                              cell_text(words[change->what]),
                                              cell_text(change->name),
                                              cell_text(change->former),
                                              cell_text(change->scale),
                                              cell_length(change->um[0], 3),
                                              cell_length(change->um[1], 3),
                                              cell_shift(both ? change->um[1] - change->um[0] : LENGTH_NONE, 3),
                                              is_own ? cell_text(act->commit.author) : cell_nothing(),
                                              act ? cell_instant(act->commit.when) : cell_nothing(),
                                              act ? cell_text(act->commit.line) : cell_nothing(),
                                              act ? cell_text(act->commit.reason) : cell_nothing()};
    TRY(sheet_add_row(&files->sheet, cells, err));
    return files->sheet.row_count < ROWS_AT_ONCE ? STATUS_OK : flush_rows(files, err);
}

/* A file that is beside its place goes there. */
static enum status settle(struct run *run, const char *path, char beside[FILE_PATH_MAX], struct err *err)
{
    const bool replace = run_option(run, "replace") != NULL;
    const bool is_there = file_check_free(path, false, &(struct err){0}) != STATUS_OK;
    TRY(run_check_out(run, path, err));
    TRY(file_settle(beside, path, replace, err));
    *beside = '\0';
    if (is_there)
        (void)fprintf(run->talk, "note: the file that stood there was replaced: %s\n", path);
    return STATUS_OK;
}

enum status audit_files_end(struct audit_files *files, struct bytes page, struct err *err)
{
    struct run *run = files->run;
    if (files->moves) {
        const int fd = files->fd;
        struct err why = {0};
        const enum status status = flush_rows(files, &why);
        files->fd = -1;
        if (status != STATUS_OK)
            *err = why;
        TRY(file_close_beside(files->moves, files->moves_beside, fd, status == STATUS_OK, err));
    }
    if (files->page)
        TRY(file_write_beside(files->page, page, files->page_beside, err));
    if (files->moves)
        TRY(settle(run, files->moves, files->moves_beside, err));
    if (files->page)
        TRY(settle(run, files->page, files->page_beside, err));
    if (files->page)
        (void)fprintf(run->talk, "%s: %zu bytes, state %.10s\n", files->page, page.len, store_state(run->state->store));
    if (files->moves)
        (void)fprintf(run->talk, "%s: %zu row%s, state %.10s\n", files->moves, files->rows, files->rows == 1 ? "" : "s",
                      store_state(run->state->store));
    return STATUS_OK;
}

void audit_files_drop(struct audit_files *files)
{
    if (files->fd >= 0)
        (void)close(files->fd);
    if (*files->moves_beside) /* they can be worked out again */
        (void)unlink(files->moves_beside);
    if (*files->page_beside)
        (void)unlink(files->page_beside);
    files->fd = -1;
    arena_clear(&files->arena);
}
