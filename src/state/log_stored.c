/* SPDX-License-Identifier: MIT */
/* Recorded days of a pump log, looked through. */
#include "coretally/state/log_stored.h"

#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/state/log.h"

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
    TRY(state_log_bytes(state, hole, day, bytes, err));
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
