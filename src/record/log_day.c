/* SPDX-License-Identifier: MIT */
/* One day of a pump log: what may stand in it, and rows to text. Numbers are printed by hand, since a month of
 * one-second rows holds tens of millions of them. */
#include "log_day_form.h"

#include <stdio.h>
#include <string.h>

#include "coretally/domain/name.h"

/* 0000-01-01 and 9999-12-31, the years of RFC 3339. */
enum { DAY_FIRST = -719528, DAY_LAST = 2932896 };

enum { NUMBER_TEXT_MAX = 21, ROW_TEXT_MAX = (1 + LOG_CHANNELS_MAX) * NUMBER_TEXT_MAX };

static bool is_day(int64_t day)
{
    return day >= DAY_FIRST && day <= DAY_LAST;
}

/* A day that no calendar has is printed as one that no reader takes. */
void day_format(int64_t day, char out[DAY_TEXT_MAX])
{
    char text[INSTANT_TEXT_MAX] = "0000-00-00";
    if (is_day(day))
        instant_format((struct instant){.utc_us = day * DAY_US}, text);
    (void)snprintf(out, DAY_TEXT_MAX, "%.10s", text);
}

bool day_parse(const char *string, int64_t *out)
{
    char text[INSTANT_TEXT_MAX];
    struct instant midnight;
    struct err ignored;
    if (strlen(string) != strlen("2026-03-09"))
        return false;
    (void)snprintf(text, sizeof text, "%sT00:00Z", string);
    if (instant_parse(text, INT_NONE, &midnight, &ignored) != STATUS_OK)
        return false;
    *out = midnight.utc_us / DAY_US;
    return true;
}

const char *log_hole_wrong(const char *hole)
{
    struct name name;
    struct err ignored;
    char printed[HOLE_TEXT_MAX];
    if (name_parse(hole, &name, &ignored) != STATUS_OK || name.level != NAME_HOLE)
        return "this is not the name of a hole";
    name_hole(&name, printed);
    return strcmp(printed, hole) == 0 ? NULL : "a hole is written as its site and letter, such as U0013A";
}

/* Two flow meters may feed one line; two depths or two counters of one pump would contradict each other. */
const char *log_columns_wrong(const struct log_block *block)
{
    if (block->channel_count < 1 || block->channel_count > LOG_CHANNELS_MAX)
        return "a log has 1 to 16 columns after the time";
    for (size_t at = 0; at < block->channel_count; at++) {
        const struct log_channel *channel = &block->channels[at];
        if ((int)channel->kind < 0 || channel->kind >= LOG_KIND_COUNT)
            return "no log has this column";
        if (log_is_pump(channel->kind) ? !pump_is_name(channel->pump) : channel->pump[0] != '\0')
            return "strokes and rate name their pump in at most 15 letters and digits, other columns name none";
        if (channel->kind == LOG_FLOW || channel->kind == LOG_BOOSTER)
            continue;
        for (size_t other = 0; other < at; other++)
            if (log_channel_is_same(channel, &block->channels[other]))
                return "this column occurs twice";
    }
    return NULL;
}

bool log_head_is_same(const struct log_block *a, const struct log_block *b)
{
    return log_channels_are_same(a->channels, a->channel_count, b->channels, b->channel_count) &&
           a->gap_us == b->gap_us && a->bridge == b->bridge;
}

const char *log_head_wrong(const struct log_block *block, const struct log_block *before)
{
    if (block->gap_us < 1 || block->gap_us > LOG_CELL_MAX)
        return "a gap is longer than 0 s and no longer than 1000000000000 s";
    if (block->bridge >> LOG_FAULT_COUNT)
        return "a fault that no log has is named as bridged";
    if (block->row_count < 1)
        return "a block without rows is left out";
    return before && log_head_is_same(before, block)
               ? "a new block begins where columns, gap or bridges change, and none did"
               : NULL;
}

static char *put_number(char *at, int64_t number)
{
    char digits[NUMBER_TEXT_MAX];
    size_t count = 0;
    uint64_t left = number < 0 ? 0 - (uint64_t)number : (uint64_t)number;
    if (number < 0)
        *at++ = '-';
    do {
        digits[count++] = (char)('0' + left % 10);
        left /= 10;
    } while (left);
    while (count)
        *at++ = digits[--count];
    return at;
}

/* One line without its end; how long it is. A full row keeps the zeros at its end. */
static size_t row_encode(const int64_t *cells, bool full, size_t channel_count, struct past *past,
                         char line[ROW_TEXT_MAX])
{
    const int64_t step_us = cells[0] - past->time_us;
    char *at = put_number(line, step_us - past->step_us);
    char *kept = step_us == past->step_us && !full ? line : at;
    past->time_us = cells[0];
    past->step_us = full ? 0 : step_us;
    for (size_t channel = 0; channel < channel_count; channel++) {
        const int64_t cell = cells[1 + channel];
        *at++ = ' ';
        if (cell == LENGTH_NONE) {
            *at++ = '-';
            kept = at;
            continue;
        }
        const int64_t difference = cell - past->values[channel];
        at = put_number(at, difference);
        if (difference || full)
            kept = at;
        past->values[channel] = cell;
    }
    return (size_t)(kept - line);
}

static void head_encode(const struct log_block *block, struct text *out)
{
    text_add(out, "columns");
    for (size_t at = 0; at < block->channel_count; at++) {
        const struct log_channel *channel = &block->channels[at];
        text_addf(out, " %s%s%s", log_kind_words[channel->kind], log_is_pump(channel->kind) ? ":" : "", channel->pump);
    }
    char fraction[16] = "";
    if (block->gap_us % SECOND_US)
        (void)snprintf(fraction, sizeof fraction, ".%06d", (int)(block->gap_us % SECOND_US));
    for (size_t len = strlen(fraction); len && fraction[len - 1] == '0'; len--)
        fraction[len - 1] = '\0';
    text_addf(out, "\ngap %lld%s\n", (long long)(block->gap_us / SECOND_US), fraction);
    for (int fault = 0; fault < LOG_FAULT_COUNT; fault++)
        if (block->bridge & (1U << fault))
            text_addf(out, "%s %s", block->bridge & ((1U << fault) - 1) ? "" : "bridge",
                      log_fault_word((enum log_fault)fault));
    text_addf(out, "%srows %zu\n", block->bridge ? "\n" : "", block->row_count);
}

static const char *block_encode(const struct log_day *day, const struct log_block *block, struct text *out)
{
    struct past past = {0};
    head_encode(block, out);
    for (size_t row = 0; row < block->row_count; row++) {
        char line[ROW_TEXT_MAX];
        const int64_t *cells = block->cells + row * (1 + block->channel_count);
        if (!is_time_of(day->day, cells[0]))
            return "a row's time lies outside the day";
        for (size_t channel = 0; channel < block->channel_count; channel++)
            if (!is_cell(cells[1 + channel]) && cells[1 + channel] != LENGTH_NONE)
                return "a number in a row is beyond what any log holds";
        const size_t len = row_encode(cells, row == 0, block->channel_count, &past, line);
        line[len] = '\n';
        text_add_bytes(out, line, len + 1);
    }
    return NULL;
}

enum status log_day_encode(const struct log_day *day, struct arena *arena, struct bytes *out, struct err *err)
{
    struct text text;
    char printed[DAY_TEXT_MAX];
    size_t rows = 0;
    text_init(&text, arena);
    day_format(day->day, printed);
    text_addf(&text, "coretally log %d\nhole %s\nday %s\n", LOG_FORMAT, day->hole, printed);
    const char *wrong = log_hole_wrong(day->hole);
    if (!wrong && !is_day(day->day))
        wrong = "the day lies outside the years 0 to 9999";
    if (!wrong && (day->block_count < 1 || day->block_count > LOG_DAY_BLOCKS_MAX))
        wrong = "a day holds 1 to 200 blocks of rows";
    for (size_t at = 0; !wrong && at < day->block_count; at++) {
        const struct log_block *block = &day->blocks[at];
        wrong = log_columns_wrong(block);
        if (!wrong)
            wrong = log_head_wrong(block, at ? block - 1 : NULL);
        if (!wrong && block->row_count > LOG_DAY_ROWS_MAX - rows)
            wrong = "a day holds at most 2000000 rows";
        rows += block->row_count;
        if (!wrong)
            wrong = block_encode(day, block, &text);
    }
    if (wrong)
        return err_set(err, STATUS_INPUT, printed, "%s", wrong);
    return text_done(&text, out, err);
}
