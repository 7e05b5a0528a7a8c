/* SPDX-License-Identifier: MIT */
/* Pump logs from text to cells: what stands before a form feed is the mapping, the rest the log, LAS or CSV by what it
 * begins with. A row is as wide as its header, a mapping points into it, and cells keep their limits. */
#include "target.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/intake/log_take.h"

struct reading {
    struct arena *arena;
    struct mapping_asked asked;
    struct logged_hole hole;
    struct log_mapping mapping;
    struct log_channel channels[LOG_CHANNELS_MAX];
    struct log_walk walk;
    struct log_tally tally;
    size_t width;
};

static enum status take_columns(void *context, const struct log_columns *columns, struct err *err)
{
    struct reading *reading = context;
    PROMISE(columns->count > 0 && columns->count <= CSV_COLUMNS_MAX);
    reading->width = columns->count;
    TRY(log_mapping_read(reading->arena, &reading->asked, &reading->hole, columns, &reading->mapping, err));
    PROMISE(reading->mapping.clock.column < columns->count);
    PROMISE(reading->mapping.count > 0 && reading->mapping.count <= LOG_CHANNELS_MAX);
    for (size_t at = 0; at < reading->mapping.count; at++) {
        const struct log_source *source = &reading->mapping.sources[at];
        PROMISE(source->column == SIZE_MAX || (source->column < columns->count && source->denominator > 0));
        reading->channels[at] = source->channel;
    }
    log_walk_init(&reading->walk, reading->channels, reading->mapping.count, LOG_GAP_US, 0);
    return STATUS_OK;
}

static enum status take_row(void *context, const char *const *row, size_t line, struct err *err)
{
    struct reading *reading = context;
    int64_t cells[1 + LOG_CHANNELS_MAX];
    struct log_step step;
    PROMISE(line > 0);
    for (size_t at = 0; at < reading->width; at++)
        PROMISE(strlen(row[at]) <= LINE_BYTES_MAX);
    TRY(log_cells(&reading->mapping, row, line, cells, err));
    PROMISE(cells[0] >= 0);
    for (size_t at = 0; at < reading->mapping.count; at++)
        PROMISE(cells[1 + at] == LENGTH_NONE ||
                (cells[1 + at] <= (int64_t)1000000000000000 && cells[1 + at] >= -(int64_t)1000000000000000));
    const struct log_walk before = reading->walk;
    const unsigned faults = log_walk_row(&reading->walk, cells, &step);
    log_tally_add(&reading->tally, faults, &step, &before, cells, line);
    return STATUS_OK;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct pump pumps[] = {{.name = "1"}, {.name = "2"}, {.name = "B", .line = LINE_BOOSTER}};
    const struct pump_set set = {.hole = "U0013A", .pumps = pumps, .pump_count = 3};
    const uint8_t *feed = size ? memchr(data, '\f', size) : NULL;
    const uint8_t *log = feed ? feed + 1 : data;
    const size_t log_len = size - (size_t)(log - data);
    char *mapping = calloc(1, size + 1);
    struct reading *reading = calloc(1, sizeof *reading);
    FILE *in = log_len ? fmemopen((void *)(uintptr_t)log, log_len, "rb") : NULL;
    struct arena arena;
    arena_init(&arena, (size_t)64 << 20);
    if (mapping && reading && in) {
        if (feed)
            memcpy(mapping, data, (size_t)(feed - data));
        struct lines lines;
        struct err err = {0};
        const struct log_taker taker = {take_columns, take_row, reading};
        struct text told;
        reading->arena = &arena;
        reading->asked.lines = mapping;
        reading->hole = (struct logged_hole){.name = "U0013A", .zone_min = 330, .pumps = set};
        PROMISE(lines_open(in, "-", &lines, &err) == STATUS_OK);
        if (log_each(&lines, NULL, &taker, &err) != STATUS_OK)
            PROMISE(err.reason[0]);
        text_init(&told, &arena);
        log_tally_text(&reading->tally, 3, &told);
        lines_close(&lines);
    }
    arena_clear(&arena);
    if (in)
        (void)fclose(in);
    free(reading);
    free(mapping);
    return 0;
}
