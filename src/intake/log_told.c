/* SPDX-License-Identifier: MIT */
/* What is wrong with the rows of a pump log: counted by kind, the first ones kept, and told. */
#include "coretally/intake/log_take.h"

static int64_t find_cell(const struct log_walk *walk, const int64_t *cells, enum log_kind kind)
{
    for (size_t at = 0; at < walk->count; at++)
        if (walk->channels[at].kind == kind)
            return cells[1 + at];
    return LENGTH_NONE;
}

/* at: in which channel; -1: in none. A depth that is below 0 in the first row is missing, too. */
static void describe_channel(enum log_fault fault, int at, const struct log_walk *before, const int64_t *cells,
                             char *out, size_t room)
{
    char field[LOG_FIELD_MAX];
    if (at < 0)
        return;
    log_field(&before->channels[at], field);
    if (fault == LOG_FAULT_MISSING) {
        (void)snprintf(out, room, "%s is %s", field, cells[1 + at] == LENGTH_NONE ? "empty" : "not known yet");
        return;
    }
    const struct log_cell_words now = log_cell_words(&before->channels[at], cells[1 + at]);
    if (fault == LOG_FAULT_NEGATIVE)
        (void)snprintf(out, room, "%s %s", field, now.text);
    else
        (void)snprintf(out, room, fault == LOG_FAULT_JUMP ? "%s jumps from %s to %s" : "%s falls from %s to %s", field,
                       log_cell_words(&before->channels[at], before->last[at]).text, now.text);
}

static void describe(enum log_fault fault, int channel, const struct log_walk *before, const int64_t *cells, char *out,
                     size_t room)
{
    const int64_t bit_um = find_cell(before, cells, LOG_BIT);
    const int64_t hole_um = find_cell(before, cells, LOG_HOLE);
    switch (fault) {
    case LOG_FAULT_GAP:
        (void)snprintf(out, room, "%s after the row before it", log_span_words(cells[0] - before->time_us).text);
        break;
    case LOG_FAULT_REPEAT:
        (void)snprintf(out, room, "the time of the row before it");
        break;
    case LOG_FAULT_BACKWARD:
        (void)snprintf(out, room, "%s before %s, which was there already",
                       log_span_words(before->time_us - cells[0]).text, log_time_words(before->time_us).text);
        break;
    case LOG_FAULT_BIT_BELOW:
        (void)snprintf(out, room, "bit at %s m, hole at %s m", length_text(bit_um, UNIT_M, 3).text,
                       length_text(hole_um >= 0 ? hole_um : before->hole_um, UNIT_M, 3).text);
        break;
    case LOG_FAULT_HOLE_BACK:
        (void)snprintf(out, room, "hole at %s m, was at %s m", length_text(hole_um, UNIT_M, 3).text,
                       length_text(before->hole_um, UNIT_M, 3).text);
        break;
    case LOG_FAULT_RESET:
    case LOG_FAULT_ROLLOVER:
    case LOG_FAULT_NEGATIVE:
    case LOG_FAULT_MISSING:
    case LOG_FAULT_JUMP:
    case LOG_FAULT_COUNT:
        describe_channel(fault, channel, before, cells, out, room);
        break;
    }
}

void log_tally_add(struct log_tally *tally, unsigned faults, const struct log_step *step, const struct log_walk *before,
                   const int64_t *cells, size_t line)
{
    for (int fault = 0; fault < LOG_FAULT_COUNT; fault++) {
        if (!(faults & (1U << fault)))
            continue;
        struct log_case *last = &tally->last[fault];
        last->line = line;
        last->time_us = cells[0];
        if (tally->counts[fault] < LOG_TOLD_MAX) {
            struct log_case *one = &tally->cases[fault][tally->counts[fault]];
            *one = *last;
            describe((enum log_fault)fault, step->channels[fault], before, cells, one->text, sizeof one->text);
        }
        tally->counts[fault]++;
    }
}

void log_tally_text(const struct log_tally *tally, unsigned bridge, struct text *out)
{
    for (int fault = 0; fault < LOG_FAULT_COUNT; fault++) {
        const enum log_fault id = (enum log_fault)fault;
        const bool bridged = bridge & (1U << fault);
        const size_t count = tally->counts[fault];
        if (!count)
            continue;
        const struct log_case *cases = tally->cases[fault];
        text_addf(out, "%s%s: %zu time%s, first at line %zu (%s): %s; %s%s: %s\n", bridged ? "note: " : "",
                  log_fault_word(id), count, count == 1 ? "" : "s", cases[0].line,
                  log_time_words(cases[0].time_us).text, log_fault_meaning(id), bridged ? "bridged" : "--bridge ",
                  bridged ? "" : log_fault_word(id), log_fault_bridge(id));
        for (size_t at = 0; at < count && at < LOG_TOLD_MAX; at++)
            text_addf(out, "  line %zu, %s: %s\n", cases[at].line, log_time_words(cases[at].time_us).text,
                      cases[at].text);
        if (count > LOG_TOLD_MAX)
            text_addf(out, "  and %zu more, the last at line %zu (%s)\n", count - LOG_TOLD_MAX, tally->last[fault].line,
                      log_time_words(tally->last[fault].time_us).text);
    }
}
