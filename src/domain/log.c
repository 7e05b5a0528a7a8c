/* SPDX-License-Identifier: MIT */
/* The walk over a pump log: what is wrong with a row, and what it adds when that is bridged. */
#include "coretally/domain/log.h"

#include <string.h>

#include <assert.h>

const char *const log_kind_words[] = {"bit", "hole", "strokes", "rate", "flow", "booster", NULL};
_Static_assert(sizeof log_kind_words / sizeof log_kind_words[0] == LOG_KIND_COUNT + 1, "a word for each kind");

static const struct {
    const char *word;
    const char *meaning;
    const char *bridge;
} fault_rows[LOG_FAULT_COUNT] = {
#define LOG_FAULT_ROW(id, word, meaning, bridge) [LOG_FAULT_##id] = {word, meaning, bridge},
    LOG_FAULT_LIST(LOG_FAULT_ROW)
#undef LOG_FAULT_ROW
};

const char *log_fault_word(enum log_fault fault)
{
    return fault_rows[fault].word;
}

const char *log_fault_meaning(enum log_fault fault)
{
    return fault_rows[fault].meaning;
}

const char *log_fault_bridge(enum log_fault fault)
{
    return fault_rows[fault].bridge;
}

/* The faults of a row, each with the channel in which it was met first. */
struct found {
    unsigned faults;
    int channel[LOG_FAULT_COUNT];
};

static void note_fault(struct found *found, enum log_fault fault, int channel)
{
    if (!(found->faults & (1U << fault)))
        found->channel[fault] = channel;
    found->faults |= 1U << fault;
}

/* Where to look: at what the importer did not bridge, before what he did. */
static int find_channel(const struct found *found, unsigned bridge)
{
    const unsigned refused = found->faults & ~bridge;
    const unsigned told = refused ? refused : found->faults;
    for (int fault = 0; fault < LOG_FAULT_COUNT; fault++)
        if (told & (1U << fault))
            return found->channel[fault];
    return -1;
}

bool log_is_pump(enum log_kind kind)
{
    return kind == LOG_STROKES || kind == LOG_RATE;
}

bool log_channel_is_same(const struct log_channel *a, const struct log_channel *b)
{
    return a->kind == b->kind && strcmp(a->pump, b->pump) == 0;
}

bool log_channels_are_same(const struct log_channel *a, size_t a_count, const struct log_channel *b, size_t b_count)
{
    bool same = a_count == b_count;
    for (size_t at = 0; same && at < a_count; at++)
        same = log_channel_is_same(&a[at], &b[at]);
    return same;
}

void log_walk_init(struct log_walk *walk, const struct log_channel *channels, size_t count, int64_t gap_us,
                   unsigned bridge)
{
    assert(count <= LOG_CHANNELS_MAX && gap_us >= 0);
    *walk = (struct log_walk){.channels = channels,
                              .count = count,
                              .gap_us = gap_us,
                              .bridge = bridge,
                              .time_us = LENGTH_NONE,
                              .bit_um = LENGTH_NONE,
                              .hole_um = LENGTH_NONE};
    for (size_t at = 0; at < LOG_CHANNELS_MAX; at++)
        walk->last[at] = walk->jumped[at] = walk->fell_from[at] = LENGTH_NONE;
}

void log_walk_carry(const struct log_walk *from, struct log_walk *to)
{
    to->started = from->started;
    to->time_us = from->time_us;
    to->bit_um = from->bit_um;
    to->hole_um = from->hole_um;
    for (size_t at = 0; at < to->count; at++) {
        to->read_us[at] = from->time_us;
        for (size_t other = 0; other < from->count; other++) {
            if (!log_channel_is_same(&to->channels[at], &from->channels[other]))
                continue;
            to->last[at] = from->last[other];
            to->read_us[at] = from->read_us[other];
            to->jumped[at] = from->jumped[other];
            to->fell_from[at] = from->fell_from[other];
            to->fell_us[at] = from->fell_us[other];
        }
    }
}

/* A cell that can be used, LENGTH_NONE for an empty one and one below 0. */
static int64_t read_cell(int64_t cell, size_t channel, struct found *found)
{
    if (cell >= 0)
        return cell;
    note_fault(found, cell == LENGTH_NONE ? LOG_FAULT_MISSING : LOG_FAULT_NEGATIVE, (int)channel);
    return LENGTH_NONE;
}

/* Is now too far above before for what a row may add? One that goes on from where the row before jumped to is no spike:
 * it counts. *jumped: what this row jumps to. */
static bool is_jump(int64_t before, int64_t now, double most, int64_t *jumped)
{
    const int64_t where = *jumped;
    *jumped = LENGTH_NONE;
    if (before == LENGTH_NONE || now == LENGTH_NONE || (double)now - (double)before <= most ||
        (where != LENGTH_NONE && now >= where && (double)now - (double)where <= most))
        return false;
    *jumped = now;
    return true;
}

/* Minutes since a channel was read last. */
static double minutes_unread(const struct log_walk *walk, size_t channel, int64_t time_us)
{
    return (double)((uint64_t)time_us - (uint64_t)walk->read_us[channel]) / 60e6;
}

/* The depths of the row into step; false while one of them is not known yet. */
static bool take_depths(struct log_walk *walk, const int64_t *cells, struct log_step *step, struct found *found)
{
    int bit_channel = -1;
    int hole_channel = -1;
    int64_t bit_um = LENGTH_NONE;
    int64_t hole_um = LENGTH_NONE;
    for (size_t at = 0; at < walk->count; at++) {
        if (walk->channels[at].kind == LOG_BIT) {
            bit_channel = (int)at;
            bit_um = read_cell(cells[1 + at], at, found);
        } else if (walk->channels[at].kind == LOG_HOLE) {
            hole_channel = (int)at;
            hole_um = read_cell(cells[1 + at], at, found);
        }
    }
    if (walk->started && hole_channel >= 0 &&
        is_jump(walk->hole_um, hole_um,
                LOG_JUMP_HOLE_UM + LOG_JUMP_HOLE_UM_MIN * minutes_unread(walk, (size_t)hole_channel, cells[0]),
                &walk->jumped[hole_channel])) {
        note_fault(found, LOG_FAULT_JUMP, hole_channel);
        hole_um = LENGTH_NONE;
        if (bit_um > walk->hole_um) /* it jumped with the hole */
            bit_um = LENGTH_NONE;
    }
    if (hole_um == LENGTH_NONE)
        hole_um = walk->hole_um;
    if (bit_um == LENGTH_NONE)
        bit_um = walk->bit_um;
    if (hole_um == LENGTH_NONE || (bit_channel >= 0 && bit_um == LENGTH_NONE)) {
        note_fault(found, LOG_FAULT_MISSING, hole_um == LENGTH_NONE ? hole_channel : bit_channel);
        return false;
    }
    if (hole_um < walk->hole_um) {
        if (walk->hole_um - hole_um > LOG_BIT_SLACK_UM)
            note_fault(found, LOG_FAULT_HOLE_BACK, hole_channel);
        hole_um = walk->hole_um;
    }
    if (bit_channel < 0)
        bit_um = hole_um;
    if (bit_um > hole_um) {
        if (bit_um - hole_um > LOG_BIT_SLACK_UM)
            note_fault(found, LOG_FAULT_BIT_BELOW, bit_channel);
        bit_um = hole_um;
    }
    step->bit_um = bit_um;
    step->hole_um = hole_um;
    return true;
}

/* Thousandths of a stroke from one reading of a counter to the next. One that falls has rolled over when it was in the
 * last tenth of its digits and now is in the first; a counter has at least 4 digits. Unsigned: 10^19 is the power above
 * the largest reading. */
static uint64_t count_strokes(uint64_t before, uint64_t now, size_t channel, struct found *found)
{
    if (now >= before)
        return now - before;
    uint64_t full = UINT64_C(10000) * 1000;
    while (full <= before)
        full *= 10;
    if (before >= full / 10 * 9 && now < full / 10) {
        note_fault(found, LOG_FAULT_ROLLOVER, (int)channel);
        return full - before + now;
    }
    note_fault(found, LOG_FAULT_RESET, (int)channel);
    return now;
}

/* A counter that fell, and now goes on from where it fell: the low readings were the fault, not a new start. */
static bool is_back(const struct log_walk *walk, size_t channel, int64_t before, int64_t now, int64_t time_us)
{
    const int64_t from = walk->fell_from[channel];
    const double minutes = (double)((uint64_t)time_us - (uint64_t)walk->fell_us[channel]) / 60e6;
    const double most = (LOG_JUMP_STROKES + LOG_JUMP_STROKES_MIN * minutes) * 1000;
    const double since = (LOG_JUMP_STROKES + LOG_JUMP_STROKES_MIN * minutes_unread(walk, channel, time_us)) * 1000;
    return from != LENGTH_NONE && now >= from && (double)now - (double)from <= most &&
           (double)now - (double)before > since;
}

/* Strokes since the last reading: nothing without one, an empty cell is caught up by the next that is not. */
static double take_counter(struct log_walk *walk, int64_t cell, int64_t time_us, size_t channel, struct found *found)
{
    int64_t *const last = &walk->last[channel];
    const int64_t before = *last;
    const int64_t now = read_cell(cell, channel, found);
    if (now == LENGTH_NONE)
        return 0;
    if (before == LENGTH_NONE) {
        *last = now;
        walk->read_us[channel] = time_us;
        return 0;
    }
    if (now < before) {
        walk->fell_from[channel] = before;
        walk->fell_us[channel] = walk->read_us[channel];
    } else if (is_back(walk, channel, before, now, time_us)) {
        note_fault(found, LOG_FAULT_JUMP, (int)channel);
        const int64_t strokes = now - walk->fell_from[channel] - before; /* what was counted since the fall is in it */
        walk->fell_from[channel] = LENGTH_NONE;
        *last = now;
        walk->read_us[channel] = time_us;
        return strokes > 0 ? (double)strokes / 1000 : 0;
    }
    if (is_jump(before, now, (LOG_JUMP_STROKES + LOG_JUMP_STROKES_MIN * minutes_unread(walk, channel, time_us)) * 1000,
                &walk->jumped[channel])) {
        note_fault(found, LOG_FAULT_JUMP, (int)channel);
        return 0;
    }
    *last = now;
    walk->read_us[channel] = time_us;
    return (double)count_strokes((uint64_t)before, (uint64_t)now, channel, found) / 1000;
}

/* What flowed in the units of the cell: the mean of both rows times the time between them. Nothing before the first
 * value. */
static double take_rate(int64_t *last, int64_t cell, double minutes, size_t channel, struct found *found)
{
    const int64_t before = *last;
    int64_t now = read_cell(cell, channel, found);
    if (now == LENGTH_NONE)
        now = cell == LENGTH_NONE ? before : 0;
    *last = now;
    if (before == LENGTH_NONE || now == LENGTH_NONE)
        return 0;
    return ((double)before + (double)now) / 2 * minutes;
}

/* What the row adds, a channel at a time. */
static void take_channels(struct log_walk *walk, const int64_t *cells, double minutes, struct log_step *step,
                          struct found *found)
{
    for (size_t at = 0; at < walk->count; at++) {
        const int64_t cell = cells[1 + at];
        const bool is_counter = walk->channels[at].kind == LOG_STROKES && walk->last[at] != LENGTH_NONE;
        step->since_us[at] = is_counter ? walk->read_us[at] : walk->started ? walk->time_us : cells[0];
        switch (walk->channels[at].kind) {
        case LOG_BIT:
            walk->last[at] = step->bit_um;
            break;
        case LOG_HOLE:
            if (cell >= 0 && walk->jumped[at] == LENGTH_NONE)
                walk->read_us[at] = cells[0];
            walk->last[at] = step->hole_um;
            break;
        case LOG_STROKES:
            step->added[at] = take_counter(walk, cell, cells[0], at, found);
            break;
        case LOG_RATE:
            step->added[at] = take_rate(&walk->last[at], cell, minutes, at, found) / 1000;
            break;
        case LOG_FLOW:
        case LOG_BOOSTER:
            step->added[at] = take_rate(&walk->last[at], cell, minutes, at, found) / 1e6;
            break;
        case LOG_KIND_COUNT:
            break;
        }
    }
}

/* The row into step, and into the walk when it counts. */
static void take_row(struct log_walk *walk, const int64_t *cells, struct log_step *step, struct found *found)
{
    const int64_t time_us = cells[0];
    if (time_us == LENGTH_NONE)
        note_fault(found, LOG_FAULT_MISSING, -1);
    else if (walk->started && time_us == walk->time_us)
        note_fault(found, LOG_FAULT_REPEAT, -1);
    else if (walk->started && time_us < walk->time_us)
        note_fault(found, LOG_FAULT_BACKWARD, -1);
    else {
        /* Unsigned: the distance of any two times fits. */
        const uint64_t passed_us = walk->started ? (uint64_t)time_us - (uint64_t)walk->time_us : 0;
        if (!take_depths(walk, cells, step, found))
            return;
        if (passed_us > (uint64_t)walk->gap_us)
            note_fault(found, LOG_FAULT_GAP, -1);
        take_channels(walk, cells, (double)passed_us / 60e6, step, found);
        walk->started = true;
        walk->time_us = time_us;
        walk->bit_um = step->bit_um;
        walk->hole_um = step->hole_um;
        step->keep = true;
    }
}

unsigned log_walk_row(struct log_walk *walk, const int64_t *cells, struct log_step *out)
{
    struct found found = {0};
    *out = (struct log_step){.time_us = cells[0], .bit_um = walk->bit_um, .hole_um = walk->hole_um, .channel = -1};
    take_row(walk, cells, out, &found);
    if (found.faults)
        out->channel = find_channel(&found, walk->bridge);
    memcpy(out->channels, found.channel, sizeof out->channels);
    return found.faults;
}
