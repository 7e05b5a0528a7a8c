/* SPDX-License-Identifier: MIT */
/* Text files line by line. */
#include "coretally/intake/lines.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/store/file.h"

enum { LINES_FIRST = 1 << 18 };

enum status lines_open(FILE *in, const char *path, struct lines *out, struct err *err)
{
    struct lines lines = {.path = path, .file = in, .is_own = strcmp(path, "-") != 0};
    if (lines.is_own && file_open_typed(path, &lines.file, err) != STATUS_OK)
        return err_hint(err, "type the path of a file of text, or - for standard input");
    lines.room = LINES_FIRST;
    lines.data = malloc(lines.room + 1); /* one byte more, so that the last line can be closed by a NUL */
    if (!lines.data) {
        lines_close(&lines);
        return err_set(err, STATUS_SYSTEM, "memory", "could not read %.100s", path);
    }
    *out = lines;
    return STATUS_OK;
}

void lines_close(struct lines *lines)
{
    if (lines->is_own && lines->file)
        (void)fclose(lines->file);
    free(lines->data);
    *lines = (struct lines){0};
}

/* More of the file behind what is held; the part that was used up makes room. */
static enum status lines_fill(struct lines *lines, struct err *err)
{
    if (lines->start) {
        memmove(lines->data, lines->data + lines->start, lines->end - lines->start);
        lines->end -= lines->start;
        lines->start = 0;
    }
    if (lines->end == lines->room) {
        char where[ERR_SUBJECT_MAX];
        (void)snprintf(where, sizeof where, "%.100s, line %zu", lines->path, lines->number + 1);
        if (lines->room >= LINE_BYTES_MAX)
            return err_set(err, STATUS_INPUT, where, "no line of a table has more than %d bytes", LINE_BYTES_MAX);
        char *grown = realloc(lines->data, lines->room * 2 + 1);
        if (!grown)
            return err_set(err, STATUS_SYSTEM, "memory", "could not read %.100s", lines->path);
        lines->data = grown;
        lines->room *= 2;
    }
    const size_t taken = fread(lines->data + lines->end, 1, lines->room - lines->end, lines->file);
    lines->end += taken;
    lines->is_ended = taken == 0;
    if (taken == 0 && ferror(lines->file))
        return err_set(err, STATUS_SYSTEM, lines->path, "could not be read to its end");
    return STATUS_OK;
}

enum status lines_peek(struct lines *lines, struct bytes *out, struct err *err)
{
    while (!lines->is_ended && lines->end < lines->room)
        TRY(lines_fill(lines, err));
    *out = (struct bytes){.data = lines->data + lines->start, .len = lines->end - lines->start};
    return STATUS_OK;
}

enum status lines_next(struct lines *lines, char **line, size_t *len, struct err *err)
{
    size_t looked = 0;
    const char *end = NULL;
    while (!end) {
        const size_t held = lines->end - lines->start;
        if (held > looked)
            end = memchr(lines->data + lines->start + looked, '\n', held - looked);
        looked = held;
        if (end || lines->is_ended)
            break;
        TRY(lines_fill(lines, err));
    }
    *line = lines->data + lines->start;
    if (!end && lines->is_growing)
        lines->end -= looked;
    *len = end ? (size_t)(end + 1 - *line) : lines->end - lines->start;
    lines->start += *len;
    lines->number += *len > 0;
    if (lines->number == 1 && *len >= 3 && memcmp(*line, "\xEF\xBB\xBF", 3) == 0) { /* a byte-order mark is no text */
        *line += 3;
        *len -= 3;
    }
    if (*len == 0 && lines->is_ended && lines->start == lines->end)
        *line = NULL;
    return STATUS_OK;
}
