/* SPDX-License-Identifier: MIT */
/* The files of a printing. */
#include "label_files.h"

#include <errno.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

#include "coretally/domain/label.h"
#include "coretally/store/file.h"

/* "labels-3.png" of "labels.png" where there are more pages than one. */
static void page_path(const struct run *run, const struct label_files *files, size_t page, char out[PATH_TEXT_MAX])
{
    const char *dot = strrchr(files->path, '.');
    const int stem = (int)(dot - files->path);
    char number[24] = "";
    if (files->count > 1)
        (void)snprintf(number, sizeof number, "-%zu", files->pages[page].page);
    (void)snprintf(out, PATH_TEXT_MAX, "%s%s%.*s%s%s", files->path[0] == '/' ? "" : run->folder,
                   files->path[0] == '/' ? "" : "/", stem, files->path, number, dot);
}

static bool is_output(const struct label_files *files)
{
    return strcmp(files->path, "-") == 0;
}

enum status label_files_plan(struct run *run, struct label_files *out, struct err *err)
{
    static const char *const endings[] = {[PAGE_PDF] = ".pdf", [PAGE_SVG] = ".svg", [PAGE_PNG] = ".png"};
    const char *typed = run_option(run, "out");
    struct label_files files = {.path = typed};
    if (!typed) { /* a name of its own for each state that was printed at */
        char name[64];
        (void)snprintf(name, sizeof name, "%s-%.*s.pdf", run_option(run, "proof") ? "proof" : "labels",
                       LABEL_STATE_DIGITS, store_state(run->state->store));
        TRY(arena_copy(run->state->arena, name, strlen(name), &files.path, err));
    }
    const char *dot = strrchr(files.path, '.');
    bool is_known = strcmp(files.path, "-") == 0;
    for (int format = PAGE_PDF; !is_known && dot && format <= PAGE_PNG; format++)
        if (strcasecmp(dot, endings[format]) == 0) {
            files.format = (enum page_format)format;
            is_known = true;
        }
    if (!is_known || strlen(files.path) + strlen(run->folder) > PATH_TEXT_MAX - 40) {
        err_set(err, STATUS_INPUT, files.path, "labels are drawn as PDF, SVG or PNG, by the ending of the file");
        return err_hint(err, "for example --out labels.pdf; - writes a PDF to standard output");
    }
    *out = files;
    return STATUS_OK;
}

enum status label_files_check(const struct run *run, const struct label_files *files, struct err *err)
{
    char path[PATH_TEXT_MAX];
    for (size_t page = 0; !is_output(files) && page < files->count; page++) {
        page_path(run, files, page, path);
        if (run_check_out(run, path, err) != STATUS_OK)
            return file_check_free(path, true, &(struct err){0}) == STATUS_OK /* a file */
                       ? err_hint(err, "it may hold labels that are not printed yet: %s", err->hint)
                       : err->status;
    }
    return STATUS_OK;
}

enum status label_files_write(struct run *run, struct label_files *files, struct err *err)
{
    char path[PATH_TEXT_MAX];
    char beside[FILE_PATH_MAX];
    if (is_output(files)) { /* before the act is recorded: nothing is recorded that did not come out */
        const struct bytes *bytes = &files->pages[0].bytes;
        if (fflush(run->out) == 0 && fwrite(bytes->data, 1, bytes->len, run->raw) == bytes->len &&
            fflush(run->raw) == 0)
            return STATUS_OK;
        err_set(err, STATUS_SYSTEM, "output", "could not be written: %s", strerror(errno));
        return err_hint(err, "nothing was recorded; type it again, or with --out FILE");
    }
    TRY(label_files_check(run, files, err));
    TRY(arena_take(run->state->arena, files->count, sizeof *files->besides, &files->besides, err));
    for (size_t page = 0; page < files->count; page++) {
        page_path(run, files, page, path);
        enum status status = file_write_beside(path, files->pages[page].bytes, beside, err);
        if (status == STATUS_OK)
            status = arena_copy(run->state->arena, beside, strlen(beside), &files->besides[page], err);
        if (status != STATUS_OK) {
            label_files_drop(files);
            return status;
        }
    }
    return STATUS_OK;
}

void label_files_drop(const struct label_files *files)
{
    for (size_t page = 0; files->besides && page < files->count; page++)
        if (files->besides[page])
            (void)unlink(files->besides[page]);
}

enum status label_files_keep(struct run *run, const struct label_files *files, struct err *err)
{
    char path[PATH_TEXT_MAX];
    size_t replaced = 0;
    if (is_output(files))
        return STATUS_OK;
    for (size_t page = 0; page < files->count; page++) {
        struct err taken = {0};
        page_path(run, files, page, path);
        replaced += file_check_free(path, false, &taken) != STATUS_OK;
        if (file_settle(files->besides[page], path, run_option(run, "replace") != NULL, err) != STATUS_OK)
            return err_hint(err, *run->recorded ? "the printing is recorded; the page is in %s" : "the page is in %s",
                            files->besides[page]);
    }
    if (replaced)
        (void)fprintf(run->talk, "note: %zu file%s that stood there %s replaced\n", replaced, replaced > 1 ? "s" : "",
                      replaced > 1 ? "were" : "was");
    if (files->count > 1)
        (void)fprintf(run->out, "%zu pages: %.*s-1%s and so on\n", files->count,
                      (int)(strrchr(files->path, '.') - files->path), files->path, strrchr(files->path, '.'));
    else
        (void)fprintf(run->out, "page: %s\n", files->path);
    return STATUS_OK;
}
