/* SPDX-License-Identifier: MIT */
/* Statuses and refusals: fills struct err; leaves printing to main. */
#include "coretally/base/err.h"

#include <stdarg.h>
#include <stdio.h>

static const struct {
    int code;
    const char *word;
    const char *meaning;
} status_rows[STATUS_COUNT] = {
#define STATUS_ROW(id, code, word, meaning) [STATUS_##id] = {code, word, meaning},
    STATUS_LIST(STATUS_ROW)
#undef STATUS_ROW
};

/* A text that was cut to its room may end inside of a UTF-8 character: without it. */
static void drop_broken_end(char *text)
{
    size_t len = 0;
    while (text[len])
        len++;
    size_t start = len;
    while (start > 0 && len - start < 4 && ((unsigned char)text[start - 1] & 0xC0) == 0x80)
        start--;
    if (start == 0)
        return;
    const unsigned char lead = (unsigned char)text[start - 1];
    const size_t wanted = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : lead >= 0xC0 ? 2 : 1;
    if (lead >= 0x80 && len - start + 1 < wanted)
        text[start - 1] = '\0';
}

enum status err_set(struct err *err, enum status status, const char *subject, const char *format, ...)
{
    /* The parts may point into err itself (a refusal that wraps another). */
    struct err made = {.status = status};
    va_list args;
    va_start(args, format);
    (void)vsnprintf(made.reason, sizeof made.reason, format, args);
    va_end(args);
    (void)snprintf(made.subject, sizeof made.subject, "%s", subject ? subject : "");
    drop_broken_end(made.reason);
    drop_broken_end(made.subject);
    *err = made;
    return status;
}

enum status err_hint(struct err *err, const char *format, ...)
{
    char hint[ERR_HINT_MAX];
    va_list args;
    va_start(args, format);
    (void)vsnprintf(hint, sizeof hint, format, args);
    va_end(args);
    (void)snprintf(err->hint, sizeof err->hint, "%s", hint);
    return err->status;
}

int status_exit_code(enum status status)
{
    return status_rows[status].code;
}

bool status_is_failure(enum status status)
{
    return status == STATUS_DAMAGED || status == STATUS_SYSTEM;
}

const char *status_word(enum status status)
{
    return status_rows[status].word;
}

const char *status_meaning(enum status status)
{
    return status_rows[status].meaning;
}
