/* SPDX-License-Identifier: MIT */
/* One day of a pump log: text to rows. Strict, so that a day has one form: whatever is read here would be written the
 * same, byte by byte. */
#include "log_day_form.h"

#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The last byte is known to be a line end, so that scanning within a line needs no other bound. */
struct reader {
    const char *at;
    const char *end;
    size_t line;
};

static enum status damaged(const struct reader *reader, const char *wrong, struct err *err)
{
    char subject[40];
    (void)snprintf(subject, sizeof subject, "line %zu", reader->line);
    return err_set(err, STATUS_DAMAGED, subject, "%s", wrong);
}

static bool take_word(struct reader *reader, const char *word)
{
    const char *at = reader->at;
    for (; *word && *at == *word; word++)
        at++;
    if (*word)
        return false;
    reader->at = at;
    return true;
}

/* The one form of a whole number: no plus, no leading zero, no -0; within twice LOG_CELL_MAX. */
static bool take_number(const char **from, int64_t *out)
{
    const char *at = *from;
    const bool negative = *at == '-';
    at += negative;
    const char *first = at;
    uint64_t number = 0;
    for (; *at >= '0' && *at <= '9'; at++) {
        if (at - first == 19)
            return false;
        number = number * 10 + (uint64_t)(*at - '0');
    }
    if (at == first || (*first == '0' && (negative || at - first > 1)) || number > 2 * (uint64_t)LOG_CELL_MAX)
        return false;
    *from = at;
    *out = negative ? -(int64_t)number : (int64_t)number;
    return true;
}

/* A word up to a space, colon or line end. */
static bool take_token(struct reader *reader, char *out, size_t size)
{
    size_t len = 0;
    for (; *reader->at && !strchr(" :\n", *reader->at); reader->at++) {
        if (len + 1 == size)
            return false;
        out[len++] = *reader->at;
    }
    out[len] = '\0';
    return len > 0;
}

/* Begin the next line, which starts with this word. */
static enum status open_line(struct reader *reader, const char *word, struct err *err)
{
    char wrong[80];
    reader->line++;
    if (reader->at < reader->end && take_word(reader, word))
        return STATUS_OK;
    (void)snprintf(wrong, sizeof wrong, "'%s' was expected here", word);
    return damaged(reader, wrong, err);
}

/* End a line, whose own contents are in order unless it says otherwise. */
static enum status close_line(struct reader *reader, const char *wrong, struct err *err)
{
    if (wrong)
        return damaged(reader, wrong, err);
    if (*reader->at != '\n')
        return damaged(reader, "the line was expected to end here", err);
    reader->at++;
    return STATUS_OK;
}

/* The rest of "coretally log 1". */
static enum status take_format(struct reader *reader, struct err *err)
{
    int64_t format = 0;
    if (!take_number(&reader->at, &format) || format < 1)
        return damaged(reader, "no format version", err);
    if (format == LOG_FORMAT)
        return close_line(reader, NULL, err);
    char wrong[120];
    (void)snprintf(wrong, sizeof wrong,
                   "it is written in format %lld, and this program reads format %d; a newer coretally reads it",
                   (long long)format, LOG_FORMAT);
    return damaged(reader, wrong, err);
}

/* " bit hole strokes:1" */
static const char *take_columns(struct reader *reader, struct log_block *block)
{
    while (*reader->at == ' ') {
        char word[16];
        int kind = 0;
        if (block->channel_count == LOG_CHANNELS_MAX)
            return "a log has 1 to 16 columns after the time";
        struct log_channel *channel = &block->channels[block->channel_count++];
        reader->at++;
        if (!take_token(reader, word, sizeof word))
            return "a column was expected after the space";
        while (log_kind_words[kind] && strcmp(log_kind_words[kind], word) != 0)
            kind++;
        channel->kind = (enum log_kind)kind;
        if (*reader->at != ':')
            continue;
        reader->at++;
        if (!take_token(reader, channel->pump, sizeof channel->pump))
            return "a pump of at most 15 letters and digits was expected after the colon";
    }
    return log_columns_wrong(block);
}

/* "60", "0.5": seconds, and micro-seconds without a zero at the end. */
static const char *take_gap(struct reader *reader, int64_t *out_us)
{
    int64_t seconds = 0;
    if (!take_number(&reader->at, &seconds) || seconds < 0 || seconds > LOG_CELL_MAX / SECOND_US)
        return "a number of seconds was expected";
    int64_t gap_us = seconds * SECOND_US;
    if (*reader->at == '.') {
        reader->at++;
        for (int64_t unit_us = SECOND_US / 10; unit_us && *reader->at >= '0' && *reader->at <= '9'; unit_us /= 10)
            gap_us += (*reader->at++ - '0') * unit_us;
        if (reader->at[-1] == '.' || reader->at[-1] == '0')
            return "decimals end in a digit that is not 0";
    }
    *out_us = gap_us;
    return NULL;
}

/* " gap reset": at least one, in the order of the list of faults. */
static const char *take_bridges(struct reader *reader, unsigned *out)
{
    unsigned bridge = 0;
    int fault = 0;
    do {
        char word[16];
        if (*reader->at != ' ')
            return "a fault was expected; a line without one is left out";
        reader->at++;
        if (!take_token(reader, word, sizeof word))
            return "a fault was expected after the space";
        while (fault < LOG_FAULT_COUNT && strcmp(log_fault_word((enum log_fault)fault), word) != 0)
            fault++;
        if (fault == LOG_FAULT_COUNT)
            return "no log has this fault, or it is out of place";
        bridge |= 1U << fault++;
    } while (*reader->at != '\n');
    *out = bridge;
    return NULL;
}

/* From "columns" to "rows". rows_left: how many more the day may hold. */
static enum status decode_head(struct reader *reader, size_t rows_left, const struct log_block *before,
                               struct log_block *block, struct err *err)
{
    TRY(open_line(reader, "columns", err));
    TRY(close_line(reader, take_columns(reader, block), err));
    TRY(open_line(reader, "gap ", err));
    TRY(close_line(reader, take_gap(reader, &block->gap_us), err));
    if (reader->at < reader->end && *reader->at == 'b') {
        TRY(open_line(reader, "bridge", err));
        TRY(close_line(reader, take_bridges(reader, &block->bridge), err));
    }
    TRY(open_line(reader, "rows ", err));
    int64_t rows = 0;
    const char *wrong = NULL;
    if (!take_number(&reader->at, &rows) || rows < 0)
        wrong = "a number of rows was expected";
    else if ((uint64_t)rows > rows_left)
        wrong = "a day holds at most 2000000 rows";
    else if (rows > reader->end - reader->at) /* also keeps a short file from taking much memory */
        wrong = "there are fewer lines than rows";
    else {
        block->row_count = (size_t)rows;
        wrong = log_head_wrong(block, before);
    }
    return close_line(reader, wrong, err);
}

/* One row, up to its line end; NULL, or what is wrong. Numbers stay within 2 and values within 1 times LOG_CELL_MAX:
 * no sum overflows. */
static const char *row_decode(const char **from, bool full, const struct log_day *day, size_t channel_count,
                              struct past *past, int64_t *cells)
{
    static const char not_a_number[] = "this is not a whole number in its shortest form";
    const char *at = *from;
    int64_t number = 0; /* also of an empty line: an even step */
    if (*at != '\n' && !take_number(&at, &number))
        return not_a_number;
    bool zero_last = number == 0 && at != *from;
    const int64_t step_us = past->step_us + number;
    cells[0] = past->time_us + step_us;
    if (!is_time_of(day->day, cells[0]))
        return "the time lies outside the day";
    past->time_us = cells[0];
    past->step_us = full ? 0 : step_us;
    size_t channel = 0;
    for (; channel < channel_count && *at == ' '; channel++) {
        at++;
        if (at[0] == '-' && (at[1] == ' ' || at[1] == '\n')) {
            at++;
            zero_last = false;
            cells[1 + channel] = LENGTH_NONE;
            continue;
        }
        if (!take_number(&at, &number))
            return not_a_number;
        zero_last = number == 0;
        past->values[channel] += number;
        if (!is_cell(past->values[channel]))
            return "a number is beyond what any log holds";
        cells[1 + channel] = past->values[channel];
    }
    if (*at != '\n')
        return channel == channel_count ? "there are more cells than columns" : not_a_number;
    if (full && channel < channel_count)
        return "the first row of a block has all its cells";
    if (!full && zero_last)
        return "zeros at the end of a line are left out";
    for (; channel < channel_count; channel++)
        cells[1 + channel] = past->values[channel];
    *from = at;
    return NULL;
}

static enum status decode_rows(struct reader *reader, const struct log_day *day, struct log_block *block,
                               struct arena *arena, struct err *err)
{
    struct past past = {0};
    const size_t width = 1 + block->channel_count;
    TRY(arena_take(arena, block->row_count, width * sizeof *block->cells, &block->cells, err));
    assert(block->cells);
    for (size_t row = 0; row < block->row_count; row++) {
        reader->line++;
        if (reader->at == reader->end)
            return damaged(reader, "there are fewer lines than rows", err);
        const char *wrong =
            row_decode(&reader->at, row == 0, day, block->channel_count, &past, block->cells + row * width);
        if (wrong)
            return damaged(reader, wrong, err);
        reader->at++;
    }
    return STATUS_OK;
}

/* "coretally log 1", hole and day. */
static enum status decode_top(struct reader *reader, struct arena *arena, struct log_day *day, struct err *err)
{
    char token[DAY_TEXT_MAX];
    TRY(open_line(reader, "coretally log ", err));
    TRY(take_format(reader, err));
    TRY(open_line(reader, "hole ", err));
    const char *wrong = take_token(reader, token, sizeof token) ? log_hole_wrong(token) : "a hole was expected";
    TRY(close_line(reader, wrong, err));
    TRY(arena_copy(arena, token, strlen(token), &day->hole, err));
    TRY(open_line(reader, "day ", err));
    wrong = take_token(reader, token, sizeof token) && day_parse(token, &day->day) ? NULL : "a day was expected";
    return close_line(reader, wrong, err);
}

/* A file that was cut off: say at which line before reading any. */
static enum status check_end(struct bytes bytes, struct err *err)
{
    struct reader reader = {.line = 1};
    if (bytes.len && bytes.data[bytes.len - 1] == '\n')
        return STATUS_OK;
    for (size_t at = 0; at < bytes.len; at++)
        reader.line += bytes.data[at] == '\n';
    return damaged(&reader, bytes.len ? "the file ends within this line" : "the file is empty", err);
}

enum status log_day_decode(struct bytes bytes, struct arena *arena, struct log_day *out, struct err *err)
{
    TRY(check_end(bytes, err));
    struct reader reader = {.at = bytes.data, .end = bytes.data + bytes.len};
    struct log_day day = {0};
    size_t rows = 0;
    size_t room = 0;
    TRY(decode_top(&reader, arena, &day, err));
    do {
        struct log_block block = {0};
        const struct log_block *before = day.block_count ? &day.blocks[day.block_count - 1] : NULL;
        if (day.block_count == LOG_DAY_BLOCKS_MAX) {
            reader.line++;
            return damaged(&reader, "a day holds at most 200 blocks of rows", err);
        }
        TRY(decode_head(&reader, LOG_DAY_ROWS_MAX - rows, before, &block, err));
        TRY(decode_rows(&reader, &day, &block, arena, err));
        TRY(arena_grow(arena, &day.blocks, day.block_count, &room, sizeof block, err));
        day.blocks[day.block_count++] = block;
        rows += block.row_count;
    } while (reader.at < reader.end);
    *out = day;
    return STATUS_OK;
}

size_t log_day_rows(struct bytes bytes)
{
    static const char head[] = "\nrows ";
    size_t rows = 0;
    for (const char *at = bytes.data ? strstr(bytes.data, head) : NULL; at; at = strstr(at + 1, head))
        rows += (size_t)strtoull(at + strlen(head), NULL, 10);
    return rows;
}
