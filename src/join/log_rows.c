/* SPDX-License-Identifier: MIT */
/* Days of the pump log held against one another row by row. */
#include "log_rows.h"

#include <string.h>

static size_t width_of(const struct log_block *block)
{
    return 1 + block->channel_count;
}

enum status day_rows_of(const struct log_day *day, struct arena *arena, struct day_rows *out, struct err *err)
{
    size_t count = 0;
    *out = (struct day_rows){.is_ordered = true};
    for (size_t at = 0; at < day->block_count; at++)
        count += day->blocks[at].row_count;
    TRY(arena_take(arena, count, sizeof *out->items, &out->items, err));
    for (size_t at = 0; at < day->block_count; at++)
        for (size_t row = 0; row < day->blocks[at].row_count; row++) {
            const struct log_block *block = &day->blocks[at];
            const struct day_row it = {block, block->cells + row * width_of(block)};
            out->is_ordered = out->is_ordered && (!out->count || out->items[out->count - 1].cells[0] <= it.cells[0]);
            out->items[out->count++] = it;
        }
    return STATUS_OK;
}

/* 0: the same row. Rows of one time stand in an order that follows from what they say. */
static int compare_rows(const struct day_row *a, const struct day_row *b)
{
    if (a->cells[0] != b->cells[0])
        return a->cells[0] < b->cells[0] ? -1 : 1;
    const size_t widths[] = {width_of(a->block), width_of(b->block)};
    const size_t width = widths[0] < widths[1] ? widths[0] : widths[1];
    const int order = memcmp(a->cells, b->cells, width * sizeof *a->cells);
    if (order != 0)
        return order;
    if (a->block == b->block || log_head_is_same(a->block, b->block))
        return 0;
    return widths[0] != widths[1] ? (widths[0] < widths[1] ? -1 : 1) : (a->block->bridge < b->block->bridge ? -1 : 1);
}

/* Rows that one has and the other has not. */
struct rest {
    size_t count;
    int64_t first_us;
    int64_t last_us;
};

static void add_row(struct rest *rest, const struct day_row *row)
{
    const int64_t us = row->cells[0];
    rest->first_us = !rest->count || us < rest->first_us ? us : rest->first_us;
    rest->last_us = !rest->count || us > rest->last_us ? us : rest->last_us;
    rest->count++;
}

/* Where the clock of one runs back, rows have no order but their own: what both begin with is the same, no more. */
static void find_rests(const struct day_rows *a, const struct day_rows *b, struct rest out[2])
{
    const bool is_ordered = a->is_ordered && b->is_ordered;
    size_t left = 0;
    size_t right = 0;
    out[0] = out[1] = (struct rest){.count = 0};
    while (left < a->count && right < b->count) {
        const int order = compare_rows(&a->items[left], &b->items[right]);
        if (order != 0 && !is_ordered)
            break;
        if (order < 0)
            add_row(&out[0], &a->items[left]);
        else if (order > 0)
            add_row(&out[1], &b->items[right]);
        left += order <= 0;
        right += order >= 0;
    }
    for (; left < a->count; left++)
        add_row(&out[0], &a->items[left]);
    for (; right < b->count; right++)
        add_row(&out[1], &b->items[right]);
}

bool day_rows_hold(const struct day_rows *whole, const struct day_rows *part)
{
    struct rest rests[2];
    find_rests(whole, part, rests);
    return rests[1].count == 0;
}

bool day_rows_clash(const struct day_rows *a, const struct day_rows *b)
{
    struct rest rests[2];
    find_rests(a, b, rests);
    if (!rests[0].count || !rests[1].count)
        return false;
    return !a->is_ordered || !b->is_ordered ||
           (rests[0].first_us <= rests[1].last_us && rests[1].first_us <= rests[0].last_us);
}

enum status day_rows_join(const struct day_rows *a, const struct day_rows *b, struct arena *arena, struct day_rows *out,
                          struct err *err)
{
    size_t left = 0;
    size_t right = 0;
    if (day_rows_hold(a, b) || day_rows_hold(b, a)) {
        *out = day_rows_hold(a, b) ? *a : *b;
        return STATUS_OK;
    }
    *out = (struct day_rows){.is_ordered = true};
    TRY(arena_take(arena, a->count + b->count, sizeof *out->items, &out->items, err));
    while (left < a->count || right < b->count) {
        const int order = left == a->count    ? 1
                          : right == b->count ? -1
                                              : compare_rows(&a->items[left], &b->items[right]);
        out->items[out->count++] = order <= 0 ? a->items[left] : b->items[right];
        left += order <= 0;
        right += order >= 0;
    }
    return STATUS_OK;
}

static bool begins_block(const struct day_rows *rows, size_t at)
{
    const struct log_block *own = rows->items[at].block;
    const struct log_block *before = at ? rows->items[at - 1].block : NULL;
    return !before || (own != before && !log_head_is_same(own, before));
}

static size_t count_blocks(const struct day_rows *rows)
{
    size_t blocks = 0;
    for (size_t at = 0; at < rows->count; at++)
        blocks += begins_block(rows, at);
    return blocks;
}

bool day_rows_fit(const struct day_rows *rows)
{
    return rows->count <= LOG_DAY_ROWS_MAX && count_blocks(rows) <= LOG_DAY_BLOCKS_MAX;
}

enum status day_of_rows(const struct day_rows *rows, struct arena *arena, struct log_day *out, struct err *err)
{
    TRY(arena_take(arena, count_blocks(rows), sizeof *out->blocks, &out->blocks, err));
    out->block_count = 0;
    for (size_t first = 0, last = 0; first < rows->count; first = last) {
        struct log_block block = *rows->items[first].block;
        const size_t width = width_of(&block);
        for (last = first + 1; last < rows->count && !begins_block(rows, last);)
            last++;
        block.row_count = last - first;
        TRY(arena_take(arena, block.row_count * width, sizeof *block.cells, &block.cells, err));
        for (size_t at = first; at < last; at++)
            memcpy(block.cells + (at - first) * width, rows->items[at].cells, width * sizeof *block.cells);
        out->blocks[out->block_count++] = block;
    }
    return STATUS_OK;
}
