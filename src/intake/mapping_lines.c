/* SPDX-License-Identifier: MIT */
/* The lines of a mapping, of a table's columns or a pump log's: from a file and from what was typed. */
#include "coretally/intake/mapping.h"

#include <string.h>

#include "coretally/store/file.h"

/* Where lines come from, what ends one, and how the whole is called in a refusal. */
struct line_text {
    struct bytes bytes;
    const char *separators;
    const char *subject;
};

static enum status each_line(struct arena *arena, const struct line_text *text, mapping_line *on_line, void *context,
                             struct err *err)
{
    const char *copy = NULL;
    TRY(arena_copy(arena, text->bytes.data, text->bytes.len, &copy, err));
    char *rest = (char *)(uintptr_t)copy; /* our own copy, cut up here */
    for (size_t number = 1; rest; number++) {
        char *line = rest;
        rest = strpbrk(rest, text->separators);
        if (rest)
            *rest++ = '\0';
        struct err own = {0};
        text_cut_remark(line);
        line = text_trim(line);
        if (!*line || on_line(context, line, &own) == STATUS_OK)
            continue;
        char where[ERR_SUBJECT_MAX];
        (void)snprintf(where, sizeof where, "%.90s, line %zu, '%.80s'", text->subject, number, own.subject);
        err_set(err, own.status, where, "%s", own.reason);
        return err_hint(err, "%s", own.hint);
    }
    return STATUS_OK;
}

enum status mapping_each_line(struct arena *arena, const struct mapping_asked *asked, mapping_line *on_line,
                              void *context, struct err *err)
{
    const char *path = asked->file;
    const char *set = asked->lines;
    if (path) {
        char text[16384];
        FILE *file = NULL;
        TRY(file_open_typed(path, &file, err));
        const size_t len = fread(text, 1, sizeof text, file);
        const bool broken = ferror(file) != 0;
        (void)fclose(file);
        if (broken)
            return err_set(err, STATUS_SYSTEM, path, "could not read the mapping");
        if (len == sizeof text)
            return err_set(err, STATUS_INPUT, path, "a mapping has a few lines, this file is longer than 16 kB");
        const struct line_text lines = {{text, len}, "\n", path};
        TRY(each_line(arena, &lines, on_line, context, err));
    }
    if (set) {
        const struct line_text lines = {{set, strlen(set)}, ";\n", "--set"};
        TRY(each_line(arena, &lines, on_line, context, err));
    }
    return STATUS_OK;
}
