/* SPDX-License-Identifier: MIT */
/* A stream of the C library's own (fopencookie), in front of the one that goes out. */
#define _GNU_SOURCE /* fopencookie */
#include "coretally/run/shown_stream.h"

#include <string.h>

/* Does the text end within a character, or between CR and what follows? Its beginning, or len. */
static size_t whole_part(const char *data, size_t len)
{
    for (size_t back = 1; back <= 3 && back <= len; back++) {
        const unsigned char byte = (unsigned char)data[len - back];
        if ((byte & 0xC0) == 0x80)
            continue;
        const size_t wanted = byte >= 0xF0 ? 4 : byte >= 0xE0 ? 3 : byte >= 0xC0 ? 2 : 1;
        return wanted > back || (back == 1 && byte == '\r') ? len - back : len;
    }
    return len;
}

static void put(struct shown_stream *stream, const char *data, size_t len)
{
    struct text_flaw flaw;
    while (text_find_flaw(data, len, true, &flaw)) {
        char form[SHOWN_MAX];
        text_flaw_format(&flaw, stream->form, form);
        (void)fwrite(data, 1, flaw.at, stream->below);
        (void)fputs(form, stream->below);
        data += flaw.at + flaw.len;
        len -= flaw.at + flaw.len;
    }
    (void)fwrite(data, 1, len, stream->below);
}

static ssize_t on_write(void *context, const char *data, size_t len)
{
    struct shown_stream *stream = context;
    const size_t all = len;
    while (stream->waiting_len && len) { /* byte by byte until the character is whole */
        stream->waiting[stream->waiting_len++] = *data++;
        len--;
        if (stream->waiting_len == sizeof stream->waiting ||
            whole_part(stream->waiting, stream->waiting_len) == stream->waiting_len) {
            put(stream, stream->waiting, stream->waiting_len);
            stream->waiting_len = 0;
        }
    }
    const size_t whole = whole_part(data, len);
    put(stream, data, whole);
    if (whole < len)
        memcpy(stream->waiting, data + whole, len - whole);
    if (len)
        stream->waiting_len = len - whole;
    return ferror(stream->below) ? 0 : (ssize_t)all;
}

enum status shown_stream_open(struct shown_stream *stream, FILE *below, struct err *err)
{
    const cookie_io_functions_t functions = {.write = on_write};
    *stream = (struct shown_stream){.below = below};
    stream->file = fopencookie(stream, "w", functions);
    if (!stream->file)
        return err_set(err, STATUS_SYSTEM, "memory", "could not open the output");
    (void)setvbuf(stream->file, NULL, _IOLBF, 0); /* notes and data keep their order where both go to one place */
    return STATUS_OK;
}

void shown_stream_close(struct shown_stream *stream)
{
    if (!stream->file)
        return;
    (void)fclose(stream->file);
    put(stream, stream->waiting, stream->waiting_len);
    stream->waiting_len = 0;
    stream->file = NULL;
}
