/* SPDX-License-Identifier: MIT */
/* New rows of a pump log, gathered into the texts of days. */
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/intake/log_take.h"
#include "coretally/state/read.h"

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
    struct arena *arena = days->state->arena;
    struct log_day_text *text = find_text(days, days->day);
    struct log_day day = {.hole = days->hole, .day = days->day};
    struct bytes bytes = {0};
    if (days->block.row_count == 0)
        return STATUS_OK;
    if (!text) {
        TRY(arena_grow(arena, &days->texts, days->text_count, &days->text_room, sizeof *days->texts, err));
        text = &days->texts[days->text_count];
        *text = (struct log_day_text){.day = days->day};
        char path[REGISTRY_PATH_MAX];
        log_day_path(days->hole, days->day, path);
        TRY(store_look(days->state->store, path, text->before, err));
        TRY(state_log_bytes(days->state, days->hole, days->day, &bytes, err));
        if (bytes.data)
            TRY(log_day_open(bytes, days->hole, days->day, &days->arena, &day, err));
        days->text_count++;
    } else
        TRY(log_day_decode(text->after, &days->arena, &day, err));
    TRY(join_rows(days, &day, err));
    TRY(log_day_encode(&day, &days->arena, &bytes, err));
    TRY(arena_copy(arena, bytes.data, bytes.len, &text->after.data, err));
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
