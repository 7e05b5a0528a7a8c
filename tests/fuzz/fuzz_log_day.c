/* SPDX-License-Identifier: MIT */
/* Stored days of a pump log: what is read is written the same, byte by byte, and its rows can be walked. */
#include "target.h"

#include <string.h>

#include "coretally/record/log_day.h"

/* Rows that count follow one another, with the bit inside the hole. */
static void walk_block(const struct log_block *block)
{
    struct log_walk walk;
    struct log_step step;
    log_walk_init(&walk, block->channels, block->channel_count, block->gap_us, block->bridge);
    for (size_t row = 0; row < block->row_count; row++) {
        const struct log_walk before = walk;
        const unsigned faults = log_walk_row(&walk, block->cells + row * (1 + block->channel_count), &step);
        PROMISE(faults < LOG_FAULT_BIT(COUNT) && (step.keep || faults));
        PROMISE(step.channel >= -1 && step.channel < (int)block->channel_count);
        if (!step.keep)
            continue;
        PROMISE(step.bit_um >= 0 && step.bit_um <= step.hole_um && step.hole_um >= before.hole_um);
        PROMISE(!before.started || step.time_us > before.time_us);
        for (size_t at = 0; at < LOG_CHANNELS_MAX; at++)
            PROMISE(step.added[at] >= 0);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct arena arena;
    struct log_day day;
    struct bytes again;
    struct err err = {0};
    arena_init(&arena, (size_t)1 << 30);
    if (log_day_decode((struct bytes){.data = (const char *)data, .len = size}, &arena, &day, &err) != STATUS_OK)
        PROMISE(err.status == STATUS_DAMAGED && strncmp(err.subject, "line ", 5) == 0 && err.reason[0]);
    else {
        for (size_t at = 0; at < day.block_count; at++)
            walk_block(&day.blocks[at]);
        PROMISE(log_day_encode(&day, &arena, &again, &err) == STATUS_OK);
        PROMISE(again.len == size && memcmp(again.data, data, size) == 0);
    }
    arena_clear(&arena);
    return 0;
}
