/* SPDX-License-Identifier: MIT */
/* A stream through which nothing goes that commands a terminal, or that is no UTF-8: what a command says passes it,
 * whatever it was made of. Files that are handed out as they are (pages, evidence) go to the stream below. */
#ifndef CORETALLY_RUN_SHOWN_STREAM_H
#define CORETALLY_RUN_SHOWN_STREAM_H

#include <stdio.h>

#include "coretally/base/shown.h"

struct shown_stream {
    FILE *below;
    FILE *file; /* what is written to */
    enum shown_form form;
    char waiting[4]; /* the beginning of a character whose end comes with the next write */
    size_t waiting_len;
};

/* STATUS_SYSTEM: out of memory. The stream must stay where it is until it is closed. */
MUST_CHECK enum status shown_stream_open(struct shown_stream *stream, FILE *below, struct err *err);
/* Writes what waits. */
void shown_stream_close(struct shown_stream *stream);

#endif
