/* SPDX-License-Identifier: MIT */
/* A pump log in words: its times, channels and cells, and what may be bridged. */
#ifndef CORETALLY_INTAKE_LOG_WORDS_H
#define CORETALLY_INTAKE_LOG_WORDS_H

#include "coretally/base/clock.h"
#include "coretally/base/text.h"
#include "coretally/domain/log.h"

/* "bit", "rate 2": a channel as the mapping names it. */
enum { LOG_FIELD_MAX = 32 };
void log_field(const struct log_channel *channel, char out[LOG_FIELD_MAX]);

/* "2026-03-09T04:12:00Z"; "90 s", "2 h" */
struct log_words {
    char text[INSTANT_TEXT_MAX];
};
struct log_words log_time_words(int64_t utc_us);
struct instant log_instant(int64_t utc_us); /* UTC, as a log has it */
struct log_words log_span_words(int64_t us);

/* A cell with its unit: "2310.500 m", "10234 strokes", "2.5 m3/min", "empty". */
struct log_cell_words {
    char text[LENGTH_TEXT_MAX + 16];
};
int64_t log_cell_micro(enum log_kind kind, int64_t cell); /* of what is no depth, in millionths */
struct log_cell_words log_cell_words(const struct log_channel *channel, int64_t cell);

/* "gap,reset" to a mask, and back with a separator. */
MUST_CHECK enum status log_bridge_parse(const char *words, unsigned *out, struct err *err);
void log_bridge_add(struct text *out, unsigned mask, const char *separator);

#endif
