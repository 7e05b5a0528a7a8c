/* SPDX-License-Identifier: MIT */
/* Flaws: the list of them, the rows that tell them, what is said at the end. */
#include <stdarg.h>
#include <string.h>

#include "import.h"
#include "verify.h"

enum { ROWS_MAX = 1000, SENTENCE_MAX = 800, FLAW_COLUMNS = 6 };
enum { COLUMN_SEVERITY, COLUMN_WORD, COLUMN_PATH, COLUMN_ITEM, COLUMN_COMMIT, COLUMN_SENTENCE };

const char *const severity_words[] = {"doubtful", "wrong", "damaged", NULL};
const char *const severity_meanings[] = {"may well be right; a person should look",
                                         "readable, but no act of ours leaves it so", "cannot be read or relied on",
                                         NULL};

static const struct {
    const char *word;
    enum severity severity;
    const char *meaning;
} flaw_rows[FLAW_COUNT] = {
#define FLAW_ROW(id, word, severity, meaning) [FLAW_##id] = {word, SEVERITY_##severity, meaning},
    FLAW_LIST(FLAW_ROW)
#undef FLAW_ROW
};

const char *flaw_word(enum flaw flaw)
{
    return flaw_rows[flaw].word;
}

enum severity flaw_severity(enum flaw flaw)
{
    return flaw_rows[flaw].severity;
}

const char *flaw_meaning(enum flaw flaw)
{
    return flaw_rows[flaw].meaning;
}

static bool is_cell(const char *cell, const char *text)
{
    return strcmp(cell ? cell : "", text) == 0;
}

/* What a commit left behind is not told again of the state. */
static bool is_told(const struct verify *verify, enum flaw flaw, const char *path, const char *item)
{
    for (size_t row = 0; row < verify->sheet.row_count; row++) {
        const char **cells = verify->sheet.cells + row * FLAW_COLUMNS;
        if (is_cell(cells[COLUMN_WORD], flaw_word(flaw)) && is_cell(cells[COLUMN_PATH], path) &&
            is_cell(cells[COLUMN_ITEM], item) &&
            (!*verify->commit || strncmp(cells[COLUMN_COMMIT] ? cells[COLUMN_COMMIT] : "", verify->commit, 10) == 0))
            return true;
    }
    return false;
}

void flaw_add(struct verify *verify, enum flaw flaw, const char *path, const char *item, const char *format, ...)
{
    char sentence[SENTENCE_MAX];
    char shown[PATH_TEXT_MAX];
    char commit[COMMIT_ID_MAX];
    va_list args;
    (void)snprintf(shown, sizeof shown, "%s", path);
    text_make_printable(shown);
    if (is_told(verify, flaw, shown, item))
        return;
    verify->counts[flaw_severity(flaw)]++;
    if (verify->failed || verify->sheet.row_count == ROWS_MAX)
        return;
    va_start(args, format);
    (void)vsnprintf(sentence, sizeof sentence, format, args);
    va_end(args);
    text_make_printable(sentence);
    (void)snprintf(commit, sizeof commit, "%s", verify->commit);
    const char *cells[FLAW_COLUMNS] = {[COLUMN_SEVERITY] = severity_words[flaw_severity(flaw)],
                                       [COLUMN_WORD] = flaw_word(flaw),
                                       [COLUMN_PATH] = shown,
                                       [COLUMN_ITEM] = item,
                                       [COLUMN_COMMIT] = commit,
                                       [COLUMN_SENTENCE] = sentence};
    if (verify->is_short)
        commit[10] = '\0';
    verify->failed = sheet_add(&verify->sheet, cells, &verify->failure) != STATUS_OK;
}

enum status flaw_unreadable(struct verify *verify, enum flaw flaw, const char *path, const struct err *why,
                            struct err *err)
{
    if (why->status == STATUS_SYSTEM) {
        *err = *why;
        return why->status;
    }
    flaw_add(verify, flaw, path, "", "%s", why->reason);
    return STATUS_OK;
}

void verify_init(struct verify *verify, struct state *state, const char *path, bool is_short)
{
    static const struct column columns[FLAW_COLUMNS] = {{"severity", NULL, false}, {"flaw", NULL, false},
                                                        {"path", NULL, false},     {"item", NULL, false},
                                                        {"commit", NULL, false},   {"sentence", NULL, false}};
    *verify = (struct verify){.state = state, .is_short = is_short, .path = path, .commit = ""};
    sheet_init(&verify->sheet, state->arena, columns, FLAW_COLUMNS);
}

void verify_close(struct verify *verify)
{
    store_close(verify->past);
    verify->past = NULL;
}

enum status verify_say(struct run *run, struct verify *verify, struct err *err)
{
    const size_t *counts = verify->counts;
    const size_t all = counts[SEVERITY_DOUBTFUL] + counts[SEVERITY_WRONG] + counts[SEVERITY_DAMAGED];
    if (verify->failed) {
        *err = verify->failure;
        return err->status;
    }
    if (all || run->format != SHEET_PEOPLE)
        TRY(run_print_sheet(run, &verify->sheet, err));
    if (all > verify->sheet.row_count)
        (void)fprintf(run->talk, "%zu more like these\n", all - verify->sheet.row_count);
    FILE *const end = run->format == SHEET_PEOPLE ? run->out : run->talk;
    (void)fprintf(end, "looked at %zu file%s, %zu commit%s, %zu label%s: %zu damaged, %zu wrong, %zu doubtful\n",
                  verify->files, verify->files == 1 ? "" : "s", verify->commits, verify->commits == 1 ? "" : "s",
                  verify->labels, verify->labels == 1 ? "" : "s", counts[SEVERITY_DAMAGED], counts[SEVERITY_WRONG],
                  counts[SEVERITY_DOUBTFUL]);
    if (!counts[SEVERITY_DAMAGED] && !counts[SEVERITY_WRONG])
        return STATUS_OK;
    err_set(err, STATUS_DAMAGED, "registry", "it is not sound: %zu damaged, %zu wrong", counts[SEVERITY_DAMAGED],
            counts[SEVERITY_WRONG]);
    return err_hint(
        err,
        "history and clones hold earlier versions: git log -- PATH; coretally verify --help says what each word means");
}
