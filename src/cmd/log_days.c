/* SPDX-License-Identifier: MIT */
/* Days of a pump log: recorded ones looked through, new rows gathered into texts. */
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "log_source.h"

struct log_stored_row {
    const struct log_block *block;
    const int64_t *cells;
};

void log_stored_clear(struct log_stored *stored)
{
    arena_clear(&stored->arena);
    *stored = (struct log_stored){0};
}

static const struct log_stored_row *row_by_time(const struct log_stored *stored, size_t at)
{
    return &stored->rows[stored->by_time[at]];
}

/* Rows come in order of time but for the faults that were bridged: a merge of short runs, stable. */
static enum status sort_rows(struct log_stored *stored, struct err *err)
{
    size_t *from = stored->by_time;
    size_t *to = NULL;
    TRY(arena_take(&stored->arena, stored->row_count, sizeof *to, &to, err));
    for (size_t width = 1; width < stored->row_count; width *= 2) {
        for (size_t start = 0; start < stored->row_count; start += 2 * width) {
            const size_t middle = start + width < stored->row_count ? start + width : stored->row_count;
            const size_t end = middle + width < stored->row_count ? middle + width : stored->row_count;
            size_t left = start;
            size_t right = middle;
            for (size_t at = start; at < end; at++) {
                const bool take_left = right == end || (left < middle && stored->rows[from[left]].cells[0] <=
                                                                             stored->rows[from[right]].cells[0]);
                to[at] = take_left ? from[left++] : from[right++];
            }
        }
        size_t *swap = from;
        from = to;
        to = swap;
    }
    stored->by_time = from;
    return STATUS_OK;
}

static enum status index_rows(struct log_stored *stored, struct err *err)
{
    const struct log_day *day = &stored->day;
    for (size_t at = 0; at < day->block_count; at++)
        stored->row_count += day->blocks[at].row_count;
    TRY(arena_take(&stored->arena, stored->row_count, sizeof *stored->rows, &stored->rows, err));
    TRY(arena_take(&stored->arena, stored->row_count, sizeof *stored->by_time, &stored->by_time, err));
    size_t filled = 0;
    bool ordered = true;
    for (size_t at = 0; at < day->block_count; at++) {
        const struct log_block *block = &day->blocks[at];
        for (size_t row = 0; row < block->row_count; row++, filled++) {
            const int64_t *cells = block->cells + row * (1 + block->channel_count);
            stored->rows[filled] = (struct log_stored_row){block, cells};
            stored->by_time[filled] = filled;
            ordered = ordered && (filled == 0 || stored->rows[filled - 1].cells[0] <= cells[0]);
        }
    }
    return ordered ? STATUS_OK : sort_rows(stored, err);
}

/* A day without a log has no blocks. */
static enum status read_day(struct state *state, const char *hole, int64_t day, struct arena *arena,
                            struct bytes *bytes, struct log_day *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    log_day_path(hole, day, path);
    TRY(store_read(state->store, path, arena, bytes, err));
    *out = (struct log_day){.hole = hole, .day = day};
    return bytes->data ? log_day_open(*bytes, hole, day, arena, out, err) : STATUS_OK;
}

enum status log_stored_read(struct state *state, const char *hole, int64_t day, struct log_stored *stored,
                            struct err *err)
{
    struct bytes bytes = {0};
    log_stored_clear(stored);
    arena_init(&stored->arena, ARENA_LIMIT_BYTES);
    TRY(read_day(state, hole, day, &stored->arena, &bytes, &stored->day, err));
    stored->is_there = bytes.data != NULL;
    return index_rows(stored, err);
}

static bool is_same_row(const struct log_stored_row *row, const struct log_channel *channels, size_t count,
                        const int64_t *cells)
{
    return row->block->channel_count == count && memcmp(row->cells, cells, (1 + count) * sizeof *cells) == 0 &&
           log_channels_are_same(row->block->channels, count, channels, count);
}

enum log_found log_stored_find(struct log_stored *stored, const struct log_channel *channels, size_t count,
                               const int64_t *cells, const struct log_block **block, const int64_t **other)
{
    if (stored->next < stored->row_count && is_same_row(&stored->rows[stored->next], channels, count, cells)) {
        stored->next++;
        return LOG_FOUND;
    }
    size_t low = 0;
    size_t high = stored->row_count;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if (row_by_time(stored, middle)->cells[0] < cells[0])
            low = middle + 1;
        else
            high = middle;
    }
    if (low == stored->row_count || row_by_time(stored, low)->cells[0] != cells[0])
        return LOG_FOUND_NOTHING;
    for (size_t at = low; at < stored->row_count && row_by_time(stored, at)->cells[0] == cells[0]; at++)
        if (is_same_row(row_by_time(stored, at), channels, count, cells)) {
            stored->next = stored->by_time[at] + 1;
            return LOG_FOUND;
        }
    *block = row_by_time(stored, low)->block;
    *other = row_by_time(stored, low)->cells;
    return LOG_FOUND_OTHER;
}

bool log_stored_at_end(const struct log_stored *stored)
{
    return stored->row_count && stored->next == stored->row_count;
}

int64_t log_stored_first_us(const struct log_stored *stored)
{
    return stored->row_count ? row_by_time(stored, 0)->cells[0] : INT64_MIN;
}

int64_t log_stored_last_us(const struct log_stored *stored)
{
    return stored->row_count ? row_by_time(stored, stored->row_count - 1)->cells[0] : INT64_MIN;
}

void log_stored_walk(const struct log_stored *stored, struct log_walk *out)
{
    struct log_walk walk = {0};
    for (size_t at = 0; at < stored->day.block_count; at++) {
        const struct log_block *block = &stored->day.blocks[at];
        struct log_walk next;
        struct log_step step;
        log_walk_init(&next, block->channels, block->channel_count, block->gap_us, block->bridge);
        if (at)
            log_walk_carry(&walk, &next);
        walk = next;
        for (size_t row = 0; row < block->row_count; row++)
            (void)log_walk_row(&walk, block->cells + row * (1 + block->channel_count), &step);
    }
    if (stored->day.block_count)
        log_walk_carry(&walk, out);
}

/* The rows of the day under way behind those of the day as it was. */
static enum status join_rows(struct log_days *days, struct log_day *day, struct err *err)
{
    const size_t width = 1 + days->block.channel_count;
    struct log_block *blocks = NULL;
    TRY(arena_take(&days->arena, day->block_count + 1, sizeof *blocks, &blocks, err));
    if (day->block_count)
        memcpy(blocks, day->blocks, day->block_count * sizeof *blocks);
    struct log_block *last = day->block_count ? &blocks[day->block_count - 1] : NULL;
    if (last && log_head_is_same(last, &days->block)) {
        int64_t *cells = NULL;
        TRY(arena_take(&days->arena, (last->row_count + days->block.row_count) * width, sizeof *cells, &cells, err));
        memcpy(cells, last->cells, last->row_count * width * sizeof *cells);
        memcpy(cells + last->row_count * width, days->block.cells, days->block.row_count * width * sizeof *cells);
        last->cells = cells;
        last->row_count += days->block.row_count;
    } else
        blocks[day->block_count++] = days->block;
    day->blocks = blocks;
    return STATUS_OK;
}

static struct log_day_text *find_text(const struct log_days *days, int64_t day)
{
    for (size_t at = days->text_count; at > 0; at--)
        if (days->texts[at - 1].day == day)
            return &days->texts[at - 1];
    return NULL;
}

enum status log_days_end(struct log_days *days, struct err *err)
{
    struct run *run = days->run;
    struct log_day_text *text = find_text(days, days->day);
    struct log_day day = {.hole = days->hole, .day = days->day};
    struct bytes bytes = {0};
    if (days->block.row_count == 0)
        return STATUS_OK;
    if (!text) {
        TRY(arena_grow(run->state->arena, &days->texts, days->text_count, &days->text_room, sizeof *days->texts, err));
        text = &days->texts[days->text_count];
        *text = (struct log_day_text){.day = days->day};
        TRY(read_day(run->state, days->hole, days->day, &days->arena, &bytes, &day, err));
        if (bytes.data)
            TRY(arena_copy(run->state->arena, bytes.data, bytes.len, &text->before.data, err));
        text->before.len = bytes.len;
        days->text_count++;
    } else
        TRY(log_day_decode(text->after, &days->arena, &day, err));
    TRY(join_rows(days, &day, err));
    TRY(log_day_encode(&day, &days->arena, &bytes, err));
    TRY(arena_copy(run->state->arena, bytes.data, bytes.len, &text->after.data, err));
    text->after.len = bytes.len;
    arena_clear(&days->arena);
    days->block.cells = NULL;
    days->block.row_count = 0;
    days->row_room = 0;
    return STATUS_OK;
}

enum status log_days_add(struct log_days *days, const int64_t *cells, size_t line, struct err *err)
{
    const int64_t day = log_day_of(cells[0]);
    const size_t width = 1 + days->block.channel_count;
    if (days->block.row_count && day != days->day) {
        TRY(log_days_end(days, err));
        if (++days->turns > days->text_count + TURNS_MORE_THAN_DAYS) {
            char where[64];
            (void)snprintf(where, sizeof where, "line %zu", line);
            err_set(err, STATUS_INPUT, where, "the rows jump between days again and again, here to %s",
                    log_time_words(cells[0]).text);
            return err_hint(err, "put the rows into the order of their times first");
        }
    }
    if (days->block.row_count == LOG_DAY_ROWS_MAX) {
        char where[64];
        (void)snprintf(where, sizeof where, "line %zu", line);
        return err_set(err, STATUS_INPUT, where, "more than %d rows in one day (23 a second)", LOG_DAY_ROWS_MAX);
    }
    days->day = day;
    TRY(arena_grow(&days->arena, &days->block.cells, days->block.row_count, &days->row_room, width * sizeof *cells,
                   err));
    memcpy(days->block.cells + days->block.row_count * width, cells, width * sizeof *cells);
    days->block.row_count++;
    return STATUS_OK;
}
