/* SPDX-License-Identifier: MIT */
/* A pump log as CSV: the header names the columns; and which of the two forms a file has. */
#include <string.h>
#include <strings.h>

#include "coretally/intake/csv.h"
#include "coretally/intake/log_rows.h"

struct csv_log {
    const struct log_taker *taker;
    bool has_columns;
};

static enum status take_row(void *context, const char *const *cells, size_t count, size_t line, struct err *err)
{
    struct csv_log *log = context;
    if (log->has_columns)
        return log->taker->row(log->taker->context, cells, line, err);
    const struct log_columns columns = {.names = cells, .count = count};
    log->has_columns = true;
    return log->taker->columns(log->taker->context, &columns, err);
}

enum status log_csv_each(struct lines *lines, const struct log_taker *taker, struct err *err)
{
    struct csv_log log = {.taker = taker};
    TRY(csv_each(lines, take_row, &log, err));
    if (log.has_columns)
        return STATUS_OK;
    err_set(err, STATUS_INPUT, lines->path, "the log has no rows");
    return err_hint(err, "the first line names the columns, every further line is a row");
}

/* Does the text open with a section ~V, remarks and empty lines passed over? */
static bool opens_like_las(struct bytes text)
{
    const char *at = text.data;
    const char *end = text.data + text.len;
    if (text.len >= 3 && memcmp(at, "\xEF\xBB\xBF", 3) == 0)
        at += 3;
    while (at < end) {
        while (at < end && (*at == ' ' || *at == '\t'))
            at++;
        if (end - at >= 2 && at[0] == '~')
            return at[1] == 'V' || at[1] == 'v';
        if (at < end && *at != '#' && *at != '\r' && *at != '\n')
            return false;
        at = memchr(at, '\n', (size_t)(end - at));
        if (!at)
            return false;
        at++;
    }
    return false;
}

enum status log_each(struct lines *lines, const char *format, const struct log_taker *taker, struct err *err)
{
    if (format && strcasecmp(format, "csv") != 0 && strcasecmp(format, "las") != 0) {
        err_set(err, STATUS_INPUT, format, "a pump log has no such form");
        return err_hint(err, "type --format csv or --format las, or leave it out");
    }
    struct bytes begin = {0};
    TRY(lines_peek(lines, &begin, err));
    const bool las = format ? strcasecmp(format, "las") == 0 : opens_like_las(begin);
    return las ? log_las_each(lines, taker, err) : log_csv_each(lines, taker, err);
}
