/* SPDX-License-Identifier: MIT */
/* A pump log in words. */
#include "coretally/intake/log_words.h"

#include <stdio.h>
#include <string.h>
#include <strings.h>

void log_field(const struct log_channel *channel, char out[LOG_FIELD_MAX])
{
    (void)snprintf(out, LOG_FIELD_MAX, "%s%s%s", log_kind_words[channel->kind], log_is_pump(channel->kind) ? " " : "",
                   channel->pump);
}

struct instant log_instant(int64_t utc_us)
{
    return (struct instant){.utc_us = utc_us, .known = true};
}

struct log_words log_time_words(int64_t utc_us)
{
    struct log_words words;
    instant_format(log_instant(utc_us), words.text);
    return words;
}

struct log_words log_span_words(int64_t us)
{
    struct log_words words;
    const double s = (double)us / 1e6;
    if (s < 120)
        (void)snprintf(words.text, sizeof words.text, "%.4g s", s);
    else if (s < 7200)
        (void)snprintf(words.text, sizeof words.text, "%.4g min", s / 60);
    else if (s < 2 * 86400)
        (void)snprintf(words.text, sizeof words.text, "%.4g h", s / 3600);
    else
        (void)snprintf(words.text, sizeof words.text, "%.4g days", s / 86400);
    return words;
}

int64_t log_cell_micro(enum log_kind kind, int64_t cell)
{
    return log_is_pump(kind) ? cell * 1000 : cell;
}

/* Without its unit; depths in m. */
static struct length_text log_cell_number(enum log_kind kind, int64_t cell)
{
    struct length_text number;
    if (kind == LOG_BIT || kind == LOG_HOLE)
        return length_text(cell, UNIT_M, 3);
    /* a number with up to six decimals is printed as a length of as many micrometres */
    length_format_exact(log_cell_micro(kind, cell), UNIT_M, number.text);
    return number;
}

struct log_cell_words log_cell_words(const struct log_channel *channel, int64_t cell)
{
    static const char *const units[] = {"m", "m", "strokes", "strokes/min", "m3/min", "m3/min"};
    struct log_cell_words words = {.text = "empty"};
    if (cell != LENGTH_NONE)
        (void)snprintf(words.text, sizeof words.text, "%s %s", log_cell_number(channel->kind, cell).text,
                       units[channel->kind]);
    return words;
}

enum status log_bridge_parse(const char *words, unsigned *out, struct err *err)
{
    unsigned mask = 0;
    for (const char *at = words + strspn(words, ", "); *at; at += strspn(at, ", ")) {
        const size_t len = strcspn(at, ", ");
        int fault = 0;
        while (fault < LOG_FAULT_COUNT && (strlen(log_fault_word((enum log_fault)fault)) != len ||
                                           strncasecmp(log_fault_word((enum log_fault)fault), at, len) != 0))
            fault++;
        if (fault == LOG_FAULT_COUNT) {
            char word[40];
            char known[160] = "";
            (void)snprintf(word, sizeof word, "%.*s", (int)(len < sizeof word ? len : sizeof word - 1), at);
            for (int other = 0; other < LOG_FAULT_COUNT; other++) {
                const size_t used = strlen(known);
                (void)snprintf(known + used, sizeof known - used, "%s%s", used ? ", " : "",
                               log_fault_word((enum log_fault)other));
            }
            err_set(err, STATUS_INPUT, word, "nothing of this name can be bridged");
            return err_hint(err, "what can: %s", known);
        }
        mask |= 1U << fault;
        at += len;
    }
    *out = mask;
    return STATUS_OK;
}

void log_bridge_add(struct text *out, unsigned mask, const char *separator)
{
    bool any = false;
    for (int fault = 0; fault < LOG_FAULT_COUNT; fault++)
        if (mask & (1U << fault)) {
            text_addf(out, "%s%s", any ? separator : "", log_fault_word((enum log_fault)fault));
            any = true;
        }
}
